package zones

import "bladeline/coverage"

// An axis is a side of a raster in bench view: the ink of its pixel columns or
// rows, and the borders of its cells. It may run against the Map's, which stays
// as it is.
type axis struct {
	ink      []uint64 // of each pixel column or row, in the Map's order
	cells    []int    // px of the cells' borders, in the Map's order
	stride   int      // from one cell to the next in the Map's Cells.Ink
	dpi      float64  // 0 is not known
	backward bool
}

func (a *axis) px() int { return len(a.ink) }

// at is the ink of the i-th pixel column or row.
func (a *axis) at(i int) uint64 {
	if a.backward {
		i = len(a.ink) - 1 - i
	}
	return a.ink[i]
}

// cellCount is how many cells lie along the axis.
func (a *axis) cellCount() int { return len(a.cells) - 1 }

// border is the border before the i-th cell, in px.
func (a *axis) border(i int) int {
	if a.backward {
		return len(a.ink) - a.cells[len(a.cells)-1-i]
	}
	return a.cells[i]
}

// cell is where the i-th cell stands in the Map's Cells.Ink, beside where the
// other axis says.
func (a *axis) cell(i int) int {
	if a.backward {
		i = a.cellCount() - 1 - i
	}
	return i * a.stride
}

// lengthMM is 0 where the resolution is not known.
func (a *axis) lengthMM() float64 {
	if a.dpi == 0 {
		return 0
	}
	return float64(len(a.ink)) * mmPerInch / a.dpi
}

// view is a separation in bench view. It turns nothing: its axes say in what
// order the Map is to be looked at.
type view struct {
	across axis // left to right
	along  axis // tail edge to lead edge
	cells  []uint32
	full   uint64
}

func newView(m *coverage.Map) view {
	return view{
		across: axis{ink: m.Columns, cells: m.Cells.X, stride: 1, dpi: m.DPIX},
		along:  axis{ink: m.Rows, cells: m.Cells.Y, stride: len(m.Cells.X) - 1, dpi: m.DPIY},
		cells:  m.Cells.Ink,
		full:   m.Full,
	}
}

// turned is the view after counter-clockwise quarter turns: what was the top comes to
// the left.
func (v view) turned(quarters int) view {
	for range (quarters%4 + 4) % 4 {
		v.across, v.along = v.along, v.across
		v.along.backward = !v.along.backward
	}
	return v
}

// mirrored is the view through the back.
func (v view) mirrored() view {
	v.across.backward = !v.across.backward
	return v
}

// inkOf is the sum of a cell, counted from the left and from the tail edge.
func (v *view) inkOf(column, row int) uint32 {
	return v.cells[v.across.cell(column)+v.along.cell(row)]
}

// inked is how much of a cell is inked, 0 to 1.
func (v *view) inked(column, row int) float64 {
	width := v.across.border(column+1) - v.across.border(column)
	height := v.along.border(row+1) - v.along.border(row)
	return float64(v.inkOf(column, row)) / (float64(width) * float64(height) * float64(v.full))
}
