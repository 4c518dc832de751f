package preset

import (
	"math"
	"testing"

	"bladeline/curves/learn"
	"bladeline/zones/zonestest"

	"github.com/stretchr/testify/assert"
)

// A press of one key has zeros, learned and by hand, as any other; a zone that
// it does not have tells none, and a zero of nothing has no sign.
func TestZerosOfOneKey(t *testing.T) {
	on := zonestest.Press(1, 31.75)
	on.Keys.Zero, on.Keys.ZeroByHand = []float64{1}, []float64{2}
	assert.Equal(t, []float64{2}, on.Unlearned().Keys.Zero)
	assert.True(t, on.ZerosLearned())
	on.Keys.Zero = []float64{0}
	assert.Equal(t, []float64{50}, ZerosWith(on, []learn.Offset{{Zone: 1, ShiftPct: 50, Readings: 1}, {Zone: 2, ShiftPct: 3, Readings: 1}}))
	nothing := ZerosWith(on, []learn.Offset{{Zone: 1, ShiftPct: -0.001, Readings: 1}})
	assert.False(t, math.Signbit(nothing[0]))
}
