package learn

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"
)

// leastSquares solves Ax = b for x ≥ 0 from a start of zeros.
func leastSquares(t require.TestingT, a *mat.Dense, b []float64) []float64 {
	_, n := a.Dims()
	return leastSquaresFrom(t, a, b, make([]float64, n))
}

func leastSquaresFrom(t require.TestingT, a *mat.Dense, b, start []float64) []float64 {
	var h mat.SymDense
	h.SymOuterK(1, a.T())
	var g mat.VecDense
	g.MulVec(a.T(), mat.NewVecDense(len(b), b))
	x, err := nonNegative(&h, g.RawVector().Data, start)
	require.NoError(t, err)
	return x
}

// The examples of scipy.optimize.nnls in SciPy's reference.
func TestNonNegativeAsSciPy(t *testing.T) {
	a := mat.NewDense(3, 2, []float64{1, 0, 1, 0, 0, 1})
	assert.InDeltaSlice(t, []float64{1.5, 1}, leastSquares(t, a, []float64{2, 1, 1}), 1e-14)
	assert.Equal(t, []float64{0, 0}, leastSquares(t, a, []float64{-1, -1, -1}))
}

// The constrained line fit of Lawson and Hanson, Solving Least Squares
// Problems, chapter 23: through t = 0.25, 0.5, 0.5, 0.8 and w = 0.5, 0.6, 0.7,
// 1.2, with f′ ≥ 0, f(0) ≥ 0 and f(1) ≤ 1, runs f = 0.621·t + 0.379 (from
// memory). At it f(1) = 1, so with f = 1 − x·(1−t) it is least squares in x ≥ 0
// and in the slack of f(0) = 1 − x, which is added as a heavy row.
func TestNonNegativeLineOfLawsonAndHanson(t *testing.T) {
	const heavy = 1e4
	a := mat.NewDense(5, 2, []float64{0.75, 0, 0.5, 0, 0.5, 0, 0.2, 0, heavy, heavy})
	x := leastSquares(t, a, []float64{0.5, 0.4, 0.3, -0.2, heavy})
	assert.InDelta(t, 0.621, x[0], 0.0005)
	assert.InDelta(t, 0.379, x[1], 0.0005)
}

// The isotonic regression of 1 0 4 3 3 5 4 2 3 in the examples of R's
// stats::isoreg: its non-negative steps are least squares too.
func TestNonNegativeStepsAreIsotonic(t *testing.T) {
	y := []float64{1, 0, 4, 3, 3, 5, 4, 2, 3}
	a := mat.NewDense(len(y), len(y), nil)
	for i := range y {
		for j := range i + 1 {
			a.Set(i, j, 1)
		}
	}
	sum, fitted := 0.0, []float64(nil)
	for _, step := range leastSquares(t, a, y) {
		sum += step
		fitted = append(fitted, sum)
	}
	third := 10.0 / 3
	assert.InDeltaSlice(t, []float64{0.5, 0.5, third, third, third, 3.5, 3.5, 3.5, 3.5}, fitted, 1e-12)
}

// x is the answer where, and only where, x ≥ 0, the slope Aᵀ(Ax − b) ≥ 0, and
// of every pair of them one is 0 (Karush, Kuhn and Tucker; Lawson and Hanson,
// theorem 23.4), from whatever start.
func TestNonNegativeOnRandomSystems(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 12).Draw(t, "unknowns")
		m := n + rapid.IntRange(0, 8).Draw(t, "more rows")
		number := rapid.Float64Range(-5, 5)
		a := mat.NewDense(m+n, n, rapid.SliceOfN(number, (m+n)*n, (m+n)*n).Draw(t, "A"))
		for i := range n { // so that no two columns are alike
			for j := range n {
				a.Set(m+i, j, 0)
			}
			a.Set(m+i, i, 0.1)
		}
		b := rapid.SliceOfN(number, m+n, m+n).Draw(t, "b")
		start := rapid.SliceOfN(rapid.Float64Range(0, 3), n, n).Draw(t, "start")
		x := leastSquaresFrom(t, a, b, start)
		var r, slope mat.VecDense
		r.MulVec(a, mat.NewVecDense(n, x))
		r.SubVec(&r, mat.NewVecDense(m+n, b))
		slope.MulVec(a.T(), &r)
		for i, v := range x {
			require.GreaterOrEqual(t, v, 0.0)
			require.GreaterOrEqual(t, slope.AtVec(i), -1e-6)
			require.InDelta(t, 0, v*slope.AtVec(i), 1e-5)
		}
	})
}

func TestNonNegativeWithoutASingleAnswer(t *testing.T) {
	_, err := nonNegative(mat.NewSymDense(2, []float64{1, 1, 1, 1}), []float64{1, 1}, []float64{1, 1})
	assert.EqualError(t, err, "the least squares of 2 unknowns have no single answer")
}
