// Package zonestest makes Maps, presses and curves for tests of zones and of what
// stands on it.
package zonestest

import (
	"bladeline/coverage"
	"bladeline/curves"
	"bladeline/examples"
	"bladeline/zones/press"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// MapOf is the Map of a raster given pixel by pixel; full is full ink.
func MapOf(full uint64, dpiX, dpiY float64, rows ...[]uint64) *coverage.Map {
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

// Drawn is the Map of a raster drawn in text, # for ink.
func Drawn(dpi float64, lines ...string) *coverage.Map {
	rows := make([][]uint64, len(lines))
	for y, line := range lines {
		rows[y] = make([]uint64, len(line))
		for x, c := range line {
			if c == '#' {
				rows[y][x] = 1
			}
		}
	}
	return MapOf(1, dpi, dpi, rows...)
}

// Solid is a full solid.
func Solid(width, height int, dpi float64) *coverage.Map {
	row := make([]uint64, width)
	for x := range row {
		row[x] = 1
	}
	rows := make([][]uint64, height)
	for y := range rows {
		rows[y] = row
	}
	return MapOf(1, dpi, dpi, rows...)
}

// AnyMap draws a small raster with some ink.
func AnyMap(t *rapid.T) *coverage.Map {
	width, height := rapid.IntRange(1, 40).Draw(t, "width"), rapid.IntRange(1, 12).Draw(t, "height")
	rows := make([][]uint64, height)
	for y := range rows {
		rows[y] = rapid.SliceOfN(rapid.Uint64Range(0, 255), width, width).Draw(t, "row")
	}
	rows[0][0] = 255
	dpi := rapid.Float64Range(20, 3000)
	return MapOf(255, dpi.Draw(t, "dpi x"), dpi.Draw(t, "dpi y"), rows...)
}

// Press is a press with plain limits and a percent scale.
func Press(zones int, zoneWidthMM float64) *press.Press {
	return &press.Press{
		Name:     "Two-colour 26-inch",
		Fountain: press.Fountain{Zones: zones, ZoneWidthMM: zoneWidthMM, FirstZone: press.Left, Blade: press.Segmented},
		Keys:     press.KeyScale{Unit: press.Percent, Travel: 100, Step: 1},
		Limits:   curves.Limits{FloorPct: 2, CeilingPct: 100},
		Sweep:    curves.SweepScale{Unit: "%", From: 10, To: 90, Step: 1, Reference: 45},
	}
}

// Shipped is one of the presses that ship.
func Shipped(t require.TestingT, name string) *press.Press {
	file := name + ".press.toml"
	data, err := examples.Files.ReadFile(file)
	require.NoError(t, err)
	on, err := press.Parse(file, data)
	require.NoError(t, err)
	return on
}

// ShippedCurve is one of the curves that ship.
func ShippedCurve(t require.TestingT, name string) *curves.Curve {
	file := name + ".curve.toml"
	data, err := examples.Files.ReadFile(file)
	require.NoError(t, err)
	c, err := curves.ParseCurve(file, data)
	require.NoError(t, err)
	return c
}

// LineCurve opens keys as wide in % as their zones are covered.
func LineCurve(t require.TestingT) *curves.Curve {
	c := &curves.Curve{Name: "one to one", Shape: curves.Straight, Points: []curves.Point{{CoveragePct: 0, OpeningPct: 0}, {CoveragePct: 100, OpeningPct: 100}}}
	require.NoError(t, c.Prepare())
	return c
}

// CellsOf is the grid of a raster, in cells as wide and high as given.
func CellsOf(rows [][]uint64, side, height int) coverage.Cells {
	c := coverage.Cells{X: Cuts(len(rows[0]), side), Y: Cuts(len(rows), height)}
	c.Ink = make([]uint32, (len(c.X)-1)*(len(c.Y)-1))
	for y, row := range rows {
		for x, v := range row {
			c.Ink[y/height*(len(c.X)-1)+x/side] += uint32(v)
		}
	}
	return c
}

// Cuts are the borders of pieces of a length.
func Cuts(length, side int) []int {
	var at []int
	for v := 0; v < length; v += side {
		at = append(at, v)
	}
	return append(at, length)
}

// Plate is the Map of a plate of real size at 2400 px an inch, in cells of
// 2 mm: tints, a solid and a bare margin, which every finding looks at.
func Plate(width, height int) *coverage.Map {
	const cell, full = 189, 1
	m := &coverage.Map{
		Ink: "Black", File: "gull_K.tif", Page: 1, Channel: 1, Width: width, Height: height, DPIX: 2400, DPIY: 2400,
		Full: full, Columns: make([]uint64, width), Rows: make([]uint64, height),
		Cells: coverage.Cells{X: Cuts(width, cell), Y: Cuts(height, cell)},
	}
	columns, rows := len(m.Cells.X)-1, len(m.Cells.Y)-1
	for y := range rows {
		for x := range columns {
			area := uint64((m.Cells.X[x+1] - m.Cells.X[x]) * (m.Cells.Y[y+1] - m.Cells.Y[y]))
			ink := area * uint64((x*7+y*13)%29) / 100
			if x > columns/2 && y > rows/2 && y < rows/2+rows/8 {
				ink = area
			}
			m.Cells.Ink = append(m.Cells.Ink, uint32(ink))
			for px := m.Cells.X[x]; px < m.Cells.X[x+1]; px++ {
				m.Columns[px] += ink / uint64(m.Cells.X[x+1]-m.Cells.X[x])
			}
			for px := m.Cells.Y[y]; px < m.Cells.Y[y+1]; px++ {
				m.Rows[px] += ink / uint64(m.Cells.Y[y+1]-m.Cells.Y[y])
			}
		}
	}
	return m
}
