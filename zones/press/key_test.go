package press

import (
	"testing"

	"bladeline/curves"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Worked by hand, on 3 turns in quarters, of which one is 8.33 % of travel: a
// floor of 3 % is 0.09 turns, and the least quarter that is no less is 1/4; a
// ceiling of 90 % is 2.7 turns, and the greatest that is no more 2 1/2. The
// second key shows 0.1 when closed: 0.19 turns ask for 1/4, 2.8 for 2 3/4.
func TestFloorAndCeilingOnTheKeysSteps(t *testing.T) {
	p := &Press{
		Keys:   KeyScale{Unit: Turn, Travel: 3, Step: 0.25, Zero: []float64{0, 0.1}},
		Limits: curves.Limits{FloorPct: 3, CeilingPct: 90},
	}
	for _, c := range []struct {
		zone     int
		opening  float64
		offSheet bool
		want     float64
	}{
		{1, 3, false, 0.25}, // 0.09 turns: the nearest step is 0
		{1, 4.5, false, 0.25},
		{1, 20, false, 0.5},  // 0.6 turns
		{1, 90, false, 2.5},  // 2.7 turns: the nearest step is 2 3/4
		{1, 89, false, 2.5},  // 2.67
		{1, 0, true, 0},      // off the sheet neither holds
		{1, 96, true, 3},     // 2.88
		{2, 3, false, 0.25},  // 0.19
		{2, 90, false, 2.75}, // 2.8
	} {
		assert.Equal(t, c.want, p.Key(c.zone, c.opening, c.offSheet), "zone %d at %g %%", c.zone, c.opening)
	}
	// Floor and ceiling on steps of their own stay as they are.
	p.Keys, p.Limits = KeyScale{Unit: Percent, Travel: 100, Step: 1}, curves.Limits{FloorPct: 2, CeilingPct: 95}
	assert.Equal(t, 2.0, p.Key(1, 2, false))
	assert.Equal(t, 95.0, p.Key(1, 95, false))
	// A zero that is 0.03 off is no reason for a whole step more; one of 0.2 is.
	p.Keys.Zero = []float64{0.03, 0.2, -0.03}
	assert.Equal(t, []float64{2, 3, 95}, []float64{p.Key(1, 2, false), p.Key(2, 2, false), p.Key(3, 95, false)})
	// Between 3 and 10 % lies no half turn: the nearest is taken.
	p.Keys, p.Limits = KeyScale{Unit: Turn, Travel: 2, Step: 0.5}, curves.Limits{FloorPct: 3, CeilingPct: 10}
	assert.Equal(t, 0.0, p.Key(1, 10, false))
	// A floor of 0 holds no key open.
	p.Keys, p.Limits = KeyScale{Unit: Turn, Travel: 2, Step: 0.5, Zero: []float64{0.1}}, curves.Limits{CeilingPct: 100}
	assert.Equal(t, 0.0, p.Key(1, 0, false))
}

// Whatever the press, a key that its limits let through stands within them, and
// no further from its opening than rounding takes it.
func TestNoKeyIsRoundedBeyondItsLimits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		steps := rapid.IntRange(1, 200).Draw(t, "steps")
		travel := rapid.Float64Range(0.5, 200).Draw(t, "travel")
		floor := rapid.Float64Range(0, 100).Draw(t, "floor")
		p := &Press{
			Keys:   KeyScale{Unit: Notch, Travel: travel, Step: travel / float64(steps), Zero: []float64{travel * rapid.Float64Range(-0.1, 0.1).Draw(t, "zero")}},
			Limits: curves.Limits{FloorPct: floor, CeilingPct: rapid.Float64Range(max(floor, 1e-3), 100).Draw(t, "ceiling")},
		}
		opening := rapid.Float64Range(floor, p.Limits.CeilingPct).Draw(t, "opening")
		key := p.Key(1, opening, false)
		require.True(t, p.Keys.OnScale(key), "%g", key)
		if !p.Keys.OnScale(p.Keys.Key(1, opening)) || key == 0 || key == travel { // its zero may take it no further
			return
		}
		at := p.Keys.Opening(1, key)
		hair := 10/float64(steps) + 1e-5 // a tenth of a step
		require.InDelta(t, opening, at, p.RoundingPct(opening)+hair)
		if least, most := p.KeyRange(1); least <= most {
			require.True(t, floor == 0 || at >= floor-hair)
			require.LessOrEqual(t, at, p.Limits.CeilingPct+hair)
		}
	})
}

// What is read quickly is what any text is read as.
func TestQuickKey(t *testing.T) {
	for text, want := range map[string]float64{"7": 7, "0.5": 0.5, ".625": 0.625, "1 3/8": 1.375, "3/8": 0.375, "37": 37, "007": 7} {
		v, is := quickKey(text)
		assert.True(t, is, text)
		assert.Equal(t, want, v, text)
	}
	for _, text := range []string{"", "5.", ".", "1/0", "1 /8", " 1/8", "1 3", "1-3/8", "-1", "1/", "1/8 ", "/8", "1234567890"} {
		_, is := quickKey(text)
		assert.False(t, is, text)
	}
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`[0-9./ ]{0,10}`).Draw(t, "text")
		if v, is := quickKey(text); is {
			want, err := parseKey(text)
			require.NoError(t, err)
			require.Equal(t, want, v)
		}
	})
}
