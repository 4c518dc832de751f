package preset

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf16"

	"bladeline/curves"
	"bladeline/curves/settings"
	"bladeline/zones/press"
)

// Cures of what spreadsheets do to numbers.
const (
	cureThousands = "open the CSV anew, in English (USA) where the spreadsheet asks for a language; or write what was run with bladeline ok"
	cureDate      = "format the column as text and write it again, or write it as 0 5/8 or .625"
)

// mayBeEmpty are columns whose cells a row may end before.
var mayBeEmpty = map[string]bool{
	"ok_key": true, "ok_sweep": true,
	"against": true, "diameter_left_mm": true, "diameter_mm": true, "diameter_right_mm": true,
	"stripe_left_mm": true, "stripe_mm": true, "stripe_right_mm": true, "run_out_mm": true,
}

// replaces tells whether the cell of an ink's key is replaced, of zone 0 that of its
// sweep. An ink that is named by no more than the beginning of its name may be
// another: whoever replaces cells reads the whole once more.
func (in *presetReader) replaces(ink string, zone int) bool {
	return slices.ContainsFunc(in.replaced, func(e OKEntry) bool {
		return begins(ink, e.Ink) && (e.Sweep && zone == 0 || slices.Contains(e.Zones, zone))
	})
}

// begins tells whether the name of an ink begins so.
func begins(ink, name string) bool {
	return len(ink) >= len(name) && strings.EqualFold(ink[:len(name)], name)
}

// unlessReplaced is what a cell says that read reads; nil where it cannot be read
// and is replaced.
func (in *presetReader) unlessReplaced(zone int, read func() *float64) *float64 {
	before := in.err
	v := read()
	if in.err != before && in.replaces(unguarded(in.text("ink")), zone) {
		in.err, v = before, nil
	}
	return v
}

// okKey is what a cell says of the key that was finally run; nil: it was not
// read.
func (in *presetReader) okKey() *float64 {
	text := strings.TrimSpace(in.text("ok_key"))
	if unsaid(text) || saysRest(text) {
		return nil
	}
	if in.p.Press.KeyUnit == press.Percent {
		text = strings.TrimSpace(strings.TrimSuffix(text, "%"))
	}
	key, err := press.ParseKey(in.pointed(text))
	switch {
	case err != nil && datelike(text):
		in.fail("ok_key", settings.Quoted(text)+" is a date: a spreadsheet made it of a fraction", cureDate)
	case err != nil:
		what, do, _ := strings.Cut(err.Error(), "; ")
		in.fail("ok_key", what, do)
	case isDay(key):
		in.fail("ok_key", fmt.Sprintf("%s is no key setting but the number of a day: a spreadsheet made it of a fraction", settings.Plain(key)), cureDate)
	case in.p.Press.KeyUnit == press.Turn && key >= manyTurns:
		in.fail("ok_key", fmt.Sprintf("no screw turns %s times: a spreadsheet took the decimal point for a thousands mark", settings.Plain(key)), cureThousands)
	}
	return &key
}

// manyTurns is more than a screw of a fountain turns.
const manyTurns = 100

// okSweep is what a cell says of the sweep that was finally run; nil where it
// says nothing.
func (in *presetReader) okSweep() *float64 {
	text := strings.TrimSpace(in.text("ok_sweep"))
	if unsaid(text) || saysRest(text) {
		return nil
	}
	v := in.numberIn("ok_sweep", strings.TrimSuffix(text, "%"))
	if !curves.IsSweep(v) && in.replaces(unguarded(in.text("ink")), 0) {
		return nil
	}
	return &v
}

// unsaid tells whether a cell says nothing: it is empty, or holds a dash.
func unsaid(text string) bool {
	return strings.TrimFunc(text, func(r rune) bool { return unicode.IsSpace(r) || press.IsDash(r) }) == ""
}

// saysRest tells whether a cell of the row says that keys which were not read
// stood as preset.
func (t *table) saysRest() bool {
	if saysRest(t.text("ok_key")) || saysRest(t.text("ok_sweep")) {
		return true
	}
	for _, at := range t.others {
		if at < len(t.cells) && saysRest(t.cells[at]) {
			return true
		}
	}
	return false
}

func saysRest(text string) bool {
	const words = "rest as preset"
	return len(text) >= len(words) && strings.Contains(strings.Join(strings.Fields(strings.ToLower(text)), " "), words)
}

// isDay tells whether a number is that of a day since 1899-12-30, as spreadsheets
// count them, of the years from 1954 to 2119.
func isDay(v float64) bool { return v == float64(int(v)) && v >= 20_000 && v <= 80_000 }

var (
	figuresDate = regexp.MustCompile(`^\d{1,4}([./-])\d{1,2}[./-](\d{2,4})?( \d{1,2}:\d{2}(:\d{2})?)?$`)
	wordsDate   = regexp.MustCompile(`^(?:\d{1,4}[. -]{1,2})?(\p{L}{3})\p{L}*\.?(?:[. /-]{1,2}\d{1,4})?$`)
)

// months are the first letters of the months, as spreadsheets write them in
// English, German, French, Spanish, Italian and Dutch.
const months = " jan feb mar apr may jun jul aug sep oct nov dec" +
	" jän fév mär mrz avr mai jui aoû okt déc dez ene abr ago dic gen mag giu lug set ott mrt mei "

// datelike tells whether a text is a date, as a spreadsheet writes one.
func datelike(text string) bool {
	text = strings.ToLower(strings.Join(strings.Fields(text), " "))
	if figuresDate.MatchString(text) {
		return true
	}
	m := wordsDate.FindStringSubmatch(text)
	return m != nil && strings.ContainsAny(text, "0123456789") && strings.Contains(months, " "+m[1]+" ")
}

// inUTF8 is a text in UTF-8 that may be in UTF-16, as its first two bytes then
// say.
func inUTF8(data []byte) []byte {
	var order binary.ByteOrder = binary.LittleEndian
	switch {
	case bytes.HasPrefix(data, []byte{0xfe, 0xff}):
		order = binary.BigEndian
	case !bytes.HasPrefix(data, []byte{0xff, 0xfe}):
		return data
	}
	units := make([]uint16, 0, len(data)/2)
	for at := 2; at+1 < len(data); at += 2 {
		units = append(units, order.Uint16(data[at:]))
	}
	return []byte(string(utf16.Decode(units)))
}
