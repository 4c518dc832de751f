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

// student is Student's t for 95 % of both sides and 4 degrees of freedom, those of five
// runs (any table of it).
const student = 2.776

// A simulation is runs of two inks each that a train printed evenly, and what films do
// when keys stand elsewhere or the strip is another: linear, so that it can be asked often.
type simulation struct {
	fit       *fitting
	responses []*Response
	slopes    []float64
}

func simulated(t *testing.T, runs int) *simulation {
	ctx := context.Background()
	m := model(t, outOfStep(duplicator()), Fountain{6, 19.05}, Coarse)
	r := rand.New(rand.NewPCG(7, 95))
	s := &simulation{fit: &fitting{m: m, film: 1}}
	for i := range 2 * runs {
		cover := make([]float64, 6)
		for z := range cover {
			cover[z] = (0.05 + 0.05*float64(i)) * (0.5 + r.Float64())
		}
		w := free(6)
		w.CeilingPct = repeat(1000, 6)
		solution, err := m.Solve(ctx, EvenForm(cover...), w)
		require.NoError(t, err)
		s.responses = append(s.responses, solution.Response)
		s.fit.jobs = append(s.fit.jobs, Job{Form: EvenForm(cover...), OpeningPct: solution.Setting.OpeningPct, Sweep: 1, Run: string(rune('a' + i%runs))})
	}
	require.NoError(t, s.fit.choose())
	var err error
	s.slopes, err = s.fit.slopes(ctx, math.Log(m.train.Feed.StripMM))
	require.NoError(t, err)
	return s
}

// passed are the jobs as they were passed: each run 3 % too full or too lean as a whole,
// and every key read 2 % of itself wrong, both as standard deviations; and what their
// films are then off by, in logarithms.
func (s *simulation) passed(r *rand.Rand) (jobs []Job, off []float64) {
	of := map[string]float64{}
	jobs = slices.Clone(s.fit.jobs)
	for i, j := range jobs {
		if _, is := of[j.Run]; !is {
			of[j.Run] = math.Exp(0.03 * r.NormFloat64())
		}
		jobs[i].OpeningPct = slices.Clone(j.OpeningPct)
		for k := range j.OpeningPct {
			jobs[i].OpeningPct[k] *= of[j.Run] * math.Exp(0.02*r.NormFloat64())
		}
		for z := range j.OpeningPct {
			before, after := 0.0, 0.0
			for k, by := range s.responses[i].UMPerPct {
				before, after = before+by[z]*j.OpeningPct[k], after+by[z]*jobs[i].OpeningPct[k]
			}
			off = append(off, math.Log(after/before))
		}
	}
	return jobs, off
}

// fitted are the logarithms of film and strip that fit films best, off the truth, and
// their stated standard errors.
func (s *simulation) fitted(off []float64) (full, strip, fullError, stripError float64) {
	var all normal
	for i, v := range off {
		all.add(s.slopes[i], v)
	}
	strip = -(all.n*all.xy - all.x*all.y) / (all.n*all.xx - all.x*all.x)
	at := tried{off: make([]float64, len(off))}
	for i, v := range off {
		at.off[i] = v + s.slopes[i]*strip
	}
	at.mean = mean(at.off)
	for _, v := range at.off {
		at.squares += (v - at.mean) * (v - at.mean)
	}
	fullError, stripError = s.fit.errors(at, s.slopes)
	return -at.mean, strip, fullError, stripError
}

// TestFitErrorsCoverTheTruth: of 200 fits to five simulated runs 95 % should lie within
// Student's t standard errors of the truth. The greater of two errors is stated, and 200
// are no more than 200: 90 to 99 % are asked for. Had each ink been taken for a run of its
// own, as nobody should, fewer would.
func TestFitErrorsCoverTheTruth(t *testing.T) {
	s, r := simulated(t, 5), rand.New(rand.NewPCG(3, 4))
	full, strip := 0, 0
	for range 200 {
		_, off := s.passed(r)
		a, b, aError, bError := s.fitted(off)
		if math.Abs(a) <= student*aError {
			full++
		}
		if math.Abs(b) <= student*bError {
			strip++
		}
	}
	t.Logf("within: the film %d, the strip %d of 200", full, strip)
	for _, within := range []int{full, strip} {
		assert.GreaterOrEqual(t, within, 180)
		assert.LessOrEqual(t, within, 198)
	}
}

// TestFitOfSimulatedRuns: what FitJobs finds and states is what the simulation reckons
// with, so that the one stands for the other.
func TestFitOfSimulatedRuns(t *testing.T) {
	s := simulated(t, 5)
	feed := s.fit.m.train.Feed
	jobs, off := s.passed(rand.New(rand.NewPCG(5, 6)))
	got, err := s.fit.m.FitJobs(context.Background(), 1, jobs)
	require.NoError(t, err)
	full, strip, fullError, stripError := s.fitted(off)
	assert.Equal(t, 5, got.Jobs)
	assert.InDelta(t, full, math.Log(got.FilmFullUM/feed.FilmFullUM), 0.5*fullError)
	assert.InDelta(t, strip, math.Log(got.StripMM/feed.StripMM), 0.5*stripError)
	assert.InEpsilon(t, fullError, got.FilmFullError/got.FilmFullUM, 0.25)
	assert.InEpsilon(t, stripError, got.StripError/got.StripMM, 0.25)
}
