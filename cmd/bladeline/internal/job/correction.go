package job

import (
	"bladeline/curves/ink"
	"bladeline/zones/preset"
	"bladeline/zones/press"
)

// A Correction says what densities are corrected to, in place of what the press's
// file states.
type Correction struct {
	Targets []Choice[float64]
	Limits  []Choice[float64] // that no film exceeds
	Damping float64           // share of the correction that is made at once
}

// Options says what each ink of a preset is corrected to: as asked, else as the
// press states. The error of an ink for which neither says so is an
// UnstatedError, and comes only when that ink is asked for.
func (c Correction) Options(p *preset.Preset, press *press.Press, file Settings) (func(ink string) (ink.CorrectOptions, error), error) {
	targets, err := Choose(OfTarget, c.Targets, p.Inks())
	if err != nil {
		return nil, err
	}
	limits, err := Choose(OfLimit, c.Limits, p.Inks())
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
