package learn

import (
	"math"
	"math/rand/v2"
	"testing"

	"bladeline/curves"

	"github.com/stretchr/testify/assert"
)

func TestMisreadFromFourTimesTheSpreadOn(t *testing.T) {
	f := &fitting{scale: 2, rows: []row{{residual: 8}, {residual: 8.1}, {residual: -8}, {residual: -8.1, run: "b"}}}
	out := f.dropMisread()
	assert.Len(t, f.rows, 2)
	if assert.Len(t, out, 2) {
		assert.Equal(t, "is 8.1 points above what its coverage and the other jobs suggest: misread?", out[0].Reason)
		assert.Equal(t, "is 8.1 points below what its coverage and the other jobs suggest: misread?", out[1].Reason)
	}
	f = &fitting{scale: 2, rows: []row{{residual: 8}, {residual: 8.1}}}
	assert.Equal(t, "is 8.1 points above what its coverage suggests: misread?", f.dropMisread()[0].Reason, "of one run alone")
}

func TestDoubtsOfSpreadsFromTheirBoundsOn(t *testing.T) {
	for _, tc := range []struct {
		after, before float64 // medians, where a key is read to 2 %
		want          string
	}{
		{20, 30, ""},
		{20.1, 30, "^the readings follow no curve well: "},
		{5, 3, ""},
		{5, 2.9, "^the readings contradict each other: "},
	} {
		f := &fitting{o: Options{ReadingPct: 2}}
		doubts := f.doubts(&Result{After: Spread{MedianPct: tc.after}, Before: Spread{MedianPct: tc.before}}, 0)
		if tc.want == "" {
			assert.Empty(t, doubts, "%g after %g", tc.after, tc.before)
		} else if assert.Len(t, doubts, 1) {
			assert.Regexp(t, tc.want, doubts[0])
		}
	}
}

func TestThinnedWithinATenthOfAPoint(t *testing.T) {
	for middle, want := range map[float64]int{50.0999: 2, 50.1001: 3} {
		assert.Len(t, thinned(&curves.Curve{Shape: curves.Straight, Points: []curves.Point{at(0, 0), at(50, middle), at(100, 100)}}), want)
	}
}

// Curves are compared at every quarter of a percent of coverage. A peak that is a
// tenth of a point high only there is seen; one between two of them, at which the
// curve is 0.095 off, is not, and needs no point.
func TestThinnedLooksAtEveryQuarter(t *testing.T) {
	for peak, want := range map[float64]int{7.75: 3, 7.625: 2} {
		all := &curves.Curve{Shape: curves.Straight, Points: []curves.Point{at(0, 0), at(peak-1, peak-1), at(peak, peak+0.104), at(peak+1, peak+1), at(100, 100)}}
		points := thinned(all)
		assert.GreaterOrEqual(t, len(points), want, "%g", peak)
		assert.Equal(t, want > 2, len(points) > 2, "%g", peak)
	}
}

// A wrong zero takes a reading beyond the scale; nothing takes it beyond twice
// the travel.
func TestReadingsUpToTwiceTheTravel(t *testing.T) {
	for opening, want := range map[float64]bool{200: true, -200: true, 200.1: false, -200.1: false} {
		err := Run{Name: "a", Sweep: 45, Readings: []Reading{{Zone: 1, CoveragePct: 5, OpeningPct: opening}}}.check()
		assert.Equal(t, want, err == nil, "%g", opening)
	}
}

// What is run at a sweep without end feeds no ink; a reference sweep below 1 is
// one.
func TestSweepsOfLearning(t *testing.T) {
	assert.ErrorContains(t, Run{Name: "a", Sweep: math.Inf(1)}.check(), "feeds no ink")
	assert.Equal(t, 0.5, Options{ReferenceSweep: 45}.completed(&curves.Curve{ReferenceSweep: 0.5}).ReferenceSweep)
}

// What a curve would open beyond its travel is cut to 100 %.
func TestLearnedCurveEndsAtFullTravel(t *testing.T) {
	runs := runsOf(3, 14, func(_ *rand.Rand, _ int, c float64) float64 { return 1.5 * c })
	points := learned(t, oldCurve(t), runs).Curve.Points
	assert.Equal(t, at(100, 100), points[len(points)-1])
}
