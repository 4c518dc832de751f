package curves

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Keys at just the distance that the blade gives are held by none; the first
// key is raised by the second, and the second by the first.
func TestNeighboursAtTheirLimit(t *testing.T) {
	l := Limits{CeilingPct: 100, NeighbourPct: 25}
	for _, c := range []struct {
		asked, want []float64
		states      []State
	}{
		{[]float64{50, 25}, []float64{50, 25}, []State{Set, Set}},
		{[]float64{25, 50}, []float64{25, 50}, []State{Set, Set}},
		{[]float64{60, 0}, []float64{60, 35}, []State{Set, Neighbour}},
		{[]float64{0, 60}, []float64{35, 60}, []State{Neighbour, Set}},
	} {
		openings, states := l.Apply(c.asked, []bool{false, false})
		assert.Equal(t, c.want, openings)
		assert.Equal(t, c.states, states)
	}
}

// What a curve was learned from at the bounds of its table, and a reference
// sweep below 1, which a ratchet counted otherwise may have.
func TestLearnedTableAtItsBounds(t *testing.T) {
	c := prepared(t, Smooth, Point{0, 2}, Point{100, 80})
	c.Name, c.ReferenceSweep = "learned", 0.5
	c.Learned = &Provenance{From: "start", FromPoints: []Point{{0, 1}, {100, 70}}, FromShape: Smooth, Runs: []string{"a.csv"}, Pairs: 1, ReadingPct: 0.5}
	text := string(c.TOML())
	back, err := ParseCurve("c.toml", []byte(text))
	require.NoError(t, err)
	assert.Equal(t, 0.5, back.ReferenceSweep)
	assert.Equal(t, c.Learned, back.Learned)
	for old, new := range map[string]string{
		"runs = [\n  \"a.csv\",\n]": "runs = []",
		"pairs = 1":                 "pairs = 0",
		"left_out = 0":              "left_out = -1",
		"reading_pct = 0.5":         "reading_pct = 0",
	} {
		require.Contains(t, text, old)
		_, err := ParseCurve("c.toml", []byte(strings.Replace(text, old, new, 1)))
		assert.ErrorContains(t, err, "runs, pairs and reading_pct are missing or impossible", new)
	}
}
