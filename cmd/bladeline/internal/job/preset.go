package job

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"bladeline/coverage"
	"bladeline/zones"
	"bladeline/zones/preset"
	"bladeline/zones/press"
	"bladeline/zones/sheet"
)

// A Ticket says what a form is to be preset with, and where the preset goes.
type Ticket struct {
	Reading
	Name       string             // of the job; "" is what the files' names begin with
	Press      string             // a file, or the name of one that ships
	Curves     []Choice[string]   // each a file, or the name of one that ships, in place of the press's own
	Sweeps     []Choice[*float64] // each on the press's scale; nil is found, as where nothing is asked
	Units      []Choice[string]   // the press's unit that an ink runs in
	ByTrain    bool               // the keys are solved on the press's roller train
	Run        preset.Run
	Placement  zones.Placement
	TakeOffPct float64 // warn of printing zones covered less, in %; 0 never warns, preset.ByKeys by what their keys can meter
	PageSize   sheet.PageSize
	Copies     int   // the key sheet says how much ink these take; 0: those of the run, where it is known
	Charge     *bool // say of each ink how the rollers are best charged; nil: where the press has a train
	Outputs    []Output
	OfMany     bool                        // it is one of several forms, and need not have every ink that something is asked for
	Read       func([]*coverage.Map) error // where set, is told of the separations when all are read, and may refuse
	Blank      func(*coverage.Map)         // where set, is told of every separation of a process ink that holds no ink and gets no unit
	Cure       func([]zones.Warning)       // where set, says in the front end's words what to do about warnings, before they are written
}

// Run presets a form, and writes the outputs, all of them or none. What the form
// is warned of is among the preset's Warnings. Run stops where ctx ends, its
// cause the error, and has then written nothing.
func Run(ctx context.Context, t Ticket) (*preset.Preset, error) {
	if err := t.checkOutputs(); err != nil {
		return nil, err
	}
	press, file, err := LoadPress(t.Press)
	if err != nil {
		return nil, err
	}
	if t.ByTrain {
		if err := hasTrain(press, file); err != nil {
			return nil, err
		}
	}
	maps, err := t.Maps(ctx)
	if err != nil {
		return nil, err
	}
	if t.Read != nil {
		if err := t.Read(maps); err != nil {
			return nil, err
		}
	}
	maps, blank := t.Printing(maps)
	if t.Blank != nil {
		for _, m := range blank {
			t.Blank(m)
		}
	}
	s, err := t.setup(maps, press, file)
	if err != nil {
		return nil, err
	}
	s = s.InOrder()
	p, err := s.presetBy(ctx, t.ByTrain)
	if err != nil {
		return nil, trainless(err, file)
	}
	p.Form = t.Form.stated()
	if err := s.StateCharges(ctx, p, t.Charge); err != nil {
		return nil, trainless(err, file)
	}
	if t.Cure != nil {
		t.Cure(p.Warnings)
	}
	files, err := s.Files(p, t.Outputs)
	if err != nil {
		return nil, err
	}
	if err := context.Cause(ctx); err != nil {
		return nil, err
	}
	return p, WriteFiles(files)
}

// checkOutputs refuses files that cannot be written, or must not be, before any
// is read.
func (t *Ticket) checkOutputs() error {
	inputs, err := t.Paths()
	if err != nil {
		return err
	}
	for _, o := range t.Outputs {
		if o.Write == nil && !slices.Contains(PresetFormats, FormatOf(o.Path)) {
			return fmt.Errorf("%s: the ending is not known here; use one of .%s", o.Path, strings.Join(PresetFormats, " ."))
		}
		if err := NotAnInput(o.Path, inputs); err != nil {
			return err
		}
		if err := keepOK(o.Path); err != nil {
			return err
		}
	}
	return nil
}

// setup is the form as it is laid on the press, with what each ink is preset
// with.
func (t Ticket) setup(maps []*coverage.Map, press *press.Press, file Settings) (*Setup, error) {
	if err := zones.Distinct(maps); err != nil {
		return nil, err
	}
	inks := InksOf(maps)
	called, err := choose(OfCurve, t.Curves, inks, t.OfMany)
	if err != nil {
		return nil, err
	}
	sweeps, err := choose(OfSweep, t.Sweeps, inks, t.OfMany)
	if err != nil {
		return nil, err
	}
	units, err := t.unitsOf(inks, press)
	if err != nil {
		return nil, err
	}
	s := &Setup{Job: cmp.Or(t.Name, coverage.JobName(maps)), Press: press, Run: t.Run, TakeOffPct: t.TakeOffPct, PageSize: t.PageSize, Copies: t.Copies}
	var unknown []string
	for _, m := range maps {
		name, _ := called.For(m.Ink)
		curve, err := CurveOf(m.Ink, name, t.Run.Paper, press, file)
		if err != nil {
			return nil, err
		}
		if _, known := press.CurveFileOn(t.Run.Paper, m.Ink); name == "" && !known {
			unknown = append(unknown, m.Ink)
		}
		sweep, _ := sweeps.For(m.Ink)
		if err := s.Add(m, t.Placement, curve, sweep); err != nil {
			return nil, err
		}
	}
	s.WarnOfPaper(unknown)
	s.ofFiles = t.ofFileNames(maps)
	return s, s.Place(units)
}

// unitsOf are the units that inks are asked for in, which the press must have.
func (t *Ticket) unitsOf(inks []string, press *press.Press) (Chosen[string], error) {
	for i, c := range t.Units {
		if c.Value == "" || press.InUnit(c.Value) == nil {
			return nil, &ChoiceError{Of: OfUnit, Index: i, Ink: c.Ink, Units: press.UnitNames(), code: CodeUnknownUnit, unit: c.Value}
		}
	}
	return choose(OfUnit, t.Units, inks, t.OfMany)
}

// trainless has an error of a press without a train name the press's file.
func trainless(err error, file Settings) error {
	if errors.Is(err, preset.ErrNoTrain) {
		return fmt.Errorf("%s: %w", file.Name, err)
	}
	return err
}
