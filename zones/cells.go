package zones

import (
	"math"
	"slices"
)

// Cells are a form's ink in a coarse grid, for pictures. They are counted from
// the left and from the tail edge. The grid of several pieces has the borders of
// all their cells; that of a sheet is its own.
type Cells struct {
	lefts, tops []float64 // of the cells, and the last one's end, in parts of the form's width and length
	pieces      []pieceCells
	parts       []float64 // of a sheet, how much of each cell is inked, row by row; else nil
}

// pieceCells says which cell of a piece each column and row of the grid lies in,
// -1 where it lies in none.
type pieceCells struct {
	*view
	columns, rows []int
}

// Cells is the form in a grid of about 2 mm.
func (f *Form) Cells() Cells {
	if f != nil && f.sheet != nil {
		return f.sheetCells()
	}
	var c Cells
	var across, along []axisPart
	whole := f.Outline()
	for _, p := range f.laid() {
		x, y := axisPart{&p.across, 0, 1}, axisPart{&p.along, 0, 1}
		if len(f.pieces) > 1 {
			o := p.outline()
			x.from, x.scale = (o.LeftMM-whole.LeftMM)/whole.WidthMM, o.WidthMM/whole.WidthMM
			y.from, y.scale = (whole.LengthMM-o.LengthMM)/whole.LengthMM, p.along.lengthMM()/whole.LengthMM
		}
		across, along = append(across, x), append(along, y)
	}
	c.lefts, c.tops = gridOf(across), gridOf(along)
	for i, p := range f.laid() {
		c.pieces = append(c.pieces, pieceCells{&p.view, across[i].cellsIn(c.lefts), along[i].cellsIn(c.tops)})
	}
	return c
}

// axisPart is where an axis of a piece lies along the form's, in parts of that.
type axisPart struct {
	*axis
	from, scale float64
}

func (a axisPart) borderPart(i int) float64 {
	return a.from + float64(a.border(i))/float64(a.px())*a.scale
}

// gridOf are the borders of all cells along an axis of a form, each once.
func gridOf(parts []axisPart) []float64 {
	var borders []float64
	for _, a := range parts {
		for i := range a.cellCount() + 1 {
			borders = append(borders, a.borderPart(i))
		}
	}
	slices.Sort(borders)
	const hair = 1e-9 // of the form; borders that close are one but for rounding
	return slices.CompactFunc(borders, func(a, b float64) bool { return math.Abs(a-b) < hair })
}

// cellsIn finds the cell of the axis that each column or row of a grid lies in.
func (a axisPart) cellsIn(borders []float64) []int {
	cells := make([]int, max(0, len(borders)-1))
	next := 0
	for i := range cells {
		middle := (borders[i] + borders[i+1]) / 2
		for next < a.cellCount() && a.borderPart(next+1) <= middle {
			next++
		}
		cells[i] = next
		if next == a.cellCount() || a.borderPart(next) > middle {
			cells[i] = -1
		}
	}
	return cells
}

// Size is how many cells there are across and in the print direction.
func (c Cells) Size() (columns, rows int) {
	return max(0, len(c.lefts)-1), max(0, len(c.tops)-1)
}

// Left is where a column of cells begins, in parts of the form's width. Size's
// columns is its right edge; NaN where there is no such column.
func (c Cells) Left(column int) float64 { return borderAt(c.lefts, column) }

// Top is where a row of cells begins, in parts of the form's length from the
// tail edge; NaN where there is no such row.
func (c Cells) Top(row int) float64 { return borderAt(c.tops, row) }

func borderAt(borders []float64, i int) float64 {
	if i < 0 || i >= len(borders) {
		return math.NaN()
	}
	return borders[i]
}

// Ink is how much of a cell is inked, 0 to 1; 0 where there is no such cell.
func (c Cells) Ink(column, row int) (part float64) {
	if columns, rows := c.Size(); column < 0 || column >= columns || row < 0 || row >= rows {
		return 0
	}
	if c.parts != nil {
		return min(1, c.parts[row*(len(c.lefts)-1)+column])
	}
	for _, p := range c.pieces {
		if x, y := p.columns[column], p.rows[row]; x >= 0 && y >= 0 {
			part += p.inked(x, y)
		}
	}
	return min(1, part)
}
