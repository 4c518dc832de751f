package rollers

import (
	"context"
	"math"
)

// A gmres solves x − M x = r for a linear map M, after Y. Saad and M. H. Schultz
// (SIAM J. Sci. Stat. Comput. 7, 1986; from memory): the x of a Krylov space that
// leaves least of r, its basis made orthogonal by modified Gram-Schmidt, the least
// squares by Givens rotations. It begins anew when the basis is full.
type gmres struct {
	apply func(to, x []float64) // M x; an application takes the cost of a period
	full  int                   // vectors of the basis
	most  int                   // applications in all
}

// basisBytes bounds the basis.
const basisBytes = 96 << 20

// solve adds to x what makes the residual, which it is given in r, smaller than
// least; it ends early when the context is done or it has applied M too often.
// It leaves in r what is left.
func (g *gmres) solve(ctx context.Context, x, r []float64, least float64) error {
	for applied := 0; ; {
		left := math.Sqrt(dot(r, r))
		if left <= least || applied >= g.most {
			return nil
		}
		k := krylov{basis: [][]float64{scaled(r, 1/left)}, rest: []float64{left}}
		for len(k.columns) < g.full && applied < g.most && math.Abs(k.rest[len(k.rest)-1]) > least {
			if err := ctx.Err(); err != nil {
				return err
			}
			next := make([]float64, len(r))
			g.apply(next, k.basis[len(k.basis)-1])
			applied++
			if !k.extend(next) {
				break
			}
		}
		k.addTo(x, r)
	}
}

// A krylov is the basis of a space, and the least squares in it.
type krylov struct {
	basis   [][]float64
	columns [][]float64  // of the triangle that rotations have made of I − M in the basis
	turned  [][2]float64 // cosine and sine of each rotation
	rest    []float64    // the right-hand side, turned; its last is what is left of the residual
}

// extend takes M of the last vector of the basis, and makes a new vector of it.
// It tells whether there is one.
func (k *krylov) extend(next []float64) bool {
	last := k.basis[len(k.basis)-1]
	for i, v := range last {
		next[i] = v - next[i]
	}
	was := math.Sqrt(dot(next, next))
	column := make([]float64, len(k.basis)+1)
	for i, b := range k.basis {
		column[i] = dot(next, b)
		add(next, -column[i], b)
	}
	size := math.Sqrt(dot(next, next))
	column[len(k.basis)] = size
	k.rotate(column)
	if !(size > 1e-14*was) {
		return false
	}
	k.basis = append(k.basis, scaled(next, 1/size))
	return true
}

// rotate turns a new column as those before, then so that its last vanishes.
func (k *krylov) rotate(column []float64) {
	for i, t := range k.turned {
		column[i], column[i+1] = t[0]*column[i]+t[1]*column[i+1], t[0]*column[i+1]-t[1]*column[i]
	}
	i := len(k.turned)
	size := math.Hypot(column[i], column[i+1])
	turn := [2]float64{1, 0}
	if size > 0 {
		turn = [2]float64{column[i] / size, column[i+1] / size}
	}
	column[i] = size
	k.columns = append(k.columns, column[:i+1])
	k.turned = append(k.turned, turn)
	k.rest = append(k.rest, -turn[1]*k.rest[i])
	k.rest[i] *= turn[0]
}

// addTo adds the solution in the space to x, and makes r what it leaves.
func (k *krylov) addTo(x, r []float64) {
	n := len(k.columns)
	weights := make([]float64, n)
	for i := n - 1; i >= 0; i-- {
		weights[i] = k.rest[i]
		for j := i + 1; j < n; j++ {
			weights[i] -= k.columns[j][i] * weights[j]
		}
		if k.columns[i][i] != 0 {
			weights[i] /= k.columns[i][i]
		}
	}
	for i, w := range weights {
		add(x, w, k.basis[i])
	}
	// What is left is the last of the turned right-hand side, turned back.
	back := make([]float64, n+1)
	back[n] = k.rest[n]
	for i := n - 1; i >= 0; i-- {
		t := k.turned[i]
		back[i], back[i+1] = t[0]*back[i]-t[1]*back[i+1], t[1]*back[i]+t[0]*back[i+1]
	}
	clear(r)
	for i, b := range k.basis {
		add(r, back[i], b)
	}
}

// dot is a scalar product, in four sums whose order is fixed.
func dot(a, b []float64) float64 {
	var s0, s1, s2, s3 float64
	b = b[:len(a)]
	for len(a) >= 4 {
		s0 += a[0] * b[0]
		s1 += a[1] * b[1]
		s2 += a[2] * b[2]
		s3 += a[3] * b[3]
		a, b = a[4:], b[4:]
	}
	for i, v := range a {
		s0 += v * b[i]
	}
	return (s0 + s1) + (s2 + s3)
}

// add adds w times b to a.
func add(a []float64, w float64, b []float64) {
	b = b[:len(a)]
	for i, v := range b {
		a[i] += w * v
	}
}

// scaled is v times w, in v.
func scaled(v []float64, w float64) []float64 {
	for i := range v {
		v[i] *= w
	}
	return v
}
