package coverage

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestFixtures measures files that other programs wrote and compares them with
// what yet other programs counted in them (testdata/README.md). Every column
// and every row is exact but for JPEG, whose decoders may differ.
func TestFixtures(t *testing.T) {
	sums := map[string][]string{}
	for _, row := range readTable(t, "sums.csv") {
		sums[row[0]] = row[1:]
	}
	found := map[string]int{}
	for _, row := range readTable(t, "expected.csv") {
		name := row[0]
		found[name]++
		t.Run(strings.Join(row[:3], " "), func(t *testing.T) {
			maps, err := measured(t, filepath.Join("../testdata", name), Options{})
			require.NoError(t, err)
			m := find(maps, row[1], row[2])
			require.NotNil(t, m)
			if row[3] != "" { // the file names its inks
				require.Equal(t, row[3], m.Ink)
			}
			place := numbers(t, row[4:9])
			require.Equal(t, place[:2], []float64{float64(m.Width), float64(m.Height)})
			require.InDelta(t, place[2], m.DPIX, 1e-3)
			require.InDelta(t, place[3], m.DPIY, 1e-3)
			want := sums[row[9]]
			requireScaled(t, numbers(t, strings.Fields(want[0])), place[4], m.Columns, m, m.Height, name)
			requireScaled(t, numbers(t, strings.Fields(want[1])), place[4], m.Rows, m, m.Width, name)
		})
	}
	for name, n := range found {
		maps, err := measured(t, filepath.Join("../testdata", name), Options{})
		require.NoError(t, err, name)
		require.Len(t, maps, n, name)
	}
	for _, file := range fixtures(t, "*.tif", "*.png") {
		require.Contains(t, found, filepath.Base(file), "a file that nobody has counted")
	}
}

// requireScaled compares sums, each at its own full value. jpegLevels is how
// far a JPEG decoder may be from another, in the mean of a row or column:
// common practice, no source.
func requireScaled(t *testing.T, want []float64, full float64, got []uint64, m *Map, pixels int, name string) {
	t.Helper()
	const jpegLevels = 2.0
	require.Len(t, got, len(want))
	for i := range want {
		// whole numbers below 2^53: the products are exact
		w, g := want[i]*float64(m.Full), float64(got[i])*full
		if !strings.Contains(name, "jpeg") {
			require.Equal(t, w, g, "sum %d of %d", i+1, len(want))
			continue
		}
		require.LessOrEqual(t, math.Abs(w-g), jpegLevels*full*float64(pixels), "sum %d of %d", i+1, len(want))
	}
}

// TestRefusedFixtures measures files that other programs wrote and that are no
// separation, or of a kind that is not read. The first coloured pixel was found
// by Pillow.
func TestRefusedFixtures(t *testing.T) {
	words := map[string]string{
		"rgb.tif":            "page 1, row 45: an RGB picture is not a separation: pixel 39 of the row is red 187, green 135, blue 81",
		"rgb.png":            "row 45: an RGB picture is not a separation: pixel 39 of the row is red 187, green 135, blue 81",
		"palette.tif":        "a palette picture is not a separation",
		"palette.png":        "a palette picture is not a separation",
		"rgb-planes.tif":     "an RGB picture with one plane per sample is not read",
		"lab.tif":            "a Lab picture is not a separation",
		"ycbcr-jpeg.tif":     "a YCbCr picture is not a separation",
		"rgb-jpeg.tif":       "uses a kind of JPEG of three samples per pixel, which is not read",
		"floating-point.tif": "floating point",
		"32-bit.tif":         "a gray picture of 32 bits per sample is not read",
		"cmyk-alpha.tif":     "a separated picture with an alpha channel is not read",
		"zstd.tif":           "compression 50000 is not read",
		"gray.jpg":           "a JPEG is not a separation",
		"gray.gif":           "a GIF is not a separation",
		"cut.tif":            "the data of strip 1 of 1 (CCITT Group 4) end early",
		"cut-lzw.tif":        "lies outside the file",
		"cut.png":            "end",
	}
	files := fixtures(t, "refused/*")
	require.Len(t, files, len(words))
	for _, path := range files {
		name := filepath.Base(path)
		require.Contains(t, words, name)
		_, err := measured(t, path, Options{})
		require.ErrorContains(t, err, words[name], name)
		require.True(t, strings.HasPrefix(err.Error(), path+": "), err)
		require.NotContains(t, err.Error(), "\n", name)
		require.Contains(t, err.Error(), "; ", "%s: what to do", name)
	}
}

func fixtures(t testing.TB, patterns ...string) (files []string) {
	t.Helper()
	for _, pattern := range patterns {
		more, err := filepath.Glob(filepath.Join("../testdata", pattern))
		require.NoError(t, err)
		require.NotEmpty(t, more, pattern)
		files = append(files, more...)
	}
	slices.Sort(files)
	return files
}

// readTable reads a CSV file of the fixtures without its header.
func readTable(t *testing.T, name string) [][]string {
	file, err := os.Open(filepath.Join("../testdata", name))
	require.NoError(t, err)
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	require.NoError(t, err)
	return rows[1:]
}

func find(maps []*Map, page, channel string) *Map {
	for _, m := range maps {
		if fmt.Sprint(m.Page) == page && fmt.Sprint(m.Channel) == channel {
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
