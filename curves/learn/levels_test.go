package learn

import (
	"math"
	"testing"

	"bladeline/curves"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// By hand: of 9 and 11 each is a tenth off their mean, of 38 and 42 a twentieth. The
// squares add up to 2 × 0.01 + 2 × 0.0025 over 2 degrees of freedom, a share of
// √0.0125 = 0.1118; of an opening of 10 from two readings 0.7906.
func TestLevelsByHand(t *testing.T) {
	c := &curves.Curve{Name: "line", Shape: curves.Straight, Points: []curves.Point{{CoveragePct: 0, OpeningPct: 5}, {CoveragePct: 100, OpeningPct: 105 - 5}}}
	require.NoError(t, c.Prepare())
	read := func(coverage, opening float64, as Censoring) Fitted {
		return Fitted{Reading: Reading{CoveragePct: coverage, Censoring: as}, ReferencePct: opening}
	}
	l := &Result{Curve: c, Used: []Fitted{read(40.01, 38, Uncensored), read(5, 9, Uncensored), read(39.99, 42, Uncensored), read(5, 11, Uncensored), read(5, 90, LeftCensored), read(70, 60, Uncensored)}}
	levels := l.Levels()
	require.Len(t, levels, 3)
	share := math.Sqrt((2*0.01 + 2*0.0025) / 2)
	assert.InDelta(t, 5, levels[0].CoveragePct, 1e-12)
	assert.Equal(t, 2, levels[0].Readings, "a bound does not count")
	assert.InDelta(t, share*c.At(5)/math.Sqrt2, levels[0].ErrorPct, 1e-12)
	assert.InDelta(t, share*c.At(40)/math.Sqrt2, levels[1].ErrorPct, 1e-12)
	assert.InDelta(t, share*c.At(70), levels[2].ErrorPct, 1e-12, "one reading is as far off as any")
	assert.True(t, math.IsNaN((&Result{Curve: c, Used: l.Used[5:]}).Levels()[0].ErrorPct), "nothing was read twice")
	assert.Empty(t, (*Result)(nil).Levels())
}

// The same readings give the same errors to the last digit, whichever coverage is
// reckoned with first.
func TestLevelsAreTheSameEachTime(t *testing.T) {
	l := &Result{Curve: &curves.Curve{Name: "line", Shape: curves.Straight, Points: []curves.Point{{CoveragePct: 0, OpeningPct: 5}, {CoveragePct: 100, OpeningPct: 95}}}}
	for i := range 60 {
		l.Used = append(l.Used, Fitted{Reading: Reading{CoveragePct: float64(i/2 + 1)}, ReferencePct: 10 + math.Sqrt(float64(i))})
	}
	want := l.Levels()
	for range 50 {
		require.Equal(t, want, l.Levels())
	}
}
