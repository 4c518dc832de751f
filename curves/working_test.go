package curves

import (
	"math"
	"testing"

	"bladeline/curves/settings"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Worked by hand: a sixth of the settings, one at least, lies outside at each
// end of a scale of more than four.
func TestWorkingRangeThatIsNotStated(t *testing.T) {
	for name, c := range map[string]struct {
		scale    SweepScale
		from, to float64
	}{
		"12 notches, two at each end":     {SweepScale{From: 1, To: 12, Step: 1, Reference: 6}, 3, 10},
		"81 settings, 13 at each end":     {percentSweep, 23, 77},
		"96 settings, 16 at each end":     {SweepScale{From: 5, To: 100, Step: 1, Reference: 40}, 21, 84},
		"5 settings, one at each end":     {SweepScale{From: 1, To: 5, Step: 1, Reference: 3}, 2, 4},
		"4 settings are few":              {SweepScale{From: 1, To: 4, Step: 1, Reference: 2}, 1, 4},
		"a reference at the end holds it": {SweepScale{From: 1, To: 12, Step: 1, Reference: 12}, 3, 12},
		"and one at the beginning":        {SweepScale{From: 1, To: 12, Step: 1, Reference: 1}, 1, 10},
		"from is stated":                  {SweepScale{From: 1, To: 12, Step: 1, Reference: 6, WorkingFrom: 5}, 5, 10},
		"to is stated":                    {SweepScale{From: 1, To: 12, Step: 1, Reference: 6, WorkingTo: 12}, 3, 12},
	} {
		require.NoError(t, c.scale.Validate(), name)
		from, to := c.scale.Working()
		assert.Equal(t, []float64{c.from, c.to}, []float64{from, to}, name)
		assert.True(t, c.scale.IsWorking(from) && c.scale.IsWorking(to) && c.scale.IsWorking(c.scale.Reference), name)
		assert.False(t, c.scale.IsWorking(from-0.5) || c.scale.IsWorking(to+0.5), name)
	}
}

// What contradicts what is named, at both places.
func TestContradictionsOfAScale(t *testing.T) {
	scale := SweepScale{Unit: "notch", From: 1, To: 12, Step: 1, Reference: 6}
	for want, change := range map[string]func(*SweepScale){
		"reference: 6 is above to = 5; correct reference or to":                     func(s *SweepScale) { s.To = 5 },
		"reference: 6 is below from = 7; correct reference or from":                 func(s *SweepScale) { s.From = 7 },
		"working_from: 0.5 is below from = 1; correct working_from or from":         func(s *SweepScale) { s.WorkingFrom = 0.5 },
		"working_from: 7 is above reference = 6; correct working_from or reference": func(s *SweepScale) { s.WorkingFrom = 7 },
		"working_to: 5 is below reference = 6; correct working_to or reference":     func(s *SweepScale) { s.WorkingTo = 5 },
		"working_to: 13 is above to = 12; correct working_to or to":                 func(s *SweepScale) { s.WorkingTo = 13 },
		"working_from: NaN is below from = 1; correct working_from or from":         func(s *SweepScale) { s.WorkingFrom = math.NaN() },
		"working_to: NaN is below reference = 6; correct working_to or reference":   func(s *SweepScale) { s.WorkingTo = math.NaN() },
	} {
		s := scale
		change(&s)
		var e *settings.FileError
		require.ErrorAs(t, s.Validate(), &e)
		assert.EqualError(t, e, want)
	}
}
