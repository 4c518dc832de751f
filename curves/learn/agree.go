package learn

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// RanAs is how a run as a whole lay to the curve that was learned: fat, with more
// feed than its coverages get by the curve, or lean, with less.
type RanAs struct {
	Run      string
	Readings int     // that it is told by
	FeedPct  float64 // feed that was run over the curve's, in the median of its zones, less 100
	RestPct  float64 // the same over the median of the other runs; 0 where there are none
	Apart    bool    // it does not agree with the rest
}

// When a run does not agree with the rest: its median feed lies off that of the
// other runs by more than a tenth, within which a sheet counts as right, and by
// more than 3 standard errors of its median. The rest is the median of the other
// runs' medians, which one odd run among three does not move. Common practice.
const (
	apartShare  = 0.1
	apartErrors = 3
)

// medianError makes of the standard deviation of normal errors, over √n, the
// standard error of their median: √(π/2).
var medianError = math.Sqrt(math.Pi / 2)

// ranAs tells how every run lay as a whole, by all its readings, also those that
// were taken as misread: of a run that differs as a whole many are.
func (f *fitting) ranAs(l *Result, runs []Run) []RanAs {
	var all []RanAs
	var medians, errors []float64
	for _, r := range runs {
		var logs []float64
		for _, p := range r.Readings {
			if by := l.Curve.At(p.CoveragePct) * f.o.ReferenceSweep / r.Sweep; p.Censoring == Uncensored && p.OpeningPct > 0 && by > 0 {
				logs = append(logs, math.Log(p.OpeningPct/by))
			}
		}
		m := median(logs)
		off := make([]float64, len(logs))
		for i, v := range logs {
			off[i] = v - m
		}
		medians = append(medians, m)
		errors = append(errors, medianError*madScale*medianAbs(off)/math.Sqrt(max(1, float64(len(logs)))))
		all = append(all, RanAs{Run: r.Name, Readings: len(logs), FeedPct: pct(m)})
	}
	for i := range all {
		var rest []float64
		for j, m := range medians {
			if j != i && all[j].Readings > 0 {
				rest = append(rest, m)
			}
		}
		if len(rest) == 0 || all[i].Readings == 0 {
			continue
		}
		off := medians[i] - median(rest)
		all[i].RestPct = pct(off)
		all[i].Apart = math.Abs(off) > math.Log1p(apartShare) && math.Abs(off) > apartErrors*errors[i]
	}
	return all
}

// pct is what a logarithm of a ratio is above 1, in %.
func pct(log float64) float64 { return 100 * math.Expm1(log) }

// median is 0 of none.
func median(vs []float64) float64 {
	if len(vs) == 0 {
		return 0
	}
	sorted := slices.Sorted(slices.Values(vs))
	return (sorted[(len(sorted)-1)/2] + sorted[len(sorted)/2]) / 2
}

// Side is whether it ran fat or lean, beside the rest.
func (r RanAs) Side() string {
	if r.RestPct < 0 {
		return "lean"
	}
	return "fat"
}

// doubtsOfAgreement name the runs that do not agree with the rest.
func doubtsOfAgreement(all []RanAs) []string {
	var apart []string
	for _, r := range all {
		if r.Apart {
			apart = append(apart, fmt.Sprintf("%s ran %.0f %% %s", r.Run, math.Abs(r.RestPct), r.Side()))
		}
	}
	if len(apart) == 0 {
		return nil
	}
	return []string{fmt.Sprintf("the jobs do not agree: beside the rest %s; the curve lies between them: learn each paper and ink apart, or leave out what does not belong", strings.Join(apart, ", "))}
}
