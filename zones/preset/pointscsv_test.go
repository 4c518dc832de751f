package preset

import (
	"bytes"
	"strings"
	"testing"

	"bladeline/curves"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestPointsRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pct := rapid.Float64Range(0, 100)
		points := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) curves.Point {
			return curves.Point{CoveragePct: pct.Draw(t, "coverage"), OpeningPct: pct.Draw(t, "opening")}
		}), 1, 20).Draw(t, "points")
		var b bytes.Buffer
		require.NoError(t, WritePoints(&b, points))
		got, err := ReadPoints("c.csv", &b)
		require.NoError(t, err)
		require.Equal(t, points, got)
	})
}

// TestReadPointsAsSaved reads a table as spreadsheets of several settings save
// it: common practice, no source.
func TestReadPointsAsSaved(t *testing.T) {
	want := []curves.Point{{CoveragePct: 0, OpeningPct: 2.5}, {CoveragePct: 100, OpeningPct: 80}}
	for name, text := range map[string]string{
		"as written":            "coverage_pct,opening_pct\r\n0,2.5\r\n100,80\r\n",
		"no last line end":      "coverage_pct,opening_pct\n0,2.5\n100,80",
		"decimal commas":        "coverage_pct;opening_pct\r\n0;2,5\r\n100,0;80\r\n",
		"tabs":                  "coverage_pct\topening_pct\n0\t2,5\n100\t80\n",
		"a mark, blanks, empty": "\ufeffcoverage_pct , opening_pct\n 0, 2.50\n,\n100,8e1\n",
		"columns exchanged":     "opening_pct,coverage_pct\n2.5,0\n80,100\n",
		"all cells quoted":      "\"coverage_pct\",\"opening_pct\"\n\"0\",\"2.5\"\n\"100\",\"80\"\n",
	} {
		got, err := ReadPoints("c.csv", strings.NewReader(text))
		require.NoError(t, err, name)
		assert.Equal(t, want, got, name)
	}
}

func TestReadPointsRefused(t *testing.T) {
	for text, want := range map[string]string{
		"":                                       "c.csv: row 1: there is no header; give the CSV of a curve",
		"coverage_pct,opening_pct\n":             "c.csv: row 1: no row of numbers follows the header; give the CSV of a curve",
		"coverage_pct,key\n":                     `c.csv: row 1: "key" is not a column of a curve, or is there twice; keep to the columns coverage_pct, opening_pct`,
		"coverage_pct\n0\n":                      "c.csv: row 1, column opening_pct: is missing; keep to the columns coverage_pct, opening_pct",
		"coverage_pct,opening_pct\n0,2\n5,x\n":   `c.csv: row 3, column opening_pct: "x" is not a number; write one, without its unit`,
		"coverage_pct,opening_pct\n0,2\n5,2,5\n": "c.csv: row 3: wrong number of fields; write a point for a decimal comma, or part the cells by semicolons",
		"coverage_pct,opening_pct\n0,NaN\n":      `c.csv: row 2, column opening_pct: "NaN" is not a number; write one, without its unit`,
	} {
		_, err := ReadPoints("c.csv", strings.NewReader(text))
		assert.EqualError(t, err, want)
	}
}
