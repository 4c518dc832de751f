package curves

import (
	"math"
	"testing"

	"bladeline/curves/settings"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

var percentSweep = SweepScale{Unit: "%", From: 10, To: 90, Step: 1, Reference: 45}

func TestSettings(t *testing.T) {
	all := percentSweep.Settings()
	require.Len(t, all, 81)
	assert.Equal(t, 10.0, all[0])
	assert.Equal(t, 90.0, all[80])

	tenths := SweepScale{From: 0.1, To: 1, Step: 0.1, Reference: 0.5}.Settings()
	assert.Equal(t, []float64{0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1}, tenths)

	beside := SweepScale{From: 10, To: 95, Step: 10, Reference: 50}.Settings()
	assert.Equal(t, 90.0, beside[len(beside)-1], "the scale ends where its steps do")
}

func TestOnScale(t *testing.T) {
	for _, v := range []float64{10, 57, 90} {
		assert.True(t, percentSweep.OnScale(v), "%g", v)
	}
	for _, v := range []float64{9, 91, 45.5, 0, -10, math.NaN(), math.Inf(1)} {
		assert.False(t, percentSweep.OnScale(v), "%g", v)
	}
	for _, v := range (SweepScale{From: 0.1, To: 100, Step: 0.1, Reference: 1}).Settings() {
		require.True(t, SweepScale{From: 0.1, To: 100, Step: 0.1, Reference: 1}.OnScale(v), "%g", v)
	}
}

func TestSweepScaleTakes(t *testing.T) {
	for _, reference := range []float64{0, 1, 45, 900} {
		assert.NoError(t, percentSweep.Takes(&Curve{ReferenceSweep: reference}))
	}
	for reference, says := range map[float64]string{1e-9: "0.000000001", 0.99: "0.99", 901: "901", 1e6: "1000000"} {
		var e *settings.FileError
		require.ErrorAs(t, percentSweep.Takes(&Curve{ReferenceSweep: reference}), &e)
		assert.Equal(t, "reference_sweep", e.Place)
		assert.Equal(t, says+" is outside the press's sweep, 10 to 90 %, by more than a factor of ten", e.What)
	}
}

func TestSweepScaleRefuses(t *testing.T) {
	for place, s := range map[string]SweepScale{
		"from":      {From: 0, To: 90, Step: 1, Reference: 45},
		"to":        {From: 10, To: 10, Step: 1, Reference: 10},
		"step":      {From: 10, To: 90, Step: 0, Reference: 45},
		"reference": {From: 10, To: 90, Step: 1, Reference: 95},
	} {
		var e *settings.FileError
		require.ErrorAs(t, s.Validate(), &e)
		assert.Equal(t, place, e.Place)
	}
	nan := math.NaN()
	for _, s := range []SweepScale{
		{From: nan, To: 90, Step: 1, Reference: 45},
		{From: 1, To: nan, Step: 1, Reference: 45},
		{From: 1, To: 90, Step: nan, Reference: 45},
		{From: 1, To: 90, Step: 1, Reference: nan},
		{From: 1, To: 90, Step: 1e-6, Reference: 45},
		{From: 1, To: math.Inf(1), Step: 1, Reference: 45},
	} {
		assert.Error(t, s.Validate(), "%+v", s)
	}
	assert.NoError(t, percentSweep.Validate())
}

// The sweep feeds globally, a longer sweep feeds more: common practice, no
// source. Feed = opening × sweep, so twice the sweep is half the opening.
func TestDoublingTheSweepHalvesTheOpening(t *testing.T) {
	assert.Equal(t, 30.0, OpeningAt(60, 45, 90))
	rapid.Check(t, func(t *rapid.T) {
		f := rapid.Float64Range(0, 100).Draw(t, "f")
		s := rapid.Float64Range(1, 100).Draw(t, "sweep")
		require.InDelta(t, OpeningAt(f, 45, s)/2, OpeningAt(f, 45, 2*s), 1e-12)
	})
}

func TestBoundsOfSweeps(t *testing.T) {
	for v, want := range map[float64]bool{1e-9: true, 0.99e-9: false, 1e6: true, 1e6 + 1: false, math.NaN(): false} {
		assert.Equal(t, want, IsSweep(v), "%g", v)
	}
	fine := SweepScale{From: 0.5, To: 10_000.5, Step: 1, Reference: 45}
	assert.NoError(t, fine.Validate())
	assert.Len(t, fine.Settings(), 10_001)
	fine.To++
	assert.ErrorContains(t, fine.Validate(), "1 makes more than 10000 settings")
	assert.Empty(t, fine.Settings())
}

// A scale at each of its bounds, and just beyond.
func TestSweepScaleAtItsBounds(t *testing.T) {
	for _, s := range []SweepScale{
		{From: 10, To: 20, Step: 10, Reference: 10},
		{From: 10, To: 20, Step: 10, Reference: 20},
		{From: 0.5, To: 0.75, Step: 0.25, Reference: 0.5},
		{From: 1, To: 10_001, Step: 1, Reference: 45},
	} {
		assert.NoError(t, s.Validate(), "%+v", s)
	}
	for place, all := range map[string][]SweepScale{
		"from":      {{From: math.Inf(1), To: 90, Step: 1, Reference: 45}, {From: -1, To: 90, Step: 1, Reference: 45}},
		"to":        {{From: 10, To: math.Inf(1), Step: 1, Reference: 45}, {From: 10, To: 9, Step: 1, Reference: 45}},
		"step":      {{From: 10, To: 20, Step: 10.001, Reference: 15}, {From: 10, To: 20, Step: -0.5, Reference: 15}, {From: 10, To: 20, Step: 0, Reference: 15}, {From: 1, To: 10_001.5, Step: 1, Reference: 45}},
		"reference": {{From: 10, To: 20, Step: 1, Reference: 9.999}, {From: 10, To: 20, Step: 1, Reference: 20.001}},
	} {
		for _, s := range all {
			var e *settings.FileError
			if assert.ErrorAs(t, s.Validate(), &e, "%+v", s) {
				assert.Equal(t, place, e.Place, "%+v", s)
			}
		}
	}
}

// A sweep beside the scale is nearest to one of its ends.
func TestNearestSettings(t *testing.T) {
	s := SweepScale{From: 10, To: 95, Step: 10, Reference: 50}
	for v, want := range map[float64]float64{-5: 10, 9: 10, 14: 10, 16: 20, 86: 90, 94: 90, 200: 90} {
		assert.Equal(t, want, s.Nearest(v), "%g", v)
	}
}
