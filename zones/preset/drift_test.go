package preset

import (
	"fmt"
	"testing"

	"bladeline/zones/zonestest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A key stands where its opening does as long as it is off by no more than 15 %
// of travel, which a zero may have drifted, and half a step, either way.
func TestDriftOfAZero(t *testing.T) {
	for _, c := range []struct{ step, offPct float64 }{{1, 15.5}, {5, 17.5}, {25, 27.5}} {
		on := zonestest.Press(1, 31.75)
		on.Keys.Step = c.step
		p := presetOf(t, on, unitOf(t, "Black", 50))
		k := &p.Units[0].Keys[0]
		k.OpeningPct = 50
		set := func(key float64) { k.Key, k.KeyText = key, fmt.Sprintf("%.6f", key) }
		for _, way := range []float64{-1, 1} {
			set(50 + way*c.offPct)
			require.NoError(t, p.IsFor(on, "p.json"), "%g %% off, in steps of %g", way*c.offPct, c.step)
			set(k.Key + way*1e-6)
			assert.ErrorContains(t, p.IsFor(on, "p.json"), `ink "Black", zone 1, key: `, "%g %% off, in steps of %g", way*c.offPct, c.step)
		}
	}
}

// A place is the same within a hundredth of a millimetre, which writing it may
// cost, either way.
func TestPlacesWithinAHundredth(t *testing.T) {
	for _, off := range []float64{-0.00999, 0.00999} {
		assert.True(t, near(100, 100+off))
		assert.False(t, near(100, 100+1.01*off))
	}
}
