package curves

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const learnedTable = `
[learned]
from = "Coated, starting value"
from_shape = "smooth"
from_points = [[0, 2], [100, 80]]
runs = ["autumn calendar.csv", "gull poster.csv"]
pairs = 40
left_out = 2
reading_pct = 1
`

func TestCurveFileCarriesWhatItWasLearnedFrom(t *testing.T) {
	c, err := ParseCurve("c.toml", []byte(coated+learnedTable))
	require.NoError(t, err)
	assert.Equal(t, &Provenance{
		From: "Coated, starting value", FromPoints: []Point{{0, 2}, {100, 80}}, FromShape: Smooth,
		Runs: []string{"autumn calendar.csv", "gull poster.csv"}, Readings: 40, LeftOut: 2, ReadingPct: 1,
	}, c.Learned)
	back, err := ParseCurve("c.toml", c.TOML())
	require.NoError(t, err)
	assert.Equal(t, c, back)
}

// An open tab of the page sends back what it was sent, under the names of then.
func TestProvenanceKeepsItsNamesOutside(t *testing.T) {
	p := Provenance{From: "Coated", FromPoints: []Point{{0, 2}}, FromShape: Smooth, Runs: []string{"a"}, Readings: 40, LeftOut: 2, ReadingPct: 1, Edited: true}
	data, err := json.Marshal(p)
	require.NoError(t, err)
	assert.Equal(t, `{"From":"Coated","FromPoints":[{"CoveragePct":0,"OpeningPct":2}],"FromShape":"smooth","Runs":["a"],"Pairs":40,"LeftOut":2,"ReadingPct":1,"Edited":true}`, string(data))
}

// What a basic string must escape: TOML 1.0, section String.
func TestCurveFileEscapesItsTexts(t *testing.T) {
	c := prepared(t, Straight, Point{0, 0.1}, Point{100, 100})
	c.Name, c.Note = `a "quoted" \ name, ä`, "two\nlines\x7f\u0085"
	back, err := ParseCurve("c.toml", c.TOML())
	require.NoError(t, err)
	assert.Equal(t, c, back)
}

func TestLearnedTableRefuses(t *testing.T) {
	for _, tc := range []struct{ old, new, want string }{
		{"pairs = 40", "pears = 40", `c.toml: line 12, column 1: unknown key "learned.pears"; did you mean "pairs"?`},
		{"pairs = 40", "pairs = 0", "c.toml: learned: runs, pairs and reading_pct are missing or impossible; remove the table if the points were changed by hand"},
		{"reading_pct = 1", "reading_pct = nan", "c.toml: learned: runs, pairs and reading_pct"},
		{`"gull poster.csv"`, `" "`, `c.toml: learned: " " is not a name; write from and runs each on a single line`},
		{"[100, 80]]", "[100, 1]]", "c.toml: learned.from: points: point 2 [100, 1]: the opening falls from 2 to 1"},
		{"[0, 2]", "[0]", "c.toml: learned.from_points: point 1 has 1 numbers"},
		{`"smooth"`, `"round"`, `c.toml: learned.from: shape: "round" is not a shape`},
	} {
		data := coated + strings.Replace(learnedTable, tc.old, tc.new, 1)
		_, err := ParseCurve("c.toml", []byte(data))
		require.Error(t, err)
		assert.True(t, strings.HasPrefix(err.Error(), tc.want), err.Error())
	}
}

// What a curve was learned from at the bounds of its table, and a reference
// sweep below 1, which a ratchet counted otherwise may have.
func TestLearnedTableAtItsBounds(t *testing.T) {
	c := prepared(t, Smooth, Point{0, 2}, Point{100, 80})
	c.Name, c.ReferenceSweep = "learned", 0.5
	c.Learned = &Provenance{From: "start", FromPoints: []Point{{0, 1}, {100, 70}}, FromShape: Smooth, Runs: []string{"a.csv"}, Readings: 1, ReadingPct: 0.5}
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
