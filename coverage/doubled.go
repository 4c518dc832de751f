package coverage

import (
	"bytes"
	"encoding/json"
)

// DoubledKey finds the first key that stands twice in one object of a sound JSON
// text, and where it stands the second time. Decoders drop what the first said,
// without a word.
func DoubledKey(text []byte) (key string, offset int64, doubled bool) {
	d := json.NewDecoder(bytes.NewReader(text))
	var open []level
	for {
		before := d.InputOffset()
		token, err := d.Token()
		if err != nil {
			return "", 0, false
		}
		if name, is := token.(string); is && len(open) > 0 && open[len(open)-1].atKey {
			if open[len(open)-1].enter(name) {
				return name, before + int64(bytes.IndexByte(text[before:], '"')), true
			}
			continue
		}
		switch token {
		case json.Delim('{'):
			open = append(open, level{map[string]bool{}, true})
		case json.Delim('['):
			open = append(open, level{})
		case json.Delim('}'), json.Delim(']'):
			open = open[:len(open)-1]
			fallthrough
		default: // a value has ended
			if len(open) > 0 {
				open[len(open)-1].atKey = open[len(open)-1].keys != nil
			}
		}
	}
}

// A level is an object or a list that is being read.
type level struct {
	keys  map[string]bool // nil: a list
	atKey bool            // a key comes next
}

// enter notes a key and tells if it was there.
func (l *level) enter(key string) (twice bool) {
	twice, l.keys[key], l.atKey = l.keys[key], true, false
	return twice
}
