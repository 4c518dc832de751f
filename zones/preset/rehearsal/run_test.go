package rehearsal

import (
	"context"
	"math"
	"testing"

	"bladeline/curves"
	"bladeline/curves/rollers"
	"bladeline/zones/preset"
	"bladeline/zones/press"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// byLine is a form that is preset by the line of its own train, as a curve: on the small
// press a zone of coverage c asks for 100·(A + B·c)/80 % at the reference sweep.
func byLine(t require.TestingT, on *press.Press, of tint, sweep float64) Input {
	train, err := preset.NewTrain(on, rollers.Fine)
	require.NoError(t, err)
	curve := &curves.Curve{Name: "Line", Shape: curves.Straight}
	for _, pct := range []float64{0, 100} {
		curve.Points = append(curve.Points, curves.Point{CoveragePct: pct, OpeningPct: 100 * train.Line().FeedUM(1, pct/100, 0) / on.Train.Feed.FilmFullUM})
	}
	f := laid(t, on, of)
	p, err := preset.New("Regatta", on, []preset.UnitInput{{Form: f, Curve: curve, Sweep: &sweep}}, preset.ByKeys)
	require.NoError(t, err)
	in := inputOf(t, on, of)
	in.Preset, in.Curves = p, map[string]*curves.Curve{"Black": curve}
	return in
}

func settledOf(t *testing.T, in Input) *Settled {
	u := &in.Preset.Units[0]
	train, err := preset.NewTrain(u.OnPress(in.On), rollers.Fine)
	require.NoError(t, err)
	run, err := NewRun(train, in, u)
	require.NoError(t, err)
	settled, err := run.Settle(t.Context())
	require.NoError(t, err)
	return settled
}

// halves is a form of two tints, side by side.
func halves(left, right float64) func(xMM, yMM float64) float64 {
	return func(xMM, _ float64) float64 {
		if xMM < 90 {
			return left
		}
		return right
	}
}

// TestLevelByCurve: on a train that was not fitted films are held against what the curve
// asks for, so that a sweep at which keys are held by their ceiling shows as light zones,
// and no zone as heavy for it; and where the curve is not known that cannot be seen,
// which is said.
func TestLevelByCurve(t *testing.T) {
	on := smallPress(press.Left)
	right := rehearsed(t, byLine(t, on, halves(0.9, 0.2), on.Sweep.Reference))
	assert.Equal(t, ByCurve, right.Level)
	assert.InDelta(t, 1, right.MeanUM, 0.01, "by the curve, to a step of the keys")
	assert.Contains(t, right.Sentences[len(right.Sentences)-1], "held against what curve Line asks for at its sweep of 45 %")

	low := byLine(t, on, halves(0.9, 0.2), 10)
	ink := rehearsed(t, low)
	for _, z := range ink.Zones[:2] {
		assert.Less(t, z.DeviationPct, -20.0, "zone %d is held by the ceiling", z.Zone)
	}
	assert.Contains(t, ink.Sentences[0], "the ceiling holds keys there; take a longer sweep")

	low.Curves, low.NoCurve = nil, map[string]string{"Black": "nothere.curve.toml: there is no such file"}
	blind := rehearsed(t, low)
	assert.Equal(t, Assumed, blind.Level)
	assert.InDelta(t, 1, blind.MeanUM, 1e-3)
	assert.Contains(t, blind.Sentences[len(blind.Sentences)-1], "a sweep that is too low or too high is not seen: nothere.curve.toml: there is no such file")
}

// TestLevelOfWhatWasRun: it was passed as right, so its own mean is the level, be the
// curve known or not.
func TestLevelOfWhatWasRun(t *testing.T) {
	in := byLine(t, smallPress(press.Left), even(0.3), 45)
	for i := range in.Preset.Units[0].Keys {
		k := &in.Preset.Units[0].Keys[i]
		k.OKKey = new(1.5 * k.Key)
	}
	ink := rehearsed(t, in)
	assert.Equal(t, Assumed, ink.Level)
	assert.InDelta(t, 1, ink.MeanUM, 1e-3)
	assert.Contains(t, ink.Sentences[len(ink.Sentences)-1], "since what was run is taken to be right")
}

// TestOnTheWhole: keys that all stand alike too wide are no matter of single keys. The
// sweep that is named brings the mean back, by the whole train.
func TestOnTheWhole(t *testing.T) {
	in := byLine(t, smallPress(press.Left), even(0.3), 45)
	for i := range in.Preset.Units[0].Keys {
		k := &in.Preset.Units[0].Keys[i]
		k.Key *= 1.25
		k.OpeningPct *= 1.25
		k.KeyText = in.On.Keys.Text(k.Key)
	}
	ink := rehearsed(t, in)
	assert.InDelta(t, 1.25, ink.MeanUM, 0.03, "films are in proportion to what is fed")
	assert.Regexp(t, `^on the whole the form will run about 2\d % heavy: take a shorter sweep, about \d+ %, with every key where it stands; --try sweep=\d+ shows it$`, ink.Sentences[0])
	assert.NotContains(t, ink.Sentences[1], "heavy", "no zone by itself")
	s, err := newStage(in, &in.Preset.Units[0])
	require.NoError(t, err)
	to, reaches := s.sweepFor(1 / 1.25)
	require.True(t, reaches)
	in.Preset.Units[0].Sweep = to
	assert.InDelta(t, 1, rehearsed(t, in).MeanUM, 0.03)
}

// TestRunTellsWhatARehearsalDoes: what is worked out piece by piece has the numbers of
// the whole.
func TestRunTellsWhatARehearsalDoes(t *testing.T) {
	in := byLine(t, smallPress(press.Left), halves(0.9, 0.2), 15)
	whole, settled := rehearsed(t, in), settledOf(t, in)
	started, err := settled.Started(t.Context())
	require.NoError(t, err)
	assert.Equal(t, whole.Zones, started.Zones)
	assert.Equal(t, whole.StartUp, started.StartUp)
	assert.Equal(t, whole.Ghosts, settled.Ghosts)
	sentences, err := settled.Sentences(t.Context(), in, 0)
	require.NoError(t, err)
	assert.Equal(t, whole.Sentences, sentences)
	for i, z := range whole.Zones {
		assert.InDelta(t, 100+z.DeviationPct, settled.Films().Pct[i], 0.06)
		assert.InDelta(t, *z.Density, settled.Films().Density[i], 1e-4)
	}
	again, err := settled.Solved(t.Context(), &in.Preset.Units[0])
	require.NoError(t, err)
	assert.Equal(t, settled.Films().Pct, again.Pct, "the same keys")
}

// TestRunByLine: the line answers near what the whole train settles at where zones are
// alike, and like that sees a sweep that is too low.
func TestRunByLine(t *testing.T) {
	for _, sweep := range []float64{45, 10} {
		in := byLine(t, smallPress(press.Left), even(0.9), sweep)
		u := &in.Preset.Units[0]
		train, err := preset.NewTrain(in.On, rollers.Fine)
		require.NoError(t, err)
		run, err := NewRun(train, in, u)
		require.NoError(t, err)
		set, asked := run.Line()
		settled := settledOf(t, in)
		for i := range set.Pct {
			assert.InDelta(t, settled.Films().Pct[i], set.Pct[i], 1)
			assert.InDelta(t, 100, asked.Pct[i], 1)
			assert.InDelta(t, 100, settled.Asked().Pct[i], 1)
		}
		assert.Equal(t, sweep < 45, set.Pct[2] < 90)
		band := run.Band()
		assert.InDelta(t, 2.1*(1-math.Exp(-1.3*0.9)), band[0], 1e-4, "Tollenaar and Ernst, as curves/ink has it")
	}
}

// TestPull: what one key does is shared as when it alone is open, for films are linear in
// the openings.
func TestPull(t *testing.T) {
	in := byLine(t, smallPress(press.Left), halves(0.9, 0.2), 45)
	settled := settledOf(t, in)
	pull, err := settled.Pull(t.Context(), 3)
	require.NoError(t, err)
	assert.InDelta(t, 0.2*pull.FromPct, math.Abs(pull.ToPct-pull.FromPct), 0.5+1e-9, "by a fifth, on a step of the key")
	s := settled.stage
	alone := make([]float64, 6)
	alone[2] = 10
	st, err := s.train.Steady(context.Background(), s.form, s.train.Setting(alone, s.sweep))
	require.NoError(t, err)
	want := sharesOf(make([]float64, 6), s.train.FilmsUM(st))
	assert.InDeltaSlice(t, want, pull.SharesPct, 0.6) // each from films within the residual of a steady state
	films := func(i int) float64 { return settled.SampleFilms(pull.Samples[i]).Pct[2] }
	assert.InDelta(t, settled.Films().Pct[2], films(0), 3)
	assert.Greater(t, math.Abs(films(len(pull.Samples)-1)-films(0)), 2.0)
	_, err = settled.Pull(t.Context(), 7)
	assert.ErrorContains(t, err, "no zone 7")
}

// TestPullOnSteps: a key that is next to shut is moved by 2 % at least, and to a step.
func TestPullOnSteps(t *testing.T) {
	on := smallPress(press.Left)
	in := byLine(t, on, func(x, _ float64) float64 { return map[bool]float64{true: 0.2, false: 0}[x < 150] }, 45)
	u := &in.Preset.Units[0]
	for step, to := range map[float64]float64{1: 7, 5: 10} {
		on.Keys.Step = step
		u.Keys[5].Key = 5
		pull, err := settledOf(t, in).Pull(t.Context(), 6)
		require.NoError(t, err)
		assert.InDelta(t, 5, pull.FromPct, 1e-9)
		assert.InDelta(t, to, pull.ToPct, 1e-9)
	}
}

// TestNeverOnTarget: a zone that settles far off its target stands, and never comes on
// it; the others do, and are counted by themselves.
func TestNeverOnTarget(t *testing.T) {
	ink := rehearsed(t, inputOf(t, smallPress(press.Left, "spring.csv"), even(0.3), 1, 1, 1, 1, 1, 0.4))
	last := ink.Zones[5]
	assert.Less(t, last.DeviationPct, -20.0)
	assert.NotNil(t, last.NearAfter, "it stands at its own film")
	assert.Nil(t, last.NearTarget)
	near := ink.StartUp.NearTarget
	assert.Contains(t, near.Never, 6)
	assert.NotContains(t, near.Never, 1)
	require.NotNil(t, near.Sheets)
	most := 0
	for _, z := range ink.Zones[:3] {
		require.NotNil(t, z.NearTarget)
		assert.GreaterOrEqual(t, *z.NearTarget, 1)
		most = max(most, *z.NearTarget)
	}
	assert.GreaterOrEqual(t, *near.Sheets, most)
	for _, s := range ink.StartUp.Samples {
		if s.Sheet > *near.Sheets {
			assert.InDelta(t, 1, s.FilmUM[0], 0.1)
		}
	}
}

// TestOnTargetWhereAllStandThere: keys that print the target come on it when they stand.
func TestOnTargetWhereAllStandThere(t *testing.T) {
	ink := rehearsed(t, inputOf(t, smallPress(press.Left, "spring.csv"), even(0.3)))
	assert.Empty(t, ink.StartUp.NearTarget.Never)
	assert.InDelta(t, *ink.StartUp.Near.Sheets, *ink.StartUp.NearTarget.Sheets, 3)
	assert.Greater(t, *ink.StartUp.NearTarget.InkG, 0.0)
}
