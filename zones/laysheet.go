package zones

import (
	"errors"
	"fmt"
	"slices"

	"bladeline/coverage"
	"bladeline/zones/press"
)

// laidSheet is the sheet of a form of several pieces as it lies on the fountain.
type laidSheet struct {
	of      *coverage.Map
	at      Placement
	outline Outline
	doubts  []Warning
	all     []standing
}

// standing is a copy of a piece on a sheet, as it lies in bench view.
type standing struct {
	*coverage.Piece
	across, along                  int  // which of its copies, from 1
	quarters                       int  // counter-clockwise, before it is mirrored
	mirrored                       bool // in bench view
	leftMM, leadMM, wideMM, longMM float64
}

// laySheet lays the pieces of a form as they stand on its sheet, whose centre lies
// where that of a raster would. Of what is wrong with their places the first is told.
func laySheet(m *coverage.Map, on *press.Press, at Placement) (*Form, error) {
	f, faults, err := laySheetWith(m, on, at, 1)
	if err == nil && len(faults) > 0 {
		err = faults[0]
	}
	if err != nil {
		return nil, err
	}
	return f, nil
}

// Faults lays a form of several pieces as Lay does, on no press, and returns all that
// is wrong with their places, so much of it at most, with the form. It is nil where
// nothing can be laid; the fault says why.
func Faults(m *coverage.Map, most int) (*Form, []error) {
	if m == nil || m.Sheet == nil {
		return nil, []error{errNothing}
	}
	f, faults, err := laySheetWith(m, nil, Placement{}, most)
	if err != nil {
		return nil, []error{err}
	}
	return f, faults
}

// laySheetWith is laySheet with so much of what is wrong with the pieces' places.
func laySheetWith(m *coverage.Map, on *press.Press, at Placement, most int) (*Form, []error, error) {
	s := m.Sheet
	if err := checkSheet(m, at); err != nil {
		return nil, nil, err
	}
	width, length := s.WidthMM, s.LengthMM
	all := copiesOn(s)
	for range (quarters[at.LeadEdge] + 4) % 4 {
		turnAll(all, length)
		width, length = length, width
	}
	if at.Mirrored {
		mirrorAll(all, width)
	}
	f, err := layPieces(on, laidOn(all, width, at.ShiftMM)...)
	if err == nil {
		err = f.located("its place in the form")
	}
	if e, is := errors.AsType[*ResolutionError](err); is {
		e.InForm = IsForm(m.File)
	}
	if err != nil {
		return nil, nil, err
	}
	f.sheet = &laidSheet{of: m, at: at, outline: Outline{f.fountain.WidthMM()/2 + at.ShiftMM - width/2, width, length}, all: all}
	faults := f.overlaps(all, most)
	if len(faults) < most {
		faults = append(faults, f.beyondSheet(all, most-len(faults))...)
	}
	return f, faults, nil
}

// A PieceOutline is the rectangle that a copy of a piece covers on the form.
type PieceOutline struct {
	Number, Across, Along int     // of the piece, and which of its copies it is, from 1
	LeftMM, FromLeadMM    float64 // from the form's left edge and from its lead edge
	WidthMM, LengthMM     float64
	DPIX, DPIY            float64 // of the raster as given
}

// PieceOutlines is where the pieces of a form of several stand on it; empty for one
// that is a single raster.
func (f *Form) PieceOutlines() []PieceOutline {
	if f == nil || f.sheet == nil {
		return nil
	}
	var all []PieceOutline
	for _, c := range f.sheet.all {
		all = append(all, PieceOutline{c.Number, c.across, c.along, c.leftMM, c.leadMM, c.wideMM, c.longMM, c.Map.DPIX, c.Map.DPIY})
	}
	return all
}

// checkSheet refuses a sheet that is none, and a resolution for all of its pieces.
func checkSheet(m *coverage.Map, at Placement) error {
	if err := at.check(); err != nil {
		return err
	}
	if at.DPIX != 0 || at.DPIY != 0 {
		return inMap(m, &PiecesResolutionError{})
	}
	err := m.Sheet.Check()
	if err == nil && len(m.Sheet.Pieces) == 0 {
		err = errNothing
	}
	if err != nil {
		return inMap(m, err)
	}
	return nil
}

// copiesOn are the pieces of a sheet, each as often as it stands there. Those of one
// turn of a raster follow each other in the sheet's order.
func copiesOn(s *coverage.Sheet) []standing {
	var all []standing
	for i := range s.Pieces {
		p := &s.Pieces[i]
		wide, long := p.SizeMM()
		one := standing{Piece: p, quarters: -p.Turn / 90, mirrored: p.Mirrored, wideMM: wide, longMM: long}
		if p.Mirrored { // before it is turned: to turn what is mirrored is to mirror what is turned the other way
			one.quarters = -one.quarters
		}
		for along := range max(1, p.Along) {
			for across := range max(1, p.Across) {
				c := one
				c.across, c.along = across+1, along+1
				c.leftMM, c.leadMM = p.XMM+float64(across)*p.StepXMM, p.YMM+float64(along)*p.StepYMM
				all = append(all, c)
			}
		}
	}
	return all
}

// turnAll turns a sheet of a length counter-clockwise by a quarter, with all that
// stands on it.
func turnAll(all []standing, lengthMM float64) {
	for i := range all {
		c := &all[i]
		c.leftMM, c.leadMM = lengthMM-c.leadMM-c.longMM, c.leftMM
		c.wideMM, c.longMM = c.longMM, c.wideMM
		if c.mirrored {
			c.quarters--
		} else {
			c.quarters++
		}
	}
}

// mirrorAll swaps left and right on a sheet of a width.
func mirrorAll(all []standing, widthMM float64) {
	for i := range all {
		c := &all[i]
		c.leftMM, c.mirrored = widthMM-c.leftMM-c.wideMM, !c.mirrored
	}
}

// leads are the edges that quarter turns, counter-clockwise, bring to the lead edge.
var leads = [4]Edge{Bottom, Left, Top, Right}

// laidOn lays pieces as they stand on a sheet of a width.
func laidOn(all []standing, widthMM, shiftMM float64) []laidMap {
	var maps []laidMap
	for _, c := range all {
		at := Placement{LeadEdge: leads[(c.quarters%4+4)%4], Mirrored: c.mirrored, ShiftMM: shiftMM + c.leftMM + c.wideMM/2 - widthMM/2}
		maps = append(maps, laidMap{c.Map, at, c.leadMM})
	}
	return maps
}

// name is what a copy is called in a message.
func (c *standing) name() string {
	name := c.Map.File
	if c.Number > 0 {
		name = fmt.Sprintf("piece %d (%s)", c.Number, name)
	}
	if c.Copies() > 1 {
		name += fmt.Sprintf(", copy %d across and %d along,", c.across, c.along)
	}
	return name
}

func (s *laidSheet) areaMM2() float64 { return s.outline.WidthMM * s.outline.LengthMM }

// source is what the form is printed from: its file, and what its pieces share.
func (s *laidSheet) source(shared Source) Source {
	m := s.of
	return Source{
		Ink: m.Ink, File: m.File, Page: m.Page, Channel: m.Channel,
		DPIX: shared.DPIX, DPIY: shared.DPIY, WidthMM: m.Sheet.WidthMM, HeightMM: m.Sheet.LengthMM,
	}
}

// part is the part of the width between two places that the sheet lies over.
func (s *laidSheet) part(leftMM, rightMM float64) float64 {
	o := s.outline
	return max(0, min(rightMM, o.LeftMM+o.WidthMM)-max(leftMM, o.LeftMM)) / (rightMM - leftMM)
}

// fullPct is the most that a zone can be covered: pieces behind each other may
// each be a pixel longer than they are said to be.
func (s *laidSheet) fullPct(f *Form) float64 {
	over := 0.0
	for _, p := range f.pieces {
		over += 1 / f.referencePX(p)
	}
	return 100 * (1 + over)
}

// overprints tells whether pieces may lie over each other. Their ink adds up, and is
// a solid at most.
func (f *Form) overprints() bool {
	return f.sheet != nil && slices.ContainsFunc(f.sheet.of.Sheet.Pieces, func(p coverage.Piece) bool { return p.Overprint })
}
