package rollers

import (
	"context"
	"fmt"
	"math"
	"runtime"
	"sync"
)

// A Job is one ink that was run until it was right.
type Job struct {
	Form       Form
	OpeningPct []float64 // of all keys, from the left
	Sweep      float64   // in parts of the reference sweep, at which the strip is stated
	Read       []bool    // by key, whether its opening was read and is no bound; nil: all
}

// FitJobs finds the film at full opening and the strip with which the model prints
// the jobs most evenly: the least squares of the logarithms of all films of zones
// that print and whose keys were read, against filmUM. Unlike [Line.Fit] it knows
// what zones take from each other; on forms that differ from zone to zone, keys
// that print evenly do not lie on the line, and a fit to that finds too steep a
// one. Errors are stated to first order, as if zones deviated independently of each
// other. What the model's train has as its feed does not matter.
//
// An error is an [*Unfit], or says what is wrong with a job.
func (m *Model) FitJobs(ctx context.Context, filmUM float64, jobs []Job) (Fitted, error) {
	if !(filmUM > 0 && filmUM < 1000) {
		return Fitted{}, fmt.Errorf("a printed film of %g µm", filmUM)
	}
	f := &fitting{film: filmUM, jobs: jobs}
	var err error
	if f.m, err = m.coarser(); err != nil {
		return Fitted{}, err
	}
	if err := f.choose(); err != nil {
		return Fitted{Readings: f.readings}, err
	}
	best, end, err := f.search(ctx)
	if err != nil {
		return Fitted{}, err
	}
	return f.result(ctx, best, end)
}

// A fitting is jobs and which of their zones count.
type fitting struct {
	m        *Model
	film     float64
	jobs     []Job
	counts   [][]bool // job by job, by zone
	readings int
}

// choose finds the zones that count, and refuses too few.
func (f *fitting) choose() error {
	zones := f.m.fountain.Zones
	least, most := math.Inf(1), math.Inf(-1)
	for i, j := range f.jobs {
		if len(j.OpeningPct) != zones || j.Read != nil && len(j.Read) != zones || !(j.Sweep > 0 && j.Sweep <= 100) {
			return fmt.Errorf("job %d has %d openings, of %d that were read or not, for %d keys, at %g of the reference sweep", i+1, len(j.OpeningPct), len(j.Read), zones, j.Sweep)
		}
		cover, err := f.m.cover(j.Form)
		if err != nil {
			return fmt.Errorf("job %d: %w", i+1, err)
		}
		if _, err := f.m.feeds(Setting{OpeningPct: j.OpeningPct}); err != nil {
			return fmt.Errorf("job %d: %w", i+1, err)
		}
		counts := make([]bool, zones)
		for z, c := range f.m.zoneCovers(cover) {
			if counts[z] = c > 0 && (j.Read == nil || j.Read[z]); counts[z] {
				f.readings++
				least, most = min(least, c), max(most, c)
			}
		}
		f.counts = append(f.counts, counts)
	}
	if f.readings < leastReadings || most-least < leastRange {
		return &Unfit{TooFew, Fitted{Readings: f.readings}}
	}
	return nil
}

// Strips that are tried, in mm, by factors of 2 and then ever more closely.
const (
	leastStrip = 0.5
	mostStrip  = 512
	finest     = 1e-3 // of the strip's logarithm
)

// A tried is how a strip does: the logarithms of films against the one that was
// printed, and how they scatter about their mean.
type tried struct {
	log     float64 // of the strip
	off     []float64
	mean    float64
	squares float64
}

// search finds the best strip, first among those a factor of 2 apart, then between
// its neighbours by golden sections. End is −1 or 1 where it lies beyond the least or
// the greatest.
func (f *fitting) search(ctx context.Context) (best tried, end int, err error) {
	step := math.Ln2
	for log := math.Log(leastStrip); log < math.Log(mostStrip)+step/2; log += step {
		t, err := f.try(ctx, log)
		if err != nil {
			return best, 0, err
		}
		if best.off == nil || t.squares < best.squares {
			best = t
		}
	}
	const golden = 0.6180339887498949
	low, high := best.log-step, best.log+step
	var a, b tried
	if a, err = f.try(ctx, high-golden*(high-low)); err != nil {
		return best, 0, err
	}
	if b, err = f.try(ctx, low+golden*(high-low)); err != nil {
		return best, 0, err
	}
	for high-low > finest && err == nil {
		if a.squares < b.squares {
			high, b = b.log, a
			a, err = f.try(ctx, high-golden*(high-low))
		} else {
			low, a = a.log, b
			b, err = f.try(ctx, low+golden*(high-low))
		}
	}
	switch {
	case a.log < math.Log(leastStrip):
		end = -1
	case a.log > math.Log(mostStrip):
		end = 1
	}
	return a, end, err
}

// try prints all jobs with a strip; all cores share them.
func (f *fitting) try(ctx context.Context, log float64) (tried, error) {
	films, errs := make([][]float64, len(f.jobs)), make([]error, len(f.jobs))
	turns := make(chan bool, runtime.GOMAXPROCS(0))
	var workers sync.WaitGroup
	for i, j := range f.jobs {
		workers.Go(func() {
			turns <- true
			defer func() { <-turns }()
			films[i], errs[i] = f.printed(ctx, j, min(math.Exp(log)*j.Sweep, mostStripMM))
		})
	}
	workers.Wait()
	t := tried{log: log}
	for i := range f.jobs {
		if errs[i] != nil {
			return t, fmt.Errorf("job %d: %w", i+1, errs[i])
		}
		for z, counts := range f.counts[i] {
			if counts {
				t.off = append(t.off, math.Log(max(films[i][z], 1e-3*f.film)/f.film))
			}
		}
	}
	t.mean = mean(t.off)
	for _, v := range t.off {
		t.squares += (v - t.mean) * (v - t.mean)
	}
	return t, nil
}

func (f *fitting) printed(ctx context.Context, j Job, strip float64) ([]float64, error) {
	t, err := f.m.prepare(f.m.Clean(), j.Form, Setting{j.OpeningPct, strip})
	if err != nil {
		return nil, err
	}
	st, err := f.m.steady(ctx, t, nil, responseResidual)
	if err != nil {
		return nil, err
	}
	return st.films(), nil
}

// result states what was found and how sure it is, from how films change with the
// strip; or refuses it.
func (f *fitting) result(ctx context.Context, best tried, end int) (Fitted, error) {
	fitted := Fitted{Readings: f.readings, SpreadPct: 100 * math.Sqrt(best.squares/float64(f.readings-2))}
	if end < 0 {
		return fitted, &Unfit{NoOffset, fitted}
	}
	if end > 0 {
		return fitted, &Unfit{NoStrip, fitted}
	}
	const step = 0.05
	less, err := f.try(ctx, best.log-step)
	if err != nil {
		return fitted, err
	}
	more, err := f.try(ctx, best.log+step)
	if err != nil {
		return fitted, err
	}
	slope := func(i int) float64 { return (more.off[i] - less.off[i]) / (2 * step) }
	meanSlope, steep := (more.mean-less.mean)/(2*step), 0.0
	for i := range best.off {
		steep += (slope(i) - meanSlope) * (slope(i) - meanSlope)
	}
	n := float64(f.readings)
	variance := best.squares / (n - 2)
	stripError := math.Sqrt(variance / steep) // of its logarithm
	fullError := math.Sqrt(variance * (1/n + meanSlope*meanSlope/steep))
	full, strip := f.m.train.Feed.FilmFullUM*math.Exp(-best.mean), math.Exp(best.log)
	fitted.Straight = Straight{OffsetPct: 100 * f.film * f.m.line.A / full, SlopePct: 100 * f.film * f.m.line.B(strip) / full}
	fitted.Straight.OffsetError = fitted.Straight.OffsetPct * fullError
	if !(clearly*fullError < 1) {
		return fitted, &Unfit{NoOffset, fitted}
	}
	if !(clearly*stripError < 1) {
		return fitted, &Unfit{NoStrip, fitted}
	}
	fitted.FilmFullUM, fitted.FilmFullError = full, full*fullError
	fitted.StripMM, fitted.StripError = strip, strip*stripError
	return fitted, nil
}
