package zones

import (
	"math"
	"testing"

	"bladeline/coverage"
	"bladeline/curves"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// mapOf is the Map of a raster given pixel by pixel; full is full ink.
func mapOf(full uint64, dpiX, dpiY float64, rows ...[]uint64) *coverage.Map {
	m := &coverage.Map{
		Ink: "Black", File: "gull_K.tif", Page: 1, Channel: 1,
		Width: len(rows[0]), Height: len(rows), DPIX: dpiX, DPIY: dpiY, Full: full,
		Columns: make([]uint64, len(rows[0])), Rows: make([]uint64, len(rows)),
		Cells: coverage.Cells{X: []int{0, len(rows[0])}, Y: []int{0, len(rows)}, Ink: make([]uint32, 1)},
	}
	for y, row := range rows {
		for x, v := range row {
			m.Columns[x] += v
			m.Rows[y] += v
			m.Cells.Ink[0] += uint32(v)
		}
	}
	return m
}

// drawn is the Map of a raster drawn in text, # for ink.
func drawn(dpi float64, lines ...string) *coverage.Map {
	rows := make([][]uint64, len(lines))
	for y, line := range lines {
		rows[y] = make([]uint64, len(line))
		for x, c := range line {
			if c == '#' {
				rows[y][x] = 1
			}
		}
	}
	return mapOf(1, dpi, dpi, rows...)
}

// solid is a full solid.
func solid(width, height int, dpi float64) *coverage.Map {
	row := make([]uint64, width)
	for x := range row {
		row[x] = 1
	}
	rows := make([][]uint64, height)
	for y := range rows {
		rows[y] = row
	}
	return mapOf(1, dpi, dpi, rows...)
}

// anyMap draws a small raster with some ink.
func anyMap(t *rapid.T) *coverage.Map {
	width, height := rapid.IntRange(1, 40).Draw(t, "width"), rapid.IntRange(1, 12).Draw(t, "height")
	rows := make([][]uint64, height)
	for y := range rows {
		rows[y] = rapid.SliceOfN(rapid.Uint64Range(0, 255), width, width).Draw(t, "row")
	}
	rows[0][0] = 255
	dpi := rapid.Float64Range(20, 3000)
	return mapOf(255, dpi.Draw(t, "dpi x"), dpi.Draw(t, "dpi y"), rows...)
}

// pressOf is a press with plain limits and a percent scale.
func pressOf(zones int, zoneWidthMM float64) *Press {
	return &Press{
		Name:     "Two-colour 26-inch",
		Fountain: Fountain{Zones: zones, ZoneWidthMM: zoneWidthMM, FirstZone: Left, Blade: Segmented},
		Keys:     KeyScale{Unit: Percent, Travel: 100, Step: 1},
		Limits:   curves.Limits{FloorPct: 2, CeilingPct: 100},
		Sweep:    curves.SweepScale{Unit: "%", From: 10, To: 90, Step: 1, Reference: 45},
	}
}

// lineCurve opens keys as wide in % as their zones are covered.
func lineCurve(t require.TestingT) *curves.Curve {
	c := &curves.Curve{Name: "one to one", Shape: curves.Straight, Points: []curves.Point{{CoveragePct: 0, OpeningPct: 0}, {CoveragePct: 100, OpeningPct: 100}}}
	require.NoError(t, c.Prepare())
	return c
}

func coverages(zones []Zone) []float64 {
	var cs []float64
	for _, z := range zones {
		cs = append(cs, z.CoveragePct)
	}
	return cs
}

// valueOf is what must be known.
func valueOf[V any](t require.TestingT, v *V) V {
	require.NotNil(t, v)
	return *v
}

func placed(t testing.TB, m *coverage.Map, press *Press, p Placement) []Zone {
	zones, warnings, err := Place(m, press, p)
	require.NoError(t, err)
	require.Empty(t, warnings)
	return zones
}

func inDeltas(t require.TestingT, want, got []float64, delta float64) {
	require.Len(t, got, len(want))
	for i := range want {
		require.InDelta(t, want[i], got[i], delta, "zone %d", i+1)
	}
}

var notFinite = []float64{math.NaN(), math.Inf(1), math.Inf(-1)}
