package learn

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

// nonNegative minimizes ½xᵀHx − gᵀx over x ≥ 0, for a positive definite H of
// n×n and a g of n; with H = AᵀA and g = Aᵀb these are the non-negative least
// squares of Ax = b. It begins at start, n numbers ≥ 0, and changes none of
// its arguments.
//
// The algorithm is NNLS of C. L. Lawson and R. J. Hanson, Solving Least
// Squares Problems (1974), chapter 23, on the normal equations: variables move
// between a set that is solved for and a set that is held at 0, one at a time.
func nonNegative(h *mat.SymDense, g, start []float64) ([]float64, error) {
	s := activeSet{h: h, g: g, x: append([]float64(nil), start...), free: make([]bool, len(g))}
	for i, v := range s.x {
		s.free[i] = v > 0
	}
	// Every round but those that rounding spoils lowers the objective and ends
	// on a set not seen before; a few rounds a variable are usual.
	for range 10 * len(g) {
		if err := s.solve(); err != nil {
			return nil, err
		}
		if !s.release() {
			return s.x, nil
		}
	}
	return nil, fmt.Errorf("the non-negative least squares of %d unknowns did not converge", len(g))
}

// activeSet is the state of nonNegative.
type activeSet struct {
	h    *mat.SymDense
	g, x []float64
	free []bool // solved for; the others are held at 0
	last int    // the variable released last, counted from 1
}

// solve moves x to the minimum over the free variables, and holds on the way
// those that reach 0 first, one a turn.
func (s *activeSet) solve() error {
	for {
		at, v, err := s.minimum()
		if err != nil {
			return err
		}
		step, first := 1.0, -1
		for i, k := range at {
			if v[i] <= 0 && s.x[k] <= step*(s.x[k]-v[i]) {
				step, first = s.x[k]/(s.x[k]-v[i]), k
			}
		}
		for i, k := range at {
			s.x[k] = max(0, s.x[k]+step*(v[i]-s.x[k]))
		}
		if first < 0 {
			return nil
		}
		s.x[first], s.free[first] = 0, false
	}
}

// minimum solves for the free variables alone, at the indices that it returns.
func (s *activeSet) minimum() (at []int, v []float64, err error) {
	for k, free := range s.free {
		if free {
			at = append(at, k)
		}
	}
	if len(at) == 0 {
		return nil, nil, nil
	}
	h, g := mat.NewSymDense(len(at), nil), mat.NewVecDense(len(at), nil)
	for i, k := range at {
		g.SetVec(i, s.g[k])
		for j, l := range at[:i+1] {
			h.SetSym(i, j, s.h.At(k, l))
		}
	}
	var c mat.Cholesky
	if !c.Factorize(h) {
		return nil, nil, fmt.Errorf("the least squares of %d unknowns have no single answer", len(s.g))
	}
	v = make([]float64, len(at))
	return at, v, c.SolveVecTo(mat.NewVecDense(len(at), v), g)
}

// release frees the held variable that lowers the objective fastest, and tells
// whether there is one. The one released last does not count if it was held
// again at once: only rounding does that.
func (s *activeSet) release() bool {
	best, most := 0, 0.0
	for k, free := range s.free {
		if free || k+1 == s.last {
			continue
		}
		slope, size := s.g[k], math.Abs(s.g[k])
		for j, v := range s.x {
			slope -= s.h.At(k, j) * v
			size += math.Abs(s.h.At(k, j) * v)
		}
		if slope > most && slope > 1e-12*size {
			best, most = k+1, slope
		}
	}
	if s.last = best; best > 0 {
		s.free[best-1] = true
	}
	return best > 0
}
