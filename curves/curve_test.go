package curves

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func prepared(t require.TestingT, shape Shape, points ...Point) *Curve {
	c := &Curve{Name: "test", Shape: shape, Points: points}
	require.NoError(t, c.Prepare())
	return c
}

// Worked by hand from the formulas of Fritsch and Butland (1984): with equal
// spacing the slope at an inner point is the harmonic mean of its neighbours,
// 2·0.6·1.4/(0.6+1.4) = 0.84; at the ends it is the three-point formula,
// (3·0.6−1.4)/2 = 0.2 and (3·1.4−0.6)/2 = 1.8. Halfway between two points the
// cubic is their mean + h·(slope left − slope right)/8.
func TestSmoothCurveAgainstTheFormula(t *testing.T) {
	c := prepared(t, Smooth, Point{0, 0}, Point{50, 30}, Point{100, 100})
	assert.InDelta(t, 15+50*(0.2-0.84)/8, c.At(25), 1e-12)
	assert.InDelta(t, 65+50*(0.84-1.8)/8, c.At(75), 1e-12)
}

func TestCurveHoldsItsEnds(t *testing.T) {
	for _, shape := range []Shape{Smooth, Straight} {
		c := prepared(t, shape, Point{5, 9}, Point{60, 50}, Point{90, 80})
		assert.Equal(t, 9.0, c.At(0))
		assert.Equal(t, 9.0, c.At(5))
		assert.Equal(t, 80.0, c.At(90))
		assert.Equal(t, 80.0, c.At(100))
		assert.True(t, math.IsNaN(c.At(math.NaN())))
	}
}

func TestTwoPointsAreAStraightLine(t *testing.T) {
	for _, shape := range []Shape{Smooth, Straight} {
		c := prepared(t, shape, Point{10, 20}, Point{90, 60})
		assert.InDelta(t, 40, c.At(50), 1e-12)
		assert.InDelta(t, 25, c.At(20), 1e-12)
	}
}

func TestUnpreparedCurve(t *testing.T) {
	assert.True(t, math.IsNaN((&Curve{}).At(50)))
	points := []Point{{0, 0}, {50, 30}, {100, 100}}
	c := &Curve{Shape: Smooth, Points: points}
	assert.Equal(t, prepared(t, Smooth, points...).At(25), c.At(25))
}

// anyPoints draws the points of a valid curve.
func anyPoints(t *rapid.T) []Point {
	grid := rapid.SliceOfNDistinct(rapid.IntRange(0, 10_000), 2, 12, rapid.ID[int]).Draw(t, "coverages in 1/100 %")
	openings := rapid.SliceOfN(rapid.Float64Range(0, 100), len(grid), len(grid)).Draw(t, "openings")
	slices.Sort(grid)
	slices.Sort(openings)
	points := make([]Point, len(grid))
	for i := range points {
		points[i] = Point{float64(grid[i]) / 100, openings[i]}
	}
	return points
}

// More coverage needs no narrower opening: common practice, no source. The
// tolerance is the rounding of a cubic's terms.
func TestCurveNeverFallsOrOvershoots(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		points := anyPoints(t)
		c := prepared(t, rapid.SampledFrom([]Shape{Smooth, Straight}).Draw(t, "shape"), points...)
		last := c.At(0)
		for i := 1; i <= 1000; i++ {
			v := c.At(float64(i) / 10)
			require.GreaterOrEqual(t, v, last-1e-10)
			require.GreaterOrEqual(t, v, points[0].OpeningPct)
			require.LessOrEqual(t, v, points[len(points)-1].OpeningPct)
			last = v
		}
		for _, p := range points {
			require.Equal(t, p.OpeningPct, c.At(p.CoveragePct))
		}
	})
}

func TestCloselySpacedPointsStayFinite(t *testing.T) {
	c := prepared(t, Smooth, Point{0, 0}, Point{50, 1}, Point{50 + 2e-6, 99}, Point{100, 100})
	for i := range 100 {
		v := c.At(50 + float64(i)*2e-8)
		assert.True(t, v >= 1 && v <= 99, "%g", v)
	}
}

func TestPointsKeepTheirSpacing(t *testing.T) {
	c := &Curve{Shape: Smooth, Points: []Point{{0, 2}, {50, 40}, {50 + 1.1e-6, 41}, {100, 80}}}
	assert.NoError(t, c.Validate())
	c.Points[2].CoveragePct = 50 + 0.9e-6
	assert.ErrorContains(t, c.Validate(), "points: point 3 ")
}
