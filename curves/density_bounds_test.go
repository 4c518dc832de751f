package curves

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What a correction takes at its bounds, with a limit of 2 of which 98 % are
// 1.96.
func TestCorrectAtItsBounds(t *testing.T) {
	o := CorrectOptions{Target: 1.5, Limit: 2}
	cs, err := Correct([]float64{20, 20, 0, 0.5}, []float64{0, 1.96, 1.5, 1}, o)
	require.NoError(t, err)
	assert.Equal(t, Correction{30, 2, HeldRatio}, cs[0], "a bare spot wants more than twice of nothing")
	assert.Equal(t, Correction{15, 0.5, HeldRatio}, cs[1], "what can just be read is not at the limit")
	assert.Equal(t, Correction{0, 1, ""}, cs[2], "a closed key that is right")
	assert.Empty(t, cs[3].Note, "half a point is not closed")
	assert.InDelta(t, 0.75, cs[3].OpeningPct, 1e-12)
}

func TestCorrectRefusesWhatIsBeyondItsBounds(t *testing.T) {
	for _, o := range []CorrectOptions{{1.96, 2, 0}, {0, 2, 0}, {-0.5, 2, 0}, {1.5, 2, -0.5}, {1.5, 2, 1.001}, {1.5, math.Inf(1), 0}} {
		_, err := Correct([]float64{20}, []float64{1}, o)
		assert.Error(t, err, "%+v", o)
	}
	for _, density := range []float64{math.Inf(1), math.Inf(-1), -0.001} {
		_, err := Correct([]float64{20}, []float64{density}, CorrectOptions{Target: 1.5, Limit: 2})
		assert.ErrorContains(t, err, "is no density", "%g", density)
	}
	for _, o := range []CorrectOptions{{1.959, 2, 0}, {1.5, 2, 1}} {
		_, err := Correct([]float64{20}, []float64{1}, o)
		assert.NoError(t, err, "%+v", o)
	}
}

// Two solids tell a law, and nothing of how sure it is; three do. The law and
// its scatter are held by golden section elsewhere.
func TestHowSureAFitIs(t *testing.T) {
	law := DensityLaw{1.5, 0.9}
	two, err := FitDensity([]FilmDensity{{0.5, law.At(0.5)}, {2, law.At(2)}})
	require.NoError(t, err)
	assert.InDelta(t, 1.5, two.Limit, 1e-6)
	assert.True(t, math.IsNaN(two.LimitError) && math.IsNaN(two.RateError))

	// Of three solids one degree of freedom is left: twice the residuals are four
	// times the squares, and twice the errors.
	fit := func(off float64) *DensityFit {
		three, err := FitDensity([]FilmDensity{{0.5, law.At(0.5)}, {1.25, law.At(1.25) + off}, {2, law.At(2)}})
		require.NoError(t, err)
		return three
	}
	once, twice := fit(1e-4), fit(2e-4)
	assert.InEpsilon(t, 2, twice.LimitError/once.LimitError, 1e-3)
	assert.InEpsilon(t, 2, twice.RateError/once.RateError, 1e-3)
	assert.InEpsilon(t, 2, twice.RMS/once.RMS, 1e-3)
	assert.Equal(t, 3, once.Pairs)
}
