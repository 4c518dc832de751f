package preset

import (
	"context"
	"testing"

	"bladeline/curves"
	"bladeline/curves/rollers"
	"bladeline/zones/press"
	"bladeline/zones/zonestest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// okPresets are jobs of unlike forms whose keys, on fine steps, print evenly on a train,
// and were read as they stood. The inks' film is that of a solid on the sheet.
func okPresets(t *testing.T, on *press.Press) []*Preset {
	t.Helper()
	truth := *on
	train := *on.Train
	train.Feed.FittedFrom = []string{"known"}
	truth.Train = &train
	var all []*Preset
	for _, level := range []float64{4, 15, 40} {
		covers := []*float64{nil}
		for _, part := range []float64{0.5, 1.2, 1, 0.7, 1.5, 1.1} {
			covers = append(covers, new(level*part))
		}
		covers = append(covers, nil)
		p, err := FromCoverageByTrain(context.Background(), "gulls", &truth, []CoverageInput{{InkCoverage: InkCoverage{Ink: "Black", ZonesPct: covers}, Curve: zonestest.LineCurve(t)}})
		require.NoError(t, err)
		for i := range p.Units[0].Keys {
			p.Units[0].Keys[i].OKKey = new(p.Units[0].Keys[i].Key)
		}
		all = append(all, p)
	}
	return all
}

// fine is a press whose keys are set by small steps.
func fine(first press.End) *press.Press {
	on := smallTrain(first)
	on.Keys.Step = 0.1
	on.Limits.FloorPct = 0
	on.Inks = map[string]press.Ink{"Black": {FilmUM: 1.1}}
	return on
}

// TestTrainFitFindsTheTruth: jobs that a train printed give back its two numbers, be the
// ink's film what it may, from whichever end zones are counted.
func TestTrainFitFindsTheTruth(t *testing.T) {
	for _, first := range []press.End{press.Left, press.Right} {
		on := fine(first)
		fit, err := NewTrainFit(on)
		require.NoError(t, err)
		for i, p := range okPresets(t, on) {
			require.NoError(t, fit.Add(string(rune('a'+i))+"-ok.csv", p, ""))
		}
		fitted, err := fit.Fit(context.Background())
		require.NoError(t, err)
		assert.InDelta(t, 80, fitted.FilmFullUM, 0.02*80)
		assert.InDelta(t, 24, fitted.StripMM, 0.03*24)
		assert.Equal(t, 18, fitted.Readings)
		assert.Less(t, fitted.SpreadPct, 1.0)
	}
}

// TestTrainFitRefuses what the data do not hold, and files that say nothing.
func TestTrainFitRefuses(t *testing.T) {
	on := fine(press.Left)
	ok := okPresets(t, on)
	fit, err := NewTrainFit(on)
	require.NoError(t, err)
	_, err = fit.Fit(context.Background())
	var unfit *rollers.Unfit
	require.ErrorAs(t, err, &unfit)
	assert.Equal(t, rollers.TooFew, unfit.Reason)

	for _, p := range ok {
		require.NoError(t, fit.Add("a-ok.csv", p, "")) // as if they were the inks of one file
	}
	_, err = fit.Fit(context.Background())
	assert.ErrorContains(t, err, "1 of the 3 jobs that it takes")

	assert.ErrorContains(t, fit.Add("a-ok.csv", ok[0], "Cyan"), `a-ok.csv: column ink: there is no "Cyan", only "Black"`)
	assert.ErrorContains(t, fit.Add("a.csv", ok[0].AsPreset(), ""), "a.csv")

	on.Train = nil
	_, err = NewTrainFit(on)
	assert.ErrorIs(t, err, ErrNoTrain)
}

// TestTrainFitOfACurve: a learned line gives the same numbers; one that was not learned
// gives none.
func TestTrainFitOfACurve(t *testing.T) {
	on := fine(press.Left)
	fit, err := NewTrainFit(on)
	require.NoError(t, err)
	c, err := TrainCurve("line", on, nil)
	require.NoError(t, err)
	_, err = fit.FitCurve(c, "Black")
	assert.ErrorIs(t, err, ErrNotLearned)

	learned := &curves.Curve{Name: "learned", Shape: curves.Straight, Learned: &curves.Provenance{From: "line", Runs: []string{"a", "b", "c"}}, ReferenceSweep: on.Sweep.Reference}
	for pct := 0.0; pct <= 50; pct += 5 {
		learned.Points = append(learned.Points, curves.Point{CoveragePct: pct, OpeningPct: 1.1 * c.At(pct)})
	}
	require.NoError(t, learned.Prepare())
	fitted, err := fit.FitCurve(learned, "Black") // 1.1 times the openings of 1 µm, for 1.1 µm
	require.NoError(t, err)
	assert.InDelta(t, 80, fitted.FilmFullUM, 0.5)
	assert.InDelta(t, 24, fitted.StripMM, 0.3)

	few := *learned
	few.Learned = &curves.Provenance{From: "line", Runs: []string{"a"}}
	_, err = fit.FitCurve(&few, "Black")
	assert.ErrorContains(t, err, "1 of the 3 jobs that it takes")

	learned.Points = learned.Points[:3]
	require.NoError(t, learned.Prepare())
	var unfit *rollers.Unfit
	_, err = fit.FitCurve(learned, "Black")
	assert.ErrorAs(t, err, &unfit)
}

// TestTrainCurve is the line opening = x(A + Bc), from two points of which its offset and
// slope follow: A and B are the model's own.
func TestTrainCurve(t *testing.T) {
	on := smallTrain(press.Left)
	train, err := NewTrain(on, rollers.Coarse)
	require.NoError(t, err)
	line := train.Line()
	c, err := TrainCurve("first", on, &curves.Point{CoveragePct: 20, OpeningPct: 31})
	require.NoError(t, err)
	assert.InDelta(t, 31, c.At(20), 0.01)
	assert.InDelta(t, line.A/(line.A+0.2*line.B(0)), c.At(0)/c.At(20), 1e-3)
	assert.LessOrEqual(t, c.At(100), 100.0)
	assert.Contains(t, c.Note, Trend)

	c, err = TrainCurve("first", on, nil)
	require.NoError(t, err)
	assert.InDelta(t, 100*line.A/80, c.At(0), 0.01)
	_, err = TrainCurve("first", on, &curves.Point{CoveragePct: 20})
	assert.ErrorContains(t, err, "scales no line")
	_, err = TrainCurve("first", on, &curves.Point{CoveragePct: 0, OpeningPct: 100})
	assert.ErrorContains(t, err, "a bare zone wants 100 % of opening")
}
