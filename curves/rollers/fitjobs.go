package rollers

import (
	"context"
	"fmt"
	"math"
	"runtime"
	"slices"
	"sync"
)

// A Job is one ink that was run until it was right.
type Job struct {
	Form       Form
	OpeningPct []float64 // of all keys, from the left
	Sweep      float64   // in parts of the reference sweep, at which the strip is stated
	Read       []bool    // by key, whether its opening was read and is no bound; nil: all
	Run        string    // the run that it was an ink of: inks of one run are one job; "": of none but its own
}

// FitJobs finds the film at full opening and the strip with which the model prints
// the jobs most evenly: the least squares of the logarithms of all films of zones
// that print and whose keys were read, against filmUM. Unlike [Line.Fit] it knows
// what zones take from each other; on forms that differ from zone to zone, keys
// that print evenly do not lie on the line, and a fit to that finds too steep a
// one. What a run has of its own, its paper, its zeros or the hand that passed it, moves
// all its zones and inks together; so errors are those between runs, by the jackknife, or
// within them where those are greater. A run is one job, however many inks it had. What the model's train has as its feed does not matter.
//
// A fit whose train prints its own jobs off by more than what is seen is refused.
// An error is an [*Unfit], or says what is wrong with a job.
func (m *Model) FitJobs(ctx context.Context, filmUM float64, jobs []Job) (Fitted, error) {
	if !(filmUM > 0 && filmUM < 1000) {
		return Fitted{}, fmt.Errorf("a printed film of %g µm", filmUM)
	}
	f := &fitting{film: filmUM, jobs: jobs}
	var err error
	if f.m, err = m.withSlots(Coarse.SlotMM); err != nil {
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
	if _, runs := f.runs(); len(f.jobs) > 0 && runs < LeastJobs {
		return &Unfit{FewJobs, Fitted{Readings: f.readings, Jobs: runs}}
	}
	if f.readings < leastReadings || most-least < leastRange {
		return &Unfit{TooFew, Fitted{Readings: f.readings}}
	}
	return nil
}

// runs has for each job with a zone that counts the number of its run, −1 for others, and
// how many runs there are.
func (f *fitting) runs() (of []int, n int) {
	known := map[string]int{}
	for i, counts := range f.counts {
		run, is := known[f.jobs[i].Run]
		switch {
		case !slices.Contains(counts, true):
			run = -1
		case !is || f.jobs[i].Run == "":
			run = n
			known[f.jobs[i].Run] = run
			n++
		}
		of = append(of, run)
	}
	return of, n
}

// Strips that are tried, in mm, by factors of 2 and then ever more closely.
const (
	leastStrip = 0.5
	mostStrip  = 512
	finest     = 1e-3 // of the strip's logarithm
)

// fitResidual leaves the films that a strip prints well within what jobs scatter by.
const fitResidual = 1e-3

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
	st, err := f.m.steady(ctx, t, nil, fitResidual)
	if err != nil {
		return nil, err
	}
	return st.films(), nil
}

// result states what was found and how sure it is, from how films change with the
// strip; or refuses it.
func (f *fitting) result(ctx context.Context, best tried, end int) (Fitted, error) {
	_, runs := f.runs()
	fitted := Fitted{Readings: f.readings, Jobs: runs, SpreadPct: 100 * math.Sqrt(best.squares/float64(f.readings-2))}
	switch {
	case end < 0:
		return fitted, &Unfit{NoOffset, fitted}
	case end > 0:
		return fitted, &Unfit{NoStrip, fitted}
	case fitted.SpreadPct > mostSpreadPct:
		return fitted, &Unfit{Scatter, fitted}
	}
	slopes, err := f.slopes(ctx, best.log)
	if err != nil {
		return fitted, err
	}
	fullError, stripError := f.errors(best, slopes)
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

// slopes are what the logarithms of films rise by with that of the strip.
func (f *fitting) slopes(ctx context.Context, log float64) ([]float64, error) {
	const step = 0.05
	less, err := f.try(ctx, log-step)
	if err != nil {
		return nil, err
	}
	more, err := f.try(ctx, log+step)
	if err != nil {
		return nil, err
	}
	slopes := make([]float64, len(less.off))
	for i := range slopes {
		slopes[i] = (more.off[i] - less.off[i]) / (2 * step)
	}
	return slopes, nil
}

// A normal is the sums of a straight line's normal equations, off = −full − slope·strip.
type normal struct{ n, x, xx, y, xy float64 }

func (a *normal) add(x, y float64) {
	a.n, a.x, a.xx, a.y, a.xy = a.n+1, a.x+x, a.xx+x*x, a.y+y, a.xy+x*y
}

// without is what full and strip, in logarithms, move by when a part is left out.
func (a normal) without(b normal) (full, strip float64) {
	n, x, xx, y, xy := a.n-b.n, a.x-b.x, a.xx-b.xx, a.y-b.y, a.xy-b.xy
	det := n*xx - x*x
	return (x*xy - xx*y) / det, (x*y - n*xy) / det
}

// errors are the standard errors of the logarithms of film and strip: within runs, as
// if zones deviated independently, and between them, of estimates that leave out one
// run after the other, to first order (B. Efron, The Jackknife, the Bootstrap and Other
// Resampling Plans, 1982, chapter 3; from memory). The greater one holds. They are +Inf
// where what is left without a run holds no fit.
func (f *fitting) errors(best tried, slopes []float64) (full, strip float64) {
	of, runs := f.runs()
	var all normal
	parts, at := make([]normal, runs), 0
	for i, counts := range f.counts {
		for _, is := range counts {
			if is {
				parts[of[i]].add(slopes[at], best.off[at]-best.mean)
				all.add(slopes[at], best.off[at]-best.mean)
				at++
			}
		}
	}
	variance := best.squares / (all.n - 2)
	det := all.n*all.xx - all.x*all.x
	full, strip = math.Sqrt(variance*all.xx/det), math.Sqrt(variance*all.n/det)
	var fulls, strips []float64
	for _, part := range parts {
		a, b := all.without(part)
		fulls, strips = append(fulls, a), append(strips, b)
	}
	return max(full, jackknife(fulls)), max(strip, jackknife(strips))
}

// jackknife is the standard error of what n estimates, each without one part, are of.
func jackknife(values []float64) float64 {
	m, sum := mean(values), 0.0
	for _, v := range values {
		sum += (v - m) * (v - m)
	}
	if n := float64(len(values)); !math.IsNaN(sum) {
		return math.Sqrt(sum * (n - 1) / n)
	}
	return math.Inf(1)
}
