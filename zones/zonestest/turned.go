package zonestest

import (
	"slices"

	"bladeline/coverage"
)

// Turned is a Map after counter-clockwise quarter turns, made anew: what was the top
// comes to the left. A Form looks at the Map in another order instead.
func Turned(m *coverage.Map, quarters int) *coverage.Map {
	for range (quarters%4 + 4) % 4 {
		m = transposed(Mirrored(m))
	}
	return m
}

// Mirrored is a Map seen through the back.
func Mirrored(m *coverage.Map) *coverage.Map {
	v := *m
	v.Columns, v.Cells.X, v.Cells.Ink = slices.Clone(m.Columns), slices.Clone(m.Cells.X), slices.Clone(m.Cells.Ink)
	slices.Reverse(v.Columns)
	slices.Reverse(v.Cells.X)
	for i, px := range v.Cells.X {
		v.Cells.X[i] = m.Width - px
	}
	for row := range slices.Chunk(v.Cells.Ink, len(m.Cells.X)-1) {
		slices.Reverse(row)
	}
	return &v
}

// transposed is a Map whose columns are rows.
func transposed(m *coverage.Map) *coverage.Map {
	v := *m
	v.Width, v.Height, v.DPIX, v.DPIY = m.Height, m.Width, m.DPIY, m.DPIX
	v.Columns, v.Rows = m.Rows, m.Columns
	v.Cells = coverage.Cells{X: m.Cells.Y, Y: m.Cells.X}
	columns := len(m.Cells.X) - 1
	for x := range columns {
		for y := range len(m.Cells.Y) - 1 {
			v.Cells.Ink = append(v.Cells.Ink, m.Cells.Ink[y*columns+x])
		}
	}
	return &v
}
