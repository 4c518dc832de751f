package learn

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"bladeline/curves"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func warnings(t *testing.T, old *curves.Curve, runs []Run) []string {
	return learned(t, old, runs).Warnings
}

// Runs that the old curve knows and that do not make it start anew count twice.
func TestLearnWarnsOfRunsThatCountTwice(t *testing.T) {
	known := knownCurve(t)
	runs := runsOf(7, 4, func(r *rand.Rand, _ int, c float64) float64 { return known.At(c) + 0.5*r.NormFloat64() })
	first := learned(t, oldCurve(t), runs[:3]).Curve
	assert.Empty(t, warnings(t, first, runs), "all are here: it starts anew")
	assert.Empty(t, warnings(t, first, runs[3:]), "none is here")
	assert.Equal(t, []string{
		"the old curve was already learned from job 2.csv, job 3.csv, which now count twice; leave them out, or learn from all 3 jobs of the old curve and these at once",
	}, warnings(t, first, runs[1:]))

	data, err := curves.SetPoints("c.toml", first.TOML(), at(100, 99))
	require.NoError(t, err)
	edited, err := curves.ParseCurve("c.toml", data)
	require.NoError(t, err)
	assert.Equal(t, []string{
		"the old curve was already learned from job 1.csv, job 2.csv, job 3.csv, which now count twice; it has been changed by hand since: leave them out, or start from the curve before it, test",
	}, warnings(t, edited, runs))
	assert.Empty(t, warnings(t, edited, runs[3:]))
}

func TestLearnWarnsOfCopies(t *testing.T) {
	known := knownCurve(t)
	runs := runsOf(4, 4, func(r *rand.Rand, _ int, c float64) float64 { return known.At(c) + r.NormFloat64() })
	runs[3].Readings = slices.Clone(runs[1].Readings)
	assert.Equal(t, []string{"job 4.csv has the same settings as job 2.csv, key by key; if it is a copy, leave it out, since it counts as another job"}, warnings(t, oldCurve(t), runs))
	runs[3].Sweep = 50
	for _, w := range warnings(t, oldCurve(t), runs) {
		assert.NotContains(t, w, "has the same settings")
	}
}

const falls = "the more a zone prints, the less its key was opened, which no press needs; check what was filled in, and at which side zone 1 lies"

func TestLearnWarnsOfFallingReadings(t *testing.T) {
	low := prepared(t, curves.Straight, at(0, 0), at(100, 1))
	assert.Contains(t, warnings(t, low, runsOf(3, 5, func(_ *rand.Rand, _ int, c float64) float64 { return 90 - c/2 })), falls)
	assert.NotContains(t, warnings(t, low, runsOf(3, 5, func(*rand.Rand, int, float64) float64 { return 30 })), falls, "level is not falling")

	five := Run{Name: "five", Sweep: 45}
	for zone := range 5 { // the least that a curve is learned from
		five.Readings = append(five.Readings, Reading{Zone: zone + 1, CoveragePct: float64(zone) * 20, OpeningPct: 90 - float64(zone)*20})
	}
	assert.Contains(t, warnings(t, low, []Run{five}), falls)
}

// Readings without any order, and an old curve so far off that even so the new
// one is nearer.
func TestLearnWarnsOfLooseReadings(t *testing.T) {
	low := prepared(t, curves.Straight, at(0, 0), at(100, 1))
	all := warnings(t, low, runsOf(4, 6, func(r *rand.Rand, _ int, _ float64) float64 { return 30 + 70*r.Float64() }))
	require.Len(t, all, 1)
	assert.Regexp(t, `^the readings follow no curve well: half of them lie more than \d\d\.\d points off the new one; check what was filled in$`, all[0])
}

// readings are n of them, by rising coverage, whose openings have so many
// inversions: pairs of which the one of more coverage stands lower.
func readings(n, inversions int) *fitting {
	f := &fitting{}
	var openings []int
	for i := range n { // the i-th is put before as many of the lower ones as may be
		before := min(inversions, i)
		inversions -= before
		openings = append(openings, 0)
		copy(openings[i-before+1:], openings[i-before:])
		openings[i-before] = i
	}
	for i, o := range openings {
		f.rows = append(f.rows, row{Reading: Reading{Zone: 1, CoveragePct: float64(i), OpeningPct: float64(o)}, ratio: 1})
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

func TestDoubtsOfRunsAtTheirBounds(t *testing.T) {
	run := func(name string, openings ...float64) Run {
		r := Run{Name: name, Sweep: 45}
		for i, o := range openings {
			r.Readings = append(r.Readings, Reading{Zone: i + 1, CoveragePct: 10, OpeningPct: o})
		}
		return r
	}
	old := &curves.Curve{Name: "old", Learned: &curves.Provenance{From: "first", Runs: []string{"b", "x"}}}
	doubts := func(c *curves.Curve, runs ...Run) string { return strings.Join(doubtsOfRuns(c, c, runs), "\n") }
	a, b, c := run("a", 1), run("b", 2), run("c", 3)
	assert.Empty(t, doubts(&curves.Curve{}, a, b, c), "three are enough")
	pull := run("pull", 4)
	pull.Pull = true
	assert.Empty(t, doubts(&curves.Curve{}, pull, a, b, c), "three besides a pull, too")
	assert.Contains(t, doubts(&curves.Curve{}, pull, a, b), "only 2 jobs: a curve", "a pull is no job")
	assert.Contains(t, doubts(&curves.Curve{}, pull), "densities alone, and no job: a curve is to be trusted from 3 jobs on")
	assert.Contains(t, doubts(&curves.Curve{}, a, b), "only 2 jobs: a curve is to be trusted from 3 jobs on")
	assert.Contains(t, doubts(old, a, b, c), "the old curve was already learned from b, ")
	assert.Contains(t, doubts(&curves.Curve{}, a, b, run("c", 1)), "c has the same settings as a, key by key", "one key, and the first run")
	assert.Empty(t, doubts(&curves.Curve{}, run("a"), run("b"), c), "of nothing, nothing is said")
}
