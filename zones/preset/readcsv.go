package preset

import (
	"fmt"
	"io"
	"slices"
	"strings"

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
var presetTable = tableKind{of: "a preset", columns: presetColumns, later: slices.Concat(laterColumns, []string{"clockwise", "shut_at"}, trainColumns), others: true}

// presetReader gathers the rows of a preset.
type presetReader struct {
	*table
	p    *Preset
	inks map[string]int // ink in small letters -> unit
	rows []map[int]int  // of each unit: zone -> row
	rest map[int]bool   // units whose rows say "rest as preset"

	by  map[int]string          // of each unit: by what its keys were set
	off map[int]map[int]float64 // of each that the train set: zone -> how far its film lies off

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
	in.setBy(in.at, k.Zone)
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
		table: t, p: &Preset{Format: Format, Warnings: []zones.Warning{}}, inks: map[string]int{}, rest: map[int]bool{}, by: map[int]string{}, off: map[int]map[int]float64{},
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
		in.filmsOff(i)
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
