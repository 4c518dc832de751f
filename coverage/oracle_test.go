package coverage

import (
	"os"
	"path/filepath"
	"slices"
	"testing"

	"bladeline/coverage/internal/raster/rastertest"

	"github.com/stretchr/testify/require"
)

// written puts bytes in a file of the test's own.
func written(t testing.TB, name string, data []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	require.NoError(t, os.WriteFile(path, data, 0o644))
	return path
}

func measured(t testing.TB, path string, o Options) ([]*Map, error) {
	t.Helper()
	f, err := Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return f.Measure(t.Context(), o)
}

// measure measures bytes that must be readable.
func measure(t testing.TB, name string, data []byte) []*Map {
	t.Helper()
	maps, err := measured(t, written(t, name, data), Options{})
	require.NoError(t, err)
	return maps
}

// requireInk compares a Map with the picture it was made from, whose sample s
// is ink, pixel by pixel.
func requireInk(t testing.TB, ink *rastertest.Picture, s int, m *Map) {
	t.Helper()
	require.Equal(t, ink.Width, m.Width)
	require.Equal(t, ink.Height, m.Height)
	require.Equal(t, uint64(ink.Full()), m.Full)
	require.Equal(t, ink.Columns(s), m.Columns, "columns")
	require.Equal(t, ink.Rows(s), m.Rows, "rows")
	require.Equal(t, ink.Total(s), m.Total())
	require.Equal(t, naiveCells(ink, s, m.Cells), m.Cells.Ink, "cells")
}

func naiveCells(ink *rastertest.Picture, s int, c Cells) []uint32 {
	cols := len(c.X) - 1
	cells := make([]uint32, cols*(len(c.Y)-1))
	column := func(x int) int { i, _ := slices.BinarySearch(c.X[1:], x+1); return i }
	row := func(y int) int { i, _ := slices.BinarySearch(c.Y[1:], y+1); return i }
	for y := range ink.Height {
		for x := range ink.Width {
			cells[row(y)*cols+column(x)] += uint32(ink.At(x, y, s))
		}
	}
	return cells
}
