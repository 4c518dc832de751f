package curves

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

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
			var e *FileError
			if assert.ErrorAs(t, s.Validate(), &e, "%+v", s) {
				assert.Equal(t, place, e.Place, "%+v", s)
			}
		}
	}
}

func TestSweepsOfSomePress(t *testing.T) {
	for v, is := range map[float64]bool{1e-9: true, 0.99e-9: false, 1e6: true, 1e6 + 1: false, 0: false, math.Inf(1): false} {
		assert.Equal(t, is, IsSweep(v), "%g", v)
	}
}

// A sweep beside the scale is nearest to one of its ends.
func TestNearestSettings(t *testing.T) {
	s := SweepScale{From: 10, To: 95, Step: 10, Reference: 50}
	for v, want := range map[float64]float64{-5: 10, 9: 10, 14: 10, 16: 20, 86: 90, 94: 90, 200: 90} {
		assert.Equal(t, want, s.Nearest(v), "%g", v)
	}
}
