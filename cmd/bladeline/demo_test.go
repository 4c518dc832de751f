package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// coverages measures a file through the command line; the coverages are by
// zone, that of a whole separation under "".
func coverages(t *testing.T, args ...string) map[string]float64 {
	var stdout, stderr bytes.Buffer
	require.Equal(t, statusDone, run(append([]string{"measure", "--format", "csv"}, args...), nil, &stdout, &stderr), stderr.String())
	rows, err := readCSV(stdout.String())
	require.NoError(t, err)
	require.Equal(t, []string{"ink", "file", "page", "channel", "zone", "left_mm", "right_mm", "coverage_pct"}, rows[0])
	byZone := map[string]float64{}
	for _, row := range rows[1:] {
		byZone[row[4]], err = strconv.ParseFloat(row[7], 64)
		require.NoError(t, err)
	}
	return byZone
}

// TestDemoAgainstIndependentCount measures the demonstration form and compares
// with what libvips counts of the same files, in whole numbers, and ImageMagick
// confirms (examples/independent-count.sh). Those figures have nine decimals
// and are exact to 1e-9 %; half of a unit of that decimal is rounding, the rest
// is allowed to both for the last bits of a float.
func TestDemoAgainstIndependentCount(t *testing.T) {
	const tolerancePct = 1e-9
	data, err := os.ReadFile("../../examples/independent-count.csv")
	require.NoError(t, err)
	rows, err := readCSV(string(data))
	require.NoError(t, err)
	require.Len(t, rows, 1+5*22, "five separations, each a whole and 21 zones")
	measured := map[string]map[string]float64{}
	for _, row := range rows[1:] {
		file, zone := row[0], row[1]
		if measured[file] == nil {
			path := filepath.Join("../../examples", file)
			measured[file] = coverages(t, "--zones", "21", path)
			measured[file][""] = coverages(t, path)[""]
		}
		want, err := strconv.ParseFloat(row[2], 64)
		require.NoError(t, err)
		assert.InDelta(t, want, measured[file][zone], tolerancePct, "%s zone %s", file, zone)
	}
	require.Len(t, measured, 5)
}
