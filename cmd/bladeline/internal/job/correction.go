package job

import (
	"cmp"
	"io"

	"bladeline/curves/ink"
	"bladeline/zones/preset"
	"bladeline/zones/press"
)

// A Correction says which preset is corrected by which densities, and to what.
type Correction struct {
	Press     string            // of the preset: a file, or the name of one that ships
	Preset    string            // a file
	Rest      bool              // its keys that were not read ran as preset
	Densities string            // a table of the solids of a pulled sheet
	Targets   []Choice[float64] // in place of what the press's file states
	Limits    []Choice[float64] // that no film exceeds, in place of the same
	Damping   float64           // share of the correction that is made at once
	Run       preset.Run        // what is empty of it is as the preset states
}

// Correct corrects a preset by densities. It returns the press, too, whose scale
// the keys are on.
func Correct(c Correction) (*preset.Corrected, *press.Press, error) {
	press, file, err := LoadPress(c.Press)
	if err != nil {
		return nil, nil, err
	}
	p, err := LoadRun(c.Preset, c.Rest)
	if err != nil {
		return nil, nil, err
	}
	var densities []preset.SolidDensity
	if err := ReadFile(c.Densities, func(r io.Reader) (err error) {
		densities, err = preset.ReadDensities(c.Densities, r)
		return err
	}); err != nil {
		return nil, nil, err
	}
	options, err := c.options(p, press, file)
	if err != nil {
		return nil, nil, err
	}
	corrected, err := p.Correct(c.Preset, press, c.Densities, densities, options)
	if err != nil {
		return nil, nil, err
	}
	was := p.Run()
	run := preset.Run{Paper: cmp.Or(c.Run.Paper, was.Paper), Length: cmp.Or(c.Run.Length, was.Length), Date: c.Run.Date}
	return corrected, press, corrected.Preset.StateRun(run)
}

// options says what each ink of a preset is corrected to: as asked, else as the
// press states. The error of an ink for which neither says so is an
// UnstatedError, and comes only when that ink is asked for.
func (c Correction) options(p *preset.Preset, press *press.Press, file Settings) (func(ink string) (ink.CorrectOptions, error), error) {
	inks := unitInks(p)
	targets, err := Choose(OfTarget, c.Targets, inks)
	if err != nil {
		return nil, err
	}
	limits, err := Choose(OfLimit, c.Limits, inks)
	if err != nil {
		return nil, err
	}
	return func(ink string) (o ink.CorrectOptions, err error) {
		known, _ := press.Ink(ink)
		o.Damping = c.Damping
		var stated bool
		if o.Target, stated = askedOr(targets, ink, known.TargetDensity); !stated {
			return o, &UnstatedError{File: file.Name, Ink: ink, code: CodeNoTarget}
		}
		if o.Limit, stated = askedOr(limits, ink, known.DensityLimit); !stated {
			return o, &UnstatedError{File: file.Name, Ink: ink, code: CodeNoLimit}
		}
		return o, nil
	}, nil
}

// askedOr is what was asked for an ink, else what is known; 0 is not known.
func askedOr(asked Chosen[float64], ink string, known float64) (float64, bool) {
	if v, is := asked.For(ink); is {
		return v, true
	}
	return known, known != 0
}
