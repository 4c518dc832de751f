package curves

import (
	"math"
	"testing"

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
		var e *FileError
		require.ErrorAs(t, percentSweep.Takes(&Curve{ReferenceSweep: reference}), &e)
		assert.Equal(t, "reference_sweep", e.Place)
		assert.Equal(t, says+" is more than ten times off what the press sweeps, 10 to 90 %", e.What)
	}
}

func TestSweepScaleRefuses(t *testing.T) {
	for place, s := range map[string]SweepScale{
		"from":      {From: 0, To: 90, Step: 1, Reference: 45},
		"to":        {From: 10, To: 10, Step: 1, Reference: 10},
		"step":      {From: 10, To: 90, Step: 0, Reference: 45},
		"reference": {From: 10, To: 90, Step: 1, Reference: 95},
	} {
		var e *FileError
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
