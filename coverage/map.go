package coverage

import "fmt"

// A Map is the ink of one separation: how much of it stands in every pixel
// column, every pixel row and every coarse cell. Sums are exact. It is all that
// is kept of a plate, which is read once however often it is placed anew.
//
// The picture is as it is meant to be seen, stored orientation undone: column
// 0 is its left edge, row 0 its top.
type Map struct {
	Ink     string // name of the ink
	File    string // where it was read from
	Page    int    // page of that file, counted from 1
	Channel int    // sample of the pixel, counted from 1

	Width, Height int     // px
	DPIX, DPIY    float64 // px an inch across and down; 0 is not known

	Full    uint64   // what one fully inked pixel adds to a sum
	Columns []uint64 // ink of each pixel column, left to right
	Rows    []uint64 // ink of each pixel row, top to bottom
	Cells   Cells    // the same ink in a coarse grid

	Warnings []Warning // doubts about what was read

	// Sheet, where set, makes the Map that of a form of several pieces: these have
	// the sums, and the Map has none of its own, nor pixels.
	Sheet *Sheet

	title string // the page's own name, which may be that of its ink
}

// Cells is a Map's ink in a grid of about 2 mm, for pictures and for looking
// along the print direction.
type Cells struct {
	X   []int    // px of the borders, left to right, from 0 to the Map's width
	Y   []int    // px of the borders, top to bottom, from 0 to the Map's height
	Ink []uint32 // one sum a cell, row by row
}

// A Warning is a doubt that travels with a result.
type Warning struct {
	Code string // one word, for programs
	Text string // the fact in one sentence, for people

	CoveragePct float64 // of CodePolarity: of the whole raster
	InkIsLight  bool    // of CodePolarity: which part was taken for ink
}

// OtherShade is what was not taken for ink, light or dark.
func (w Warning) OtherShade() string {
	if w.InkIsLight {
		return "dark"
	}
	return "light"
}

// invertedPct is the mean coverage above which a separation looks inverted.
// Common practice: few plates are inked on more than 85 % of their area.
const invertedPct = 85

// doubt notes what looks wrong with a measured separation, of which the light
// part was taken for ink or the dark one.
func (m *Map) doubt(inkIsLight bool) {
	if pct := m.CoveragePct(); pct > invertedPct {
		m.Warnings = append(m.Warnings, Warning{
			Code: CodePolarity, CoveragePct: pct, InkIsLight: inkIsLight,
			Text: fmt.Sprintf("%.1f %% of the raster is ink, so it may be inverted", pct),
		})
	}
}

const mmPerInch = 25.4

// Total is the ink of the whole separation, in units of sample value; of a form of
// several pieces, which may each have another unit, that of each piece once.
func (m *Map) Total() uint64 {
	total := sum(m.Columns)
	if m.Sheet != nil {
		for _, p := range m.Sheet.Pieces {
			total += p.Map.Total()
		}
	}
	return total
}

// CoveragePct is the ink over the whole raster's area, 0 to 100 %; of a raster
// without area it is 0.
func (m *Map) CoveragePct() float64 {
	if m.Sheet != nil {
		return m.Sheet.solidPct()
	}
	area := float64(m.Full) * float64(m.Width) * float64(m.Height)
	if area == 0 {
		return 0
	}
	return 100 * float64(m.Total()) / area
}

// WidthMM is the raster's width in mm, 0 where the resolution is not known.
func (m *Map) WidthMM() float64 {
	if m.Sheet != nil {
		return m.Sheet.WidthMM
	}
	return lengthMM(m.Width, m.DPIX)
}

// HeightMM is the raster's height in mm, 0 where the resolution is not known.
func (m *Map) HeightMM() float64 {
	if m.Sheet != nil {
		return m.Sheet.LengthMM
	}
	return lengthMM(m.Height, m.DPIY)
}

func lengthMM(px int, dpi float64) float64 {
	if dpi == 0 {
		return 0
	}
	return float64(px) * mmPerInch / dpi
}

// reversedBorders measures the borders from the other end.
func reversedBorders(s []int) []int {
	if len(s) == 0 {
		return nil
	}
	end := s[len(s)-1]
	r := make([]int, len(s))
	for i, v := range s {
		r[len(s)-1-i] = end - v
	}
	return r
}
