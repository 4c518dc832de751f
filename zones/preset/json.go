package preset

import (
	"bytes"
	"cmp"
	_ "embed"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"

	"bladeline/coverage"
	"bladeline/curves/settings"
)

// Schema is the JSON Schema of a preset, draft 2020-12.
//
//go:embed preset.schema.json
var Schema []byte

// maxFile is far above any preset.
const maxFile = 16 << 20

// WriteJSON writes a preset as JSON.
func (p *Preset) WriteJSON(w io.Writer) error { return EncodeJSON(w, p) }

var errNothing = errors.New("there is nothing to write; give what was worked out")

// EncodeJSON writes a value as all files of this package are written: indented, and
// texts as they are.
func EncodeJSON[V any](w io.Writer, v *V) error {
	if v == nil {
		return errNothing
	}
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(v)
}

// laterKeys came into the form after presets were written: a file may lack
// them, and what they say is then not known.
var laterKeys = []string{"placement", "blade", "length_mm", "id", "paper", "run_length", "date", "unit", "pass", "clockwise", "shut_at", "form", "charge", "by_train", "as_run"}

// ReadJSON reads a preset from JSON. Every key must be there, written as it
// is, and no other; laterKeys may be missing. file names the source in errors, which are of type
// *settings.FileError unless r fails.
func ReadJSON(file string, r io.Reader) (*Preset, error) {
	data, err := readAll(file, r)
	if err != nil {
		return nil, err
	}
	p := &Preset{}
	if err := json.Unmarshal(data, p); err != nil {
		return nil, jsonError(file, data, err)
	}
	if key, offset, doubled := coverage.DoubledKey(data); doubled {
		return nil, &settings.FileError{File: file, Place: lineColumn(data, offset+1), What: "the key " + settings.Quoted(key) + " stands twice in one object", Do: "keep one of the two"}
	}
	place, what := differentKeys(p, data)
	if what == "" {
		if f := p.validate(); f != nil {
			place, what = f.path(), f.what
		}
	}
	if what != "" {
		return nil, &settings.FileError{File: file, Place: place, What: what, Do: cureOf(what)}
	}
	return p, nil
}

// cureOf is what to do about what is wrong with a preset, where that does not say so
// itself.
func cureOf(what string) string {
	if strings.Contains(what, "; ") {
		return ""
	}
	return "correct it, or run preset again"
}

// readAll reads a file of text that is not absurdly long.
func readAll(file string, r io.Reader) ([]byte, error) {
	data, err := io.ReadAll(io.LimitReader(r, maxFile+1))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	if len(data) > maxFile {
		return nil, &settings.FileError{File: file, What: fmt.Sprintf("more than %d MiB are too many", maxFile>>20), Do: "check that this is the file you meant"}
	}
	return bytes.TrimPrefix(data, []byte("\ufeff")), nil // a byte order mark is tolerated
}

func jsonError(file string, data []byte, err error) error {
	e := &settings.FileError{File: file, What: err.Error(), Do: "give a preset as bladeline wrote it"}
	if is, _ := kindOf(data); is != "" {
		e.What = "this is no preset, but " + is
		return e
	}
	var other struct {
		Format string `json:"format"`
	}
	if json.Unmarshal(data, &other) == nil && other.Format != "" && other.Format != Format {
		e.What = "this is no preset, but of the format " + settings.Quoted(other.Format)
		return e
	}
	var syntax *json.SyntaxError
	var kind *json.UnmarshalTypeError
	switch {
	case errors.As(err, &syntax):
		e.Place = lineColumn(data, syntax.Offset)
		e.What = "this is not JSON from here on"
		if int(syntax.Offset) >= len(data) {
			e.What = "the JSON ends too early"
		}
	case errors.As(err, &kind):
		e.Place = lineColumn(data, kind.Offset)
		e.What = fmt.Sprintf("%s stands where %s belongs", kind.Value, cmp.Or(kind.Field, "a preset"))
	}
	return e
}

// lineColumn is the place of the byte before offset.
func lineColumn(data []byte, offset int64) string {
	before := data[:min(max(offset-1, 0), int64(len(data)))]
	line := bytes.Count(before, []byte("\n")) + 1
	return fmt.Sprintf("line %d, column %d", line, len(before)-bytes.LastIndexByte(before, '\n'))
}

// differentKeys compares the keys of data with those that v has, as decoding
// leaves v's own value where data has none.
func differentKeys(v any, data []byte) (place, what string) {
	var want, got any
	canon, err := json.Marshal(v)
	if err == nil {
		err = json.Unmarshal(canon, &want)
	}
	if err == nil {
		err = json.Unmarshal(data, &got)
	}
	if err != nil {
		return "", err.Error()
	}
	return compareKeys("", want, got)
}

func compareKeys(path string, want, got any) (place, what string) {
	switch w := want.(type) {
	case nil:
		return "", ""
	case map[string]any:
		g, _ := got.(map[string]any)
		return compareObjects(path, w, g)
	case []any:
		g, _ := got.([]any)
		for i := range min(len(w), len(g)) {
			if place, what = compareKeys(fmt.Sprintf("%s[%d]", path, i), w[i], g[i]); what != "" {
				return place, what
			}
		}
		return "", ""
	}
	if got == nil {
		return path, "is null, but must be known; correct the file"
	}
	return "", ""
}

func compareObjects(path string, want, got map[string]any) (place, what string) {
	in := func(key string) string {
		if path == "" {
			return key
		}
		return path + "." + key
	}
	for _, key := range slices.Sorted(maps.Keys(got)) {
		if _, known := want[key]; !known && !(got[key] == nil && slices.Contains(laterKeys, key)) {
			return in(key), "is not a key of a preset; remove or correct it"
		}
	}
	for _, key := range slices.Sorted(maps.Keys(want)) {
		value, there := got[key]
		if !there && slices.Contains(laterKeys, key) {
			continue
		}
		if !there {
			return in(key), "is missing; write null where it is not known"
		}
		if place, what = compareKeys(in(key), want[key], value); what != "" {
			return place, what
		}
	}
	return "", ""
}
