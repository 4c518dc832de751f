package zones

import (
	"testing"

	"bladeline/coverage"

	"github.com/stretchr/testify/require"
)

// plateOf is the Map of a plate of real size at 2400 px an inch, in cells of
// 2 mm: tints, a solid and a bare margin, which every finding looks at.
func plateOf(width, height int) *coverage.Map {
	const cell, full = 189, 1
	m := &coverage.Map{
		Ink: "Black", File: "gull_K.tif", Page: 1, Channel: 1, Width: width, Height: height, DPIX: 2400, DPIY: 2400,
		Full: full, Columns: make([]uint64, width), Rows: make([]uint64, height),
		Cells: coverage.Cells{X: cuts(width, cell), Y: cuts(height, cell)},
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

// BenchmarkPreset presets one ink of a large plate, whose Map is at hand, as a
// page does on every drag.
func BenchmarkPreset(b *testing.B) {
	m, press, curve := plateOf(97_200, 75_600), pressOf(32, 32.5), lineCurve(b)
	for name, at := range map[string]Placement{
		"bottom": {}, "top": {LeadEdge: Top}, "left": {LeadEdge: Left}, "right": {LeadEdge: Right}, "mirrored": {Mirrored: true},
	} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				form, err := Lay(m, press, at)
				require.NoError(b, err)
				_, err = NewPreset("Gull poster", press, []UnitInput{{Form: form, Curve: curve}}, LowPct)
				require.NoError(b, err)
			}
		})
	}
}
