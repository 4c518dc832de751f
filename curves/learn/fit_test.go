package learn

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"bladeline/curves"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// convergedFit fits without dropping or rounding anything.
func convergedFit(t require.TestingT, old *curves.Curve, runs []Run, o Options) *fitting {
	f := newFitting(old, runs, o)
	require.NoError(t, f.fit())
	return f
}

func TestFitScalesWithItsOpenings(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		runs, o := anyRuns(t), Options{45, 1}
		factor := rapid.Float64Range(0.1, 1).Draw(t, "factor")
		old := oldCurve(t)
		smaller := prepared(t, curves.Smooth, old.Points...)
		smaller.Points = slices.Clone(old.Points)
		for i := range smaller.Points {
			smaller.Points[i].OpeningPct *= factor
		}
		require.NoError(t, smaller.Prepare())
		f := convergedFit(t, old, runs, o)
		for i := range runs {
			for j := range runs[i].Readings {
				runs[i].Readings[j].OpeningPct *= factor
			}
		}
		o.ReadingPct = factor
		g := convergedFit(t, smaller, runs, o)
		for i := range f.value {
			require.InDelta(t, f.value[i]*factor, g.value[i], 1e-3)
		}
	})
}

// Readings that are what was fitted anyway change nothing, as long as the
// spread about the curve is within the reading error.
func TestFitIsNotMovedByPointsOnIt(t *testing.T) {
	known := knownCurve(t)
	rapid.Check(t, func(t *rapid.T) {
		runs := runsOf(3, rapid.Uint64().Draw(t, "seed"), func(r *rand.Rand, zone int, c float64) float64 {
			return known.At(c) + 0.5*r.NormFloat64() + float64(zone%3)
		})
		o := Options{45, 1}
		f := convergedFit(t, oldCurve(t), runs, o)
		extra := Run{Name: "extra", Sweep: 45}
		for range rapid.IntRange(1, 20).Draw(t, "more") {
			i := rapid.IntRange(0, len(knotsPct)-1).Draw(t, "knot")
			zone := rapid.IntRange(0, 31).Draw(t, "zone")
			extra.Readings = append(extra.Readings, Reading{zone + 1, knotsPct[i], f.value[i] + f.shift[zone], Uncensored})
		}
		g := convergedFit(t, oldCurve(t), append(runs, extra), o)
		require.InDeltaSlice(t, f.value, g.value, 1e-4)
		require.InDeltaSlice(t, f.shift, g.shift, 1e-4)
	})
}

// Without noise the minimum is a minimum: no step to any side lowers the
// objective, written down anew here.
func TestFitMinimizesItsObjective(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := convergedFit(t, oldCurve(t), anyRuns(t), Options{45, 1})
		least := objective(f)
		at := rapid.IntRange(0, len(f.value)-1).Draw(t, "knot")
		step := rapid.SampledFrom([]float64{-0.1, -0.01, 0.01, 0.1}).Draw(t, "step")
		for i := at; i < len(f.value); i++ {
			f.value[i] += step // one increment moves all that follow
		}
		if at == 0 && f.value[0] < 0 || at > 0 && f.value[at] < f.value[at-1] {
			return // no curve
		}
		require.GreaterOrEqual(t, objective(f), least-1e-6*least)
		for i := at; i < len(f.value); i++ {
			f.value[i] -= step
		}
		f.shift[rapid.IntRange(0, len(f.shift)-1).Draw(t, "key")] += step
		require.GreaterOrEqual(t, objective(f), least-1e-6*least)
	})
}

// At the minimum the objective is level in every increment that is free and every
// shift: a weight of it that is off by a hundredth tips it by ten times what is let
// pass.
func TestFitIsLevelAtItsMinimum(t *testing.T) {
	const step, level = 1e-4, 1e-3
	known := knownCurve(t)
	f := convergedFit(t, oldCurve(t), runsOf(3, 9, func(r *rand.Rand, _ int, c float64) float64 { return known.At(c) + r.NormFloat64() }), Options{45, 1})
	slopeOf := func(move func(by float64)) float64 {
		move(step)
		above := objective(f)
		move(-2 * step)
		below := objective(f)
		move(step)
		return (above - below) / (2 * step)
	}
	free, tipped := 0, 0.0
	for at := 1; at < len(f.value); at++ {
		if f.value[at]-f.value[at-1] < 0.01 {
			continue
		}
		free++
		rise := func(by float64) {
			for i := at; i < len(f.value); i++ {
				f.value[i] += by
			}
		}
		assert.InDelta(t, 0, slopeOf(rise), level, "increment %d", at)
		whole := bends(f)
		rise(step)
		tipped = max(tipped, math.Abs(bends(f)-whole)/step) // of a λ₂ that is 1 more
		rise(-step)
	}
	assert.Greater(t, free, len(f.value)/2)
	assert.Greater(t, tipped, 10*level)
	for k := range f.shift {
		assert.InDelta(t, 0, slopeOf(func(by float64) { f.shift[k] += by }), level, "key %d", k)
	}
}

// bends is ∫(g″)².
func bends(f *fitting) (sum float64) {
	var slopes, middles []float64
	for i := 1; i < len(f.value); i++ {
		h := knotsPct[i] - knotsPct[i-1]
		slopes = append(slopes, (f.value[i]-f.old[i]-f.value[i-1]+f.old[i-1])/h)
		middles = append(middles, (knotsPct[i]+knotsPct[i-1])/2)
	}
	for i := 1; i < len(slopes); i++ {
		h := middles[i] - middles[i-1]
		bend := (slopes[i] - slopes[i-1]) / h
		sum += bend * bend * h
	}
	return sum
}

// objective is Σ ρ(r) + ½·Σ z² + ∫(g′)² + 100·∫(g″)² in plain words.
func objective(f *fitting) (sum float64) {
	for _, r := range f.rows {
		v := math.Abs(r.OpeningPct - f.at(&r)*r.ratio - f.shift[r.key])
		signed := r.OpeningPct - f.at(&r)*r.ratio - f.shift[r.key]
		if r.Censoring == LeftCensored && signed > 0 || r.Censoring == RightCensored && signed < 0 {
			continue
		}
		if k := 1.345 * f.scale; v > k {
			sum += 2*k*v - k*k
		} else {
			sum += v * v
		}
	}
	for _, z := range f.shift {
		sum += z * z / 2
	}
	for i := 1; i < len(f.value); i++ {
		h := knotsPct[i] - knotsPct[i-1]
		slope := (f.value[i] - f.old[i] - f.value[i-1] + f.old[i-1]) / h
		sum += slope * slope * h
	}
	return sum + 100*bends(f)
}

// A bound is satisfied where it is not overstepped: right on it, too.
func TestSatisfiedBounds(t *testing.T) {
	for _, c := range []struct {
		censoring Censoring
		residual  float64
		satisfied bool
	}{
		{LeftCensored, 0.5, true},
		{LeftCensored, 0, true},
		{LeftCensored, -0.5, false},
		{RightCensored, 0.5, false},
		{RightCensored, 0, true},
		{RightCensored, -0.5, true},
		{Uncensored, 0.5, false},
		{Uncensored, 0, false},
		{Uncensored, -0.5, false},
	} {
		r := row{Reading: Reading{Censoring: c.censoring}, residual: c.residual}
		assert.Equal(t, c.satisfied, r.satisfied(), "%+v", c)
	}
}

// Coverages count as one within a tenth of a percent.
func TestDistinctCoverages(t *testing.T) {
	f := &fitting{}
	for _, c := range []float64{10, 10.04, 9.96, 10.06, 10.14, 10.95, 11, 20, 20.055} {
		f.rows = append(f.rows, row{Reading: Reading{CoveragePct: c}})
	}
	f.rows = append(f.rows, row{Reading: Reading{CoveragePct: 50, Censoring: LeftCensored}})
	assert.Equal(t, 5, f.coverages(), "10.0, 10.1, 11.0, 20.0 and 20.1; 10.95 rounds to 11.0")
}
