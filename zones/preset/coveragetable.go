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

// An InkCoverage is how much of an ink's zones is covered, as somebody found it
// who had no separation to measure.
type InkCoverage struct {
	Ink      string     // empty: the table names none
	ZonesPct []*float64 // by zone, 0 to 100; nil: the zone lies off the sheet
}

// coverageTable is the kind of table that coverages by zone stand in.
var coverageTable = tableKind{of: "coverages", columns: []string{"zone", "coverage_pct"}, later: []string{"ink"}}

// ReadCoverage reads coverages from CSV, one row a zone of the fountain:
// zone,coverage_pct, and ink where there are several. It tolerates what ReadCSV
// does. A zone whose coverage is empty lies off the sheet. An ink must have a row
// for every zone up to its last. Errors are of type *settings.FileError unless r
// fails.
func ReadCoverage(file string, r io.Reader) ([]InkCoverage, error) {
	t, err := openTable(file, r, coverageTable)
	if err != nil {
		return nil, err
	}
	in := coverageReader{table: t}
	for t.next() {
		in.row()
	}
	if len(in.inks) == 0 {
		t.fail("", "no coverage follows the header", "write one row for every zone")
	}
	if t.err != nil {
		return nil, t.err
	}
	all := make([]InkCoverage, len(in.inks))
	for i, ink := range in.inks {
		if all[i], err = in.ink(ink); err != nil {
			return nil, err
		}
	}
	return all, nil
}

// coverageReader gathers the rows of such a table.
type coverageReader struct {
	*table
	inks []readInk
}

// readInk is an ink with its rows.
type readInk struct {
	name  string
	rows  map[int]int // zone -> row
	pct   map[int]*float64
	zones int
}

func (in *coverageReader) row() {
	name := ""
	if _, named := in.columns["ink"]; named {
		if name = strings.TrimSpace(unguarded(in.text("ink"))); !settings.IsName(name) {
			in.fail("ink", settings.Quoted(name)+" is not the name of an ink", "write one in every row, or leave the column out")
		}
	}
	at := slices.IndexFunc(in.inks, func(i readInk) bool { return strings.EqualFold(i.name, name) })
	if at < 0 {
		at = len(in.inks)
		in.inks = append(in.inks, readInk{name, map[int]int{}, map[int]*float64{}, 0})
	}
	i := &in.inks[at]
	zone, pct := in.zone("zone"), in.optional("coverage_pct")
	if first, twice := i.rows[zone]; twice {
		in.fail("zone", fmt.Sprintf("zone %d stands in row %d already", zone, first), "keep one row for every zone of an ink")
	}
	if pct != nil && !inPct(*pct) {
		in.fail("coverage_pct", settings.Plain(*pct)+" is outside 0 to 100", "write how much of the zone is covered, in %")
	}
	i.rows[zone], i.pct[zone], i.zones = in.line, pct, max(i.zones, zone)
}

// ink is an ink of the table, whose zones must all have a row.
func (in *coverageReader) ink(i readInk) (InkCoverage, error) {
	c := InkCoverage{Ink: i.name}
	of := ""
	if i.name != "" {
		of = "ink " + settings.Quoted(i.name) + " has "
	}
	for zone := 1; zone <= i.zones; zone++ {
		if i.rows[zone] == 0 {
			return c, &settings.FileError{File: in.file, Place: "column zone", What: fmt.Sprintf("%sno row for zone %d", of, zone), Do: "write 0 for a bare zone, and leave coverage_pct empty where a zone lies off the sheet"}
		}
		c.ZonesPct = append(c.ZonesPct, i.pct[zone])
	}
	return c, nil
}

// CoverageInput is what a unit is preset from where there is no separation.
type CoverageInput struct {
	InkCoverage
	File    string // that the coverages stand in, for errors; may be empty
	Curve   *curves.Curve
	Sweep   *float64 // in the press's unit; nil chooses one
	Station press.Station
}

// FromCoverage works out the keys of every unit, as New does, from coverages by
// zone. They refer to the press's print length, where it has one. How the ink
// stands in a zone is not known: of the findings of New there are those that look
// at keys alone.
func FromCoverage(job string, on *press.Press, units []CoverageInput) (*Preset, error) {
	return fromCoverage(job, on, units, byCurve)
}

func fromCoverage(job string, on *press.Press, units []CoverageInput, settle settling) (*Preset, error) {
	if err := checkPress(on); err != nil {
		return nil, err
	}
	var laid []laidUnit
	for _, in := range units {
		u, err := in.laid(on)
		if err != nil {
			return nil, err
		}
		laid = append(laid, u)
	}
	p, err := newPreset(job, on, laid)
	if err == nil {
		err = settle(p, laid)
	}
	if err != nil {
		return nil, err
	}
	for i := range laid {
		u := &p.Units[i]
		u.CoveragePct = nil // of the whole sheet, whose size is not known
		f := inspected{in: &laid[i], unit: u, press: u.OnPress(on)}
		p.Warnings = append(p.Warnings, f.keyWarnings()...)
	}
	return p, nil
}

// keyWarnings are those findings that need no form.
func (f *inspected) keyWarnings() []zones.Warning {
	return slices.Concat(f.high(), f.held())
}

// held are findings of what limits keep from where they should stand.
func (f *inspected) held() []zones.Warning {
	if f.unit.ByTrain != nil {
		return f.uncured()
	}
	return slices.Concat(f.ceiling(), f.floor(), f.neighbourLimit(), f.spill(), f.shutBeside())
}

func (in CoverageInput) laid(on *press.Press) (laidUnit, error) {
	u := laidUnit{Source: zones.Source{Ink: in.Ink}, LengthMM: on.PrintLengthMM, Curve: in.Curve, Sweep: in.Sweep, Station: in.Station}
	switch n := len(in.ZonesPct); {
	case n != on.Fountain.Zones:
		return u, &settings.FileError{File: in.File, Place: "column zone", What: fmt.Sprintf("its zones end at %d, and press %s has %d", n, settings.Quoted(on.Name), on.Fountain.Zones), Do: "write one row for every zone of the press"}
	case !slices.ContainsFunc(in.ZonesPct, func(pct *float64) bool { return pct != nil }):
		return u, &settings.FileError{File: in.File, Place: "column coverage_pct", What: "all zones lie off the sheet", Do: "write how much of each is covered, in %"}
	case on.InUnit(in.Station.Unit) == nil:
		return u, fmt.Errorf("ink %s: press %s has no unit %s; name one that it has", in.Ink, settings.Quoted(on.Name), settings.Quoted(in.Station.Unit))
	}
	for i, pct := range in.ZonesPct {
		left, right := on.Fountain.ZoneMM(i + 1)
		z := zones.Zone{Number: i + 1, LeftMM: &left, RightMM: &right, OffSheet: pct == nil}
		if pct != nil {
			z.CoveragePct = *pct
		}
		u.Zones = append(u.Zones, z)
	}
	return u, nil
}
