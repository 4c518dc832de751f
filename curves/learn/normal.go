package learn

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// normalEquations are Hu = g, where one round's quadratic ½uᵀHu − gᵀu is least.
// u is the curve at the knots, followed by the shifts of the keys. Between
// shifts H is diagonal, so only its blocks are kept.
type normalEquations struct {
	knots *mat.SymDense // n×n, of the curve alone
	g     []float64
	cross [][]float64 // of each key: its row against the curve
	keys  []float64   // of each key: its diagonal
	gKeys []float64
}

// normalEquations makes those of the rows' weights and of the penalties.
func (f *fitting) normalEquations() *normalEquations {
	n := len(f.value)
	keys := len(f.keys)
	eq := &normalEquations{mat.NewSymDense(n, nil), make([]float64, n), make([][]float64, keys), make([]float64, keys), make([]float64, keys)}
	eq.penalize(f.old)
	for k := range eq.cross {
		eq.cross[k] = make([]float64, n)
		eq.keys[k] = zeroWeight
	}
	for i := range f.rows {
		eq.add(&f.rows[i], f)
	}
	return eq
}

// add is a row's w·(y − a₀·f₀ − a₁·f₁ − z)²; a bound that is satisfied reads what is
// fitted.
func (eq *normalEquations) add(r *row, f *fitting) {
	y := r.residual + f.at(r)*r.ratio + f.shift[r.key]
	i, k, w := r.knot, r.key, r.weight
	a0, a1 := (1-r.part)*r.ratio, r.part*r.ratio
	eq.plus(i, i, w*a0*a0)
	eq.plus(i, i+1, w*a0*a1)
	eq.plus(i+1, i+1, w*a1*a1)
	eq.g[i] += w * a0 * y
	eq.g[i+1] += w * a1 * y
	eq.cross[k][i] += w * a0
	eq.cross[k][i+1] += w * a1
	eq.keys[k] += w
	eq.gKeys[k] += w * y
}

func (eq *normalEquations) plus(i, j int, v float64) { eq.knots.SetSym(i, j, eq.knots.At(i, j)+v) }

// penalize adds λ₁·∫(g′)² + λ₂·∫(g″)² of g = f − old, by differences between
// the knots.
func (eq *normalEquations) penalize(old []float64) {
	slope := func(i int) (d [3]float64, h float64) {
		h = knotsPct[i+1] - knotsPct[i]
		return [3]float64{-1 / h, 1 / h}, h
	}
	for i := range len(old) - 1 {
		d, h := slope(i)
		eq.penalty(old, i, d[:2], slopeWeight*h)
		if i+2 == len(old) {
			break
		}
		e, h2 := slope(i + 1)
		mid := (h + h2) / 2
		bend := []float64{-d[0] / mid, (e[0] - d[1]) / mid, e[1] / mid}
		eq.penalty(old, i, bend, bendWeight*mid)
	}
}

// penalty adds weight·(Σ d·(f − old))² over the knots from the i-th.
func (eq *normalEquations) penalty(old []float64, i int, d []float64, weight float64) {
	target := 0.0
	for j, v := range d {
		target += v * old[i+j]
	}
	for j, v := range d {
		eq.g[i+j] += weight * v * target
		for k := j; k < len(d); k++ {
			eq.plus(i+j, i+k, weight*v*d[k])
		}
	}
}

// reduced is the quadratic over the curve alone, the shifts at their best:
// H − Σ cᵀc/d and g − Σ c·γ/d over the keys.
func (eq *normalEquations) reduced() (*mat.SymDense, []float64) {
	h, g := mat.NewSymDense(len(eq.g), nil), append([]float64(nil), eq.g...)
	h.CopySym(eq.knots)
	for k, c := range eq.cross {
		h.SymRankOne(h, -1/eq.keys[k], mat.NewVecDense(len(c), c))
		for i, v := range c {
			g[i] -= v * eq.gKeys[k] / eq.keys[k]
		}
	}
	return h, g
}

// increments is the reduced quadratic over the steps from knot to knot, the
// first being the curve at 0: f = T·x with T lower triangular, all ones.
func (eq *normalEquations) increments() (*mat.SymDense, []float64) {
	h, g := eq.reduced()
	n := len(g)
	x := mat.NewDense(n, n, nil)
	x.Copy(h)
	sumUp := func(at func(i int) *float64) {
		for i := n - 2; i >= 0; i-- {
			*at(i) += *at(i + 1)
		}
	}
	raw := x.RawMatrix()
	for j := range n {
		sumUp(func(i int) *float64 { return &raw.Data[i*raw.Stride+j] })
	}
	for i := range n {
		sumUp(func(j int) *float64 { return &raw.Data[i*raw.Stride+j] })
		for j := range i + 1 {
			h.SetSym(i, j, raw.Data[i*raw.Stride+j])
		}
	}
	sumUp(func(i int) *float64 { return &g[i] })
	return h, g
}

// shifts are the best shifts beside a curve.
func (eq *normalEquations) shifts(value []float64) []float64 {
	zs := make([]float64, len(eq.keys))
	for k, c := range eq.cross {
		z := eq.gKeys[k]
		for i, v := range value {
			z -= c[i] * v
		}
		zs[k] = z / eq.keys[k]
	}
	return zs
}

// shiftErrors are the standard errors of the shifts for a reading error of
// scale, the curve being as unsure as it is: the diagonal of scale²·H⁻¹ there,
// 1/d + cᵀ·(reduced H)⁻¹·c/d² by the inverse of a matrix in blocks. That the
// curve may not fall is not counted as knowledge.
func (eq *normalEquations) shiftErrors(scale float64) ([]float64, bool) {
	h, _ := eq.reduced()
	var c mat.Cholesky
	if !c.Factorize(h) {
		return nil, false
	}
	errors := make([]float64, len(eq.keys))
	for k, row := range eq.cross {
		v, solved := mat.NewVecDense(len(row), row), new(mat.VecDense)
		if err := c.SolveVecTo(solved, v); err != nil {
			return nil, false
		}
		errors[k] = scale * math.Sqrt(1/eq.keys[k]+mat.Dot(v, solved)/(eq.keys[k]*eq.keys[k]))
	}
	return errors, true
}

// offsets lists the shifts of a converged fit.
func (f *fitting) offsets() []Offset {
	readings := make([]int, len(f.keys))
	for _, r := range f.rows {
		if r.Censoring == Uncensored {
			readings[r.key]++
		}
	}
	errors, ok := f.last.shiftErrors(f.scale)
	var list []Offset
	for k, key := range f.keys {
		o := Offset{Unit: key.unit, Zone: key.zone, ShiftPct: f.shift[k], ErrorPct: math.NaN(), Readings: readings[k]}
		if ok {
			o.ErrorPct = errors[k]
		}
		list = append(list, o)
	}
	return list
}
