package preset

import (
	"bytes"
	"cmp"
	"slices"
	"strings"
)

// okText is the text of a preset's CSV, and where the cells stand in it that say
// what was run.
type okText struct {
	data   []byte
	mark   bool // a byte order mark stands before data
	comma  rune // what parts the cells
	point  string
	preset *Preset // what the cells say, and no more
	rows   []okRow
}

// okRow are the cells of a key's row.
type okRow struct {
	ink        string
	zone       int
	key, sweep okCell
	rest       [2]bool // that they say "rest as preset"
}

// okCell is where a cell's text stands. A row that ends before it needs so many
// separators more.
type okCell struct{ from, to, lacks int }

// openOK reads the CSV of a preset with the places of its cells, of which entries
// will replace some.
func openOK(file string, data []byte, entries []OKEntry) (*okText, error) {
	utf8 := inUTF8(data)
	wide := len(utf8) != len(data)
	plain := bytes.TrimPrefix(utf8, []byte("\ufeff"))
	text := &okText{data: plain, mark: wide || len(plain) != len(utf8)}
	if !bytes.ContainsRune(plain, '\n') {
		text.data = bytes.ReplaceAll(plain, []byte("\r"), []byte("\n"))
	}
	t, err := newTable(file, text.data, presetTable)
	if err != nil {
		return nil, err
	}
	text.comma, text.point = t.csv.Comma, "."
	starts := lineStarts(text.data)
	in := newPresetReader(t)
	in.replaced = entries
	for in.next() {
		in.row()
		row := okRow{ink: unguarded(in.text("ink")), zone: in.zone("zone"), rest: [2]bool{saysRest(in.text("ok_key")), saysRest(in.text("ok_sweep"))}}
		row.key, row.sweep = t.cell("ok_key", starts, text.data), t.cell("ok_sweep", starts, text.data)
		text.rows = append(text.rows, row)
		if t.csv.Comma != ',' && strings.Contains(in.text("coverage_pct")+in.text("opening_pct")+in.text("key"), ",") {
			text.point = ","
		}
	}
	text.preset, err = in.preset()
	return text, err
}

func lineStarts(data []byte) []int {
	starts := []int{0}
	for i, b := range data {
		if b == '\n' {
			starts = append(starts, i+1)
		}
	}
	return starts
}

// cell is where a column's cell of the row stands that was read last.
func (t *table) cell(column string, starts []int, data []byte) okCell {
	at := t.columns[column]
	end := int(t.csv.InputOffset())
	for end > 0 && (data[end-1] == '\n' || data[end-1] == '\r') {
		end--
	}
	if lacks := at + 1 - len(t.cells); lacks > 0 {
		return okCell{end, end, lacks}
	}
	place := func(field int) int {
		line, column := t.csv.FieldPos(field)
		return starts[line-1] + column - 1
	}
	if at+1 < len(t.cells) {
		end = place(at+1) - 1
	}
	return okCell{place(at), end, 0}
}

// written is the text with changes in their cells.
func (o *okText) written(changes []OKChange) []byte {
	var out bytes.Buffer
	if o.mark {
		out.WriteString("\ufeff")
	}
	done := okCell{}
	for _, in := range o.filled(changes) {
		lacks := in.lacks
		if in.from == done.to && done.lacks > 0 { // the cell before is in the same place
			lacks -= done.lacks
		}
		out.Write(o.data[done.to:in.from])
		out.WriteString(strings.Repeat(string(o.comma), lacks) + in.text)
		done = in.okCell
	}
	out.Write(o.data[done.to:])
	return out.Bytes()
}

// A filledCell is what a cell is to hold.
type filledCell struct {
	okCell
	text string
}

// filled are the cells that changes fill, from the first. A sweep stands in the
// first row of its ink.
func (o *okText) filled(changes []OKChange) []filledCell {
	var cells []filledCell
	fill := func(at okCell, v *float64) {
		if v != nil || at.lacks == 0 {
			cells = append(cells, filledCell{at, strings.Replace(optional(v), ".", o.point, 1)})
		}
	}
	swept := map[string]bool{}
	for _, row := range o.rows {
		u := o.preset.Unit(row.ink)
		if touched(changes, u.Ink, row.zone) {
			fill(row.key, u.Keys[row.zone-1].OKKey)
		}
		switch {
		case !touched(changes, u.Ink, 0):
		case swept[u.Ink]:
			fill(row.sweep, nil)
		default:
			fill(row.sweep, u.OKSweep)
			swept[u.Ink] = true
		}
	}
	slices.SortStableFunc(cells, func(a, b filledCell) int { return cmp.Or(a.from-b.from, a.lacks-b.lacks) })
	return cells
}

// touched tells whether the key of a zone was changed; of zone 0, the sweep.
func touched(changes []OKChange, ink string, zone int) bool {
	return slices.ContainsFunc(changes, func(c OKChange) bool { return c.Ink == ink && c.Zone == zone })
}
