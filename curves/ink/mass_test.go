package ink

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// g = g/m² × m² × coverage × copies; g/m² at full coverage is what XJDF 2.1
// (CIP4) calls SpecificYield. The figures are computed from that.
func TestInkGrams(t *testing.T) {
	assert.Equal(t, 1.0, FilmGM2(1.0, 1.0))
	const sheetM2 = 1.020 * 0.720
	assert.InDelta(t, 734.4, Grams(FilmGM2(1.0, 1.0), sheetM2, 1000), 1e-9)
	assert.InDelta(t, 2203.2, Grams(1.5, sheetM2*0.20, 10_000), 1e-9)
}

// The trade's rules, second-hand, and what they come to in g/m², computed with
// the pound of 453.59237 g and the inch of 25.4 mm: a pound covers 375,000
// square inches of solid; 100,000 solid letter pages of 93.5 square inches
// take 30 lb on coated and 45 lb on uncoated paper.
func TestTradeRules(t *testing.T) {
	assert.InDelta(t, 1.8749, poundGM2(375_000), 5e-5)
	assert.InDelta(t, 2.2558, poundGM2(100_000*93.5/30), 5e-5)
	assert.InDelta(t, 3.3838, poundGM2(100_000*93.5/45), 5e-5)
}

// ISO 2846-1:2006: 0.7 to 1.1 µm for cyan, magenta and yellow, 0.7 to 1.3 µm
// for black (second-hand); about 1 µm is usual (common practice, no source).
func TestEstimatedFilm(t *testing.T) {
	for ink, highUM := range map[string]float64{"Cyan": 1.1, "Magenta": 1.1, "Yellow": 1.1, "Black": 1.3, "black": 1.3, "Harbour Red": 1.1} {
		low, usual, high := standardFilmUM(ink)
		assert.Equal(t, []float64{0.7, 1.0, highUM}, []float64{low, usual, high}, ink)
	}
	assert.Equal(t, Film{0.7, 1.0, poundGM2(375_000)}, EstimatedFilm("Cyan", 1, 0))
	assert.Equal(t, Film{0.7, 1.4, poundGM2(375_000)}, EstimatedFilm("Cyan", 1, 1.4), "a film that is known")
	assert.Equal(t, Film{0.7, 3, 3}, EstimatedFilm("Cyan", 1, 3), "and one beyond the range")
	assert.Equal(t, Film{0.5, 0.5, poundGM2(375_000)}, EstimatedFilm("Cyan", 1, 0.5))
	metallic := EstimatedFilm("Silver", 2, 0)
	assert.InDelta(t, 1.4, metallic.LowGM2, 1e-12)
	assert.InDelta(t, 2.2, metallic.HighGM2, 1e-12)
}

func TestEstimatedFilmIsInOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ink := rapid.SampledFrom([]string{"Black", "Cyan", "Sand"}).Draw(t, "ink")
		f := EstimatedFilm(ink, rapid.Float64Range(0.5, 20).Draw(t, "gravity"), rapid.Float64Range(0, 50).Draw(t, "film"))
		require.Positive(t, f.LowGM2)
		require.LessOrEqual(t, f.LowGM2, f.UsualGM2)
		require.LessOrEqual(t, f.UsualGM2, f.HighGM2)
	})
}

// Twice the coverage, the copies or the film is twice the ink.
func TestInkGramsAreProportional(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		film, solid, copies := rapid.Float64Range(0.1, 10).Draw(t, "film"), rapid.Float64Range(0, 2).Draw(t, "solid"), float64(rapid.IntRange(1, 1e6).Draw(t, "copies"))
		g := Grams(film, solid, copies)
		require.InDelta(t, 2*g, Grams(2*film, solid, copies), 1e-9*g)
		require.InDelta(t, 2*g, Grams(film, 2*solid, copies), 1e-9*g)
		require.InDelta(t, 2*g, Grams(film, solid, 2*copies), 1e-9*g)
	})
}
