package curves

import (
	"cmp"
	"math"
	"slices"
)

// A Demand is what one zone asks for.
type Demand struct {
	OpeningPct float64 // by the curve, at its reference sweep
	Prints     bool    // false: it takes no ink
	OffSheet   bool    // no sheet lies over it, and it asks for nothing
}

// Keys are where the keys of a fountain can stand, in % of travel, by the index
// of their demand.
type Keys struct {
	Limits

	// Range are the least and the most opening on a key's own steps between
	// floor and ceiling; nil: floor and ceiling.
	Range func(i int) (leastPct, mostPct float64)
	// Set is where a key comes to stand that is to be opened so far, with what
	// limits it; nil: just there.
	Set func(i int, openingPct float64, state State) float64
}

// A Choice is a sweep, and what was weighed to find it.
type Choice struct {
	Fed           // what the keys feed at the sweep chosen
	AtStart  Fed  // and at the one begun with
	NoDemand bool // no zone that prints asks for ink, and nothing was weighed
}

// What is worth leaving the sweep begun with for. 5 % of ink is ±0.03 of density
// around 1.10, by five measured solids (TestFitDensityMeasured of package ink
// says whose), which is about what can be seen. The rest is common practice, no
// source.
const (
	seenPct   = 5.0 // of a zone's ink
	worthPct  = 1.0 // of all ink
	leavesPct = 1.0 // of all ink, for each tenth that the sweep leaves the one begun with
)

// ChooseSweep finds the sweep of a valid scale as an operator does: it begins at
// the setting nearest the scale's reference, and leaves that only as far as the
// keys need. What is weighed of a setting of the working range is what the keys
// would really feed, opening × sweep, against what the demands ask for: Off and
// Cut of Fed, which are both in % and add up. To that comes 1 % for each tenth
// that the setting lies off the one begun with. The setting with the least sum is
// the best; of two alike the nearer, then the lower, at which keys stand wider and
// can be set finer. It is taken where something is to be seen for it: where it
// saves 5 % of the ink of the zone that is cut most, or 1 % of all ink.
//
// reference is the sweep that the demands refer to. The demands run along the
// fountain. The sweep of a scale without settings is NaN.
func ChooseSweep(demands []Demand, scale SweepScale, reference float64, keys Keys) Choice {
	start := scale.Nearest(scale.Reference)
	w := newWeighing(demands, reference, start, keys)
	c := Choice{Fed: Fed{Sweep: start}, NoDemand: !(w.printed > 0)}
	if settings := scale.workingFrom(start); len(settings) > 0 && !c.NoDemand {
		c.Fed, c.AtStart = w.choose(settings)
	}
	return c
}

// workingFrom are start and the settings of the working range, the nearest to
// start first and of two as near the lower.
func (s SweepScale) workingFrom(start float64) []float64 {
	var settings []float64
	for _, v := range s.Settings() {
		if s.IsWorking(v) || v == start {
			settings = append(settings, v)
		}
	}
	slices.SortStableFunc(settings, func(a, b float64) int {
		if x, y := math.Abs(a-start), math.Abs(b-start); math.Abs(x-y) > tiny {
			return cmp.Compare(x, y)
		}
		return cmp.Compare(a, b)
	})
	return settings
}

// choose takes one of settings, the first of which was begun with.
func (w *weighing) choose(settings []float64) (taken, start Fed) {
	start = w.at(settings[0])
	taken, least := start, start.Off+start.Cut
	for _, s := range settings[1:] {
		leaves := 10 * leavesPct * math.Abs(s/start.Sweep-1)
		if leaves >= least {
			continue
		}
		if f := w.at(s); f.Off+f.Cut+leaves < least-tiny {
			taken, least = f, f.Off+f.Cut+leaves
		}
	}
	if start.Cut-taken.Cut > seenPct-tiny || start.Off-taken.Off > worthPct-tiny {
		return taken, start
	}
	return start, start
}
