package learn

import (
	"fmt"
	"testing"

	"bladeline/curves"

	"github.com/stretchr/testify/assert"
)

// ranBy are jobs of the same eight zones, all fed by the same line, 5 + c/2, but
// for a factor of the job's own. In every zone a job stands to another as their
// factors do, so it does in the median, whatever curve is learned.
func ranBy(factors ...float64) []Run {
	var runs []Run
	for i, factor := range factors {
		run := Run{Name: fmt.Sprintf("job %d.csv", i+1), Sweep: 45}
		for zone := range 8 {
			c := float64(5 + 10*zone)
			run.Readings = append(run.Readings, Reading{Zone: zone + 1, CoveragePct: c, OpeningPct: factor * (5 + c/2)})
		}
		runs = append(runs, run)
	}
	return runs
}

// By hand: beside the median of the others, 1.3 of 1 is 30 % fat; of 1.3, 1 is
// 1/1.3 = 0.769, 23 % lean; a fifth job's half sweep halves its feed.
func TestJobsThatDoNotAgree(t *testing.T) {
	const between = "; the curve lies between them: learn each paper and ink apart, or leave out what does not belong"
	for _, c := range []struct {
		factors []float64
		rest    []float64
		doubt   string
	}{
		{[]float64{1, 1, 1, 1.3}, []float64{0, 0, 0, 30}, "the jobs do not agree: beside the rest job 4.csv ran 30 % fat" + between},
		{[]float64{1, 1, 1.3, 1.3}, []float64{-23.08, -23.08, 30, 30}, "the jobs do not agree: beside the rest job 1.csv ran 23 % lean, job 2.csv ran 23 % lean, job 3.csv ran 30 % fat, job 4.csv ran 30 % fat" + between},
		{[]float64{1, 1.02, 1.04, 1.06}, []float64{-3.85, -1.92, 1.96, 3.92}, ""},
		{[]float64{1, 1, 1, 0.8}, []float64{0, 0, 0, -20}, "the jobs do not agree: beside the rest job 4.csv ran 20 % lean" + between},
	} {
		got := learned(t, oldCurve(t), ranBy(c.factors...))
		for i, r := range got.Runs {
			assert.InDelta(t, c.rest[i], r.RestPct, 0.005, "%v, %s", c.factors, r.Run)
			assert.Equal(t, 8, r.Readings)
			assert.Equal(t, r.RestPct > 10 || r.RestPct < -10, r.Apart)
		}
		if c.doubt == "" {
			assert.Empty(t, doubtsOfAgreement(got.Runs))
		} else {
			assert.Contains(t, got.Warnings, c.doubt)
		}
	}
}

// A longer sweep feeds more: the same keys at 1.3 times the sweep ran as fat.
func TestSweepCountsAsFeed(t *testing.T) {
	runs := ranBy(1, 1, 1, 1)
	runs[3].Sweep = 58.5
	got := learned(t, oldCurve(t), runs)
	assert.InDelta(t, 30, got.Runs[3].RestPct, 0.005)
	assert.True(t, got.Runs[3].Apart)
}

// A job alone agrees with nothing; one without a readable zone is not judged, nor
// do others agree with it.
func TestOneJobIsNotJudged(t *testing.T) {
	f := &fitting{o: Options{ReferenceSweep: 45}}
	l := &Result{Curve: prepared(t, curves.Straight, at(0, 5), at(100, 55))}
	bounds := ranBy(2)[0]
	for i := range bounds.Readings {
		bounds.Readings[i].Censoring = LeftCensored
	}
	assert.Equal(t, []RanAs{{Run: "job 1.csv", Readings: 8}, {Run: "job 1.csv"}}, f.ranAs(l, append(ranBy(1), bounds)))
}

// A few zones that scatter far do not tell that a job ran apart: of 8 zones, half
// at 0.7 and half at 1.7 of the curve, the median is √(0.7·1.7) = 1.09 as fat; at
// 0.8 and 1.9 it is 1.23, but its error is 1.25·1.48·ln(1.9/1.23)/√8 = 0.28.
func TestScatteredJobsAreNotApart(t *testing.T) {
	f := &fitting{o: Options{ReferenceSweep: 45}}
	l := &Result{Curve: prepared(t, curves.Straight, at(0, 5), at(100, 55))}
	runs := ranBy(1, 1)
	for i := range runs[1].Readings {
		runs[1].Readings[i].OpeningPct *= []float64{0.8, 1.9}[i%2]
	}
	got := f.ranAs(l, runs)[1]
	assert.InDelta(t, 23.3, got.RestPct, 0.05)
	assert.False(t, got.Apart)
}
