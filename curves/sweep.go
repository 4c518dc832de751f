package curves

import (
	"fmt"
	"math"

	"bladeline/curves/settings"
)

// A SweepScale is the sweep as a press can be set to it: From, From+Step, … up
// to To at most. All are in the press's own Unit, and proportional to the ink
// fed.
type SweepScale struct {
	Unit           string
	From, To, Step float64
	Reference      float64 // what curves refer to that state no sweep of their own

	// The range that the press is worked in, with Reference in it; 0 is not stated.
	WorkingFrom, WorkingTo float64
}

// The least and the greatest sweep of any press: settings have 9 decimals, and no
// press counts to a million.
const (
	minSweep = 1e-9
	maxSweep = 1e6
)

// IsSweep tells whether some press could sweep so.
func IsSweep(v float64) bool { return v >= minSweep && v <= maxSweep }

// Takes checks that a curve can be used with the scale: that the sweep it
// refers to is not more than ten times off every setting. The points of such a
// curve were found on another scale, and every key would stand at a limit. Its
// error is of type *settings.FileError.
func (s SweepScale) Takes(c *Curve) error {
	if c == nil {
		return errNoCurve()
	}
	if r := c.ReferenceSweep; r != 0 && !(r >= s.From/10 && r <= 10*s.To) {
		return &settings.FileError{
			Place: "reference_sweep",
			What:  fmt.Sprintf("%s is outside the press's sweep, %s to %s %s, by more than a factor of ten", settings.Plain(r), settings.Plain(s.From), settings.Plain(s.To), s.Unit),
			Do:    "write the sweep that the points were found at, on this press's scale",
		}
	}
	return nil
}

// maxSettings bounds what is weighed for one sweep.
const maxSettings = 10_000

// Validate checks the scale. Its errors are of type *settings.FileError, with the name
// of the field as the place.
func (s SweepScale) Validate() error {
	switch {
	case !(s.From > 0) || math.IsInf(s.From, 0):
		return &settings.FileError{Place: "from", What: fmt.Sprintf("%s feeds no ink", settings.Plain(s.From)), Do: "write the lowest sweep that the press is run at, above 0"}
	case !(s.To > s.From) || math.IsInf(s.To, 0):
		return &settings.FileError{Place: "to", What: fmt.Sprintf("%s is not above from = %s", settings.Plain(s.To), settings.Plain(s.From)), Do: "write the highest sweep"}
	case !(s.Step > 0) || s.Step > s.To-s.From:
		return &settings.FileError{Place: "step", What: fmt.Sprintf("%s is not a step between %s and %s", settings.Plain(s.Step), settings.Plain(s.From), settings.Plain(s.To)), Do: "write the step between two settings"}
	case (s.To-s.From)/s.Step > maxSettings:
		return &settings.FileError{Place: "step", What: fmt.Sprintf("%s makes more than %d settings", settings.Plain(s.Step), maxSettings), Do: "write the step that can be set on the press"}
	case !(s.Reference >= s.From):
		return against("reference", s.Reference, "below", "from", s.From)
	case s.Reference > s.To:
		return against("reference", s.Reference, "above", "to", s.To)
	}
	return s.validateWorking()
}

// against names a value and the one that it contradicts, each by its place.
func against(place string, v float64, lies, other string, bound float64) error {
	return &settings.FileError{
		Place: place, What: fmt.Sprintf("%s is %s %s = %s", settings.Plain(v), lies, other, settings.Plain(bound)),
		Do: fmt.Sprintf("correct %s or %s", place, other),
	}
}

// Settings lists every sweep of the scale, from the least; none of a scale that
// is not valid.
func (s SweepScale) Settings() []float64 {
	all := make([]float64, s.steps()+1)
	for i := range all {
		all[i] = s.setting(float64(i))
	}
	return all
}

// steps is how many lead from the least setting to the greatest; -1 where there
// are no settings.
func (s SweepScale) steps() int {
	steps := math.Floor((s.To-s.From)/s.Step + tiny)
	if !(steps >= 0 && steps <= maxSettings) {
		return -1
	}
	return int(steps)
}

// setting is the i-th sweep, freed of the binary fraction's tail: from 0.1 by
// 0.1 the third is 0.3, not 0.30000000000000004.
func (s SweepScale) setting(i float64) float64 {
	return math.Round((s.From+i*s.Step)*1e9) / 1e9
}

// OnScale tells whether the press can be set to v.
func (s SweepScale) OnScale(v float64) bool {
	if !(v >= s.From-tiny && v <= s.To+tiny) {
		return false
	}
	return math.Abs(v-s.Nearest(v)) <= tiny*max(1, v)
}

// Nearest is the setting that lies nearest to v; NaN where there are none.
func (s SweepScale) Nearest(v float64) float64 {
	last := s.steps()
	if last < 0 {
		return math.NaN()
	}
	return s.setting(min(max(math.Round((v-s.From)/s.Step), 0), float64(last)))
}

// OpeningAt is the opening that feeds as much ink at a sweep as openingPct
// feeds at the reference: the ink fed is proportional to opening × sweep.
func OpeningAt(openingPct, reference, sweep float64) float64 {
	return openingPct * reference / sweep
}

// tiny is a difference that comes of binary fractions and means nothing.
const tiny = 1e-9
