package job

import (
	"fmt"

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
	Paper   sheet.Paper
	Copies  int
	Outputs []Output
	Cure    func([]zones.Warning) // where set, as in Ticket
}

// Reprint works out what a job is to be set to again, and writes the outputs, all of
// them or none.
func (t ReprintTicket) Reprint() (*preset.Preset, error) {
	for _, o := range t.Outputs {
		if err := keepOK(o.Path); err != nil {
			return nil, err
		}
	}
	run, err := LoadRun(t.OKFile, t.Rest)
	if err != nil {
		return nil, err
	}
	r := preset.Reprint{File: t.OKFile, Run: run}
	var file Settings
	if r.On, file, err = LoadPress(t.Press); err != nil {
		return nil, err
	}
	if r.From, err = t.from(run, r.On); err != nil {
		return nil, err
	}
	if err := t.choose(&r, file); err != nil {
		return nil, err
	}
	p, err := r.Preset()
	if err != nil {
		return nil, err
	}
	if r.From == nil {
		p.Warnings = append(p.Warnings, guessedTravel(run)...)
	}
	if t.Cure != nil {
		t.Cure(p.Warnings)
	}
	s := Setup{Press: r.On, Paper: t.Paper, Copies: t.Copies}
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

// choose finds the curve and the sweep of every ink. On the same press the keys stand
// as they were run, where no curve and no sweep is asked for.
func (t ReprintTicket) choose(r *preset.Reprint, file Settings) error {
	inks := unitInks(r.Run)
	called, err := Choose(OfCurve, t.Curves, inks)
	if err != nil {
		return err
	}
	sweeps, err := Choose(OfSweep, t.Sweeps, inks)
	if err != nil {
		return err
	}
	if r.Run.SamePress(r.On) && len(called) == 0 {
		if len(sweeps) > 0 {
			return fmt.Errorf("%s: keys that stand as they were run take the sweep that was run; leave the sweep out, or name a curve", t.OKFile)
		}
		return nil
	}
	for _, ink := range inks {
		name, _ := called.For(ink)
		curve, err := CurveOf(ink, name, r.On, file)
		if err != nil {
			return err
		}
		sweep, _ := sweeps.For(ink)
		r.Curves, r.Sweeps = append(r.Curves, curve), append(r.Sweeps, sweep)
	}
	return nil
}
