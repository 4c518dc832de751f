package curves

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

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
