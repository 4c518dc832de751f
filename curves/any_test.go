package curves

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// anyFloat draws numbers that arithmetic stumbles over, among others.
func anyFloat() *rapid.Generator[float64] {
	return rapid.OneOf(rapid.Float64(), rapid.Float64Range(-10, 200),
		rapid.SampledFrom([]float64{0, 1, 45, 100, math.NaN(), math.Inf(1), math.Inf(-1), math.MaxFloat64, math.SmallestNonzeroFloat64}))
}

func TestAnyCurveIsRefusedOrAnswers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := anyFloat()
		c := Curve{Shape: rapid.SampledFrom([]Shape{Smooth, Straight, ""}).Draw(t, "shape"), ReferenceSweep: n.Draw(t, "reference")}
		for range rapid.IntRange(0, 4).Draw(t, "points") {
			c.Points = append(c.Points, Point{n.Draw(t, "coverage"), n.Draw(t, "opening")})
		}
		at := n.Draw(t, "at")
		if err := c.Prepare(); err != nil {
			require.True(t, math.IsNaN(c.At(at)))
		} else if !math.IsNaN(at) {
			require.True(t, c.At(at) >= 0 && c.At(at) <= 100)
		}
		c.TOML()
	})
}

func TestAnySweepScaleIsRefusedOrSet(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := anyFloat()
		s := SweepScale{From: n.Draw(t, "from"), To: n.Draw(t, "to"), Step: n.Draw(t, "step"), Reference: n.Draw(t, "reference")}
		v, limits := n.Draw(t, "v"), Limits{n.Draw(t, "floor"), n.Draw(t, "ceiling"), n.Draw(t, "off-sheet"), n.Draw(t, "neighbour")}
		s.OnScale(v)
		s.Takes(&Curve{ReferenceSweep: v})
		settings, nearest := s.Settings(), s.Nearest(v)
		c := ChooseSweep([]Demand{{OpeningPct: v, Prints: true}, {}}, s, v, Keys{Limits: limits})
		if s.Validate() == nil {
			require.Contains(t, settings, c.Sweep)
		}
		if s.Validate() == nil && !math.IsNaN(v) {
			require.Contains(t, settings, nearest)
		}
		openings, states := limits.Apply([]float64{v, v}, nil)
		require.Len(t, openings, 2)
		require.Len(t, states, 2)
	})
}

func TestNoSweepScale(t *testing.T) {
	var none SweepScale
	assert.Empty(t, none.Settings())
	assert.True(t, math.IsNaN(none.Nearest(45)))
	assert.False(t, none.OnScale(0))
	printing := ChooseSweep([]Demand{{OpeningPct: 10, Prints: true}}, none, 45, Keys{})
	assert.True(t, math.IsNaN(printing.Sweep))
	assert.False(t, printing.NoDemand)
	assert.True(t, ChooseSweep(nil, none, 45, Keys{}).NoDemand)
}

// Zones that nobody marks lie under the sheet.
func TestLimitsWithFewerMarksThanZones(t *testing.T) {
	_, states := Limits{CeilingPct: 100}.Apply([]float64{50, 50}, []bool{true})
	assert.Equal(t, []State{OffSheet, Set}, states)
}
