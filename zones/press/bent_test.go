package press

import (
	"testing"

	"bladeline/curves"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// ofOnePiece is a press of five screws on one blade: 3 turns of travel in eighths, a
// floor of 4 % of that and, between neighbours, 25 %, which are 3/4 of a turn.
func ofOnePiece() *Press {
	return &Press{
		Fountain: Fountain{Zones: 5, ZoneWidthMM: 19.05, FirstZone: Left, Blade: OnePiece},
		Keys:     KeyScale{Unit: Turn, Travel: 3, Step: 0.125},
		Limits:   curves.Limits{FloorPct: 4, CeilingPct: 100, NeighbourPct: 25},
		Sweep:    curves.SweepScale{Unit: "notch", From: 1, To: 12, Step: 1, Reference: 6},
	}
}

// TestBent bends a blade by hand: a screw at 2 1/4 turns, 75 %, holds those beside
// it at 50 % and the next at 25 %; one that is shut stands at the least eighth above
// 4 % of three turns.
func TestBent(t *testing.T) {
	on := ofOnePiece()
	assert.Equal(t, 25.0, on.BendPct())
	stands, states := on.Bent([]float64{0, 0, 2.25, 1.75, 1}, nil)
	assert.InDeltaSlice(t, []float64{25, 50, 75, 100 * 1.75 / 3, 100.0 / 3}, stands, 1e-9)
	assert.Equal(t, []curves.State{curves.Neighbour, curves.Neighbour, curves.Set, curves.Set, curves.Set}, states)

	stands, states = on.Bent([]float64{0, 0, 0, 0, 0}, []bool{true, false, false, false, false})
	least := 100 * 0.125 / 3
	assert.InDeltaSlice(t, []float64{0, least, least, least, least}, stands, 1e-9)
	assert.Equal(t, []curves.State{curves.OffSheet, curves.Floor, curves.Floor, curves.Floor, curves.Floor}, states)

	on.Limits.CeilingPct, on.Limits.NeighbourPct, on.Fountain.Blade = 90, 0, Segmented
	stands, states = on.Bent([]float64{3, 0.125, 0.125, 0.125, 0.125}, nil)
	assert.InDelta(t, 100*2.625/3, stands[0], 1e-9, "the last eighth below 90 %")
	assert.Equal(t, curves.Ceiling, states[0])
	assert.InDelta(t, least, stands[1], 1e-9, "each key moves a piece of its own")
	assert.Zero(t, (*Press)(nil).BendPct())
}

// Keys that a preset rounds to their steps are none that the blade would move again.
func TestRoundedKeysStand(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		on := ofOnePiece()
		on.Limits.NeighbourPct = rapid.Float64Range(5, 60).Draw(t, "limit")
		on.Limits.FloorPct = rapid.Float64Range(0, 4).Draw(t, "floor")
		if rapid.Bool().Draw(t, "zeros") {
			on.Keys.Zero = rapid.SliceOfN(rapid.Float64Range(0, 0.4), 5, 5).Draw(t, "zero")
		}
		asked := rapid.SliceOfN(rapid.Float64Range(0, 85), 5, 5).Draw(t, "asked")
		openings, _ := on.Limits.Apply(asked, nil)
		keys := make([]float64, 5)
		for i, opening := range openings {
			keys[i] = on.Key(i+1, opening, false)
		}
		stands, states := on.Bent(keys, nil)
		for i, key := range keys {
			require.InDelta(t, on.Keys.OpeningPct(i+1, key), stands[i], 1e-9, "zone %d of %v, %v", i+1, keys, states)
		}
	})
}
