package learn

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"bladeline/curves"
)

// What readings are doubted by. Common practice, no source.
const (
	looseReadings = 10 // half of them lie off the new curve by more than this many reading errors
	fallingErrors = 2  // they fall with coverage by more than this many standard errors
)

// tooFew says that a curve takes more than n distinct coverages.
func (f *fitting) tooFew(n int) error {
	what := "coverages"
	if n == 1 {
		what = "coverage"
	}
	bounds := ""
	if n == 0 && len(f.rows) > 0 {
		bounds = " (keys at the floor, the ceiling or an end of the scale are only bounds and show none)"
	}
	return fmt.Errorf("the runs show %d distinct %s%s and a curve needs at least %d; learn from more jobs", n, what, bounds, minCoverages)
}

func jobsWord(n int) string {
	if n == 1 {
		return "1 job"
	}
	return fmt.Sprintf("%d jobs", n)
}

// doubtsOfRuns are what makes runs count for less than it seems, or for more.
func doubtsOfRuns(old, base *curves.Curve, runs []Run) []string {
	var doubts []string
	if jobs := jobsOf(runs); jobs < MinRuns {
		only := "densities alone, and no job: a curve is"
		if jobs > 0 {
			only = fmt.Sprintf("only %s: a curve is", jobsWord(jobs))
		}
		doubts = append(doubts, fmt.Sprintf("%s to be trusted from %d jobs on, for what is due to the curve and what to a single key cannot yet be told apart well", only, MinRuns))
	}
	if twice := learnedFrom(old, runs); base == old && len(twice) > 0 {
		doubts = append(doubts, fmt.Sprintf("the old curve was already learned from %s, which now count twice; %s", strings.Join(twice, ", "), remedy(old.Learned)))
	}
	for i, r := range runs {
		same := func(earlier Run) bool { return earlier.Sweep == r.Sweep && slices.Equal(earlier.Readings, r.Readings) }
		if at := slices.IndexFunc(runs[:i], same); at >= 0 && len(r.Readings) > 0 {
			doubts = append(doubts, fmt.Sprintf("%s has the same settings as %s, key by key; if it is a copy, leave it out, since it counts as another job", r.Name, runs[at].Name))
		}
	}
	return doubts
}

// jobsOf counts the runs that are jobs: a pull is none.
func jobsOf(runs []Run) (jobs int) {
	for _, r := range runs {
		if !r.Pull {
			jobs++
		}
	}
	return jobs
}

// doubts are what speaks against the readings of a converged fit.
func (f *fitting) doubts(l *Result, misread int) []string {
	var doubts []string
	if misread > 0 {
		doubts = append(doubts, fmt.Sprintf("readings so far off that they were taken as misread: %d of %d", misread, misread+len(f.rows)))
	}
	if f.falling() {
		doubts = append(doubts, "the more a zone prints, the less its key was opened, which no press needs; check what was filled in, and at which side zone 1 lies")
	}
	switch after, before := l.After.MedianPct, l.Before.MedianPct; {
	case after > before+f.o.ReadingPct:
		doubts = append(doubts, fmt.Sprintf("the readings contradict each other: half of them lie more than %.1f points off the new curve, and %.1f off the old one; check what was filled in", after, before))
	case after > looseReadings*f.o.ReadingPct:
		doubts = append(doubts, fmt.Sprintf("the readings follow no curve well: half of them lie more than %.1f points off the new one; check what was filled in", after))
	}
	return doubts
}

// falling tells whether the openings clearly fall as coverage rises, by
// Kendall's S: the pairs of readings that rise less those that fall. Where there
// is no relation its variance is n(n − 1)(2n + 5)/18 (M. G. Kendall, Biometrika
// 30, 1938; from memory).
func (f *fitting) falling() bool {
	var seen []row
	s := 0
	for _, r := range f.rows {
		if r.Censoring != Uncensored {
			continue
		}
		for _, q := range seen {
			s += cmp.Compare(r.CoveragePct, q.CoveragePct) * cmp.Compare(r.OpeningPct/r.ratio, q.OpeningPct/q.ratio)
		}
		seen = append(seen, r)
	}
	n := float64(len(seen))
	return float64(s) < -fallingErrors*math.Sqrt(n*(n-1)*(2*n+5)/18)
}
