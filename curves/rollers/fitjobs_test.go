package rollers

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// okJobs are jobs that were run until they were even on a press with other numbers
// than its train states: keys are solved on it, off by errPct when they are read.
func okJobs(t *testing.T, train Train, f Fountain, errPct float64, n int) []Job {
	r := rand.New(rand.NewPCG(11, 4))
	m := model(t, train, f, Coarse)
	var jobs []Job
	for i := range n {
		cover := make([]float64, f.Zones)
		level := 0.1 + 0.4*r.Float64()
		for z := range cover {
			cover[z] = level * (0.4 + 1.2*r.Float64())
		}
		w := free(f.Zones)
		w.CeilingPct = repeat(1000, f.Zones)
		sweep := []float64{1, 0.7, 1.4}[i%3]
		w.StripMM = sweep * train.Feed.StripMM
		s, err := m.Solve(context.Background(), EvenForm(cover...), w)
		require.NoError(t, err)
		for k := range s.Setting.OpeningPct {
			s.Setting.OpeningPct[k] = max(0, s.Setting.OpeningPct[k]+errPct*r.NormFloat64())
		}
		jobs = append(jobs, Job{Form: EvenForm(cover...), OpeningPct: s.Setting.OpeningPct, Sweep: sweep})
	}
	return jobs
}

// What a press was made of is found again from its OK sheets, though its train
// states something else, and keys are read with an error. A line through the same
// readings finds a film and a strip that are far off, or none.
func TestFitOfJobs(t *testing.T) {
	train, f := outOfStep(duplicator()), Fountain{10, 19.05}
	for i := range train.Rollers {
		train.Rollers[i].StrokeMM *= 2
	}
	stated := train
	train.Feed = Feed{FilmFullUM: 140, StripMM: 17}
	m := model(t, stated, f, Coarse)
	exact, err := m.FitJobs(context.Background(), 1, okJobs(t, train, f, 0, 3))
	require.NoError(t, err)
	assert.InEpsilon(t, 140, exact.FilmFullUM, 0.03)
	assert.InEpsilon(t, 17, exact.StripMM, 0.04)

	jobs := okJobs(t, train, f, 0.7, 4)
	read, err := m.FitJobs(context.Background(), 1, jobs)
	require.NoError(t, err)
	assert.InDelta(t, 140, read.FilmFullUM, 3*read.FilmFullError)
	assert.InDelta(t, 17, read.StripMM, 3*read.StripError)
	assert.Less(t, read.FilmFullError, 0.2*read.FilmFullUM)
	assert.Equal(t, 40, read.Readings)
	assert.Greater(t, read.SpreadPct, exact.SpreadPct)

	var readings []Reading
	for _, j := range jobs {
		for z, c := range j.Form.Cover {
			readings = append(readings, Reading{c, j.OpeningPct[z] * j.Sweep})
		}
	}
	if line, err := m.Line().Fit(1, readings); err == nil {
		assert.Greater(t, math.Abs(line.FilmFullUM-140), 2*math.Abs(read.FilmFullUM-140))
	}
}

// Jobs that each printed fuller or leaner as a whole, by a zero or a paper, say less
// than all their keys seem to: the film's error is that of their mean, 7 %/√3, which
// zones within a job do not show.
func TestFitStatesErrorsBetweenJobs(t *testing.T) {
	train, f := outOfStep(duplicator()), Fountain{8, 19.05}
	jobs := okJobs(t, train, f, 0, 6)
	for i := range jobs {
		for k := range jobs[i].OpeningPct {
			jobs[i].OpeningPct[k] *= []float64{0.93, 1, 1.07, 1.07, 0.93, 1}[i]
		}
	}
	got, err := model(t, train, f, Coarse).FitJobs(context.Background(), 1, jobs)
	require.NoError(t, err)
	assert.Equal(t, 6, got.Jobs)
	assert.Greater(t, got.FilmFullError/got.FilmFullUM, 0.06/math.Sqrt(6))
	assert.InDelta(t, train.Feed.FilmFullUM, got.FilmFullUM, 2*got.FilmFullError)
}

// A train that prints its own jobs off by more than is seen on a sheet is not fitted to
// them, and one or two jobs fit none.
func TestFitOfJobsThatContradictIt(t *testing.T) {
	train, f := outOfStep(duplicator()), Fountain{8, 19.05}
	jobs, m := okJobs(t, train, f, 0, 3), model(t, train, f, Coarse)
	var u *Unfit
	_, err := m.FitJobs(context.Background(), 1, jobs[:2])
	require.ErrorAs(t, err, &u)
	assert.Equal(t, FewJobs, u.Reason)
	assert.ErrorContains(t, err, "2 of the 3 jobs that it takes")
	for i := range jobs {
		jobs[i].Run = "monday" // three inks of one run
	}
	_, err = m.FitJobs(context.Background(), 1, jobs)
	assert.ErrorContains(t, err, "1 of the 3 jobs that it takes")
	for i := range jobs {
		jobs[i].Run = ""
	}

	for i := range jobs {
		for k := range jobs[i].OpeningPct {
			jobs[i].OpeningPct[k] *= []float64{0.8, 1.3}[(i+k)/2%2]
		}
	}
	_, err = m.FitJobs(context.Background(), 1, jobs)
	require.ErrorAs(t, err, &u)
	assert.Equal(t, Scatter, u.Reason)
	assert.Greater(t, u.SpreadPct, 10.0)
	assert.ErrorContains(t, err, "would print the films of its own jobs off by")
}

func okJob(f Form, openings []float64, sweep float64, read []bool) Job {
	return Job{Form: f, OpeningPct: openings, Sweep: sweep, Read: read}
}

func TestUnfitJobs(t *testing.T) {
	train, f := outOfStep(duplicator()), Fountain{8, 19.05}
	m := model(t, train, f, Coarse)
	form := EvenForm(0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7)
	fit := func(j Job) error {
		_, err := m.FitJobs(context.Background(), 1, []Job{j, j, j})
		return err
	}
	var u *Unfit
	require.ErrorAs(t, fit(okJob(form, repeat(20, 8), 1, []bool{true, false, false, false, false, false, false, false})), &u)
	assert.Equal(t, TooFew, u.Reason)
	require.ErrorAs(t, fit(okJob(EvenForm(repeat(0.2, 8)...), repeat(20, 8), 1, nil)), &u)
	assert.Equal(t, TooFew, u.Reason)
	var proportional []float64
	for _, c := range form.Cover {
		proportional = append(proportional, 90*c)
	}
	require.ErrorAs(t, fit(okJob(form, proportional, 1, nil)), &u)
	assert.Equal(t, NoOffset, u.Reason)
	require.ErrorAs(t, fit(okJob(form, repeat(20, 8), 1, nil)), &u)
	assert.Equal(t, NoStrip, u.Reason)
	for want, j := range map[string]Job{
		"job 1 has 7 openings, of 0 that were read or not, for 8 keys":    okJob(form, repeat(20, 7), 1, nil),
		"8 openings, of 1 that were read or not, for 8 keys, at 1 of":     okJob(form, repeat(20, 8), 1, []bool{true}),
		"8 openings, of 0 that were read or not, for 8 keys, at NaN of t": okJob(form, repeat(20, 8), math.NaN(), nil),
		"job 1: key 1 from the left is opened by":                         okJob(form, repeat(math.NaN(), 8), 1, nil),
		"job 1: a form of 0 rows":                                         okJob(Form{}, repeat(20, 8), 1, nil),
	} {
		assert.ErrorContains(t, fit(j), want)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err := m.FitJobs(ctx, 1, slices.Repeat([]Job{okJob(form, repeat(20, 8), 1, nil)}, 3))
	assert.ErrorIs(t, err, context.Canceled)
}
