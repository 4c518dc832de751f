package curves

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What is said of the readings is what follows from them and from what was
// learned: each is held against the words of its field, bounds beside readings
// and a key below 0 among them.
func TestWhatIsSaidOfTheReadings(t *testing.T) {
	known, old := knownCurve(t), oldCurve(t)
	runs := runsOf(4, 11, func(r *rand.Rand, zone int, c float64) float64 {
		return known.At(c) + float64(zone%3) + r.NormFloat64()
	})
	for i := range runs {
		runs[i].Sweep = 60
		for j := range runs[i].Pairs {
			runs[i].Pairs[j].OpeningPct *= 45.0 / 60
		}
		runs[i].Pairs = append(runs[i].Pairs, Pair{1, 50, 95, AtMost}, Pair{2, 50, 5, AtMost}, Pair{3, 0.5, -0.5, Exactly}, Pair{4, 0.5, 0, Exactly}, Pair{5, 0.5, 0.5, Exactly})
	}
	l := learned(t, old, runs)
	offset := map[int]float64{}
	for _, o := range l.Offsets {
		offset[o.Zone] = o.ShiftPct
	}
	const ratio = 45.0 / 60
	var before, after, with, feedBefore, feedAfter, feedWith []float64
	bounds, readings := 0, map[int]int{}
	for _, u := range l.Used {
		curve := l.Curve.At(u.CoveragePct) * ratio
		require.InDelta(t, curve, u.CurvePct, 1e-9)
		require.InDelta(t, u.OpeningPct/ratio, u.ReferencePct, 1e-9)
		if u.Sense != Exactly {
			bounds++
			continue
		}
		readings[u.Zone]++
		require.InDelta(t, u.OpeningPct-curve-offset[u.Zone], u.ResidualPct, 1e-9)
		for _, c := range []struct {
			all, feed *[]float64
			given     float64
		}{{&before, &feedBefore, old.At(u.CoveragePct) * ratio}, {&after, &feedAfter, curve}, {&with, &feedWith, curve + offset[u.Zone]}} {
			*c.all = append(*c.all, c.given-u.OpeningPct)
			if u.OpeningPct > 0 {
				*c.feed = append(*c.feed, 100*(c.given-u.OpeningPct)/u.OpeningPct)
			}
		}
	}
	require.NotZero(t, bounds)
	require.Less(t, len(feedAfter), len(after), "a key at 0 or below feeds nothing to compare with")
	for _, o := range l.Offsets {
		assert.Equal(t, readings[o.Zone], o.Readings, "zone %d", o.Zone)
	}
	for got, want := range map[*Spread][2][]float64{&l.Before: {before, feedBefore}, &l.After: {after, feedAfter}, &l.WithOffsets: {with, feedWith}} {
		assert.Equal(t, len(want[0]), got.Readings)
		assert.InDelta(t, rms(want[0]), got.RMSPct, 1e-9)
		assert.InDelta(t, medianAbs(want[0]), got.MedianPct, 1e-9)
		assert.InDelta(t, rms(want[1]), got.RMSFeedPct, 1e-9)
		assert.InDelta(t, medianAbs(want[1]), got.MedianFeedPct, 1e-9)
	}
	for _, p := range l.Curve.Points {
		assert.Equal(t, math.Round(100*p.OpeningPct)/100, p.OpeningPct, "openings have two decimals")
	}
}

func TestRootMeanSquareAndMedian(t *testing.T) {
	for _, c := range []struct {
		vs          []float64
		rms, median float64
	}{
		{nil, 0, 0}, {[]float64{-3}, 3, 3}, {[]float64{3, -4}, math.Sqrt(12.5), 3.5}, {[]float64{9, -1, 2}, math.Sqrt(86 / 3.0), 2}, {[]float64{8, 1, -2, 4}, math.Sqrt(85 / 4.0), 3},
	} {
		assert.InDelta(t, c.rms, rms(c.vs), 1e-12, "%v", c.vs)
		assert.InDelta(t, c.median, medianAbs(c.vs), 1e-12, "%v", c.vs)
	}
}

// A bound is kept where it is not overstepped: right on it, too.
func TestKeptBounds(t *testing.T) {
	for _, c := range []struct {
		sense    Sense
		residual float64
		kept     bool
	}{
		{AtMost, 0.5, true}, {AtMost, 0, true}, {AtMost, -0.5, false},
		{AtLeast, 0.5, false}, {AtLeast, 0, true}, {AtLeast, -0.5, true},
		{Exactly, 0.5, false}, {Exactly, 0, false}, {Exactly, -0.5, false},
	} {
		r := row{Pair: Pair{Sense: c.sense}, residual: c.residual}
		assert.Equal(t, c.kept, r.kept(), "%+v", c)
	}
}

// Coverages count as one within a tenth of a percent.
func TestDistinctCoverages(t *testing.T) {
	f := &fitting{}
	for _, c := range []float64{10, 10.04, 9.96, 10.06, 10.14, 10.95, 11, 20, 20.055} {
		f.rows = append(f.rows, row{Pair: Pair{CoveragePct: c}})
	}
	f.rows = append(f.rows, row{Pair: Pair{CoveragePct: 50, Sense: AtMost}})
	assert.Equal(t, 5, f.coverages(), "10.0, 10.1, 11.0, 20.0 and 20.1; 10.95 rounds to 11.0")
}

// A misread key is said to stand above or below.
func TestMisreadBelow(t *testing.T) {
	known := knownCurve(t)
	runs := runsOf(4, 12, func(r *rand.Rand, _ int, c float64) float64 { return known.At(c) + 0.3*r.NormFloat64() })
	at := 0
	for i, p := range runs[1].Pairs {
		if p.CoveragePct > runs[1].Pairs[at].CoveragePct {
			at = i
		}
	}
	runs[1].Pairs[at].OpeningPct -= 40
	l := learned(t, oldCurve(t), runs)
	require.Len(t, l.LeftOut, 1)
	assert.Regexp(t, `^stands \d\d\.\d points below what `, l.LeftOut[0].Reason)
	assert.Contains(t, l.Warnings, "1 of 128 readings stand off so far that they were taken for misread")
}

func TestLearnAtItsBounds(t *testing.T) {
	known := knownCurve(t)
	runs := func(change func(*Run)) []Run {
		all := runsOf(3, 13, func(_ *rand.Rand, _ int, c float64) float64 { return known.At(c) })
		change(&all[0])
		return all
	}
	for _, opening := range []float64{-200, 200} {
		_, err := Learn(known, runs(func(r *Run) { r.Pairs[0].OpeningPct = opening }), at45)
		assert.NoError(t, err)
		_, err = Learn(known, runs(func(r *Run) { r.Pairs[0].OpeningPct = opening * 1.0001 }), at45)
		assert.ErrorContains(t, err, "is beyond any key")
	}
	_, err := Learn(known, runs(func(r *Run) { r.Sweep = math.Inf(1) }), at45)
	assert.ErrorContains(t, err, "feeds no ink")
	assert.Equal(t, 0.5, LearnOptions{ReferenceSweep: 45}.completed(&Curve{ReferenceSweep: 0.5}).ReferenceSweep)
}

// What a curve would open beyond its travel is cut to 100 %.
func TestLearnedCurveEndsAtFullTravel(t *testing.T) {
	runs := runsOf(3, 14, func(_ *rand.Rand, _ int, c float64) float64 { return 1.5 * c })
	points := learned(t, oldCurve(t), runs).Curve.Points
	assert.Equal(t, Point{100, 100}, points[len(points)-1])
}

// A reading is misread that stands off by more than four times the spread.
func TestMisreadAtItsBounds(t *testing.T) {
	f := &fitting{scale: 2}
	for i, residual := range []float64{8, -8, 8.01, -8.01} {
		f.rows = append(f.rows, row{Pair: Pair{Zone: i + 1}, residual: residual})
	}
	var zones []int
	for _, out := range f.dropMisread() {
		zones = append(zones, out.Zone)
	}
	assert.Equal(t, []int{3, 4}, zones)
	assert.Len(t, f.rows, 2)
}
