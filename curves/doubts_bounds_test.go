package curves

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// readings are n of them, by rising coverage, whose openings have so many
// inversions: pairs of which the one of more coverage stands lower.
func readings(n, inversions int) *fitting {
	f := &fitting{o: LearnOptions{ReadingPct: 1}}
	var openings []int
	for i := range n { // the i-th is put before as many of the lower ones as may be
		before := min(inversions, i)
		inversions -= before
		openings = append(openings, 0)
		copy(openings[i-before+1:], openings[i-before:])
		openings[i-before] = i
	}
	for i, o := range openings {
		f.rows = append(f.rows, row{Pair: Pair{Zone: 1, CoveragePct: float64(i), OpeningPct: float64(o)}, ratio: 1})
	}
	return f
}

// Readings fall where Kendall's S, the pairs that rise less those that fall,
// lies more than two of its standard deviations below 0: in whole numbers,
// 18·S² > 4·n(n − 1)(2n + 5).
func TestReadingsFallByKendallsS(t *testing.T) {
	for n := 2; n <= 16; n++ {
		pairs := n * (n - 1) / 2
		for inversions := range pairs + 1 {
			s := pairs - 2*inversions
			assert.Equal(t, s < 0 && 18*s*s > 4*n*(n-1)*(2*n+5), readings(n, inversions).falling(), "%d readings, S = %d", n, s)
		}
	}
}

// What is doubted begins just beyond its bounds.
func TestDoubtsAtTheirBounds(t *testing.T) {
	doubts := func(before, after float64, misread int) string {
		l := &Learned{Before: Spread{MedianPct: before}, After: Spread{MedianPct: after}}
		return strings.Join(readings(5, 0).doubts(l, misread), "\n")
	}
	assert.Empty(t, doubts(3, 4, 0), "a reading error worse than the old curve")
	assert.Contains(t, doubts(3, 4.01, 0), "contradict each other")
	assert.Empty(t, doubts(20, 10, 0), "ten reading errors off")
	assert.Contains(t, doubts(20, 10.01, 0), "follow no curve well")
	assert.Contains(t, doubts(3, 3, 1), "1 of 6 readings stand off")
}

func TestDoubtsOfRunsAtTheirBounds(t *testing.T) {
	run := func(name string, openings ...float64) Run {
		r := Run{Name: name, Sweep: 45}
		for i, o := range openings {
			r.Pairs = append(r.Pairs, Pair{Zone: i + 1, CoveragePct: 10, OpeningPct: o})
		}
		return r
	}
	old := &Curve{Name: "old", Learned: &Provenance{From: "first", Runs: []string{"b", "x"}}}
	doubts := func(c *Curve, runs ...Run) string { return strings.Join(doubtsOfRuns(c, c, runs), "\n") }
	a, b, c := run("a", 1), run("b", 2), run("c", 3)
	assert.Empty(t, doubts(&Curve{}, a, b, c), "three are enough")
	assert.Contains(t, doubts(&Curve{}, a, b), "jobs: 2, and 3 make a curve trustworthy")
	assert.Contains(t, doubts(old, a, b, c), "the old curve was learned from b already")
	assert.Contains(t, doubts(&Curve{}, a, b, run("c", 1)), "c says the same as a, key by key", "one key, and the first run")
	assert.Empty(t, doubts(&Curve{}, run("a"), run("b"), c), "of nothing, nothing is said")
}
