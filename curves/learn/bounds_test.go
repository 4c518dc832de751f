package learn

import (
	"testing"

	"bladeline/curves"

	"github.com/stretchr/testify/assert"
)

func TestMisreadFromFourTimesTheSpreadOn(t *testing.T) {
	f := &fitting{scale: 2, rows: []row{{residual: 7.9}, {residual: 8.1}, {residual: -7.9}, {residual: -8.1}}}
	out := f.dropMisread()
	assert.Len(t, f.rows, 2)
	if assert.Len(t, out, 2) {
		assert.Equal(t, "is 8.1 points above what its coverage and the other jobs suggest: misread?", out[0].Reason)
		assert.Equal(t, "is 8.1 points below what its coverage and the other jobs suggest: misread?", out[1].Reason)
	}
}

func TestDoubtsOfSpreadsFromTheirBoundsOn(t *testing.T) {
	for _, tc := range []struct {
		after, before float64 // medians, where a key is read to 2 %
		want          string
	}{
		{19.9, 30, ""},
		{20.1, 30, "^the readings follow no curve well: "},
		{5, 3.1, ""},
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

// Of 10 readings Kendall's S has a standard error of √125 = 11.2: at -23 they
// fall by more than two, at -21 by less.
func TestFallingFromTwoStandardErrorsOn(t *testing.T) {
	for swaps, want := range map[int]bool{11: true, 12: false} {
		openings := []float64{10, 9, 8, 7, 6, 5, 4, 3, 2, 1} // S = -45, and 2 more for every two that are swapped
		for i := 0; swaps > 0; i = (i + 1) % 9 {
			if openings[i] > openings[i+1] {
				openings[i], openings[i+1] = openings[i+1], openings[i]
				swaps--
			}
		}
		f := &fitting{}
		for i, o := range openings {
			f.rows = append(f.rows, row{Reading: Reading{CoveragePct: float64(i), OpeningPct: o}, ratio: 1})
		}
		assert.Equal(t, want, f.falling())
	}
}

func TestThinnedWithinATenthOfAPoint(t *testing.T) {
	for middle, want := range map[float64]int{50.09: 2, 50.11: 3} {
		assert.Len(t, thinned(&curves.Curve{Shape: curves.Straight, Points: []curves.Point{at(0, 0), at(50, middle), at(100, 100)}}), want)
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
