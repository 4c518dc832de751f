package learn

import (
	"maps"
	"math"
	"slices"
)

// A Level is what the readings of one coverage say together.
type Level struct {
	CoveragePct float64
	Readings    int     // that are no bounds
	OpeningPct  float64 // by the new curve, at the reference sweep
	ErrorPct    float64 // standard error, in % of travel; NaN where no coverage was read twice
}

// Levels are the coverages that were read, alike within 0.1 % as one, from the
// least. How far readings of one coverage lie apart, as a share of their mean, is
// taken to be the same for all: the standard error of a level is that share of its
// opening over the root of its readings. What all readings have in common is not in
// it.
func (l *Result) Levels() []Level {
	if l == nil {
		return nil
	}
	groups := map[float64][]Fitted{}
	for _, u := range l.Used {
		if u.Censoring == Uncensored {
			at := math.Round(u.CoveragePct * 10)
			groups[at] = append(groups[at], u)
		}
	}
	squares, free := 0.0, 0
	var levels []Level
	for _, at := range slices.Sorted(maps.Keys(groups)) { // sums hang on their order
		group := groups[at]
		coverage, opening := means(group)
		for _, u := range group {
			if opening > 0 {
				squares += (u.ReferencePct/opening - 1) * (u.ReferencePct/opening - 1)
			}
		}
		free += len(group) - 1
		levels = append(levels, Level{CoveragePct: coverage, Readings: len(group), OpeningPct: l.Curve.At(coverage)})
	}
	for i := range levels {
		share := math.NaN()
		if free > 0 {
			share = math.Sqrt(squares / float64(free))
		}
		levels[i].ErrorPct = share * levels[i].OpeningPct / math.Sqrt(float64(levels[i].Readings))
	}
	return levels
}

// means are those of coverage and opening, at the reference sweep.
func means(group []Fitted) (coverage, opening float64) {
	for _, u := range group {
		coverage += u.CoveragePct / float64(len(group))
		opening += u.ReferencePct / float64(len(group))
	}
	return coverage, opening
}
