package preset

import (
	"math"
	"testing"

	"bladeline/curves"
	"bladeline/zones/press"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// percents is a press of whole percents with keys of their own pieces.
func percents() *press.Press {
	return &press.Press{
		Fountain: press.Fountain{Blade: press.Segmented},
		Keys:     press.KeyScale{Unit: press.Percent, Travel: 100, Step: 1},
		Limits:   curves.Limits{CeilingPct: 100},
		Sweep:    curves.SweepScale{Unit: "%", From: 10, To: 90, Step: 1, Reference: 45},
	}
}

// weighed is a trial of keys on a press, by a straight curve of 0 to 100 that refers
// to the press's reference; the best keys are at a sweep of 30 % there.
func weighed(t require.TestingT, on *press.Press, coveragesPct, keys []float64, sweep float64) (*Trial, *Unit, error) {
	curve := &curves.Curve{Name: "line", Shape: curves.Straight, Points: []curves.Point{{CoveragePct: 0, OpeningPct: 0}, {CoveragePct: 100, OpeningPct: 100}}}
	require.NoError(t, curve.Prepare())
	u := &Unit{Sweep: 30}
	var asked []float64
	for _, c := range coveragesPct {
		asked = append(asked, curves.OpeningAt(c, on.Sweep.Reference, u.Sweep))
	}
	openings, states := on.Limits.Apply(asked, nil)
	for i, c := range coveragesPct {
		u.Keys = append(u.Keys, Key{Zone: i + 1, CoveragePct: c, OpeningPct: openings[i], Key: on.Key(i+1, openings[i], false), State: states[i]})
	}
	trial, err := NewTrial(on, u, curve, keys, sweep)
	return trial, u, err
}

// TestTrial weighs zones by hand: 20 % covered demand 20 × 45 = 900, which the best
// keys feed by 30 × 30. The middle of 0.900, 1, 1, 1.1 and 1.117 times that is 1.
func TestTrial(t *testing.T) {
	trial, u, err := weighed(t, percents(), []float64{20, 20, 20, 20, 20, 0.1, 0, 0}, []float64{30, 33, 27, 34, 30, 10, 10, 11}, 30)
	require.NoError(t, err)
	assert.Equal(t, 30.0, u.Keys[0].Key)
	require.Len(t, trial.Zones, 8)
	wantOff := []float64{0, 10, -10, 100 * (1020/900.0 - 1), 0}
	sum := 0.0
	for i, says := range []string{TrialRight, TrialRight, TrialRight, TooMuch, TrialRight} {
		z := trial.Zones[i]
		assert.Equal(t, []float64{900, 900}, []float64{z.Demand, z.Best})
		assert.Equal(t, says, z.Says, "zone %d", z.Zone)
		assert.InDelta(t, wantOff[i], valueOf(t, z.OffPct), 1e-9)
		sum += math.Abs(wantOff[i])
	}
	assert.InDelta(t, sum/5, trial.MeanOffPct, 1e-9)
	for i, says := range map[int]string{5: Uncounted, 6: "", 7: WideOpen} {
		assert.Nil(t, trial.Zones[i].OffPct)
		assert.Equal(t, says, trial.Zones[i].Says, "zone %d", i+1)
	}
	assert.InDelta(t, 0, trial.LevelOffPct, 1e-9)
	assert.InDelta(t, 100*4/6.0, trial.ProfilePct, 1e-9, "4 of the 5 that print, and of one that need not stand open")
	assert.Equal(t, []int{2, 3}, []int{trial.Wrong, trial.UntouchedWrong}, "untouched, the 3 stand open that need not")
	assert.InDelta(t, 100/3.0, trial.Score, 1e-9)
	assert.Contains(t, trial.Definition, "covered less than 0.2 % do not count")
	assert.Contains(t, trial.Definition, "±10 %")
}

// A profile that is right at a sweep that is not loses a quarter at most, and is told
// the sweep; a blade that is left flat is told that the profile is wrong.
func TestProfileAndLevelApart(t *testing.T) {
	covered := []float64{5, 10, 20, 40, 45, 30, 15, 8}
	var best, third []float64
	for _, c := range covered {
		best, third = append(best, math.Round(c*1.5)), append(third, math.Round(c*1.5*4/3))
	}
	trial, _, err := weighed(t, percents(), covered, third, 30)
	require.NoError(t, err)
	assert.Equal(t, 100.0, trial.ProfilePct)
	assert.InDelta(t, 100.0/3, trial.LevelOffPct, 1)
	assert.Equal(t, 22.0, trial.RightSweep, "30 ÷ 4/3 is 22.5")
	assert.InDelta(t, 100*(1-0.25*math.Log((4/3.0)/1.1)/math.Log(2/1.1)), trial.Score, 0.5)

	trial, _, err = weighed(t, percents(), covered, best, 60)
	require.NoError(t, err)
	assert.Equal(t, []float64{100, 100, 75, 30}, []float64{trial.ProfilePct, trial.LevelOffPct, trial.Score, trial.RightSweep})

	flat := []float64{25, 25, 25, 25, 25, 25, 25, 25}
	trial, _, err = weighed(t, percents(), covered, flat, 30)
	require.NoError(t, err)
	assert.LessOrEqual(t, trial.ProfilePct, 25.0)

	trial, _, err = weighed(t, percents(), covered, make([]float64, 8), 30)
	require.NoError(t, err)
	assert.Equal(t, []float64{0, 0, -100}, []float64{trial.Score, trial.ProfilePct, trial.LevelOffPct})
	assert.Equal(t, TooLittle, trial.Zones[0].Says)
}

// TestScoreIsWhatWasImproved leaves keys as they stand, all at 25, and sets some. Of ten
// zones six are covered 20 %, which asks for 30, and four 40 %, for 60: untouched, the
// middle is the six, and they are right. Two of the four that are wrong set right are half
// the points; at twice the ink the level takes a quarter of these. Keys that are worse
// than untouched score 0, and under an even tint untouched is right.
func TestScoreIsWhatWasImproved(t *testing.T) {
	covered := []float64{20, 20, 20, 20, 20, 20, 40, 40, 40, 40}
	for _, c := range []struct {
		keys                               []float64
		sweep                              float64
		profile, points, levelTakes, score float64
	}{
		{[]float64{25, 25, 25, 25, 25, 25, 25, 25, 25, 25}, 45, 60, 0, 0, 0},
		{[]float64{30, 30, 30, 30, 30, 30, 60, 60, 30, 30}, 30, 80, 50, 0, 50},
		{[]float64{30, 30, 30, 30, 30, 30, 60, 60, 30, 30}, 60, 80, 50, 12.5, 37.5},
		{[]float64{10, 10, 10, 30, 30, 30, 30, 30, 30, 30}, 30, 40, 0, 0, 0},
		{[]float64{30, 30, 30, 30, 30, 30, 60, 60, 60, 60}, 30, 100, 100, 0, 100},
	} {
		trial, _, err := weighed(t, percents(), covered, c.keys, c.sweep)
		require.NoError(t, err)
		assert.Equal(t, 4, trial.UntouchedWrong)
		assert.InDeltaSlice(t, []float64{c.profile, c.points, c.levelTakes, c.score}, []float64{trial.ProfilePct, trial.ProfilePoints, trial.LevelPoints, trial.Score}, 1e-9, "%v", c.keys)
	}

	even, u, err := weighed(t, percents(), []float64{20, 20, 20, 20}, []float64{25, 25, 25, 25}, 30)
	require.NoError(t, err)
	assert.Zero(t, even.UntouchedWrong)
	// 25 × 30 of 30 × 30 is a level of 5/6, beyond what is let pass.
	takes := 25 * (math.Log(6.0/5) - math.Log(1.1)) / (math.Log(2) - math.Log(1.1))
	assert.InDeltaSlice(t, []float64{100, takes, 100 - takes}, []float64{even.ProfilePoints, even.LevelPoints, even.Score}, 1e-9)
	keys, sweep := u.Untouched(percents(), &curves.Curve{})
	assert.Equal(t, []float64{25, 25, 25, 25, 45}, append(keys, sweep))
}

// On a blade of one piece keys that zigzag from shut to fully open stand at no less
// than the blade's bend lets them, and score as they stand.
func TestBladeBendsInATrial(t *testing.T) {
	on := percents()
	on.Fountain.Blade, on.Limits.NeighbourPct = press.OnePiece, 25
	covered := []float64{50, 4, 50, 4, 50, 4}
	trial, u, err := weighed(t, on, covered, []float64{100, 0, 100, 0, 100, 0}, 30)
	require.NoError(t, err)
	for i, z := range trial.Zones {
		want := map[bool]float64{true: 100, false: 75}[i%2 == 0]
		assert.Equal(t, want, z.OpeningPct)
		assert.Equal(t, want*30, z.Supply)
		if i%2 == 1 {
			assert.Equal(t, curves.Neighbour, z.State)
		}
	}
	var own []float64
	for _, k := range u.Keys {
		own = append(own, k.Key)
	}
	assert.Equal(t, []float64{75, 50, 75, 50, 75, 50}, own)
	trial, _, err = weighed(t, on, covered, own, 30)
	require.NoError(t, err)
	assert.Equal(t, 100.0, trial.Score, "the blade can do no better for zones of 4 %%")
	assert.Greater(t, trial.Zones[1].Best, 5*trial.Zones[1].Demand)
}

// The keys that are worked out score 100 on every press and form, and none more.
func TestBestKeysScoreBest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		on := percents()
		if rapid.Bool().Draw(t, "screws") {
			on.Keys = press.KeyScale{Unit: press.Turn, Travel: 3, Step: 0.125}
		}
		on.Limits.FloorPct, on.Limits.CeilingPct = rapid.Float64Range(0, 6).Draw(t, "floor"), rapid.Float64Range(70, 100).Draw(t, "ceiling")
		if rapid.Bool().Draw(t, "one piece") {
			on.Fountain.Blade, on.Limits.NeighbourPct = press.OnePiece, rapid.Float64Range(5, 60).Draw(t, "limit")
		}
		covered := append([]float64{20}, rapid.SliceOfN(rapid.Float64Range(0, 100), 7, 7).Draw(t, "covered")...)
		_, u, err := weighed(t, on, covered, make([]float64, 8), 30)
		require.NoError(t, err)
		own, other := make([]float64, 8), make([]float64, 8)
		for i, k := range u.Keys {
			own[i] = k.Key
			other[i] = on.Keys.Step * float64(rapid.IntRange(0, int(on.Keys.Travel/on.Keys.Step)).Draw(t, "key"))
		}
		trial, _, err := weighed(t, on, covered, own, 30)
		require.NoError(t, err)
		require.Equal(t, 100.0, trial.Score)
		require.Zero(t, trial.MeanOffPct)
		trial, _, err = weighed(t, on, covered, other, rapid.SampledFrom([]float64{10, 30, 45, 90}).Draw(t, "sweep"))
		require.NoError(t, err)
		require.LessOrEqual(t, trial.Score, 100.0)
		require.GreaterOrEqual(t, trial.Score, 0.0)
	})
}

// Half a step of a screw is let pass where a tenth of the ink is less than that: of 3
// turns in eighths a step is 4.2 % of travel.
func TestStepsAreLetPass(t *testing.T) {
	on := percents()
	on.Keys = press.KeyScale{Unit: press.Turn, Travel: 3, Step: 0.125}
	covered := []float64{8, 8, 8, 40, 40} // 8 % asks for 12 % of travel: 3/8
	trial, _, err := weighed(t, on, covered, []float64{0.375, 0.375, 0.5, 1.75, 1.75}, 30)
	require.NoError(t, err)
	assert.Equal(t, 0.375*100/3*30, trial.Zones[0].Best)
	assert.Equal(t, TooMuch, trial.Zones[2].Says, "a whole step")
	trial, _, err = weighed(t, on, covered, []float64{0.375, 0.375, 0.375, 1.75, 1.75}, 32)
	require.NoError(t, err)
	assert.Equal(t, 100.0, trial.ProfilePct)
}

// TestRightIsFiveHundredthsOfDensity holds ±10 % of ink against the measured set
// of TestFitDensityMeasured, as `curve density` fits it:
// D = 1.479 · (1 − exp(−0.9054 · g/m²)). Around D = 1.10, five hundredths are
// 9.1 % less ink and 10.4 % more.
func TestRightIsFiveHundredthsOfDensity(t *testing.T) {
	film := func(density float64) float64 { return -math.Log(1-density/1.479) / 0.9054 }
	assert.InDelta(t, -rightPct, 100*(film(1.05)/film(1.10)-1), 1)
	assert.InDelta(t, rightPct, 100*(film(1.15)/film(1.10)-1), 1)
}

func TestRefusedTrials(t *testing.T) {
	for _, wrong := range []struct {
		coveragesPct, keys []float64
		sweep              float64
		says               string
	}{
		{[]float64{20, 20}, []float64{30}, 30, "there are 1 keys set of 2"},
		{[]float64{20}, []float64{101}, 30, "zone 1: a key cannot be set to 101; its scale goes from 0 to 100 in steps of 1"},
		{[]float64{20}, []float64{20.5}, 30, "zone 1: a key cannot be set to 20.5"},
		{[]float64{20}, []float64{-1}, 30, "zone 1: a key cannot be set to -1"},
		{[]float64{20}, []float64{math.NaN()}, 30, "zone 1: a key cannot be set to NaN"},
		{[]float64{20}, []float64{30}, math.Inf(1), "a sweep of +Inf"},
		{[]float64{0.1}, []float64{30}, 30, "no zone of this separation is covered 0.2 % or more"},
	} {
		_, _, err := weighed(t, percents(), wrong.coveragesPct, wrong.keys, wrong.sweep)
		assert.ErrorContains(t, err, wrong.says)
	}
}

// A zone that asks for nothing is right with nothing, and has no share of it.
func TestJudgedByNothing(t *testing.T) {
	for _, c := range []struct {
		best, supply, level float64
		says                string
		off                 *float64
	}{{0, 0, 1, TrialRight, nil}, {0, 0.5, 1, TooMuch, nil}, {0.5, 0.5, 1, TrialRight, new(0.0)}, {0.5, 1, 1, TooMuch, new(100.0)}, {0.5, 0, 1, TooLittle, new(-100.0)}, {0.5, 1, 2, TrialRight, new(0.0)}, {0.5, 0, 0, TooLittle, nil}} {
		z := TrialZone{Best: c.best, Supply: c.supply}
		z.judge(c.level, 0)
		assert.Equal(t, c.says, z.Says, "%+v", c)
		assert.Equal(t, c.off, z.OffPct, "%+v", c)
	}
}
