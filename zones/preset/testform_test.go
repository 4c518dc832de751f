package preset

import (
	"math"
	"math/rand/v2"
	"slices"
	"sync"
	"testing"

	"bladeline/curves/ink"
	"bladeline/curves/learn"
	"bladeline/zones/testform"
	"bladeline/zones/zonestest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What the simulated inks are, and how they are read: to 0.01, a standard deviation of
// 0.02 off (common practice, no source), by a limit that is up to some 0.05 off, as
// curve density finds one.
const (
	simTarget  = 1.5
	simLimit   = 2.0
	simReading = 0.02
	simLimitBy = 0.04
)

// mixed is what films of a sheet are, as parts of the wanted one, of what the keys
// feed: beside the ink that the press carries sideways in proportion to the feed,
// rollers that oscillate carry it from where films are thick to where they are
// thin, as much as that press does of the ink of a zone of 20 %. So neighbours blur
// each other even where all keys stand alike.
func (s *simPress) mixed(fed, coverages []float64) []float64 {
	feed, films := s.film(fed), make([]float64, len(fed))
	exchange := s.spread * s.wanted(20)
	for range 100 { // Gauss and Seidel's iteration
		for i, c := range coverages {
			in, takes := feed[i], s.wanted(c)
			for _, j := range []int{i - 1, i + 1} {
				if j >= 0 && j < len(films) {
					in, takes = in+exchange*films[j], takes+exchange
				}
			}
			films[i] = in / takes
		}
	}
	return films
}

// simForm is the coverages of the test form of such presses, and the one in the
// middle of them.
var simForm = sync.OnceValues(func() (coverages []float64, middle float64) {
	form, err := testform.New(zonestest.Press(simZones, 31.75), testform.Options{GripperMM: testform.DefaultGripperMM, DPI: 100, LengthMM: 480})
	if err != nil {
		panic(err)
	}
	for _, z := range form.Zones {
		coverages = append(coverages, form.Steps[z.Step-1].CoveragePct) // which its letters do not change
	}
	sorted := slices.Sorted(slices.Values(coverages))
	return coverages, sorted[simZones/2]
})

// alike are the films of the test form with all keys shown alike.
func (s *simPress) alike(shown float64, coverages []float64) []float64 {
	fed := make([]float64, simZones)
	for i := range fed {
		fed[i] = max(0, shown-s.zero[i])
	}
	return s.mixed(fed, coverages)
}

// pull runs the test form, all keys alike and moved together until the middle
// coverage looks right, and reads the strips.
func (s *simPress) pull(t require.TestingT, r *rand.Rand) *learn.Run {
	coverages, middle := simForm()
	shown := math.Round(startCurve(t).At(middle))
	at := slices.Index(coverages, middle)
	for range 5 {
		shown = min(max(5, math.Round(shown*(1+(1/s.alike(shown, coverages)[at]-1)/2))), 95)
	}
	law := ink.DensityLaw{Limit: simLimit, Rate: 1}
	var densities []SolidDensity
	for i, film := range s.alike(shown, coverages) {
		d := law.At(film*law.Film(simTarget)) + simReading*r.NormFloat64()
		densities = append(densities, SolidDensity{Ink: "Black", Zone: i + 1, Density: max(0, math.Round(100*d)/100)})
	}
	p := s.preset(t, startCurve(t), nil, coverages)
	for i := range p.Units[0].Keys {
		p.Units[0].Keys[i].OKKey = new(shown)
	}
	p.Units[0].OKSweep = new(s.press.Sweep.Reference)
	run, err := p.PullRun("pull.csv", s.press, "Black", "d.csv", densities, simTarget, simLimit+simLimitBy*r.NormFloat64())
	require.NoError(t, err)
	return run
}

// taught are the errors of presets after a test form, and after that and a job.
type taught struct{ form, job simErrors }

// simulateTestForm learns from one test form each, on the presses of simulate, and
// then from it and a job together. A pull says nothing of zeros.
func simulateTestForm(t require.TestingT, from, presses int) (all taught) {
	for n := range presses {
		s := newSimPress(uint64(from + n))
		options := learn.Options{ReferenceSweep: s.press.Sweep.Reference}
		pull := s.pull(t, rand.New(rand.NewPCG(uint64(from+n), 6)))
		form, err := learn.Fit(startCurve(t), []learn.Run{*pull}, options)
		require.NoError(t, err)
		s.try(t, form.Curve, nil, &all.form)
		job, err := learn.Fit(startCurve(t), []learn.Run{*pull, *s.run(t, form.Curve)}, options)
		require.NoError(t, err)
		s.try(t, job.Curve, zeros(job), &all.job)
	}
	return all
}

// worth is what one test form lowers a mean error by, in jobs: of what one job does.
func worth(jobs []simErrors, form taught, of func(simErrors) []float64) float64 {
	none, _, _ := sized(of(jobs[0]))
	one, _, _ := sized(of(jobs[1]))
	after, _, _ := sized(of(form.form))
	return (none - after) / (none - one)
}

// Presses drawn from other seeds say much the same: a test form is worth less than a
// job that was brought to colour key by key, and together they teach more than either.
func TestTestFormTeaches(t *testing.T) {
	jobs, form := simulate(t, 1001, 60), simulateTestForm(t, 1001, 60)
	for name, of := range map[string]func(simErrors) []float64{
		"feed": func(e simErrors) []float64 { return e.feed }, "keys": func(e simErrors) []float64 { return e.keys },
	} {
		w := worth(jobs, form, of)
		t.Logf("%s: one test form is worth %.2f of a job", name, w)
		assert.Greater(t, w, 0.6, name)
		assert.Less(t, w, 1.05, name)
		both, _, _ := sized(of(form.job))
		after, _, _ := sized(of(form.form))
		one, _, _ := sized(of(jobs[1]))
		assert.Less(t, both, min(after, 1.05*one), name)
	}
}
