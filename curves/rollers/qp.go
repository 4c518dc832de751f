package rollers

import (
	"context"
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"
)

// A program is a convex quadratic one: the least of ½xᵀHx − gᵀx, for a positive
// definite H, among those x that keep all limits.
type program struct {
	h      *mat.SymDense
	g      []float64
	limits []limit
}

// A limit is one of a variable, or of the difference of two:
// sign·(x[k] − x[less]) ≤ most; a less of −1 stands for 0.
type limit struct {
	k, less int
	sign    float64
	most    float64
}

func (l limit) of(x []float64) float64 {
	v := x[l.k]
	if l.less >= 0 {
		v -= x[l.less]
	}
	return l.sign * v
}

// addTo adds the limit's gradient times w.
func (l limit) addTo(v []float64, w float64) {
	v[l.k] += l.sign * w
	if l.less >= 0 {
		v[l.less] -= l.sign * w
	}
}

// An interior is a point within the limits on its way to the solution: variables,
// what is left to each limit, and each limit's force.
type interior struct{ x, slack, force []float64 }

// corrected is how many steps are corrected: twice what programs take. Now and
// then corrections lead in a circle (C. Cartis, Appl. Numer. Math. 59, 2009; from memory);
// steps without one, aimed at a part of the gap, leave it.
const corrected = 16

// solve is the interior point method of S. Mehrotra (SIAM J. Optim. 2, 1992; from
// memory): a Newton step to the solution tells how far to aim at the middle of
// the limits, a second one goes there.
func (p *program) solve(ctx context.Context, start []float64) ([]float64, error) {
	at := interior{x: append([]float64(nil), start...)}
	for _, l := range p.limits {
		at.slack = append(at.slack, max(l.most-l.of(at.x), 1))
		at.force = append(at.force, 1)
	}
	for round := range 100 {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		gap, off := at.gap(), p.residual(&at)
		if gap < 1e-11 && off < 1e-8 {
			return at.x, nil
		}
		var factor mat.Cholesky
		if !factor.Factorize(p.system(&at)) {
			break
		}
		var there interior
		if round < corrected {
			first := p.step(&at, &factor, nil, 0)
			moved := at.moved(first, at.length(first))
			aim := moved.gap() / gap
			there = p.step(&at, &factor, &first, aim*aim*aim*gap)
		} else {
			there = p.step(&at, &factor, nil, gap/2)
		}
		at = at.moved(there, min(1, 0.995*at.length(there)))
	}
	return nil, errors.New("the least squares of the keys within their limits did not converge")
}

// gap is the mean of slack times force, 0 at the solution.
func (i *interior) gap() float64 {
	if len(i.slack) == 0 {
		return 0
	}
	return dot(i.slack, i.force) / float64(len(i.slack))
}

// length is how much of a step keeps slacks and forces above 0; more than 1 where
// all of it does.
func (i *interior) length(step interior) float64 {
	length := math.Inf(1)
	for k := range i.slack {
		if step.slack[k] < 0 {
			length = min(length, -i.slack[k]/step.slack[k])
		}
		if step.force[k] < 0 {
			length = min(length, -i.force[k]/step.force[k])
		}
	}
	return length
}

func (i *interior) moved(step interior, length float64) interior {
	length = min(1, length)
	to := func(v, d []float64) []float64 {
		sum := append([]float64(nil), v...)
		add(sum, length, d)
		return sum
	}
	return interior{to(i.x, step.x), to(i.slack, step.slack), to(i.force, step.force)}
}

// slope is the gradient with the limits' forces.
func (p *program) slope(at *interior) []float64 {
	var hx mat.VecDense
	hx.MulVec(p.h, mat.NewVecDense(len(at.x), at.x))
	slope := hx.RawVector().Data
	add(slope, -1, p.g)
	for i, l := range p.limits {
		l.addTo(slope, at.force[i])
	}
	return slope
}

// residual is how far the point is from balance and from its slacks being true.
func (p *program) residual(at *interior) float64 {
	off := 0.0
	for _, v := range p.slope(at) {
		off = max(off, math.Abs(v))
	}
	for i, l := range p.limits {
		off = max(off, math.Abs(l.of(at.x)+at.slack[i]-l.most))
	}
	return off
}

// system is H with the limits' stiffness.
func (p *program) system(at *interior) *mat.SymDense {
	n := len(at.x)
	m := mat.NewSymDense(n, nil)
	m.CopySym(p.h)
	for i, l := range p.limits {
		stiff := at.force[i] / at.slack[i]
		m.SetSym(l.k, l.k, m.At(l.k, l.k)+stiff)
		if l.less >= 0 {
			m.SetSym(l.less, l.less, m.At(l.less, l.less)+stiff)
			m.SetSym(l.k, l.less, m.At(l.k, l.less)-stiff)
		}
	}
	return m
}

// step is a Newton step to where slack times force is aim for all limits; first,
// if there is one, corrects it for the product of its own changes.
func (p *program) step(at *interior, factor *mat.Cholesky, first *interior, aim float64) interior {
	n := len(at.x)
	right := p.slope(at)
	scaled(right, -1)
	off, rest := make([]float64, len(p.limits)), make([]float64, len(p.limits))
	for i, l := range p.limits {
		off[i] = l.of(at.x) + at.slack[i] - l.most
		rest[i] = at.slack[i]*at.force[i] - aim
		if first != nil {
			rest[i] += first.slack[i] * first.force[i]
		}
		l.addTo(right, (rest[i]-at.force[i]*off[i])/at.slack[i])
	}
	var x mat.VecDense
	// A factor that is next to singular gives a step that is less good, no more.
	_ = factor.SolveVecTo(&x, mat.NewVecDense(n, right))
	to := interior{x: x.RawVector().Data, slack: make([]float64, len(p.limits)), force: make([]float64, len(p.limits))}
	for i, l := range p.limits {
		to.slack[i] = -off[i] - l.of(to.x)
		to.force[i] = -(rest[i] + at.force[i]*to.slack[i]) / at.slack[i]
	}
	return to
}
