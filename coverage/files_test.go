package coverage

import (
	"bytes"
	"fmt"
	"os"
	"sync/atomic"
	"testing"

	"bladeline/coverage/internal/raster/rastertest"

	"github.com/stretchr/testify/require"
)

// TestMeasureFiles keeps the files' order, names, and the earliest error.
func TestMeasureFiles(t *testing.T) {
	var inputs []Input
	for i := range 9 {
		page := rastertest.TIFFPage{Picture: small(uint64(i)), Compression: rastertest.Group4, RowsPerStrip: i}
		inputs = append(inputs, Input{Path: written(t, fmt.Sprintf("job.Ink %d.tif", i), pages(page))})
	}
	inputs[4].Inks = []string{"Rust"}
	var last atomic.Value
	maps, err := MeasureFiles(t.Context(), inputs, Options{Progress: func(done float64) { last.Store(done) }})
	require.NoError(t, err)
	require.Len(t, maps, 9)
	for i, m := range maps {
		requireInk(t, small(uint64(i)), 0, m)
	}
	require.Equal(t, "Ink 3", maps[3].Ink)
	require.Equal(t, "Rust", maps[4].Ink)
	require.InDelta(t, 1, last.Load(), 1e-9)

	inputs[2].Path = written(t, "two.tif", []byte("no"))
	inputs[3].Path = written(t, "three.tif", []byte("no"))
	for range 10 {
		_, err = MeasureFiles(t.Context(), inputs, Options{})
		require.ErrorContains(t, err, "two.tif: ")
	}
	maps, err = MeasureFiles(t.Context(), nil, Options{})
	require.NoError(t, err)
	require.Empty(t, maps)
}

// TestOpenReader reads bytes that are at hand as the file that holds them.
func TestOpenReader(t *testing.T) {
	for _, path := range []string{"../examples/harbour-fair_C.tif", "../examples/harbour-fair_Y.png"} {
		want, err := MeasureFiles(t.Context(), []Input{{Path: path}}, Options{})
		require.NoError(t, err)
		data, err := os.ReadFile(path)
		require.NoError(t, err)
		f, err := OpenReader(path, bytes.NewReader(data), int64(len(data)))
		require.NoError(t, err)
		got, err := f.Measure(t.Context(), Options{})
		require.NoError(t, err)
		require.NoError(t, f.Close())
		require.Equal(t, want, got)
		var saved bytes.Buffer
		require.NoError(t, Save(&saved, got))
		f, err = OpenReader("x.cover", bytes.NewReader(saved.Bytes()), int64(saved.Len()))
		require.NoError(t, err)
		got, err = f.Measure(t.Context(), Options{})
		require.NoError(t, err)
		require.Equal(t, want[0].Columns, got[0].Columns)
	}
	_, err := OpenReader("x.tif", bytes.NewReader(nil), 0)
	require.EqualError(t, err, "x.tif: the file is empty; export the separation again")
}

// What names the ink of a lone file is no part of the job, whatever the ink is
// called.
func TestJobNameOfOneFile(t *testing.T) {
	for path, job := range map[string]string{"form/gull(Black).tif": "gull", "gull_C.tif": "gull", "gull_Blue.tif": "gull_Blue", "gull.Barn Red.tif": "gull", "gull-2026.11.tif": "gull-2026.11", "gull.tif": "gull", "(Black).tif": "(Black)"} {
		require.Equal(t, job, JobName([]*Map{{Ink: "Spot", File: path}}), path)
	}
}

// A job ends where the ink begins, and never inside a word or a number.
func TestJobNameOfSeveralFiles(t *testing.T) {
	for _, c := range []struct {
		job   string
		files []string
	}{
		{"card", []string{"card(Barn Red).tif", "card(Black).tif"}},
		{"poster", []string{"poster_Black.tif", "poster_Blue.tif"}},
		{"poster", []string{"poster-Blackish.tif", "poster-Bluish.tif"}},
		{"poster", []string{"posterBlue.tif", "posterBlack.tif"}},
		{"spring fair 2026", []string{"spring fair 2026.C.tif", "spring fair 2026.M.tif"}},
		{"spring fair", []string{"spring fair 2025(C).tif", "spring fair 2026(M).tif"}},
		{"2025", []string{"2025(C).tif", "2026(M).tif"}},
		{"black", []string{"black.tif", "cyan.tif"}},
		{"Küste", []string{"Küste(Blau).tif", "Küste_K.tif"}},
		{"page", []string{"page1.tif", "page2.tif"}},
	} {
		var maps []*Map
		for _, file := range c.files {
			maps = append(maps, &Map{Ink: InkFromName(file), File: file})
		}
		require.Equal(t, c.job, JobName(maps), c.files)
	}
	named := []*Map{{Ink: "Barn Red", File: "card_Barn Red.tif"}, {Ink: "Barn Blue", File: "card_Barn Blue.tif"}}
	require.Equal(t, "card", JobName(named), "where the file itself says what its ink is")
}
