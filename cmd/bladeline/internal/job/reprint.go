package job

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"bladeline/zones"
	"bladeline/zones/preset"
	"bladeline/zones/press"
	"bladeline/zones/sheet"
)

// A ReprintTicket says what job that was run is to be printed again, and on what.
type ReprintTicket struct {
	OKFile  string
	Rest    bool   // keys that were not read ran as preset
	Press   string // that it is to run on: a file, or the name of one that ships
	From    string // that it ran on; "" is Press, or one that ships, where it is of the job
	Curves  []Choice[string]
	Sweeps  []Choice[*float64]
	Run     preset.Run // a paper that is not stated is that of the run
	Charge  *bool      // as in Ticket
	Page    sheet.PageSize
	Copies  int
	Outputs []Output
	Cure    func([]zones.Warning) // where set, as in Ticket
}

// Reprint works out what a job is to be set to again, and writes the outputs, all of
// them or none.
func (t ReprintTicket) Reprint(ctx context.Context) (*preset.Preset, error) {
	for _, o := range t.Outputs {
		if err := keepOK(o.Path); err != nil {
			return nil, err
		}
	}
	run, err := LoadRun(t.OKFile, t.Rest)
	if err != nil {
		return nil, err
	}
	if FormatOf(t.OKFile) != "csv" {
		return nil, fmt.Errorf("%s: a JSON has no place for what was run; give the CSV in which that stands", t.OKFile)
	}
	r := preset.Reprint{File: t.OKFile, Run: run}
	var file Settings
	if r.On, file, err = LoadPress(t.Press); err != nil {
		return nil, err
	}
	if r.From, err = t.from(run, r.On); err != nil {
		return nil, err
	}
	paper, err := t.choose(&r, file)
	if err != nil {
		return nil, err
	}
	p, err := r.Preset()
	if err != nil {
		return nil, err
	}
	if err := p.StateRun(t.run(run)); err != nil {
		return nil, err
	}
	s := Setup{Press: r.On, Run: p.Run(), PageSize: t.Page, Copies: t.Copies}
	if err := s.StateCharges(ctx, p, t.Charge); err != nil {
		return nil, trainless(err, file)
	}
	p.Warnings = slices.Insert(p.Warnings, 0, paper.warnings()...)
	if r.From == nil {
		p.Warnings = append(p.Warnings, guessedTravel(run)...)
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

// guessedTravel warns of inks that ran on a press which is not known.
func guessedTravel(run *preset.Preset) []zones.Warning {
	var ws []zones.Warning
	for _, ink := range unitInks(run) {
		if run.HasOKKeys(ink) {
			ws = append(ws, zones.Warning{Ink: ink, Code: CodeNoTravel, Text: "how far the keys travel that were run was taken from what the preset says of them", Facts: run})
		}
	}
	return ws
}

// from is the press that the job ran on, nil where it is not known.
func (t ReprintTicket) from(run *preset.Preset, on *press.Press) (*press.Press, error) {
	switch {
	case t.From != "":
		return pressOf(run, t.OKFile, t.From)
	case run.SamePress(on):
		return on, nil
	}
	press, _ := shippedFor(run, t.OKFile)
	return press, nil
}

// run is what is stated of the new run.
func (t ReprintTicket) run(ran *preset.Preset) preset.Run {
	now := t.Run
	now.Paper = cmp.Or(now.Paper, ran.Run().Paper)
	return now
}

// choose finds the curve, the sweep and the place of every ink. On the same press the
// keys stand as they were run, where no curve, no sweep and no other paper is asked
// for. Inks without a curve for the paper are named.
func (t ReprintTicket) choose(r *preset.Reprint, file Settings) (*PaperError, error) {
	inks, paper := unitInks(r.Run), t.run(r.Run).Paper
	none := &PaperError{Paper: paper, Known: r.On.Papers()}
	called, err := Choose(OfCurve, t.Curves, inks)
	if err != nil {
		return none, err
	}
	sweeps, err := Choose(OfSweep, t.Sweeps, inks)
	if err != nil {
		return none, err
	}
	same, samePaper := r.Run.SamePress(r.On), strings.EqualFold(paper, r.Run.Run().Paper)
	if same && samePaper && len(called) == 0 {
		if len(sweeps) > 0 {
			return none, fmt.Errorf("%s: keys that stand as they were run take the sweep that was run; leave the sweep out, or name a curve", t.OKFile)
		}
		return none, nil
	}
	for _, ink := range inks {
		name, _ := called.For(ink)
		curve, err := CurveOf(ink, name, paper, r.On, file)
		if err != nil {
			return none, err
		}
		if _, known := r.On.CurveFileOn(paper, ink); name == "" && !known {
			none.Inks = append(none.Inks, ink)
		}
		sweep, _ := sweeps.For(ink)
		r.Curves, r.Sweeps = append(r.Curves, curve), append(r.Sweeps, sweep)
	}
	r.Stations, err = r.On.Stations(inks, unitsRun(r.Run, same))
	return none, err
}

// unitsRun are the units that inks ran in, where that says anything of the press.
func unitsRun(run *preset.Preset, same bool) []string {
	units := make([]string, len(run.Units))
	for i, u := range run.Units {
		if same && u.Unit != nil {
			units[i] = *u.Unit
		}
	}
	return units
}
