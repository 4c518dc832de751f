package rehearsal

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bladeline/zones/preset"
	"bladeline/zones/press"
)

// TestChargeIsWorthToItsPass: the inks of a pass run together, so that a charge saves
// nothing where another ink of the pass takes as long without one. Worked by hand.
func TestChargeIsWorthToItsPass(t *testing.T) {
	charged := func(washed, sheets int) makeready { return makeready{washed, &Charge{Sheets: sheets}, 20} }
	units := []preset.Unit{{Pass: new(1)}, {Pass: new(1)}, {Pass: new(2)}}
	for _, c := range []struct {
		all  []makeready
		want []bool
		why  string
	}{
		{[]makeready{charged(590, 4), {880, nil, 20}, charged(300, 5)}, []bool{false, false, true}, "the slowest has none"},
		{[]makeready{charged(590, 4), charged(880, 70), charged(300, 290)}, []bool{true, true, false}, "both have one"},
		{[]makeready{charged(590, 4), charged(60, 4), {300, nil, 20}}, []bool{true, true, false}, ""},
		{[]makeready{charged(60, 4), charged(880, 70), charged(300, 5)}, []bool{false, true, true}, "60 are run before the other is there"},
	} {
		assert.Equal(t, c.want, worth(units, c.all), c.why)
	}
	units[0].Pass, units[1].Pass = nil, nil
	assert.Equal(t, []bool{true, false, true}, worth(units, []makeready{charged(590, 4), {880, nil, 20}, charged(300, 5)}), "no passes: each by itself")
}

// worthAlone tells whether a charge is worth it to an ink that runs by itself.
func worthAlone(m makeready) bool { return worth(make([]preset.Unit, 1), []makeready{m})[0] }

// TestChargeNamesItsKeys: keys beside the image, and over next to none, stay as preset,
// since nothing or little there takes the ink off again.
func TestChargeNamesItsKeys(t *testing.T) {
	in := inputOf(t, smallPress(press.Right), func(x, _ float64) float64 {
		if x < 80 {
			return 0.5
		}
		return 0
	})
	ink := rehearsed(t, in)
	require.NotNil(t, ink.Charge)
	assert.Regexp(t, `^from washed rollers: the keys of zones \d to 6 at \d+ %, the others as preset, sweep \d+ %, \d+ revolutions of the press with the form rollers off; stop, and set the preset`, ink.Charge.Words)
	require.NoError(t, StateCharges(t.Context(), in))
	require.NotNil(t, in.Preset.Units[0].Charge)
	assert.Contains(t, *in.Preset.Units[0].Charge, " to 6 at "+ink.Charge.KeyText+" %, the others as preset, sweep")

	little := rehearsed(t, inputOf(t, smallPress(press.Right), func(x, _ float64) float64 {
		if x < 50 {
			return 0.01
		}
		return 0.5
	}))
	require.NotNil(t, little.Charge)
	assert.Regexp(t, `^from washed rollers: the keys of zones 1 to 5 at \d+ %, the others as preset`, little.Charge.Words)
}
