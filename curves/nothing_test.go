package curves

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Of a curve that is not there every question has an answer or an error.
func TestQuestionsOfNoCurve(t *testing.T) {
	var c *Curve
	assert.EqualError(t, c.Validate(), "there is no curve; give one")
	assert.EqualError(t, c.Prepare(), "there is no curve; give one")
	assert.True(t, math.IsNaN(c.At(50)))
	assert.Nil(t, c.TOML())
	assert.Nil(t, (*Provenance)(nil).Origin(1))
	s := SweepScale{From: 10, To: 90, Step: 1, Reference: 45}
	assert.EqualError(t, s.Takes(nil), "there is no curve; give one")
	openings, states := Limits{CeilingPct: 100}.Apply([]float64{1, 2}, nil)
	assert.Equal(t, []any{[]float64{1, 2}, []State{Set, Set}}, []any{openings, states})
	assert.NotPanics(t, func() { ChooseSweep(nil, SweepScale{}, 0, Keys{}) })
}
