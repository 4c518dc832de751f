package learn

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
		for j := range runs[i].Readings {
			runs[i].Readings[j].OpeningPct *= 45.0 / 60
		}
		runs[i].Readings = append(runs[i].Readings, Reading{1, 50, 95, LeftCensored}, Reading{2, 50, 5, LeftCensored}, Reading{3, 0.5, -0.5, Uncensored}, Reading{4, 0.5, 0, Uncensored}, Reading{5, 0.5, 0.5, Uncensored})
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
		if u.Censoring != Uncensored {
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
