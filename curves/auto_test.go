package curves

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Worked by hand: the keys ask for 100 and 6 % at 45. Within a floor of 5 the
// sweep may be at most 54, within a ceiling of 100 at least 45, so the ten
// settings 45 to 54 lose nothing. At 54 the highest key stands at 83.3 %, of
// all ten the nearest to 80 %.
func TestChooseSweepWithoutLoss(t *testing.T) {
	c := ChooseSweep([]Demand{{90, 100}, {4, 6}, {0, 1}}, percentSweep, 45, Limits{FloorPct: 5, CeilingPct: 100})
	assert.Equal(t, 54.0, c.Sweep)
	assert.Equal(t, 81, c.Settings)
	assert.Equal(t, 10, c.Equals)
	assert.Equal(t, 0, c.Highest)
	assert.InDelta(t, 83.333333, c.HighestPct, 1e-6)
	assert.Empty(t, c.Cut)
	assert.Empty(t, c.Added)
}

// Worked by hand: 100 and 2 % at 45 with a floor of 5. Up to 45 the ceiling
// cuts 90·(100·45 − 100·s), from 18 on the floor adds 4·(5·s − 2·45). The
// first falls faster than the second rises, so 45 loses least: 4·(225 − 90) of
// 90·4500 + 4·90 asked.
func TestChooseSweepWithLoss(t *testing.T) {
	c := ChooseSweep([]Demand{{90, 100}, {4, 2}}, percentSweep, 45, Limits{FloorPct: 5, CeilingPct: 100})
	assert.Equal(t, 45.0, c.Sweep)
	assert.Equal(t, 1, c.Equals)
	assert.Empty(t, c.Cut)
	assert.Equal(t, []int{1}, c.Added)
	assert.InDelta(t, 100*4*(225-90)/(90*4500.0+4*90), c.AddedPct, 1e-9)
}

func TestChooseSweepPrefersTheLowerOfTwo(t *testing.T) {
	// 90·70/70 = 90 and 90·70/90 = 70: both stand 10 beside 80 %.
	c := ChooseSweep([]Demand{{50, 90}}, SweepScale{From: 70, To: 90, Step: 20, Reference: 70}, 70, Limits{CeilingPct: 100})
	assert.Equal(t, 2, c.Equals)
	assert.Equal(t, 70.0, c.Sweep)
}

func TestChooseSweepWhereNothingPrints(t *testing.T) {
	for _, demands := range [][]Demand{nil, {{0, 2}, {0, 2}}} {
		c := ChooseSweep(demands, percentSweep, 30, Limits{FloorPct: 5, CeilingPct: 100})
		assert.True(t, c.Blank)
		assert.Equal(t, 45.0, c.Sweep)
	}
}

func TestChooseSweepWhereTheCurveAsksForNothing(t *testing.T) {
	c := ChooseSweep([]Demand{{50, 0}}, percentSweep, 45, Limits{FloorPct: 5, CeilingPct: 100})
	assert.Equal(t, 10.0, c.Sweep, "the floor feeds least at the least sweep")
	assert.Equal(t, []int{0}, c.Added)
	assert.True(t, math.IsInf(c.AddedPct, 1))
}

// naiveChoice weighs every setting as the words say, one at a time.
func naiveChoice(demands []Demand, scale SweepScale, reference float64, l Limits) float64 {
	loss := func(s float64) (sum float64) {
		for _, d := range demands {
			asked := d.OpeningPct * reference / s
			given := math.Max(l.FloorPct, math.Min(l.CeilingPct, asked))
			sum += d.CoveragePct * math.Abs(given-asked) * s
		}
		return sum
	}
	highest := func(s float64) (h float64) {
		for _, d := range demands {
			if d.CoveragePct > 0 {
				h = math.Max(h, math.Max(l.FloorPct, math.Min(l.CeilingPct, d.OpeningPct*reference/s)))
			}
		}
		return h
	}
	total := 0.0
	for _, d := range demands {
		total += d.CoveragePct * d.OpeningPct * reference
	}
	best := scale.Settings()[0]
	for _, s := range scale.Settings()[1:] {
		less := loss(best) - loss(s)
		tolerance := 1e-9 * math.Max(total, loss(s))
		nearer := math.Abs(highest(best)-80) - math.Abs(highest(s)-80)
		if less > tolerance || (less >= -tolerance && nearer > 1e-9) {
			best = s
		}
	}
	return best
}

func TestChooseSweepAgainstANaiveSearch(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		demands := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) Demand {
			// whole numbers, so that losses are equal or clearly not
			return Demand{float64(rapid.IntRange(1, 100).Draw(t, "coverage")), float64(rapid.IntRange(0, 100).Draw(t, "opening"))}
		}), 1, 20).Draw(t, "demands")
		l := Limits{FloorPct: float64(rapid.IntRange(0, 20).Draw(t, "floor")), CeilingPct: float64(rapid.IntRange(50, 100).Draw(t, "ceiling"))}
		c := ChooseSweep(demands, percentSweep, 45, l)
		require.Equal(t, naiveChoice(demands, percentSweep, 45, l), c.Sweep)
	})
}

// The highest key is best at 80 % of its travel: at 45, from 60 % at 60; at 44.5
// it stands at 80.9 %, at 45.5 at 79.1 %. Nothing is lost at any of them.
func TestChooseSweepWantsTheHighestKeyAt80(t *testing.T) {
	scale := SweepScale{From: 40, To: 90, Step: 0.5, Reference: 60}
	c := ChooseSweep([]Demand{{0.5, 60}, {0, 100}}, scale, 60, Limits{CeilingPct: 100})
	assert.Equal(t, Choice{Sweep: 45, Settings: 101, Equals: 101, HighestPct: 80}, c)
}

// twoSettings leave little to choose.
var twoSettings = SweepScale{Unit: "%", From: 44, To: 45, Step: 1, Reference: 45}

// Worked by hand at a sweep of 45; at 44 the ceiling cuts more. The curve asks
// for 120, 120, 1 and 50 % of travel, each of 50 % of coverage, 291 in all. The
// ceiling cuts 20 off each of two, the floor of 2 adds 1 to the third.
func TestWhatAChoiceLoses(t *testing.T) {
	c := ChooseSweep([]Demand{{50, 120}, {50, 120}, {50, 1}, {50, 50}}, twoSettings, 45, Limits{FloorPct: 2, CeilingPct: 100})
	assert.Equal(t, 45.0, c.Sweep)
	assert.InDelta(t, 100*40/291.0, c.CutPct, 1e-9)
	assert.InDelta(t, 100*1/291.0, c.AddedPct, 1e-9)
	assert.Equal(t, []int{0, 1}, c.Cut)
	assert.Equal(t, []int{2}, c.Added)
	assert.Equal(t, 0, c.Highest, "of two as high the first")
}

// What nothing is lost of is 0, and nothing that rounding left.
func TestAChoiceThatLosesNothing(t *testing.T) {
	c := ChooseSweep([]Demand{{50, 100}, {50, 2}}, twoSettings, 45, Limits{FloorPct: 2, CeilingPct: 100})
	assert.Zero(t, c.CutPct)
	assert.Zero(t, c.AddedPct)
	assert.Zero(t, share(1e-11, 100))
	assert.InDelta(t, 1e-6, share(1e-6, 100), 1e-15)
}

// Where the curve asks for nothing and nothing is fed, no zone loses, and there
// is no share of nothing.
func TestNothingAskedAndNothingFed(t *testing.T) {
	c := ChooseSweep([]Demand{{50, 0}}, twoSettings, 45, Limits{CeilingPct: 100})
	assert.Empty(t, c.Cut)
	assert.Empty(t, c.Added)
	assert.True(t, math.IsNaN(c.CutPct))
	assert.True(t, math.IsNaN(c.AddedPct))
}
