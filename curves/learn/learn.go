package learn

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"bladeline/curves"
	"bladeline/curves/settings"
)

// Censoring says what a key that was read tells of the opening that its zone
// wants. A censored reading is a bound: the key stood at an end of its range.
type Censoring int

// The kinds of censoring.
const (
	Uncensored    Censoring = iota // it wants this opening
	LeftCensored                   // the key stood at its floor: it wants this or less
	RightCensored                  // the key stood at its ceiling: it wants this or more
)

// A Reading is what one zone of a finished run says: at this coverage the sheet
// was right with the key at this opening.
type Reading struct {
	Zone        int     // counted from 1
	CoveragePct float64 // 0 to 100
	OpeningPct  float64 // in % of travel, at the run's own sweep; a key's wrong zero may take it below 0 or above 100
	Censoring   Censoring
}

// A Run is one ink of one finished job.
type Run struct {
	Name     string  // of its file, without the folder; tells runs apart
	Unit     string  // whose keys were read: each unit's have offsets of their own; may be empty
	Sweep    float64 // that it was run at, in the press's unit
	Pull     bool    // one pulled sheet, told by its densities: no job
	Readings []Reading
	LeftOut  []LeftOut // zones that say nothing of the curve
}

// LeftOut is a zone that was not learned from.
type LeftOut struct {
	Run    string
	Zone   int
	Reason string // as "was not read"
}

// Options set how a curve is learned.
type Options struct {
	// ReferenceSweep is the press's own, used where the old curve states none.
	ReferenceSweep float64
	// ReadingPct is how well a key is read, as a standard deviation in % of
	// travel. 0 stands for 1.
	ReadingPct float64
}

// A Result is a curve that follows the runs, and how it came about.
type Result struct {
	Curve   *curves.Curve // prepared; its Learned says what it was learned from
	Again   bool          // the old curve was learned from runs among these, and counts for nothing
	Used    []Fitted
	LeftOut []LeftOut
	Offsets []Offset // by unit and zone, of the zones that were learned from
	Runs    []RanAs  // by name

	Before      Spread // of the readings about the old curve
	After       Spread // about the new one
	WithOffsets Spread // about the new one and the keys' offsets

	Warnings []string // doubts, each a sentence
}

// Fitted is a reading that was learned from, beside what was learned. All
// openings are in % of travel at the run's own sweep.
type Fitted struct {
	Run string
	Reading
	CurvePct     float64 // by the new curve
	ResidualPct  float64 // read less curve and offset; 0 for a bound that is satisfied
	ReferencePct float64 // the opening that the same feed takes at the reference sweep
	Weight       float64 // 1: counts in full; less: it stands off and is trusted less
}

// An Offset is how far a key reads above what its opening is, over all runs:
// a wrong zero.
type Offset struct {
	Unit     string // as the runs state it
	Zone     int
	ShiftPct float64 // in % of travel
	ErrorPct float64 // standard error
	Readings int
}

// A Spread says how far readings lie from a curve. Bounds are not counted.
type Spread struct {
	Readings      int
	RMSPct        float64 // in points of opening, at the run's own sweep
	MedianPct     float64 // of the absolute distances
	RMSFeedPct    float64 // the feed that the curve gives against the feed run, in %; of openings above 0
	MedianFeedPct float64
}

// The least that a curve is learned from.
const (
	MinRuns      = 3 // fewer are warned of: three good jobs suffice for a first set of curves (MSc thesis LITH-ITN-MT-EX--02/001--SE, Linköping 2002, abstract)
	minCoverages = 5 // fewer are refused. Common practice, no source
)

// misreadScales is how many times the usual spread a reading stands off to be
// taken for misread. Common practice, no source.
const misreadScales = 4

// Fit fits a curve to what was run, starting from old, as the package says.
// Readings that then stand off by more than 4 times the usual spread are left
// out, and the rest is fitted once more. The order of runs makes no
// difference.
//
// An old curve that was itself learned, from runs that are all among these,
// counts for nothing but the curve that it started from: so no run counts
// twice, and learning from a growing folder gives what learning from all of it
// at once gives.
//
// It refuses fewer than five distinct coverages, two runs of one name, and
// numbers that are none. Its errors name run and zone.
func Fit(old *curves.Curve, runs []Run, o Options) (*Result, error) {
	if old == nil {
		return nil, errors.New("there is no curve to start from; give one")
	}
	if err := old.Validate(); err != nil {
		return nil, fmt.Errorf("curve %s: %w", old.Name, err)
	}
	runs = slices.Clone(runs)
	slices.SortStableFunc(runs, func(a, b Run) int { return cmp.Compare(a.Name, b.Name) })
	o = o.completed(old)
	if err := o.check(runs); err != nil {
		return nil, err
	}
	base := startOf(old, runs)
	f := newFitting(base, runs, o)
	if n := f.coverages(); n < minCoverages {
		return nil, f.tooFew(n)
	}
	if err := f.fit(); err != nil {
		return nil, err
	}
	misread := f.dropMisread()
	if err := f.fit(); err != nil {
		return nil, err
	}
	return f.learned(old, base, runs, misread)
}

// completed fills in what was left open.
func (o Options) completed(old *curves.Curve) Options {
	o.ReferenceSweep = cmp.Or(old.ReferenceSweep, o.ReferenceSweep)
	o.ReadingPct = cmp.Or(o.ReadingPct, 1)
	return o
}

func (o Options) check(runs []Run) error {
	switch {
	case !positive(o.ReferenceSweep):
		return fmt.Errorf("a reference sweep of %s feeds no ink; give the press's", settings.Plain(o.ReferenceSweep))
	case !positive(o.ReadingPct):
		return fmt.Errorf("a reading error of %s %% is not above 0; give how closely a key is read", settings.Plain(o.ReadingPct))
	}
	for i, r := range runs {
		if i > 0 && r.Name == runs[i-1].Name {
			return fmt.Errorf("%s: is given twice; name every run once", r.Name)
		}
		if err := r.check(); err != nil {
			return err
		}
	}
	return nil
}

func (r Run) check() error {
	if !positive(r.Sweep) {
		return &settings.FileError{File: r.Name, What: fmt.Sprintf("a sweep of %s feeds no ink", settings.Plain(r.Sweep)), Do: "give the sweep that was run"}
	}
	for _, p := range r.Readings {
		what := ""
		switch {
		case p.Zone < 1:
			what = "zones are counted from 1"
		case !(p.CoveragePct >= 0 && p.CoveragePct <= 100):
			what = fmt.Sprintf("a coverage of %s is outside 0 to 100", settings.Plain(p.CoveragePct))
		case p.Censoring < Uncensored || p.Censoring > RightCensored:
			what = fmt.Sprintf("a censoring of %d is not known", p.Censoring)
		case !(math.Abs(p.OpeningPct) <= 200):
			what = fmt.Sprintf("an opening of %s %% is beyond any key", settings.Plain(p.OpeningPct))
		}
		if what != "" {
			return &settings.FileError{File: r.Name, Place: fmt.Sprintf("zone %d", p.Zone), What: what, Do: "correct it, or leave the zone out"}
		}
	}
	return nil
}

func positive(v float64) bool { return v > 0 && !math.IsInf(v, 0) }

// Worst are the n readings that lie farthest from curve and offset, the
// farthest first.
func (l *Result) Worst(n int) []Fitted {
	if l == nil {
		return nil
	}
	worst := slices.Clone(l.Used)
	slices.SortStableFunc(worst, func(a, b Fitted) int {
		return cmp.Compare(math.Abs(b.ResidualPct), math.Abs(a.ResidualPct))
	})
	return worst[:min(max(n, 0), len(worst))]
}

// learned gathers what a converged fit found.
func (f *fitting) learned(old, base *curves.Curve, runs []Run, misread []LeftOut) (*Result, error) {
	l := &Result{Curve: f.curve(old), Again: base != old, Used: f.used(), Offsets: f.offsets()}
	for _, r := range runs {
		for _, out := range r.LeftOut {
			l.LeftOut = append(l.LeftOut, LeftOut{r.Name, out.Zone, out.Reason})
		}
	}
	l.LeftOut = append(l.LeftOut, misread...)
	l.Curve.Learned = f.provenance(base, runs, len(l.LeftOut))
	if err := l.Curve.Prepare(); err != nil {
		return nil, err
	}
	for i := range l.Used {
		u, r := &l.Used[i], f.rows[i]
		u.CurvePct, u.ReferencePct = l.Curve.At(u.CoveragePct)*r.ratio, u.OpeningPct/r.ratio
		if u.Censoring == Uncensored {
			u.ResidualPct = u.OpeningPct - u.CurvePct - f.shift[r.key]
		}
	}
	l.Before = f.spread(func(r row) float64 { return old.At(r.CoveragePct) * r.ratio })
	l.After = f.spread(func(r row) float64 { return l.Curve.At(r.CoveragePct) * r.ratio })
	l.WithOffsets = f.spread(func(r row) float64 { return l.Curve.At(r.CoveragePct)*r.ratio + f.shift[r.key] })
	l.Runs = f.ranAs(l, runs)
	l.Warnings = slices.Concat(doubtsOfRuns(old, base, runs), f.doubts(l, len(misread)), doubtsOfAgreement(l.Runs))
	return l, nil
}

// spread is how the readings lie about what a curve gives them, in % of travel.
func (f *fitting) spread(given func(row) float64) Spread {
	var off, feed []float64
	for _, r := range f.rows {
		if r.Censoring != Uncensored {
			continue
		}
		off = append(off, given(r)-r.OpeningPct)
		if r.OpeningPct > 0 {
			feed = append(feed, 100*(given(r)-r.OpeningPct)/r.OpeningPct)
		}
	}
	return Spread{len(off), rms(off), medianAbs(off), rms(feed), medianAbs(feed)}
}

func rms(vs []float64) float64 {
	sum := 0.0
	for _, v := range vs {
		sum += v * v
	}
	return math.Sqrt(sum / max(1, float64(len(vs))))
}

// medianAbs is the median of absolute values, 0 of none.
func medianAbs(vs []float64) float64 {
	abs := make([]float64, len(vs))
	for i, v := range vs {
		abs[i] = math.Abs(v)
	}
	return median(abs)
}
