package rollers

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func sheetfedLine(t require.TestingT, tb testing.TB) *Line {
	l, err := NewLine(sheetfed(), spread(tb, sheetfed()))
	require.NoError(t, err)
	return l
}

// readingsOf are openings of a press whose film at full opening and strip are
// known, each read with an error.
func readingsOf(l *Line, full, strip, film, errPct float64, r *rand.Rand, covers ...float64) []Reading {
	var readings []Reading
	for _, c := range covers {
		readings = append(readings, Reading{c, 100*l.FeedUM(film, c, strip)/full + errPct*r.NormFloat64()})
	}
	return readings
}

// Readings without error give back what they were made of.
func TestFitOfExactReadings(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		l := sheetfedLine(rt, t)
		full, strip := rapid.Float64Range(150, 400).Draw(rt, "full"), rapid.Float64Range(10, 80).Draw(rt, "strip")
		film := rapid.Float64Range(0.6, 1.5).Draw(rt, "film")
		f, err := l.Fit(film, readingsOf(l, full, strip, film, 0, rand.New(rand.NewPCG(1, 1)), 0.02, 0.1, 0.2, 0.3, 0.5, 0.8))
		require.NoError(rt, err)
		require.InEpsilon(rt, full, f.FilmFullUM, 1e-9)
		require.InEpsilon(rt, strip, f.StripMM, 1e-9)
		require.InDelta(rt, 0, f.SpreadPct, 1e-6)
		require.Equal(rt, 6, f.Readings)
	})
}

// Over many presses the errors that are stated are those that are made: for a
// normal error 68 % of all values lie within one, 95 % within two.
func TestFitStatesItsErrors(t *testing.T) {
	l := sheetfedLine(t, t)
	r := rand.New(rand.NewPCG(2, 9))
	covers := make([]float64, 60)
	within, n := [2][2]int{}, 0
	for range 400 {
		for i := range covers {
			covers[i] = 0.5 * r.Float64()
		}
		f, err := l.Fit(1, readingsOf(l, 100, 24, 1, 1, r, covers...))
		if err != nil {
			continue
		}
		n++
		for k, off := range []float64{(f.FilmFullUM - 100) / f.FilmFullError, (f.StripMM - 24) / f.StripError} {
			for times := range 2 {
				if math.Abs(off) < float64(times+1) {
					within[k][times]++
				}
			}
		}
	}
	require.Greater(t, n, 390)
	for k := range 2 {
		assert.InDelta(t, 0.68, float64(within[k][0])/float64(n), 0.08)
		assert.InDelta(t, 0.95, float64(within[k][1])/float64(n), 0.05)
	}
}

// What the readings do not hold is not called fitted.
func TestUnfit(t *testing.T) {
	l := sheetfedLine(t, t)
	r := rand.New(rand.NewPCG(7, 7))
	wide := []float64{0.02, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7}
	flat := func(o float64) (readings []Reading) {
		for i, c := range wide {
			readings = append(readings, Reading{c, o + 0.1*float64(i%2)})
		}
		return readings
	}
	proportional := func() (readings []Reading) {
		for i, c := range wide {
			readings = append(readings, Reading{c, 60*c + 0.5*float64(i%3)})
		}
		return readings
	}
	// A strip known to 40 % of itself, as of a curve that jobs at odds taught.
	loose := readingsOf(l, 25, 128, 1, 0, r, wide...)
	for i := range loose {
		loose[i].OpeningPct += []float64{4, -4, -4, 4}[i%4]
	}
	for name, c := range map[string]struct {
		readings []Reading
		reason   UnfitReason
		says     string
	}{
		"few":          {readingsOf(l, 100, 24, 1, 0, r, 0.1, 0.2, 0.3, 0.4, 0.5), TooFew, "5 readings hold no line; it takes 6 or more, over 15 % of coverage or more"},
		"narrow":       {readingsOf(l, 100, 24, 1, 0, r, 0.1, 0.11, 0.12, 0.13, 0.14, 0.2), TooFew, "6 readings hold no line"},
		"flat":         {flat(20), NoSlope, "openings do not clearly rise with coverage"},
		"proportional": {proportional(), NoOffset, "cannot be told from none"},
		"loose":        {loose, NoStrip, "cannot be told"},
		"flat slope":   {readingsOf(l, 100, 1e7, 1, 0.001, r, wide...), NoStrip, "how much of that the strip makes"},
	} {
		f, err := l.Fit(1, c.readings)
		var u *Unfit
		require.ErrorAs(t, err, &u, name)
		assert.Equal(t, c.reason, u.Reason, name)
		assert.Equal(t, len(c.readings), u.Readings, name)
		assert.ErrorContains(t, err, c.says, name)
		assert.Zero(t, f.StripMM, name)
	}
}

func TestFitRefusesWhatIsNoNumber(t *testing.T) {
	l := sheetfedLine(t, t)
	for _, r := range []Reading{{math.NaN(), 1}, {0.1, math.Inf(1)}, {-0.1, 5}, {1.1, 5}, {0.5, -1}} {
		_, err := l.Fit(1, []Reading{{0.1, 10}, r})
		assert.ErrorContains(t, err, "reading 2 is an opening of")
	}
	for _, film := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		_, err := l.FitStraight(film, Straight{OffsetPct: 3, SlopePct: 40})
		assert.ErrorContains(t, err, "a printed film of")
	}
	_, err := l.FitStraight(1, Straight{OffsetPct: math.NaN(), SlopePct: 40})
	assert.Error(t, err)
	assert.False(t, errors.As(err, new(*Unfit)))
}

// A train whose strip is not known has a line to be fitted, with next to the same R.
func TestLineWithoutStrip(t *testing.T) {
	train := sheetfed()
	train.Feed = Feed{}
	l, err := NewLine(train, spread(t, train))
	require.NoError(t, err)
	known := sheetfedLine(t, t)
	assert.InEpsilon(t, known.A, l.A, 1e-12)
	assert.InEpsilon(t, known.R, l.R, 0.02)
	assert.InEpsilon(t, known.B(24), l.B(24), 1e-3)
}

// The strip that a fully open key needs is that at which the line asks for it.
func TestStripFor(t *testing.T) {
	l := sheetfedLine(t, t)
	strip := l.StripFor(100, 1.1, 0.8)
	assert.InEpsilon(t, 100, l.FeedUM(1.1, 0.8, strip), 1e-12)
	assert.True(t, math.IsInf(l.StripFor(3, 1, 0.5), 1))
}

// A line whose errors are not known is taken as it is.
func TestFitOfALine(t *testing.T) {
	l := sheetfedLine(t, t)
	f, err := l.FitStraight(1.1, Straight{OffsetPct: 110 * l.A / 80, SlopePct: 110 * l.B(30) / 80})
	require.NoError(t, err)
	assert.InEpsilon(t, 80, f.FilmFullUM, 1e-12)
	assert.InEpsilon(t, 30, f.StripMM, 1e-9)
	assert.Zero(t, f.StripError)
}
