package preset

import (
	"fmt"
	"math"

	"bladeline/curves"
	"bladeline/zones"
)

// Uncured tells whether the unit's keys were solved on its train, and yet the film of a
// zone that prints stays outside: by 4.8 % or more, so that none is at 5 % unnamed
// for a model's last digits.
func (u *Unit) Uncured(k Key) bool {
	return u.ByTrain != nil && k.Prints() && math.Abs(u.ByTrain.FilmOffPct[k.Zone-1]) >= 100*passes
}

// uncured names printing zones whose film no key evens, as the train has it, with
// the worst and what holds it.
func (f *inspected) uncured() []zones.Warning {
	off := func(k Key) float64 { return f.unit.ByTrain.FilmOffPct[k.Zone-1] }
	left := f.keys(f.unit.Uncured)
	if len(left) == 0 {
		return nil
	}
	_, worst := extremes(left, func(k Key) float64 { return math.Abs(off(k)) })
	trend := ""
	if !f.unit.ByTrain.Fitted {
		trend = " (" + Trend + ")"
	}
	return f.warning(CodeUncured, worst.Zone, "no key evens %s: zone %d will run %s%s; %s",
		Spans(left), worst.Zone, lightOrHeavy(off(worst)), trend, f.holding(worst, off(worst)))
}

// lightOrHeavy is how far off a film is, as an operator says it.
func lightOrHeavy(offPct float64) string {
	if offPct < 0 {
		return fmt.Sprintf("%.0f %% light", -offPct)
	}
	return fmt.Sprintf("%.0f %% heavy", offPct)
}

// holding says what keeps a zone from its film, and what else may help.
func (f *inspected) holding(k Key, offPct float64) string {
	const form = "a take-off bar there, or turning or re-imposing the form, may help"
	switch {
	case k.State == curves.Ceiling && offPct < 0:
		return "its key is as far open as it goes; a longer sweep may help"
	case k.State == curves.Floor && offPct > 0:
		return "its key is as far closed as the floor allows, and the rollers bring ink from beside it; " + form
	case k.State == curves.Neighbour:
		return fmt.Sprintf("the blade bends by at most %g %% of travel from key to key; %s", f.press.Limits.NeighbourPct, form)
	}
	return "the rollers carry ink from zone to zone, and the keys' steps and limits leave so much; " + form
}
