package preset

import (
	"math"
	"testing"

	"bladeline/curves"
	"bladeline/curves/learn"
	"bladeline/zones/zonestest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// pullOf is a pull of zones that are covered 5, 10, 20 … %, all keys at 30 % at the
// reference sweep, and their densities.
func pullOf(t *testing.T, coverages ...float64) *Preset {
	in := unitOf(t, "Black", coverages...)
	in.Curve = &curves.Curve{Name: "alike", Shape: curves.Straight, Points: []curves.Point{{CoveragePct: 0, OpeningPct: 30}, {CoveragePct: 100, OpeningPct: 30}}}
	require.NoError(t, in.Curve.Prepare())
	in.Sweep = new(45.0)
	p, err := newPreset("pull", zonestest.Press(len(coverages), 31.75), []laidUnit{in})
	require.NoError(t, err)
	return p
}

// By hand, after D = 2·(1 − exp(−mw)): at D = 1.5 the film is ln 4 / m, at D = 1 it
// is ln 2 / m, half of that; at D = 1.75 it is ln 8 / m, half as much again.
func TestPullRunByHand(t *testing.T) {
	p := pullOf(t, 5, 10, 20, 40, 60, 3, 2)
	on := zonestest.Press(7, 31.75)
	densities := []SolidDensity{{"black", 1, 1.75, 2}, {"Black", 2, 1.5, 3}, {"Black", 3, 1, 4}, {"Black", 4, 1.97, 5}, {"Black", 5, 0.05, 6}, {"Red", 99, 1, 7}, {"Black", 7, 0.15, 8}}
	p.Units[0].Keys[6].OKKey = new(60.0)
	run, err := p.PullRun("pull.csv", on, "black", "d.csv", densities, 1.5, 2)
	require.NoError(t, err)
	require.Len(t, run.Readings, 5)
	for i, want := range []learn.Reading{
		{Zone: 1, CoveragePct: 5, OpeningPct: 20},
		{Zone: 2, CoveragePct: 10, OpeningPct: 30},
		{Zone: 3, CoveragePct: 20, OpeningPct: 60},
		{Zone: 4, CoveragePct: 40, OpeningPct: 30 * math.Log(4) / math.Log(50), Censoring: learn.LeftCensored},
		{Zone: 7, CoveragePct: 2, OpeningPct: 200, Censoring: learn.RightCensored},
	} {
		got := run.Readings[i]
		assert.InDelta(t, want.OpeningPct, got.OpeningPct, 1e-9, "zone %d", want.Zone)
		want.OpeningPct = got.OpeningPct
		assert.Equal(t, want, got)
	}
	assert.True(t, run.Pull)
	assert.Equal(t, 45.0, run.Sweep)
	assert.Equal(t, []learn.LeftOut{{Run: "pull.csv", Zone: 5, Reason: "hardly carried any ink"}, {Run: "pull.csv", Zone: 6, Reason: "was not measured"}}, run.LeftOut)
}

func TestPullRunRefuses(t *testing.T) {
	p, on := pullOf(t, 5, 10), zonestest.Press(2, 31.75)
	_, err := p.PullRun("pull.csv", on, "Red", "d.csv", nil, 1.5, 2)
	assert.EqualError(t, err, `pull.csv: column ink: there is no "Red", only "Black"; name one of these`)
	_, err = p.PullRun("pull.csv", on, "Black", "d.csv", []SolidDensity{{"Red", 1, 1, 2}}, 1.5, 2)
	assert.EqualError(t, err, `d.csv: column ink: there is no density of "Black"; measure its solids`)
	_, err = p.PullRun("pull.csv", on, "Black", "d.csv", []SolidDensity{{"Black", 3, 1, 2}}, 1.5, 2)
	assert.EqualError(t, err, "d.csv: row 2, column zone: zone 3 is not one of the preset's 2; correct it, or leave the row out")
	_, err = p.PullRun("pull.csv", on, "Black", "d.csv", nil, 1.97, 2)
	assert.EqualError(t, err, "a target density of 1.97 is not between 0 and 1.96, 98 % of the limit; correct the target or the limit")
	_, err = p.PullRun("pull.csv", on, "Black", "d.csv", nil, 1.5, 1.4)
	assert.EqualError(t, err, "a target density of 1.5 is not between 0 and 1.372, 98 % of the limit; correct the target or the limit")
	_, err = p.PullRun("pull.csv", zonestest.Press(3, 31.75), "Black", "d.csv", nil, 1.5, 2)
	assert.Error(t, err, "another press")
}
