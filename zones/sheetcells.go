package zones

import (
	"math"
)

// sheetCells is a form of several pieces in the grid of its sheet, of 2 mm or, of a
// large one, fewest to draw. Ink is shared among cells in proportion to area.
func (f *Form) sheetCells() Cells {
	o := f.sheet.outline
	c := Cells{lefts: evenBorders(o.WidthMM), tops: evenBorders(o.LengthMM)}
	columns, rows := c.Size()
	c.parts = make([]float64, columns*rows)
	wideMM, longMM := o.WidthMM/float64(columns), o.LengthMM/float64(rows)
	known := map[*turned]*coarse{}
	for _, p := range f.pieces {
		if known[p.turned] == nil {
			known[p.turned] = newCoarse(p.turned)
		}
		g := known[p.turned]
		across := spread(g.lefts, p.leftMM()-o.LeftMM, wideMM, columns)
		along := spread(g.tops, o.LengthMM-p.fromLeadMM-p.along.lengthMM(), longMM, rows)
		for y, downs := range along {
			for x, rights := range across {
				ink := g.inkMM2[y*len(across)+x] / (wideMM * longMM)
				if ink == 0 {
					continue
				}
				for _, down := range downs {
					for _, right := range rights {
						c.parts[down.cell*columns+right.cell] += ink * down.part * right.part
					}
				}
			}
		}
	}
	return c
}

// sheetCellMM and mostSheetCells say how fine the grid of a sheet is.
const (
	sheetCellMM    = 2.0
	mostSheetCells = 512
)

// evenBorders divide a length, in parts of it.
func evenBorders(lengthMM float64) []float64 {
	n := int(math.Round(min(max(lengthMM/sheetCellMM, 1), mostSheetCells)))
	borders := make([]float64, n+1)
	for i := range borders {
		borders[i] = float64(i) / float64(n)
	}
	return borders
}

// coarse is a separation's ink in cells of half of sheetCellMM at least: those of a
// raster that is printed small are too many to lay often.
type coarse struct {
	lefts, tops []float64 // mm of the borders, from the left and from the tail edge
	inkMM2      []float64 // of full ink, row by row
}

func newCoarse(t *turned) *coarse {
	across, along := t.across.grouped(), t.along.grouped()
	g := &coarse{lefts: across.bordersMM, tops: along.bordersMM}
	columns := len(g.lefts) - 1
	g.inkMM2 = make([]float64, columns*(len(g.tops)-1))
	mm2 := mmPerInch / t.across.dpi * mmPerInch / t.along.dpi / float64(t.full)
	for y := range t.along.cellCount() {
		for x := range t.across.cellCount() {
			g.inkMM2[along.group[y]*columns+across.group[x]] += float64(t.inkOf(x, y)) * mm2
		}
	}
	return g
}

// groups say which cells of an axis are taken together.
type groups struct {
	bordersMM []float64
	group     []int // of each cell
}

// leastMM is the least side of a coarse cell, but for rounding.
const leastMM = sheetCellMM / 2 * (1 - 1e-9)

func (a *axis) grouped() groups {
	g := groups{bordersMM: []float64{0}}
	for i := range a.cellCount() {
		g.group = append(g.group, len(g.bordersMM)-1)
		end := float64(a.border(i+1)) * mmPerInch / a.dpi
		if i+1 == a.cellCount() || end-g.bordersMM[len(g.bordersMM)-1] >= leastMM {
			g.bordersMM = append(g.bordersMM, end)
		}
	}
	return g
}

// share is a part of something that falls in a cell.
type share struct {
	cell int
	part float64
}

// spread says in which of n cells of a length the spaces between borders fall that
// begin at a place, and with how much of each.
func spread(bordersMM []float64, fromMM, cellMM float64, n int) [][]share {
	all := make([][]share, len(bordersMM)-1)
	for i := range all {
		from, to := (fromMM+bordersMM[i])/cellMM, (fromMM+bordersMM[i+1])/cellMM
		first := int(min(max(from, 0), float64(n)))
		for cell := first; cell < n && float64(cell) < to; cell++ {
			if part := (min(to, float64(cell+1)) - max(from, float64(cell))) / (to - from); part > 0 {
				all[i] = append(all[i], share{cell, part})
			}
		}
	}
	return all
}
