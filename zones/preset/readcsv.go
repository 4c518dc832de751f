package preset

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"bladeline/curves"
	"bladeline/curves/settings"
	"bladeline/zones"
	"bladeline/zones/press"
)

// ReadCSV reads a preset from CSV: one that WriteCSV wrote, or the same after
// a spreadsheet had it. The header names the columns, in any order; rows may
// be in any order. Tolerated are UTF-16, a byte order mark, semicolons or tabs
// between the cells, decimal commas, any line ends, empty rows and cells behind
// the last column, columns of a person's own, and a key_text that the spreadsheet
// took for a date: there the key's number rules.
//
// ok_key also reads 1 3/8 and its like, as ParseKey does; an empty one, or a dash,
// was not read. ok_sweep may stand in some rows of an ink only. Where a cell of an
// ink's rows says "rest as preset", its keys that were not read stood as preset;
// so they all did where ok_sweep alone is filled in.
//
// Errors name the row as a spreadsheet counts it, the header being row 1, and
// the column; they are of type *settings.FileError unless r fails.
func ReadCSV(file string, r io.Reader) (*Preset, error) {
	t, err := openTable(file, r, presetTable)
	if err != nil {
		return nil, err
	}
	in := newPresetReader(t)
	for t.next() {
		in.row()
	}
	p, err := in.preset()
	if err != nil {
		return nil, err
	}
	for i := range p.Units {
		if u := &p.Units[i]; in.rest[i] || u.OKSweep != nil && !u.anyKeyRead() {
			u.restAsPreset()
		}
	}
	return p, nil
}

// presetTable is the kind of table that a preset is.
var presetTable = tableKind{of: "a preset", columns: presetColumns, later: slices.Concat(laterColumns, []string{"clockwise", "shut_at"}), others: true}

// presetReader gathers the rows of a preset.
type presetReader struct {
	*table
	p    *Preset
	inks map[string]int // ink in small letters -> unit
	rows []map[int]int  // of each unit: zone -> row
	rest map[int]bool   // units whose rows say "rest as preset"

	above          []string // cells of the row before
	at             int      // its unit
	ofJob, ofUnits []int    // columns that say the same in all rows of a job, and of a unit

	replaced []OKEntry // of whose cells it matters not whether they can be read
}

func (in *presetReader) row() {
	if !in.repeats(in.ofJob) {
		in.job()
	}
	if !in.repeats(in.ofUnits) {
		in.at = in.unit()
	}
	in.above = in.cells
	u, k := &in.p.Units[in.at], in.key()
	if first, twice := in.rows[in.at][k.Zone]; twice {
		in.fail("zone", fmt.Sprintf("zone %d of ink %s stands in row %d already", k.Zone, settings.Quoted(u.Ink), first), "keep one row for every key")
	}
	in.rows[in.at][k.Zone] = in.line
	u.Keys = append(u.Keys, k)
	in.rest[in.at] = in.rest[in.at] || in.saysRest()
	in.p.Press.Zones = max(in.p.Press.Zones, k.Zone)
}

// repeats tells whether the row says in some columns what the row above it says, which
// nearly all of an ink do.
func (in *presetReader) repeats(columns []int) bool {
	return in.above != nil && !slices.ContainsFunc(columns, func(at int) bool { return cellOf(in.above, at) != cellOf(in.cells, at) })
}

// cellOf is a cell of a row, empty where that ends before it.
func cellOf(row []string, at int) string {
	if at < len(row) {
		return row[at]
	}
	return ""
}

// job reads what all rows say of the job and its press.
func (in *presetReader) job() {
	p := in.p
	job, on := unguarded(in.text("job")), unguarded(in.text("press"))
	keyUnit, sweepUnit := press.KeyUnit(in.text("key_unit")), unguarded(in.text("sweep_unit"))
	if len(p.Units) == 0 {
		p.Job, p.Press.Name, p.Press.KeyUnit, p.Press.SweepUnit = job, on, keyUnit, sweepUnit
	}
	in.same("job", p.Job, job)
	in.same("press", p.Press.Name, on)
	in.same("key_unit", string(p.Press.KeyUnit), string(keyUnit))
	in.same("sweep_unit", p.Press.SweepUnit, sweepUnit)
	in.laterTexts("press_id", &p.Press.ID)
	in.laterTexts("paper", &p.Paper)
	in.laterCount("run_length", &p.RunLength)
	in.laterDate("date", &p.Date)
	in.laterSense(&p.Press.Clockwise)
}

// unit is the index of the row's unit, begun where its ink is new.
func (in *presetReader) unit() int {
	name, sweep, ok := unguarded(in.text("ink")), in.number("sweep"), in.unlessReplaced(0, in.okSweep)
	at, known := in.inks[strings.ToLower(name)]
	if !known {
		at = len(in.p.Units)
		in.inks[strings.ToLower(name)] = at
		in.p.Units = append(in.p.Units, Unit{Ink: name, Sweep: sweep})
		in.rows = append(in.rows, map[int]int{})
	}
	u := &in.p.Units[at]
	in.same("ink", u.Ink, name)
	if u.Sweep != sweep {
		in.fail("sweep", fmt.Sprintf("%s differs from %s above", settings.Plain(sweep), settings.Plain(u.Sweep)), "an ink has one sweep")
	}
	if ok != nil && u.OKSweep != nil && *ok != *u.OKSweep && !in.replaces(u.Ink, 0) {
		in.fail("ok_sweep", fmt.Sprintf("%s differs from %s above", settings.Plain(*ok), settings.Plain(*u.OKSweep)), "an ink has one sweep")
	}
	if u.OKSweep == nil {
		u.OKSweep = ok
	}
	in.laterTexts("unit", &u.Unit)
	in.laterCount("pass", &u.Pass)
	in.laterTexts("curve", &u.Curve)
	return at
}

func (in *presetReader) key() Key {
	k := Key{
		Zone:   in.zone("zone"),
		LeftMM: in.optional("left_mm"), RightMM: in.optional("right_mm"),
		CoveragePct: in.number("coverage_pct"), OpeningPct: in.number("opening_pct"),
		Key: in.number("key"), KeyText: in.text("key_text"), State: curves.State(in.text("state")),
		ShutAt: in.laterNumber("shut_at"),
	}
	v, err := press.ParseKey(in.pointed(k.KeyText))
	if err == nil && !sameKey(v, k.Key) && sameKey(1000*v, k.Key) {
		in.fail("key", fmt.Sprintf("%s stands for %s: a spreadsheet took the decimal point for a thousands mark", settings.Plain(k.Key), k.KeyText), cureThousands)
	}
	if own, err := press.ParseKey(k.KeyText); err != nil || !sameKey(own, k.Key) {
		k.KeyText = press.KeyText(in.p.Press.KeyUnit, k.Key)
	}
	k.OKKey = in.unlessReplaced(k.Zone, in.okKey)
	return k
}

func newPresetReader(t *table) *presetReader {
	return &presetReader{
		table: t, p: &Preset{Format: Format, Warnings: []zones.Warning{}}, inks: map[string]int{}, rest: map[int]bool{},
		ofJob:   t.indices("job", "press", "key_unit", "sweep_unit", "press_id", "paper", "run_length", "date", "clockwise"),
		ofUnits: t.indices("ink", "sweep", "ok_sweep", "unit", "pass", "curve"),
	}
}

// indices are where those of the columns stand that are there.
func (t *table) indices(columns ...string) (all []int) {
	for _, c := range columns {
		if at, there := t.columns[c]; there {
			all = append(all, at)
		}
	}
	return all
}

// preset puts the keys in order and checks the whole.
func (in *presetReader) preset() (*Preset, error) {
	if len(in.p.Units) == 0 {
		in.fail("", "no row of a key follows the header", "give the CSV of a preset")
	}
	if in.err != nil {
		return nil, in.err
	}
	for i := range in.p.Units {
		u := &in.p.Units[i]
		slices.SortFunc(u.Keys, func(a, b Key) int { return a.Zone - b.Zone })
		if zone := in.absent(i); zone > 0 {
			return nil, &settings.FileError{File: in.file, Place: "column zone", What: fmt.Sprintf("ink %s has no row for zone %d", settings.Quoted(u.Ink), zone), Do: "leave ok_key empty where it was not read, but keep every row"}
		}
	}
	f := in.p.validate()
	if f == nil {
		return in.p, nil
	}
	column := strings.TrimPrefix(strings.Replace(f.field, "press.name", "press", 1), "press.")
	place := "column " + column
	if f.unit >= 0 {
		zone := 1
		if f.key >= 0 {
			zone = in.p.Units[f.unit].Keys[f.key].Zone
		}
		place = fmt.Sprintf("row %d, column %s", in.rows[f.unit][zone], column)
	}
	return nil, &settings.FileError{File: in.file, Place: place, What: f.what, Do: cureOf(f.what)}
}

// absent is the first zone that a unit has no row for, 0 where it has all.
func (in *presetReader) absent(unit int) int {
	for zone := 1; zone <= in.p.Press.Zones; zone++ {
		if _, ok := in.rows[unit][zone]; !ok {
			return zone
		}
	}
	return 0
}

// table reads a CSV row by row and keeps the first error.
type table struct {
	file    string
	csv     *csv.Reader
	columns map[string]int
	others  []int // columns of a person's own
	comma   bool  // decimal commas may occur
	least   int   // how many cells a row has at least
	cells   []string
	line    int
	err     error
}

// A tableKind is a kind of table and its columns.
type tableKind struct {
	of      string // as "a preset"
	columns []string
	later   []string // that a file may lack
	lists   bool     // whether an error names those as well
	others  bool     // a person's own may stand beside them
}

func (k tableKind) knows(column string) bool {
	return slices.Contains(k.columns, column) || slices.Contains(k.later, column)
}

// openTable reads a file's text and its header, as newTable says.
func openTable(file string, r io.Reader, kind tableKind) (*table, error) {
	data, err := readAll(file, r)
	if err != nil {
		return nil, err
	}
	return newTable(file, inUTF8(data), kind)
}

// newTable reads the header, which must name all columns of the kind, and no
// other but later ones and, where they may be, a person's own.
func newTable(file string, data []byte, kind tableKind) (*table, error) {
	if !bytes.ContainsRune(data, '\n') {
		data = bytes.ReplaceAll(data, []byte("\r"), []byte("\n"))
	}
	t := &table{file: file, csv: csv.NewReader(bytes.NewReader(data)), columns: map[string]int{}, line: 1}
	if !utf8.Valid(data) {
		t.fail("", "the text is not UTF-8", "save it as CSV in UTF-8")
		return nil, t.err
	}
	header, _, _ := strings.Cut(string(data), "\n")
	t.csv.Comma = separator(header)
	t.csv.FieldsPerRecord = -1 // whole looks
	t.comma = kind.others || t.csv.Comma != ','
	do := "keep to the columns " + strings.Join(kind.columns, ", ")
	if kind.lists {
		do += " and any of " + strings.Join(kind.later, ", ")
	}
	if !t.next() {
		t.fail("", "there is no header", "give the CSV of "+kind.of)
		return nil, t.err
	}
	for i, cell := range t.cells {
		name := strings.TrimSpace(cell)
		if small := strings.ToLower(name); kind.knows(small) {
			name = small // a spreadsheet likes words to begin with a capital
		}
		_, twice := t.columns[name]
		switch {
		case name == "" || kind.others && !kind.knows(name):
			t.others = append(t.others, i)
			continue
		case twice || !kind.knows(name):
			t.fail("", fmt.Sprintf("%s is not a column of %s, or is there twice", settings.Quoted(name), kind.of), do)
		}
		t.columns[name] = i
	}
	for _, name := range kind.columns {
		if _, ok := t.columns[name]; !ok {
			t.fail(name, "is missing", do)
		}
	}
	for name, at := range t.columns {
		if !mayBeEmpty[name] {
			t.least = max(t.least, at+1)
		}
	}
	return t, t.err
}

// separator is what stands most often between the names of the header.
func separator(header string) rune {
	best := ','
	for _, r := range ";\t" {
		if strings.Count(header, string(r)) > strings.Count(header, string(best)) {
			best = r
		}
	}
	return best
}

// next goes to the next row that is not empty.
func (t *table) next() bool {
	for t.err == nil {
		cells, err := t.csv.Read()
		if err == io.EOF {
			return false
		}
		var bad *csv.ParseError
		if errors.As(err, &bad) {
			t.line = bad.Line
			t.fail("", bad.Err.Error(), "give the CSV as it was written, every row with all its cells")
			return false
		}
		t.cells = cells
		t.line, _ = t.csv.FieldPos(0)
		if slices.ContainsFunc(cells, isSaid) {
			return t.whole()
		}
	}
	return false
}

func isSaid(cell string) bool { return strings.TrimSpace(cell) != "" }

// whole tells whether a row has its cells. Spreadsheets leave empty ones out at
// the end of a row, or write more of them than the header has; between commas one
// more would also come of a decimal comma.
func (t *table) whole() bool {
	width := len(t.columns) + len(t.others)
	if width == 0 { // the header itself
		return true
	}
	switch more := len(t.cells) > width; {
	case more && t.csv.Comma == ',':
		t.fail("", csv.ErrFieldCount.Error(), "write a point for a decimal comma, or part the cells by semicolons")
		return false
	case len(t.cells) < t.least, more && strings.TrimSpace(strings.Join(t.cells[width:], "")) != "":
		t.fail("", csv.ErrFieldCount.Error(), "give the CSV as it was written, every row with all its cells")
		return false
	}
	return true
}

func (t *table) fail(column, what, do string) {
	if t.err != nil {
		return
	}
	place := fmt.Sprintf("row %d", t.line)
	if column != "" {
		place += ", column " + column
	}
	t.err = &settings.FileError{File: t.file, Place: place, What: what, Do: do}
}

// text is the cell of a column, empty where the row ends before it.
func (t *table) text(column string) string { return cellOf(t.cells, t.columns[column]) }

func (t *table) same(column, above, here string) {
	if above != here {
		t.fail(column, fmt.Sprintf("%s differs from %s above", settings.Quoted(here), settings.Quoted(above)), "it must be the same in all these rows")
	}
}

// pointed is a number as a program writes it: with a point for its decimal comma,
// where one may occur, and without what parts thousands. In a preset a comma is
// a decimal one even between commas, since none of its numbers has another.
func (t *table) pointed(s string) string {
	if len(s) > len("999") && !isDecimal(s) && thousands.MatchString(s) {
		s = strings.Map(func(r rune) rune {
			if unicode.IsSpace(r) || r == '\'' {
				return -1
			}
			return r
		}, s)
	}
	if t.comma && !strings.Contains(s, ".") {
		return strings.Replace(s, ",", ".", 1)
	}
	return s
}

// thousands are numbers whose thousands are parted by blanks, or as in
// Switzerland.
var thousands = regexp.MustCompile(`^[+-]?\d{1,3}([\s\x{a0}\x{2009}\x{202f}']\d{3})+([.,]\d+)?$`)

// isDecimal keeps out what strconv also reads: inf, nan, hexadecimals, and a
// point without digits on both sides.
func isDecimal(text string) bool {
	digit := func(i int) bool { return i < len(text) && '0' <= text[i] && text[i] <= '9' }
	first := 0
	if strings.HasPrefix(text, "+") || strings.HasPrefix(text, "-") {
		first = 1
	}
	point := strings.IndexByte(text, '.')
	for _, b := range []byte(text) {
		if !('0' <= b && b <= '9') && b != '.' && b != '-' && b != '+' && b != 'e' && b != 'E' {
			return false
		}
	}
	return digit(first) && (point < 0 || digit(point+1))
}

func (t *table) number(column string) float64 { return t.numberIn(column, t.text(column)) }

func (t *table) numberIn(column, text string) float64 {
	text = t.pointed(strings.TrimSpace(text))
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || !isDecimal(text) {
		t.fail(column, settings.Quoted(t.text(column))+" is not a number", "write one, without its unit")
	}
	return v
}

// optional is nil where the cell is empty.
func (t *table) optional(column string) *float64 {
	if strings.TrimSpace(t.text(column)) == "" {
		return nil
	}
	return new(t.number(column))
}

func (t *table) zone(column string) int {
	v := t.number(column)
	if !(v >= 1 && v <= press.MaxZones) || v != float64(int(v)) {
		t.fail(column, fmt.Sprintf("%s is not a zone", settings.Quoted(t.text(column))), fmt.Sprintf("zones count from 1, up to %d", press.MaxZones))
		return 1
	}
	return int(v)
}
