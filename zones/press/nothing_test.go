package press

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// A press that is not there is refused, or has nothing.
func TestQuestionsOfNoPress(t *testing.T) {
	var p *Press
	assert.EqualError(t, p.Validate(), "there is no press; give one")
	_, err := p.With(Change{})
	assert.EqualError(t, err, "there is no press; give one")
	assert.Empty(t, p.CurveFile("Black"))
	_, known := p.Ink("Black")
	assert.False(t, known)
	assert.Zero(t, p.ReferenceSweep(nil))
	assert.Equal(t, float64(AssumedNeighbourPct), p.NeighbourPct())
	assert.Nil(t, p.Unlearned())
	assert.False(t, p.ZerosLearned())
	assert.Equal(t, 30.0, (&Press{}).withReference(30).ReferenceSweep(nil))
	assert.NotPanics(t, func() {
		s := KeyScale{}
		s.Words()
		s.Key(0, 50)
		s.Text(1)
		KeyScale{Unit: Turn}.Text(0)
		_, _ = Fountain{}.ZoneMM(0)
	})
}

func (p *Press) withReference(sweep float64) *Press {
	p.Sweep.Reference = sweep
	return p
}
