package job

import (
	"cmp"
	"context"
	"fmt"
	"io"
	"slices"
	"strings"

	"bladeline/coverage"
	"bladeline/curves/settings"
	"bladeline/zones/preset"
	"bladeline/zones/press"
)

// RunTables is Run of a job whose coverages stand in tables, each of the ink that
// it is chosen for, where it names none itself. There are no separations, so t
// has no Inputs and no Placement that counts, and key sheets have no picture.
func (t Ticket) RunTables(ctx context.Context, tables []Choice[string]) (*preset.Preset, error) {
	if err := t.checkTableOutputs(tables); err != nil {
		return nil, err
	}
	press, file, err := LoadPress(t.Press)
	if err != nil {
		return nil, err
	}
	inks, err := readCoverages(tables)
	if err != nil {
		return nil, err
	}
	if t.ByTrain {
		if err := hasTrain(press, file); err != nil {
			return nil, err
		}
	}
	none, err := t.choose(inks, press, file)
	if err != nil {
		return nil, err
	}
	var from []*coverage.Map
	for _, table := range tables {
		from = append(from, &coverage.Map{File: table.Value})
	}
	name := cmp.Or(t.Name, coverage.JobName(from))
	p, err := t.fromCoverage(ctx, name, press, inks)
	if err != nil {
		return nil, trainless(err, file)
	}
	s := Setup{Press: press, Run: t.Run, PageSize: t.PageSize, Copies: t.Copies}
	if err := s.StateCharges(ctx, p, t.Charge); err != nil {
		return nil, trainless(err, file)
	}
	p.Warnings = slices.Insert(p.Warnings, 0, slices.Concat(keysApart(press), none.warnings())...)
	if err := p.StateRun(t.Run); err != nil {
		return nil, err
	}
	if t.Cure != nil {
		t.Cure(p.Warnings)
	}
	files, err := s.Files(p, t.Outputs)
	if err != nil {
		return nil, err
	}
	return p, WriteFiles(files)
}

func (t *Ticket) fromCoverage(ctx context.Context, name string, on *press.Press, inks []preset.CoverageInput) (*preset.Preset, error) {
	if t.ByTrain {
		return preset.FromCoverageByTrain(ctx, name, on, inks)
	}
	return preset.FromCoverage(name, on, inks)
}

func (t *Ticket) checkTableOutputs(tables []Choice[string]) error {
	with := *t
	with.Inputs = nil
	for _, table := range tables {
		with.Inputs = append(with.Inputs, coverage.Input{Path: table.Value})
	}
	return with.checkOutputs()
}

// readCoverages are the inks of tables, each once.
func readCoverages(tables []Choice[string]) ([]preset.CoverageInput, error) {
	var all []preset.CoverageInput
	for _, table := range tables {
		var read []preset.InkCoverage
		if err := ReadFile(table.Value, func(r io.Reader) (err error) {
			read, err = preset.ReadCoverage(table.Value, r)
			return err
		}); err != nil {
			return nil, err
		}
		for _, c := range read {
			switch {
			case c.Ink == "":
				c.Ink = cmp.Or(table.Ink, strings.ToValidUTF8(coverage.InkFromName(table.Value), ""))
			case table.Ink != "":
				return nil, &settings.FileError{File: table.Value, Place: "column ink", What: "it names its inks itself", Do: "leave " + settings.Quoted(table.Ink) + " out, or the column"}
			}
			if at := slices.IndexFunc(all, func(u preset.CoverageInput) bool { return strings.EqualFold(u.Ink, c.Ink) }); at >= 0 {
				return nil, &settings.FileError{File: table.Value, What: fmt.Sprintf("the ink %s stands in %s, too", settings.Quoted(c.Ink), all[at].File), Do: "name every ink once"}
			}
			all = append(all, preset.CoverageInput{InkCoverage: c, File: table.Value})
		}
	}
	return all, nil
}

// choose finds the curve, the sweep and the place of every ink, and puts them in
// the order in which the sheet meets them. Inks without a curve for the paper are
// named.
func (t *Ticket) choose(inks []preset.CoverageInput, on *press.Press, file Settings) (*PaperError, error) {
	var names []string
	for _, in := range inks {
		names = append(names, in.Ink)
	}
	none := &PaperError{Paper: t.Run.Paper, Known: on.Papers()}
	called, err := Choose(OfCurve, t.Curves, names)
	if err != nil {
		return none, err
	}
	sweeps, err := Choose(OfSweep, t.Sweeps, names)
	if err != nil {
		return none, err
	}
	units, err := t.unitsOf(names, on)
	if err != nil {
		return none, err
	}
	asked := make([]string, len(inks))
	for i, ink := range names {
		name, _ := called.For(ink)
		if inks[i].Curve, err = CurveOf(ink, name, t.Run.Paper, on, file); err != nil {
			return none, err
		}
		if _, known := on.CurveFileOn(t.Run.Paper, ink); name == "" && !known {
			none.Inks = append(none.Inks, ink)
		}
		inks[i].Sweep, _ = sweeps.For(ink)
		asked[i], _ = units.For(ink)
	}
	stations, err := on.Stations(names, asked)
	for i, station := range stations {
		inks[i].Station = station
	}
	slices.SortStableFunc(inks, func(a, b preset.CoverageInput) int { return on.Order(a.Station, b.Station) })
	return none, err
}
