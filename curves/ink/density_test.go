package ink

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// measured are solids of known film in g/m²: ink 1 of the thread "Ink calculation
// formula" of a printers' forum,
// https://printplanet.com/threads/ink-calculation-formula.4982/page-2.
var measured = []FilmDensity{{1.17, 0.96}, {1.37, 1.04}, {1.46, 1.10}, {1.66, 1.16}, {2.05, 1.24}}

func TestFitDensityMeasured(t *testing.T) {
	fit, err := FitDensity(measured)
	require.NoError(t, err)
	assert.InDelta(t, 1.479, fit.Limit, 0.0005)
	// 0.9055, which was computed from them elsewhere, is not quite the minimum:
	// golden section too finds 0.90536, and both have the same RMS to 1e-8.
	assert.InDelta(t, 0.9055, fit.Rate, 0.0002)
	assert.InDelta(t, 0.90536, fit.Rate, 0.000005)
	assert.InDelta(t, 0.0106, fit.RMS, 0.00005)
	for off, wantPct := range map[float64]float64{-0.05: -9.1, 0.05: 10.4, -0.10: -17.2, 0.10: 22.5} {
		assert.InDelta(t, wantPct, 100*(FilmRatio(1.10, 1.10+off, fit.Limit)-1), 0.05)
	}
}

// Two solids show the law and no more.
func TestFitDensityOfFewSolids(t *testing.T) {
	fit, err := FitDensity(measured[:2])
	require.NoError(t, err)
	assert.True(t, math.IsNaN(fit.LimitError) && math.IsNaN(fit.RateError))
	fit, err = FitDensity([]FilmDensity{measured[0], measured[2], measured[4]})
	require.NoError(t, err)
	assert.True(t, fit.LimitError > 0 && fit.RateError > 0)
}

// The standard errors against what they stand for: how much the fits of many
// measurements of one law scatter, each density off by 0.005.
func TestDensityErrorsAreTheScatterOfFits(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	law := DensityLaw{1.5, 0.9}
	const fits = 4000
	var limits, rates, limitVariance, rateVariance float64
	for range fits {
		var pairs []FilmDensity
		for i := range 10 {
			film := 0.5 + 0.4*float64(i)
			pairs = append(pairs, FilmDensity{film, law.At(film) + 0.005*r.NormFloat64()})
		}
		fit, err := FitDensity(pairs)
		require.NoError(t, err)
		limits += math.Pow(fit.Limit-law.Limit, 2) / fits
		rates += math.Pow(fit.Rate-law.Rate, 2) / fits
		limitVariance += fit.LimitError * fit.LimitError / fits
		rateVariance += fit.RateError * fit.RateError / fits
	}
	assert.InEpsilon(t, limits, limitVariance, 0.1)
	assert.InEpsilon(t, rates, rateVariance, 0.1)
}

func TestFitDensityFindsTheLawOfExactPairs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		law := DensityLaw{rapid.Float64Range(0.5, 3).Draw(t, "limit"), rapid.Float64Range(0.1, 3).Draw(t, "rate")}
		var pairs []FilmDensity
		for _, depth := range []float64{0.5, 0.9, 1.4, 2, 3} {
			pairs = append(pairs, FilmDensity{depth / law.Rate, law.At(depth / law.Rate)})
		}
		fit, err := FitDensity(pairs)
		require.NoError(t, err)
		require.InEpsilon(t, law.Limit, fit.Limit, 1e-6)
		require.InEpsilon(t, law.Rate, fit.Rate, 1e-6)
		require.InEpsilon(t, 1.2, law.Film(law.At(1.2)), 1e-9, "there and back")
	})
}

func TestFitDensityRefuses(t *testing.T) {
	const few, bad = "a density law needs at least two different films, not %d; measure more, better five", ": both must be above 0; correct it or leave it out"
	const straight = "the densities approach no limit as the film thickens; measure thinner and thicker films"
	for _, tc := range []struct {
		want  string
		pairs []FilmDensity
	}{
		{fmt.Sprintf(few, 0), nil},
		{fmt.Sprintf(few, 1), []FilmDensity{{1, 1}, {1, 1.1}}},
		{"pair 2: film -1, density 1" + bad, []FilmDensity{{1, 1}, {-1, 1}}},
		{"pair 1: film 1, density NaN" + bad, []FilmDensity{{1, math.NaN()}, {2, 1}}},
		{straight, []FilmDensity{{1, 0.5}, {2, 1}, {3, 1.5}}},
		{straight, []FilmDensity{{1, 0.5}, {2, 1.2}, {3, 2.5}}},
		{straight, []FilmDensity{{1, 1.2}, {2, 1.1}}},
		{straight, []FilmDensity{{1e-9, 1e9}, {1e9, 1e-9}}},
	} {
		_, err := FitDensity(tc.pairs)
		assert.EqualError(t, err, tc.want)
	}
}

// Worked by hand with D∞ = 2: from D = 1, ln 2 of film, to D = 1.5, ln 4, is
// twice the film; half a correction opens by half as much again.
func TestCorrect(t *testing.T) {
	o := CorrectOptions{Target: 1.5, Limit: 2}
	cs, err := Correct([]float64{20, 30, 40, 50, 60, 70}, []float64{1, 1.5, math.NaN(), 1.99, 0.2, 2.4}, o)
	require.NoError(t, err)
	assert.InDelta(t, 30, cs[0].OpeningPct, 1e-12)
	assert.InDelta(t, 2, cs[0].FilmRatio, 1e-12)
	assert.Equal(t, Correction{30, 1, ""}, cs[1])
	assert.Equal(t, Correction{40, 1, Unmeasured}, cs[2])
	assert.Equal(t, Correction{37.5, 0.5, AtLimit}, cs[3], "ln 4 of ln 50 is less than half")
	assert.Equal(t, Correction{90, 2, LimitedRatio}, cs[4])
	assert.Equal(t, Correction{52.5, 0.5, AtLimit}, cs[5])

	o.Damping = 1
	cs, err = Correct([]float64{20, 0, 0, 0, 0.5, 20, 20}, []float64{1, 1, 1.6, 1.5, 1, 0, 1.96}, o)
	require.NoError(t, err)
	assert.InDelta(t, 40, cs[0].OpeningPct, 1e-12)
	assert.Equal(t, Closed, cs[1].Note)
	assert.Zero(t, cs[2].Note, "too much ink, and the key is closed already")
	assert.Zero(t, cs[3].Note, "at its target")
	assert.Zero(t, cs[4].Note, "open, if only just")
	assert.Equal(t, Correction{40, 2, LimitedRatio}, cs[5], "bare paper")
	assert.Equal(t, LimitedRatio, cs[6].Note, "just readable")

	_, err = Correct([]float64{20}, []float64{0.4}, CorrectOptions{Target: 0.5, Limit: 0.8})
	assert.NoError(t, err, "a pale ink")
}

func TestCorrectRefuses(t *testing.T) {
	for want, tc := range map[string]struct {
		density float64
		o       CorrectOptions
	}{
		"zone 1: -0.1 is not a density; measure the solid against the bare paper":                                {-0.1, CorrectOptions{1, 2, 0}},
		"a density limit must be a number above 0, not 0; give the density that no film exceeds":                 {1, CorrectOptions{1, 0, 0}},
		"a target density of 1.97 is not between 0 and 1.96, 98 % of the limit; correct the target or the limit": {1, CorrectOptions{1.97, 2, 0}},
		"a target density of 1.96 is not between 0 and 1.96, 98 % of the limit; correct the target or the limit": {1, CorrectOptions{1.96, 2, 0}},
		"a target density of 1.5 is not between 0 and 1.372, 98 % of the limit; correct the target or the limit": {1, CorrectOptions{1.5, 1.4, 0}},
		"a target density of 0 is not between 0 and 1.96, 98 % of the limit; correct the target or the limit":    {1, CorrectOptions{0, 2, 0}},
		"a damping of 1.5 is not above 0 and up to 1; 0.5 makes half of the correction":                          {1, CorrectOptions{1, 2, 1.5}},
		"a target density of NaN is not between 0 and 1.96, 98 % of the limit; correct the target or the limit":  {1, CorrectOptions{math.NaN(), 2, 0}},
	} {
		_, err := Correct([]float64{20}, []float64{tc.density}, tc.o)
		assert.EqualError(t, err, want)
	}
	_, err := Correct([]float64{20, 30}, []float64{1}, CorrectOptions{1, 2, 0})
	assert.EqualError(t, err, "1 densities for 2 zones; give one for every zone, or none")
}

// A fountain whose film follows the feed comes to the target by itself when
// corrected again and again.
func TestCorrectionsConverge(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		law := DensityLaw{2, 1}
		opening := rapid.Float64Range(5, 90).Draw(t, "opening")
		perOpening := rapid.Float64Range(0.005, 0.2).Draw(t, "film of a point of opening")
		for range 25 {
			cs, err := Correct([]float64{opening}, []float64{law.At(opening * perOpening)}, CorrectOptions{Target: 1.3, Limit: 2})
			require.NoError(t, err)
			opening = cs[0].OpeningPct
		}
		require.InDelta(t, 1.3, law.At(opening*perOpening), 0.001)
	})
}

func TestCorrectRefusesWhatIsBeyondItsBounds(t *testing.T) {
	for _, o := range []CorrectOptions{{-0.5, 2, 0}, {1.5, 2, -0.5}, {1.5, 2, 1.001}, {1.5, math.Inf(1), 0}} {
		_, err := Correct([]float64{20}, []float64{1}, o)
		assert.Error(t, err, "%+v", o)
	}
	for _, density := range []float64{math.Inf(1), math.Inf(-1), -0.001} {
		_, err := Correct([]float64{20}, []float64{density}, CorrectOptions{Target: 1.5, Limit: 2})
		assert.ErrorContains(t, err, "is not a density", "%g", density)
	}
	for _, o := range []CorrectOptions{{1.959, 2, 0}, {1.5, 2, 1}} {
		_, err := Correct([]float64{20}, []float64{1}, o)
		assert.NoError(t, err, "%+v", o)
	}
}

// Of three solids one degree of freedom is left: twice the residuals are four
// times the squares, and twice the errors.
func TestHowSureAFitIs(t *testing.T) {
	law := DensityLaw{1.5, 0.9}
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
