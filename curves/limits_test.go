package curves

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestLimits(t *testing.T) {
	l := Limits{FloorPct: 2, CeilingPct: 90, OffSheetPct: 0}
	openings, states := l.Apply([]float64{50, 1, 50, 120, 2, 90, 90 + 1e-12}, []bool{true, false, false, false, false, false, false})
	assert.Equal(t, []float64{0, 2, 50, 90, 2, 90, 90}, openings)
	assert.Equal(t, []State{OffSheet, Floor, Set, Ceiling, Set, Set, Set}, states)
}

// Worked by hand: keys at 0, 0, 60, 0 on a blade that gives 25 from key to
// key. The lower of two is raised, off-sheet or not.
func TestNeighboursOnOneBlade(t *testing.T) {
	l := Limits{CeilingPct: 100, NeighbourPct: 25}
	openings, states := l.Apply([]float64{0, 0, 60, 50}, []bool{true, false, false, false})
	assert.Equal(t, []float64{10, 35, 60, 50}, openings)
	assert.Equal(t, []State{Neighbour, Neighbour, Set, Set}, states)
}

// naiveRaise is o'_k = max_j(o_j − limit·|j−k|), every pair of keys.
func naiveRaise(o []float64, limit float64) []float64 {
	raised := make([]float64, len(o))
	for k := range o {
		for j := range o {
			raised[k] = max(raised[k], o[j]-limit*math.Abs(float64(j-k)))
		}
	}
	return raised
}

func TestNeighboursAgainstEveryPair(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		asked := rapid.SliceOfN(rapid.Float64Range(0, 150), 1, 60).Draw(t, "asked")
		limit := rapid.Float64Range(0.1, 100).Draw(t, "limit")
		offSheet := rapid.SliceOfN(rapid.Bool(), len(asked), len(asked)).Draw(t, "off sheet")
		free := Limits{FloorPct: 3, CeilingPct: 95}
		held, _ := free.Apply(asked, offSheet)
		free.NeighbourPct = limit
		raised, states := free.Apply(asked, offSheet)
		want := naiveRaise(held, limit)
		for k := range raised {
			require.InDelta(t, want[k], raised[k], 1e-6) // differences of a hair are left
			require.GreaterOrEqual(t, raised[k], held[k], "no zone is starved")
			require.Equal(t, raised[k] > held[k], states[k] == Neighbour)
		}
	})
}

// Keys at just the distance that the blade gives are held by none; the first
// key is raised by the second, and the second by the first.
func TestNeighboursAtTheirLimit(t *testing.T) {
	l := Limits{CeilingPct: 100, NeighbourPct: 25}
	for _, c := range []struct {
		asked, want []float64
		states      []State
	}{
		{[]float64{50, 25}, []float64{50, 25}, []State{Set, Set}},
		{[]float64{25, 50}, []float64{25, 50}, []State{Set, Set}},
		{[]float64{60, 0}, []float64{60, 35}, []State{Set, Neighbour}},
		{[]float64{0, 60}, []float64{35, 60}, []State{Neighbour, Set}},
	} {
		openings, states := l.Apply(c.asked, []bool{false, false})
		assert.Equal(t, c.want, openings)
		assert.Equal(t, c.states, states)
	}
}
