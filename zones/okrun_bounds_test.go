package zones

import (
	"testing"

	"bladeline/curves"

	"github.com/stretchr/testify/assert"
)

// A key within half a step of floor or ceiling stood there, and says no more
// than that so much or less, or more, was wanted; so does one at an end of its
// travel, and one left where the preset had put it for a limit. In steps of 5
// half a step is 2.5.
func TestWhatAKeySays(t *testing.T) {
	press := pressOf(1, 31.75)
	press.Keys.Step = 5
	press.Limits = curves.Limits{FloorPct: 20, CeilingPct: 70}
	for _, c := range []struct {
		key, ok float64
		state   curves.State
		sense   curves.Sense
	}{
		{50, 22.5, curves.Set, curves.AtMost}, {50, 22.48, curves.Set, curves.AtMost}, {50, 22.52, curves.Set, curves.Exactly},
		{50, 17.5, curves.Set, curves.AtMost}, {50, 17.48, curves.Set, curves.Exactly}, {50, 0, curves.Set, curves.AtMost}, {50, 0.5, curves.Set, curves.Exactly},
		{50, 67.5, curves.Set, curves.AtLeast}, {50, 67.48, curves.Set, curves.Exactly}, {50, 72.5, curves.Set, curves.AtLeast},
		{50, 72.52, curves.Set, curves.Exactly}, {50, 99.5, curves.Set, curves.Exactly}, {50, 100, curves.Set, curves.AtLeast},
		{50, 50, curves.Floor, curves.AtMost}, {50, 51, curves.Floor, curves.Exactly}, {50, 50, curves.Ceiling, curves.AtLeast},
		{50, 51, curves.Ceiling, curves.Exactly}, {50, 50, curves.Set, curves.Exactly},
	} {
		got := press.okPair(Key{Zone: 1, Key: c.key, OKKey: &c.ok, State: c.state})
		assert.Equal(t, c.sense, got.Sense, "%+v", c)
	}
}

// What was run may be an end of the press's sweep, and not beyond.
func TestRunAtTheEndsOfTheSweep(t *testing.T) {
	press := pressOf(1, 31.75)
	for sweep, ok := range map[float64]bool{10: true, 90: true, 9.999: false, 90.001: false} {
		u := Unit{Ink: "Black", OKSweep: &sweep}
		assert.Equal(t, ok, u.onScales(press) == nil, "%g", sweep)
	}
}
