package learn

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"bladeline/curves"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func prepared(t require.TestingT, shape curves.Shape, points ...curves.Point) *curves.Curve {
	c := &curves.Curve{Name: "test", Shape: shape, Points: points}
	require.NoError(t, c.Prepare())
	return c
}

func at(coveragePct, openingPct float64) curves.Point {
	return curves.Point{CoveragePct: coveragePct, OpeningPct: openingPct}
}

// oldCurve is far off every curve that the tests learn.
func oldCurve(t require.TestingT) *curves.Curve {
	return prepared(t, curves.Smooth, at(0, 2), at(10, 12), at(40, 35), at(100, 70))
}

// knownCurve is what the tests learn.
func knownCurve(t require.TestingT) *curves.Curve {
	return prepared(t, curves.Smooth, at(0, 3), at(5, 11), at(15, 24), at(35, 46), at(60, 65), at(100, 88))
}

var at45 = Options{ReferenceSweep: 45}

// runsOf are jobs on 32 keys whose readings, at 45, are what read says.
func runsOf(jobs int, seed uint64, read func(r *rand.Rand, zone int, coveragePct float64) float64) []Run {
	r := rand.New(rand.NewPCG(seed, 1))
	var runs []Run
	for job := range jobs {
		run := Run{Name: fmt.Sprintf("job %d.csv", job+1), Sweep: 45}
		for zone := range 32 {
			c := 100 * math.Pow(r.Float64(), 2) // most zones are light
			run.Readings = append(run.Readings, Reading{Zone: zone + 1, CoveragePct: c, OpeningPct: read(r, zone+1, c)})
		}
		runs = append(runs, run)
	}
	return runs
}

func learned(t require.TestingT, old *curves.Curve, runs []Run) *Result {
	l, err := Fit(old, runs, at45)
	require.NoError(t, err)
	return l
}

func TestLearnRecoversAKnownCurve(t *testing.T) {
	known := knownCurve(t)
	l := learned(t, oldCurve(t), runsOf(20, 1, func(_ *rand.Rand, _ int, c float64) float64 { return known.At(c) }))
	_, off := farthest(known, l.Curve)
	assert.LessOrEqual(t, off, 0.1+1e-9)
	assert.LessOrEqual(t, len(l.Curve.Points), 12)
	assert.Empty(t, l.Warnings)
	assert.Equal(t, 640, l.After.Readings)
	assert.Less(t, l.After.RMSPct, 0.1)
	assert.Greater(t, l.Before.RMSPct, 5.0)
}

// Openings at half the sweep are twice as wide.
func TestLearnRefersToItsSweep(t *testing.T) {
	known := knownCurve(t)
	runs := runsOf(6, 2, func(_ *rand.Rand, _ int, c float64) float64 { return known.At(c) })
	for i := range runs {
		runs[i].Sweep = []float64{45, 60, 90}[i%3]
		for j := range runs[i].Readings {
			runs[i].Readings[j].OpeningPct *= 45 / runs[i].Sweep
		}
	}
	_, off := farthest(known, learned(t, oldCurve(t), runs).Curve)
	assert.LessOrEqual(t, off, 0.5)
}

// Zeros wrong by up to 3 points are found within their standard errors: of
// normal errors 68 % lie within one and all but a few in a million within 4.5.
// These hold doubt about the level too that all keys share, which the test
// takes out, so somewhat more lie within one.
func TestLearnFindsWrongZeros(t *testing.T) {
	known := knownCurve(t)
	inOne, all := 0, 0
	for seed := range uint64(20) {
		zero := make([]float64, 33)
		sum := 0.0
		for zone := range 32 {
			zero[zone+1] = 3 * math.Sin(float64(zone)*1.7+float64(seed))
			sum += zero[zone+1]
		}
		l := learned(t, oldCurve(t), runsOf(10, 100+seed, func(r *rand.Rand, zone int, c float64) float64 {
			return known.At(c) + zero[zone] + r.NormFloat64()
		}))
		require.Len(t, l.Offsets, 32)
		for _, o := range l.Offsets {
			off := math.Abs(o.ShiftPct - (zero[o.Zone] - sum/32)) // what all share goes into the curve
			require.Less(t, off, 4.5*o.ErrorPct)
			if all++; off < o.ErrorPct {
				inOne++
			}
		}
	}
	assert.InDelta(t, 0.75, float64(inOne)/float64(all), 0.09)
}

// One key in 32 read wrong by 40 points moves the curve by less than half a
// point.
func TestLearnIsNotBentByAMisreading(t *testing.T) {
	known := knownCurve(t)
	right := func(r *rand.Rand, _ int, c float64) float64 { return known.At(c) + r.NormFloat64() }
	runs := runsOf(3, 7, right)
	clean := learned(t, oldCurve(t), runs)
	for i := range runs {
		runs[i].Readings = slices.Clone(runs[i].Readings)
		runs[i].Readings[5+i].OpeningPct += 40
	}
	bent := learned(t, oldCurve(t), runs)
	_, off := farthest(clean.Curve, bent.Curve)
	assert.Less(t, off, 0.5)
	require.Len(t, bent.LeftOut, 3)
	assert.Equal(t, 6, bent.LeftOut[0].Zone)
	assert.Regexp(t, `^is \d\d\.\d points above what its coverage and the other jobs suggest: misread\?$`, bent.LeftOut[0].Reason)
	assert.Contains(t, bent.Warnings, "readings so far off that they were taken as misread: 3 of 96")
}

// Where there are no data the old curve's rise is kept.
func TestLearnHoldsToTheOldShape(t *testing.T) {
	old := oldCurve(t)
	var run Run
	for i := range 12 {
		c := 10 + float64(i)*2
		run.Readings = append(run.Readings, Reading{Zone: i + 1, CoveragePct: c, OpeningPct: old.At(c) + 6})
	}
	var runs []Run
	for i := range 3 {
		runs = append(runs, Run{Name: fmt.Sprint(i), Sweep: 45, Readings: run.Readings})
	}
	l := learned(t, old, runs)
	assert.InDelta(t, old.At(20)+6, l.Curve.At(20), 0.2)
	for _, c := range []float64{0, 60, 80, 100} {
		assert.InDelta(t, old.At(c)+6, l.Curve.At(c), 0.3, "at %g", c)
	}
}

// Keys at the floor say that less was wanted and not how much: they pull a
// curve down that lies above, and leave one that lies below.
func TestLearnTakesBoundsAsBounds(t *testing.T) {
	known := knownCurve(t)
	runs := runsOf(3, 9, func(_ *rand.Rand, _ int, c float64) float64 { return known.At(c) })
	plain := learned(t, known, runs)
	for i := range runs {
		runs[i].Readings = append(runs[i].Readings, Reading{40, 50, 95, LeftCensored}, Reading{40, 50, 20, RightCensored})
	}
	kept := learned(t, known, runs)
	assert.Equal(t, plain.Curve.Points, kept.Curve.Points)
	assert.Equal(t, plain.After, kept.After)

	low := Run{Name: "z", Sweep: 45}
	for zone := range 32 {
		low.Readings = append(low.Readings, Reading{zone + 1, 1, 2, LeftCensored})
	}
	pulled := learned(t, known, append(runs, low))
	assert.Less(t, pulled.Curve.At(1), known.At(1)-0.5)
}

func TestLearnRefuses(t *testing.T) {
	line := func(name string, coverages ...float64) Run {
		r := Run{Name: name, Sweep: 45}
		for i, c := range coverages {
			r.Readings = append(r.Readings, Reading{Zone: i + 1, CoveragePct: c, OpeningPct: c})
		}
		return r
	}
	good := line("a.csv", 1, 2, 3, 4, 5)
	for want, runs := range map[string][]Run{
		"the runs show 0 distinct coverages and a curve needs at least 5; learn from more jobs":                                                                                       nil,
		"the runs show 4 distinct coverages and a curve needs at least 5; learn from more jobs":                                                                                       {line("a", 1, 2, 3, 4), line("b", 1, 2, 3, 4.01)},
		"the runs show 1 distinct coverage and a curve needs at least 5; learn from more jobs":                                                                                        {line("a", 1)},
		"the runs show 0 distinct coverages (keys at the floor, the ceiling or an end of the scale are only bounds and show none) and a curve needs at least 5; learn from more jobs": {{Name: "a", Sweep: 45, Readings: []Reading{{1, 5, 2, LeftCensored}}}},
		"a.csv: is given twice; name every run once":                                                                                                                                  {good, good},
		"b: zone 1: a coverage of 101 is outside 0 to 100; correct it, or leave the zone out":                                                                                         {good, line("b", 101)},
		"b: zone 1: a coverage of NaN is outside 0 to 100; correct it, or leave the zone out":                                                                                         {good, line("b", math.NaN())},
		"b: a sweep of 0 feeds no ink; give the sweep that was run":                                                                                                                   {good, {Name: "b"}},
		"b: zone 0: zones are counted from 1; correct it, or leave the zone out":                                                                                                      {good, {Name: "b", Sweep: 1, Readings: []Reading{{}}}},
		"b: zone 1: a censoring of 3 is not known; correct it, or leave the zone out":                                                                                                 {good, {Name: "b", Sweep: 1, Readings: []Reading{{1, 1, 1, 3}}}},
		"b: zone 1: an opening of +Inf % is beyond any key; correct it, or leave the zone out":                                                                                        {good, {Name: "b", Sweep: 1, Readings: []Reading{{1, 1, math.Inf(1), Uncensored}}}},
	} {
		_, err := Fit(oldCurve(t), runs, at45)
		assert.EqualError(t, err, want)
	}
	_, err := Fit(nil, []Run{good}, at45)
	assert.EqualError(t, err, "there is no curve to start from; give one")
	_, err = Fit(oldCurve(t), []Run{good}, Options{})
	assert.EqualError(t, err, "a reference sweep of 0 feeds no ink; give the press's")
	_, err = Fit(oldCurve(t), []Run{good}, Options{45, -1})
	assert.EqualError(t, err, "a reading error of -1 % is not above 0; give how closely a key is read")
	_, err = Fit(&curves.Curve{Name: "x"}, []Run{good}, at45)
	assert.ErrorContains(t, err, "curve x: shape")
}

func TestWorstOfNone(t *testing.T) {
	assert.Empty(t, new(Result).Worst(3))
	assert.Empty(t, (&Result{Used: make([]Fitted, 2)}).Worst(-1))
	assert.Len(t, (&Result{Used: make([]Fitted, 2)}).Worst(3), 2)
}

// Whatever is said to have been run, there is a curve or a refusal.
func TestAnyRunsAreRefusedOrFitted(t *testing.T) {
	n := rapid.OneOf(rapid.Float64Range(0, 100), rapid.Float64Range(-300, 300), rapid.SampledFrom([]float64{0, 100, math.NaN(), math.Inf(1), 1e-300, 1e300}))
	rapid.Check(t, func(t *rapid.T) {
		runs := anyRuns(t)
		for range rapid.IntRange(1, 3).Draw(t, "odd numbers") {
			run := &runs[rapid.IntRange(0, len(runs)-1).Draw(t, "run")]
			reading := &run.Readings[rapid.IntRange(0, len(run.Readings)-1).Draw(t, "reading")]
			switch rapid.IntRange(0, 3).Draw(t, "which") {
			case 0:
				run.Sweep = n.Draw(t, "sweep")
			case 1:
				reading.CoveragePct = n.Draw(t, "coverage")
			case 2:
				reading.OpeningPct = n.Draw(t, "opening")
			case 3:
				reading.Zone, reading.Censoring = rapid.IntRange(-1, 3).Draw(t, "zone"), Censoring(rapid.IntRange(-1, 3).Draw(t, "censoring"))
			}
		}
		o := Options{rapid.SampledFrom([]float64{45, 45, 45, 1e-300, 1e300}).Draw(t, "reference"), rapid.SampledFrom([]float64{0, 1, 1, 1e-300, 1e300}).Draw(t, "reading error")}
		l, err := Fit(oldCurve(t), runs, o)
		if err != nil {
			require.NotContains(t, err.Error(), "\n")
			return
		}
		require.NoError(t, l.Curve.Validate())
	})
}

func TestLearnWarnsOfFewJobs(t *testing.T) {
	known := knownCurve(t)
	runs := runsOf(2, 3, func(_ *rand.Rand, _ int, c float64) float64 { return known.At(c) })
	assert.Equal(t, []string{"only 2 jobs: a curve is to be trusted from 3 jobs on, for what is due to the curve and what to a single key cannot yet be told apart well"}, learned(t, oldCurve(t), runs).Warnings)
}

// Keys that were filled in at random, or of another ink, follow no curve.
func TestLearnWarnsOfContradictions(t *testing.T) {
	known := knownCurve(t)
	runs := runsOf(3, 3, func(r *rand.Rand, zone int, c float64) float64 {
		if zone%2 == 0 {
			return known.At(c)
		}
		return 100 - 100*float64(zone)/40
	})
	warnings := learned(t, known, runs).Warnings
	require.NotEmpty(t, warnings)
	assert.Regexp(t, "^the readings contradict each other: half of them lie more than ", strings.Join(slices.DeleteFunc(warnings, func(w string) bool { return strings.HasPrefix(w, "the jobs do not agree") }), "\n"))
}

// Learning from a growing folder is learning from all of it at once, and a run
// that the old curve knows counts once.
func TestLearningAgainCountsNoRunTwice(t *testing.T) {
	known := knownCurve(t)
	runs := runsOf(5, 4, func(r *rand.Rand, _ int, c float64) float64 { return known.At(c) + r.NormFloat64() })
	first := learned(t, oldCurve(t), runs[:3])
	again, err := curves.ParseCurve("c.toml", first.Curve.TOML())
	require.NoError(t, err)
	assert.Equal(t, learned(t, oldCurve(t), runs).Curve.TOML(), learned(t, again, runs).Curve.TOML())
	assert.True(t, learned(t, again, runs).Again)
	assert.Equal(t, "test", learned(t, again, runs[3:]).Curve.Learned.From)
	assert.Equal(t, again.Points, learned(t, again, runs[2:]).Curve.Learned.FromPoints, "a run is missing: go on from what is there")

	edited, err := curves.SetPoints("c.toml", first.Curve.TOML(), at(100, 99))
	require.NoError(t, err)
	again, err = curves.ParseCurve("c.toml", edited)
	require.NoError(t, err)
	byHand := learned(t, again, runs)
	assert.False(t, byHand.Again)
	assert.Equal(t, again.Points, byHand.Curve.Learned.FromPoints, "what was changed by hand is not thrown away")
}

// anyRuns draws runs that need not follow any curve.
func anyRuns(t *rapid.T) []Run {
	var runs []Run
	for i := range rapid.IntRange(1, 4).Draw(t, "runs") {
		run := Run{Name: fmt.Sprint(i), Sweep: rapid.SampledFrom([]float64{30, 45, 70}).Draw(t, "sweep")}
		for zone := range rapid.IntRange(6, 12).Draw(t, "zones") {
			run.Readings = append(run.Readings, Reading{
				zone + 1, float64(zone)*8 + rapid.Float64Range(0, 7).Draw(t, "coverage"),
				rapid.Float64Range(0, 100).Draw(t, "opening"), Censoring(rapid.SampledFrom([]int{0, 0, 0, 0, 1, 2}).Draw(t, "sense")),
			})
			if zone < 5 {
				run.Readings[zone].Censoring = Uncensored
			}
		}
		runs = append(runs, run)
	}
	return runs
}

func TestLearnedCurveNeverFallsWhateverTheOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		runs := anyRuns(t)
		l, err := Fit(oldCurve(t), runs, at45)
		if err != nil {
			require.ErrorContains(t, err, "distinct coverages")
			return
		}
		require.NoError(t, l.Curve.Validate())
		last := 0.0
		for i := range 401 {
			v := l.Curve.At(float64(i) / 4)
			require.True(t, v >= last && v <= 100, "%g after %g", v, last)
			last = v
		}
		back, err := curves.ParseCurve("c.toml", l.Curve.TOML())
		require.NoError(t, err)
		require.Equal(t, l.Curve.Learned, back.Learned)
		require.Equal(t, l.Curve.Points, back.Points)

		slices.Reverse(runs)
		other, err := Fit(oldCurve(t), runs, at45)
		require.NoError(t, err)
		require.Equal(t, l.Curve.TOML(), other.Curve.TOML())
		require.Equal(t, l.Offsets, other.Offsets)
	})
}
