package coverage

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestFixtures measures files that other programs wrote and compares them with
// what yet other programs counted in them (testdata/README.md). All counts are
// exact but for JPEG, whose decoders may differ by a level or two a pixel, and
// for rounding to 16 bits on the way: 1e-5 of the ink.
func TestFixtures(t *testing.T) {
	file, err := os.Open("../testdata/expected.csv")
	require.NoError(t, err)
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	require.NoError(t, err)
	counted := map[string]bool{}
	for _, row := range rows[1:] {
		name := row[0]
		counted[name] = true
		t.Run(strings.Join(row[:3], " "), func(t *testing.T) {
			maps, err := measured(t, filepath.Join("../testdata", name), Options{})
			require.NoError(t, err)
			m := find(maps, row[1], row[2])
			require.NotNil(t, m)
			tolerance := 1e-5
			if strings.Contains(name, "jpeg") {
				tolerance = 5e-3
			}
			want := numbers(t, row[3:])
			require.Equal(t, want[:2], []float64{float64(m.Width), float64(m.Height)})
			require.InEpsilon(t, want[2], float64(m.Total())/float64(m.Full), tolerance, "ink")
			require.InEpsilon(t, want[3], centre(m.Columns), tolerance, "centre across")
			require.InEpsilon(t, want[4], centre(m.Rows), tolerance, "centre down")
		})
	}
	for _, pattern := range []string{"*.tif", "*.png"} {
		files, err := filepath.Glob(filepath.Join("../testdata", pattern))
		require.NoError(t, err)
		for _, f := range files {
			require.True(t, counted[filepath.Base(f)], "%s is not counted", f)
		}
	}
}

func find(maps []*Map, page, channel string) *Map {
	for _, m := range maps {
		if strconv.Itoa(m.Page) == page && strconv.Itoa(m.Channel) == channel {
			return m
		}
	}
	return nil
}

func numbers(t *testing.T, texts []string) []float64 {
	var v []float64
	for _, text := range texts {
		n, err := strconv.ParseFloat(text, 64)
		require.NoError(t, err)
		v = append(v, n)
	}
	return v
}

// centre is the centre of gravity of the ink, in px.
func centre(sums []uint64) float64 {
	var moment, total float64
	for i, v := range sums {
		moment += float64(v) * (float64(i) + 0.5)
		total += float64(v)
	}
	return moment / total
}
