package preset

import (
	"math"
	"testing"

	"bladeline/curves"
	"bladeline/zones/press"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// weighed is a trial of keys on a press of whole percents, by a straight curve
// of 0 to 100 that refers to the press's sweep of 45.
func weighed(t *testing.T, coveragesPct, openingsPct []float64, sweep float64) (*Trial, *Unit, error) {
	t.Helper()
	on := &press.Press{
		Keys:  press.KeyScale{Unit: press.Percent, Travel: 100, Step: 1},
		Sweep: curves.SweepScale{Unit: "%", From: 10, To: 90, Step: 1, Reference: 45},
	}
	curve := &curves.Curve{Name: "line", Shape: curves.Straight, Points: []curves.Point{{CoveragePct: 0, OpeningPct: 0}, {CoveragePct: 100, OpeningPct: 100}}}
	require.NoError(t, curve.Prepare())
	u := &Unit{Sweep: 30}
	for i, c := range coveragesPct {
		u.Keys = append(u.Keys, Key{Zone: i + 1, CoveragePct: c, Key: math.Round(c * 1.5)})
	}
	trial, err := NewTrial(on, u, curve, openingsPct, sweep)
	if err == nil {
		feed := u.Feed(on, curve)
		for i, z := range trial.Zones {
			assert.Equal(t, feed.Demand[i], z.Demand)
			assert.Equal(t, u.Keys[i].Key*30, feed.Supply[i])
			assert.InDelta(t, 1.5*coveragesPct[i], feed.WantedPct[i], 1e-12, "at 30 instead of 45")
		}
	}
	return trial, u, err
}

// TestTrial weighs zones by hand: 20 % covered demand 20 × 45 = 900.
func TestTrial(t *testing.T) {
	trial, _, err := weighed(t, []float64{20, 20, 20, 20, 20, 0.1, 0}, []float64{30, 33, 27, 33.5, 26, 80, 80}, 30)
	require.NoError(t, err)
	assert.Equal(t, 60.0, trial.Score, "3 of the 5 that print")
	require.Len(t, trial.Zones, 7)
	wantOff := []float64{0, 10, -10, 100 * (1005/900.0 - 1), 100 * (780/900.0 - 1)}
	sum := 0.0
	for i, says := range []string{TrialRight, TrialRight, TrialRight, TooMuch, TooLittle} {
		z := trial.Zones[i]
		assert.Equal(t, says, z.Says, "zone %d", z.Zone)
		assert.InDelta(t, wantOff[i], valueOf(t, z.OffPct), 1e-9)
		sum += math.Abs(wantOff[i])
	}
	assert.InDelta(t, sum/5, trial.MeanOffPct, 1e-9)
	assert.Nil(t, trial.Zones[5].OffPct, "a register mark")
	assert.Equal(t, Uncounted, trial.Zones[5].Says)
	assert.Nil(t, trial.Zones[6].OffPct)
	assert.Empty(t, trial.Zones[6].Says, "bare")
	assert.Contains(t, trial.Definition, "covered less than 0.2 % do not count")
	assert.Contains(t, trial.Definition, "±10 %")
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
		coveragesPct, openingsPct []float64
		sweep                     float64
		says                      string
	}{
		{[]float64{20, 20}, []float64{30}, 30, "1 openings for 2 keys"},
		{[]float64{20}, []float64{101}, 30, "zone 1: an opening of 101 %"},
		{[]float64{20}, []float64{math.NaN()}, 30, "zone 1: an opening of NaN %"},
		{[]float64{20}, []float64{30}, math.Inf(1), "a sweep of +Inf"},
		{[]float64{0.1}, []float64{30}, 30, "no zone of this separation is covered 0.2 % or more"},
	} {
		_, _, err := weighed(t, wrong.coveragesPct, wrong.openingsPct, wrong.sweep)
		assert.ErrorContains(t, err, wrong.says)
	}
}

// A zone that asks for nothing is right with nothing, and has no share of it.
func TestJudgedByNothing(t *testing.T) {
	for _, c := range []struct {
		demand, supply float64
		says           string
		off            *float64
	}{{0, 0, TrialRight, nil}, {0, 0.5, TooMuch, nil}, {0.5, 0.5, TrialRight, new(0.0)}, {0.5, 1, TooMuch, new(100.0)}, {0.5, 0, TooLittle, new(-100.0)}} {
		z := TrialZone{Demand: c.demand, Supply: c.supply}
		z.judge()
		assert.Equal(t, c.says, z.Says, "%+v", c)
		assert.Equal(t, c.off, z.OffPct, "%+v", c)
	}
}
