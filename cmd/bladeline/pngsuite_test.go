package main

import (
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// pngSuite are files of PngSuite (W. van Schaik) as the Go toolchain carries
// them; basn0g01-30, basn0g02-29 and basn0g04-31 are the toolchain's own
// odd-sized cuts. The figures were computed from the files apart from this
// program, ink being 1 − value/max and the gamma chunk ignored: the whole, and
// four equal zones from left to right, in %.
var pngSuite = map[string]struct {
	total float64
	zones [4]float64
}{
	"basn0g01":    {51.171875, [4]float64{22.6562, 51.5625, 51.5625, 78.9062}},
	"basn0g01-30": {44.666667, [4]float64{16.8889, 47.5556, 47.3333, 66.8889}},
	"basn0g02-29": {49.821641, [4]float64{50.5351, 49.1082, 51.9620, 47.6813}},
	"basn0g04-31": {54.838710, [4]float64{74.1935, 61.2903, 48.3871, 35.4839}},
	"basn0g08":    {50.193015, [4]float64{50.1961, 50.1961, 50.1961, 50.1838}},
	"basn0g16":    {43.587709, [4]float64{75.5856, 47.4601, 19.6705, 31.6347}},
}

func TestPNGSuite(t *testing.T) {
	root, err := exec.Command("go", "env", "GOROOT").Output()
	require.NoError(t, err)
	folder := filepath.Join(strings.TrimSpace(string(root)), "src/image/png/testdata/pngsuite")
	for name, want := range pngSuite {
		t.Run(name, func(t *testing.T) {
			file := filepath.Join(folder, name+".png")
			// Half a unit of the last digit printed above, with a hair for the
			// figures that end in 5.
			assert.InDelta(t, want.total, coverages(t, file)[""], 5.001e-7)
			byZone := coverages(t, "--zones", "4", file)
			for i, zone := range []string{"1", "2", "3", "4"} {
				assert.InDelta(t, want.zones[i], byZone[zone], 5.001e-5, "zone %s", zone)
			}
		})
	}
}
