package rollers

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"
)

// Worked by hand: the point nearest to (3, 1) with both from 0 to 2 and no more
// than 0.5 apart is, on x − y = 0.5, (2, 1.5) at the bound.
func TestProgramByHand(t *testing.T) {
	p := program{h: mat.NewSymDense(2, []float64{1, 0, 0, 1}), g: []float64{3, 1}, limits: []limit{
		{0, -1, 1, 2}, {0, -1, -1, 0}, {1, -1, 1, 2}, {1, -1, -1, 0}, {1, 0, 1, 0.5}, {1, 0, -1, 0.5},
	}}
	x, err := p.solve(context.Background(), []float64{0, 0})
	require.NoError(t, err)
	assert.InDeltaSlice(t, []float64{2, 1.5}, x, 1e-8)
}

// What the conditions of Karush, Kuhn and Tucker ask of a solution, in the form
// that needs no forces: no limit is broken, and no direction that the limits
// leave goes down.
func TestProgramsAgainstSmallSteps(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		n := rapid.IntRange(1, 6).Draw(rt, "variables")
		number := rapid.Float64Range(-2, 2)
		h := mat.NewSymDense(n, nil)
		for i := range n {
			h.SetSym(i, i, 1e-3)
		}
		for range n {
			h.SymRankOne(h, 1, mat.NewVecDense(n, rapid.SliceOfN(number, n, n).Draw(rt, "row")))
		}
		p := program{h: h, g: rapid.SliceOfN(number, n, n).Draw(rt, "g")}
		most := rapid.Float64Range(0.01, 1).Draw(rt, "apart")
		for k := range n {
			p.limits = append(p.limits, limit{k, -1, 1, rapid.Float64Range(1, 2).Draw(rt, "ceiling")}, limit{k, -1, -1, rapid.Float64Range(-0.5, 0).Draw(rt, "floor")})
			if k > 0 {
				p.limits = append(p.limits, limit{k, k - 1, 1, most}, limit{k, k - 1, -1, most})
			}
		}
		x, err := p.solve(context.Background(), make([]float64, n))
		require.NoError(rt, err)
		value := func(x []float64) float64 {
			v := mat.NewVecDense(n, x)
			return mat.Inner(v, h, v)/2 - dot(p.g, x)
		}
		for _, l := range p.limits {
			require.LessOrEqual(rt, l.of(x), l.most+1e-8)
		}
		for range 50 {
			y := rapid.SliceOfN(rapid.Float64Range(0, 1), n, n).Draw(rt, "elsewhere")
			kept := true
			for _, l := range p.limits {
				kept = kept && l.of(y) <= l.most
			}
			if kept {
				require.GreaterOrEqual(rt, value(y), value(x)-1e-7)
			}
			for _, step := range []float64{0.5, 1e-3} { // towards it, from the solution
				z := make([]float64, n)
				for k := range z {
					z[k] = x[k] + step*(y[k]-x[k])
				}
				if kept {
					require.GreaterOrEqual(rt, value(z), value(x)-1e-7)
				}
			}
		}
	})
}

// On this one Mehrotra's corrections lead in a circle of four steps.
func TestProgramInACircle(t *testing.T) {
	p := program{h: mat.NewSymDense(2, []float64{2.001, 2, 2, 2.001}), g: []float64{0.0234375, -1}, limits: []limit{
		{0, -1, 1, 1}, {0, -1, -1, -0.00390625}, {1, -1, 1, 1}, {1, -1, -1, -0.001953125}, {1, 0, 1, 0.015625}, {1, 0, -1, 0.015625},
	}}
	x, err := p.solve(context.Background(), []float64{0, 0})
	require.NoError(t, err)
	// The second at its floor; on that line the first falls to 0.00976, by hand
	// (0.0234375 − 2·0.001953125) / 2.001.
	assert.InDeltaSlice(t, []float64{(0.0234375 - 2*0.001953125) / 2.001, 0.001953125}, x, 1e-8)
}

func TestProgramStops(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	p := program{h: mat.NewSymDense(1, []float64{1}), g: []float64{1}, limits: []limit{{0, -1, 1, 0.5}}}
	_, err := p.solve(ctx, []float64{0})
	assert.ErrorIs(t, err, context.Canceled)
	p.h.SetSym(0, 0, math.NaN())
	_, err = p.solve(context.Background(), []float64{0})
	assert.ErrorContains(t, err, "did not converge")
}
