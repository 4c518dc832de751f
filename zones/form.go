package zones

import (
	"bladeline/coverage"
	"bladeline/zones/press"
)

// A Form is what one ink prints of a form, laid on the fountain of a press. It
// is laid once; keys, findings, pictures and areas all ask it.
//
// Places across are in mm from the fountain's left end, in bench view, and may
// lie anywhere. Where the resolution is not known no ink lies at any of them.
type Form struct {
	fountain press.Fountain
	printMM  float64 // the press's print length; 0: the raster's own
	laid     *piece
}

// Lay lays a separation on the fountain of a press. Without a press it lies
// alone, in the middle of no fountain, and bears no zones. Whether it has its
// place there Zones tells; refused here are only a Map, a fountain and a placement
// that cannot be.
func Lay(m *coverage.Map, on *press.Press, at Placement) (*Form, error) {
	f := &Form{}
	if on != nil {
		if err := checkFountain(on); err != nil {
			return nil, err
		}
		f.fountain, f.printMM = on.Fountain, on.PrintLengthMM
	}
	var err error
	f.laid, err = newPiece(m, at, f.fountain.WidthMM())
	if err != nil {
		return nil, err
	}
	return f, nil
}

// piece is what was laid. A Form that was not made by Lay has one without a
// pixel, whose resolution is not known.
func (f *Form) piece() *piece {
	if f.laid == nil {
		return newNothing()
	}
	return f.laid
}

// LiesOn tells whether the form was laid on such a press.
func (f *Form) LiesOn(on *press.Press) bool {
	return f != nil && on != nil && f.laid != nil && f.fountain == on.Fountain && f.printMM == on.PrintLengthMM
}

// A Source is the raster that a form is printed from, as it was given, before it
// is turned.
type Source struct {
	Ink, File         string
	Page, Channel     int // counted from 1
	WidthPX, HeightPX int
	DPIX, DPIY        float64 // px an inch; 0 is not known
	WidthMM, HeightMM float64 // 0 is not known
}

// Source is what the form is printed from.
func (f *Form) Source() Source {
	m := f.piece().given
	return Source{m.Ink, m.File, m.Page, m.Channel, m.Width, m.Height, m.DPIX, m.DPIY, m.WidthMM(), m.HeightMM()}
}

// Placement is how the form was laid.
func (f *Form) Placement() Placement { return f.piece().at }

// CoveragePct is the ink over the whole raster's area, 0 to 100 %.
func (f *Form) CoveragePct() float64 {
	m := f.piece().given
	area := float64(m.Full) * float64(m.Width) * float64(m.Height)
	if area == 0 {
		return 0
	}
	return min(100, 100*float64(f.piece().columns.total())/area) // rounding may take a full one beyond
}

// Blank tells whether there is no ink at all.
func (f *Form) Blank() bool { return f.piece().columns.total() == 0 }

// Doubts are the warnings of reading the separation.
func (f *Form) Doubts() []Warning { return Doubts(f.piece().given) }

// An Outline is the rectangle that a form covers on the fountain.
type Outline struct {
	LeftMM            float64 // of its left edge
	WidthMM, LengthMM float64 // across and in the print direction; 0 is not known
}

// Outline is where the form lies.
func (f *Form) Outline() Outline {
	return Outline{f.piece().leftMM(), f.piece().across.lengthMM(), f.piece().along.lengthMM()}
}

// ReferenceMM is the length that coverages of zones refer to: the press's print
// length or, where it has none, the form's own. 0 is not known.
func (f *Form) ReferenceMM() float64 {
	if f.printMM > 0 {
		return f.printMM
	}
	return f.piece().along.lengthMM()
}

// InkMM2 is the area of full ink between two places across.
func (f *Form) InkMM2(leftMM, rightMM float64) float64 {
	p := f.piece()
	if !p.isLocated() {
		return 0
	}
	return p.columns.between(p.border(leftMM), p.border(rightMM)) * p.mmPerPX * mmPerInch / p.along.dpi
}

// Part is the part of the width between two places that the form lies over.
func (f *Form) Part(leftMM, rightMM float64) float64 {
	p := f.piece()
	if !p.isLocated() || !(leftMM < rightMM) {
		return 0
	}
	from, to := p.px(leftMM), p.px(rightMM)
	return max(0, min(to, float64(p.across.px()))-max(from, 0)) / (to - from)
}

// MM2PerM2 is how many mm² a m² has.
const MM2PerM2 = 1e6

// SolidM2 is the form's area times its coverage, in m².
func (f *Form) SolidM2() (float64, error) {
	if err := f.piece().located("its area"); err != nil {
		return 0, err
	}
	m := f.piece().given
	return m.WidthMM() * m.HeightMM() / MM2PerM2 * f.CoveragePct() / 100, nil
}

// SolidM2 is a separation's area times its coverage, in m².
func SolidM2(m *coverage.Map, at Placement) (float64, error) {
	f, err := Lay(m, nil, at)
	if err != nil {
		return 0, err
	}
	return f.SolidM2()
}

// Cells are a form's ink in a coarse grid, for pictures. They are counted from
// the left and from the tail edge.
type Cells struct{ *view }

// Cells is the form in a grid of about 2 mm.
func (f *Form) Cells() Cells { return Cells{&f.piece().view} }

// Size is how many cells there are across and in the print direction.
func (c Cells) Size() (columns, rows int) {
	if c.view == nil {
		return 0, 0
	}
	return c.across.cellCount(), c.along.cellCount()
}

// Left is where a column of cells begins, in parts of the form's width. Size's
// columns is its right edge.
func (c Cells) Left(column int) float64 {
	return float64(c.across.border(column)) / float64(c.across.px())
}

// Top is where a row of cells begins, in parts of the form's length from the
// tail edge.
func (c Cells) Top(row int) float64 {
	return float64(c.along.border(row)) / float64(c.along.px())
}

// Ink is how much of a cell is inked, 0 to 1; 0 where there is no such cell.
func (c Cells) Ink(column, row int) float64 {
	if columns, rows := c.Size(); column < 0 || column >= columns || row < 0 || row >= rows {
		return 0
	}
	width := c.across.border(column+1) - c.across.border(column)
	height := c.along.border(row+1) - c.along.border(row)
	return float64(c.inkOf(column, row)) / (float64(width) * float64(height) * float64(c.full))
}
