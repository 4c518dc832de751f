package learn

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"bladeline/curves"
)

// What the fit weighs readings against.
const (
	huberScales = 1.345 // Huber's k: 95 % as sharp as least squares on normal errors (Holland and Welsch, Comm. Statist. A6, 1977; from memory)
	zeroWeight  = 0.5   // a key's zero is held to 0 as by half a reading: it is off by about 1.4 reading errors. Common practice, no source
	slopeWeight = 1     // λ₁, in % of coverage; tried out on simulated presses, as is the next
	bendWeight  = 100   // λ₂, in its cube
)

// knotsPct are the coverages where the fitted curve may bend: closest where
// curves are steepest.
var knotsPct = []float64{
	0, 1, 2, 3, 4, 5, 7.5, 10, 12.5, 15, 17.5, 20, 25, 30, 35, 40, 45, 50, 55, 60, 65, 70, 75, 80, 85, 90, 95, 100,
}

// A fitting finds a curve f, straight between fixed knots, and a shift z of
// each key. With a reading y at the run's sweep, the coverage c of its zone and
//
//	r = y − f(c)·reference/sweep − z,   g = f − old,
//
// they minimize
//
//	Σ ρ(r) + ½·Σ z² + λ₁·∫(g′)² dc + λ₂·∫(g″)² dc
//
// over all f with f(0) ≥ 0 that never fall, that is, over non-negative
// increments from knot to knot; what then lies above 100 is cut to 100. ρ is
// Huber's (P. J. Huber, Ann. Math. Statist. 35, 1964): r² up to k·s and linear
// beyond, with s = max(ReadingPct, 1.4826·median|r|). A censored reading is a
// bound and counts only by how far it is overstepped. Where there are no data, the penalties keep the
// slope and the bend of the old curve; as data grow, their share vanishes.
//
// Runs of one sweep do not tell a shift that all keys share from the curve;
// the term in z² then puts all of it into the curve. Runs of different sweeps
// do tell them apart.
//
// The solver majorizes and minimizes (D. R. Hunter and K. Lange, The American
// Statistician 58, 2004): each round weighs readings beyond k·s by k·s/|r|,
// lets a bound that is satisfied read what is fitted, and solves the normal
// equations of the quadratic that this makes of the objective: the shifts are
// eliminated, the increments found by nonNegative. No round raises the
// objective. The first rounds leave a satisfied bound out altogether, Newton's
// way, which is much faster and nearly always converges; those that guarantee
// it come after.
type fitting struct {
	o     Options
	rows  []row
	keys  []key     // rising
	old   []float64 // the old curve at the knots
	value []float64 // f there
	shift []float64 // z of each key
	scale float64   // s
	last  *normalEquations
}

// key is one of a unit's, that of a zone.
type key struct {
	unit string
	zone int
}

func (k key) compare(other key) int {
	return cmp.Or(cmp.Compare(k.unit, other.unit), cmp.Compare(k.zone, other.zone))
}

// row is a reading as the fit needs it, and what the last round made of it.
type row struct {
	Reading
	run      string
	unit     string
	ratio    float64 // reference sweep / the run's
	key      int     // index of its key
	knot     int     // the knot before its coverage
	part     float64 // of the way to the next knot
	residual float64 // r; of a bound that is satisfied, 0
	weight   float64
}

func newFitting(old *curves.Curve, runs []Run, o Options) *fitting {
	f := &fitting{o: o}
	for _, c := range knotsPct {
		f.old = append(f.old, old.At(c))
	}
	for _, r := range runs {
		for _, p := range r.Readings {
			next := min(max(1, slices.IndexFunc(knotsPct, func(c float64) bool { return c >= p.CoveragePct })), len(knotsPct)-1)
			part := (p.CoveragePct - knotsPct[next-1]) / (knotsPct[next] - knotsPct[next-1])
			f.rows = append(f.rows, row{Reading: p, run: r.Name, unit: r.Unit, ratio: o.ReferenceSweep / r.Sweep, knot: next - 1, part: part})
		}
	}
	f.numberKeys()
	f.value = slices.Clone(f.old)
	return f
}

// numberKeys gives every key that has a row a shift.
func (f *fitting) numberKeys() {
	f.keys = nil
	for _, r := range f.rows {
		f.keys = append(f.keys, key{r.unit, r.Zone})
	}
	slices.SortFunc(f.keys, key.compare)
	f.keys = slices.Compact(f.keys)
	for i, r := range f.rows {
		f.rows[i].key, _ = slices.BinarySearchFunc(f.keys, key{r.unit, r.Zone}, key.compare)
	}
	f.shift = make([]float64, len(f.keys))
}

// coverages counts those that have a value, alike within 0.1 % as one.
func (f *fitting) coverages() int {
	seen := map[float64]bool{}
	for _, r := range f.rows {
		if r.Censoring == Uncensored {
			seen[math.Round(r.CoveragePct*10)] = true
		}
	}
	return len(seen)
}

// The rounds of a fit: it has converged when no opening moves by more than
// convergedPct. A few dozen rounds do; many bounds take hundreds.
const (
	quickRounds  = 50
	maxRounds    = 10_000
	convergedPct = 1e-6
	rescalings   = 4 // of s, after which it hardly changes
)

// fit minimizes the objective, and finds s on the way.
func (f *fitting) fit() error {
	f.scale = f.o.ReadingPct
	for range rescalings {
		if err := f.converge(); err != nil {
			return err
		}
		f.scale = max(f.o.ReadingPct, madScale*f.medianResidual())
	}
	return f.converge()
}

// madScale makes the median of absolute normal errors their standard deviation.
const madScale = 1.4826

func (f *fitting) medianResidual() float64 {
	var rs []float64
	for _, r := range f.rows {
		if r.Censoring == Uncensored {
			rs = append(rs, r.residual)
		}
	}
	return medianAbs(rs)
}

func (f *fitting) converge() error {
	for n := range maxRounds {
		satisfied := 0.0
		if n >= quickRounds {
			satisfied = 1
		}
		f.weigh(satisfied)
		moved, err := f.step()
		if err != nil {
			return err
		}
		if moved < convergedPct {
			f.weigh(satisfied)
			return nil
		}
	}
	return fmt.Errorf("the fit did not converge in %d rounds; check the runs for keys that contradict each other", maxRounds)
}

// weigh writes residual and weight into every row; satisfied is the weight of a
// bound that is satisfied.
func (f *fitting) weigh(satisfied float64) {
	for i := range f.rows {
		r := &f.rows[i]
		r.residual = r.OpeningPct - f.at(r)*r.ratio - f.shift[r.key]
		r.weight = 1
		if r.satisfied() {
			r.residual, r.weight = 0, satisfied
		}
		if limit := huberScales * f.scale; math.Abs(r.residual) > limit {
			r.weight = limit / math.Abs(r.residual)
		}
	}
}

// at is f at a row's coverage.
func (f *fitting) at(r *row) float64 {
	return f.value[r.knot] + r.part*(f.value[r.knot+1]-f.value[r.knot])
}

// satisfied tells whether the row is a bound that its residual does not overstep.
func (r *row) satisfied() bool {
	return r.Censoring == LeftCensored && r.residual >= 0 || r.Censoring == RightCensored && r.residual <= 0
}

// step solves one round's quadratic and returns how far the farthest knot or
// shift moved, in % of travel.
func (f *fitting) step() (moved float64, err error) {
	eq := f.normalEquations()
	h, g := eq.increments()
	start := make([]float64, len(f.value))
	for i, v := range f.value {
		start[i] = v
		if i > 0 {
			start[i] = max(0, v-f.value[i-1]) // the sum of increments may have lost a hair
		}
	}
	x, err := nonNegative(h, g, start)
	if err != nil {
		return 0, err
	}
	sum := 0.0
	for i, v := range x {
		sum += v
		moved = max(moved, math.Abs(sum-f.value[i]))
		f.value[i] = sum
	}
	for k, z := range eq.shifts(f.value) {
		moved = max(moved, math.Abs(z-f.shift[k]))
		f.shift[k] = z
	}
	f.last = eq
	return moved, nil
}

// dropMisread takes out the readings that stand off too far, and lists them.
func (f *fitting) dropMisread() []LeftOut {
	var out []LeftOut
	var kept []row
	suggests := "what its coverage suggests"
	if slices.ContainsFunc(f.rows, func(r row) bool { return r.run != f.rows[0].run }) {
		suggests = "what its coverage and the other jobs suggest"
	}
	for _, r := range f.rows {
		if math.Abs(r.residual) <= misreadScales*f.scale {
			kept = append(kept, r)
			continue
		}
		side := "above"
		if r.residual < 0 {
			side = "below"
		}
		reason := fmt.Sprintf("is %.1f points %s %s: misread?", math.Abs(r.residual), side, suggests)
		out = append(out, LeftOut{r.run, r.Zone, reason})
	}
	f.rows = kept
	f.numberKeys()
	return out
}

// used lists the rows of a converged fit.
func (f *fitting) used() []Fitted {
	var fs []Fitted
	for _, r := range f.rows {
		fs = append(fs, Fitted{Run: r.run, Reading: r.Reading, ResidualPct: r.residual, Weight: r.weight})
	}
	return fs
}
