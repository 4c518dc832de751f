package zones

import (
	"cmp"
	"slices"

	"bladeline/coverage"
	"bladeline/zones/press"
)

// A Form is what one ink prints of a form, laid on the fountain of a press. It
// is laid once; keys, findings, pictures and areas all ask it, in mm. It may be
// of several pieces, each a separation with its own place, turn and resolution:
// what is asked is answered of all of them together.
//
// Places across are in mm from the fountain's left end, in bench view, and may
// lie anywhere. Where the resolution is not known no ink lies at any of them. A
// Form that Lay did not make, nil too, has no ink and lies nowhere.
type Form struct {
	fountain press.Fountain
	printMM  float64 // the press's print length; 0: the form's own
	pieces   []*piece
	sheet    *laidSheet // that they stand on; nil of a form that is one raster
}

// Lay lays a separation on the fountain of a press. Without a press it lies
// alone, in the middle of no fountain, and bears no zones. Whether it has its
// place there Zones tells; refused here are only a Map, a fountain and a placement
// that cannot be.
//
// The pieces of a form of several, a Map with a Sheet, are laid as they stand on it,
// and the sheet as a raster of its size.
func Lay(m *coverage.Map, on *press.Press, at Placement) (*Form, error) {
	if m != nil && m.Sheet != nil {
		return laySheet(m, on, at)
	}
	return layPieces(on, laidMap{m, at, 0})
}

// laidMap is how a Map is laid as a piece of a form.
type laidMap struct {
	*coverage.Map
	at         Placement
	fromLeadMM float64 // its lead edge from the form's
}

// layPieces lays the pieces of a form. Of several each must have a resolution, as
// else they have no place beside each other.
func layPieces(on *press.Press, maps ...laidMap) (*Form, error) {
	f := &Form{}
	if on != nil {
		if err := checkFountain(on); err != nil {
			return nil, err
		}
		f.fountain, f.printMM = on.Fountain, on.PrintLengthMM
	}
	known := turnings{}
	for _, m := range maps {
		p, err := newPiece(m, f.fountain.WidthMM(), known)
		if err == nil && len(maps) > 1 {
			err = p.located("its place in the form")
		}
		if err != nil {
			return nil, err
		}
		f.pieces = append(f.pieces, p)
	}
	return f, nil
}

// laid are the pieces of a form, none of one that is not laid.
func (f *Form) laid() []*piece {
	if f == nil {
		return nil
	}
	return f.pieces
}

// located refuses a form whose size in mm is not known; unknown says what follows.
func (f *Form) located(unknown string) error {
	if len(f.laid()) == 0 {
		return errNothing
	}
	for _, p := range f.pieces {
		if err := p.located(unknown); err != nil {
			return err
		}
	}
	return nil
}

// LiesOn tells whether the form was laid on such a press.
func (f *Form) LiesOn(on *press.Press) bool {
	return on != nil && len(f.laid()) > 0 && f.fountain == on.Fountain && f.printMM == on.PrintLengthMM
}

// Ink is the name of the form's ink.
func (f *Form) Ink() string { return f.Source().Ink }

// A Source is the raster that a form is printed from, as it was given, before it
// is turned.
type Source struct {
	Ink, File         string
	Page, Channel     int // counted from 1
	WidthPX, HeightPX int
	DPIX, DPIY        float64 // px an inch; 0 is not known
	WidthMM, HeightMM float64 // 0 is not known
}

// Source is what the form is printed from. What its pieces do not share is not
// known: empty or 0.
func (f *Form) Source() Source {
	shared := f.shared()
	if f != nil && f.sheet != nil {
		return f.sheet.source(shared)
	}
	return shared
}

// shared is what the pieces have in common.
func (f *Form) shared() (shared Source) {
	for i, p := range f.laid() {
		s := p.source()
		if i == 0 {
			shared = s
			continue
		}
		shared.File, shared.Page, shared.Channel = same(shared.File, s.File), same(shared.Page, s.Page), same(shared.Channel, s.Channel)
		shared.WidthPX, shared.HeightPX = same(shared.WidthPX, s.WidthPX), same(shared.HeightPX, s.HeightPX)
		shared.DPIX, shared.DPIY = same(shared.DPIX, s.DPIX), same(shared.DPIY, s.DPIY)
		shared.WidthMM, shared.HeightMM = same(shared.WidthMM, s.WidthMM), same(shared.HeightMM, s.HeightMM)
	}
	return shared
}

// same is what two values are, the zero value where they differ.
func same[V comparable](a, b V) (v V) {
	if a == b {
		v = a
	}
	return v
}

// Placement is how the form was laid, nil where its pieces lie in several ways.
func (f *Form) Placement() *Placement {
	pieces := f.laid()
	if f != nil && f.sheet != nil {
		return new(f.sheet.at)
	}
	if len(pieces) == 0 || slices.ContainsFunc(pieces, func(p *piece) bool { return !p.liesAs(pieces[0]) }) {
		return nil
	}
	return new(pieces[0].at)
}

// CoveragePct is the ink over the area of all the rasters, or of the sheet that they
// stand on, 0 to 100 %.
func (f *Form) CoveragePct() float64 {
	pieces := f.laid()
	if len(pieces) == 1 && f.sheet == nil { // whose resolution need not be known
		return pieces[0].coveragePct()
	}
	var solid, area float64
	for _, p := range pieces {
		solid, area = solid+p.areaMM2()*p.coveragePct(), area+p.areaMM2()
	}
	if f != nil && f.sheet != nil {
		area = f.sheet.areaMM2()
	}
	if area == 0 {
		return 0
	}
	return min(100, solid/area)
}

// Blank tells whether there is no ink at all.
func (f *Form) Blank() bool {
	return !slices.ContainsFunc(f.laid(), func(p *piece) bool { return p.columns.total() > 0 })
}

// Doubts are the warnings of reading the separations.
func (f *Form) Doubts() []Warning {
	var all []Warning
	read := map[*coverage.Map]bool{} // pieces of one raster share its doubts
	for _, p := range f.laid() {
		if read[p.given] {
			continue
		}
		read[p.given] = true
		for _, w := range doubts(p.given) {
			if f.sheet != nil {
				w.Ink, w.Text = f.Ink(), p.given.File+": "+w.Text
			}
			if !slices.ContainsFunc(all, func(had Warning) bool { return had.Code == w.Code && had.Text == w.Text }) {
				all = append(all, w)
			}
		}
	}
	if f != nil && f.sheet != nil {
		all = append(append(all, doubts(f.sheet.of)...), f.sheet.doubts...)
	}
	return all
}

// An Outline is the rectangle that a form covers on the fountain.
type Outline struct {
	LeftMM            float64 // of its left edge
	WidthMM, LengthMM float64 // across and in the print direction; 0 is not known
}

// Outline is where the form lies, from its leftmost edge to its rightmost, and
// from its lead edge on.
func (f *Form) Outline() Outline {
	if f != nil && f.sheet != nil {
		return f.sheet.outline
	}
	return f.extent()
}

// extent is the rectangle that the pieces lie within.
func (f *Form) extent() Outline {
	var all Outline
	for i, p := range f.laid() {
		o := p.outline()
		if i == 0 {
			all = o
			continue
		}
		right := max(all.LeftMM+all.WidthMM, o.LeftMM+o.WidthMM)
		all.LeftMM = min(all.LeftMM, o.LeftMM)
		all.WidthMM, all.LengthMM = right-all.LeftMM, max(all.LengthMM, o.LengthMM)
	}
	return all
}

// ReferenceMM is the length that coverages of zones refer to: the press's print
// length or, where it has none, the form's own. 0 is not known.
func (f *Form) ReferenceMM() float64 {
	if f != nil && f.printMM > 0 {
		return f.printMM
	}
	return f.Outline().LengthMM
}

// InkMM2 is the area of full ink between two places across.
func (f *Form) InkMM2(leftMM, rightMM float64) (sum float64) {
	for _, p := range f.laid() {
		sum += p.inkMM2(leftMM, rightMM)
	}
	return sum
}

// Part is the part of the width between two places that the form lies over.
func (f *Form) Part(leftMM, rightMM float64) float64 {
	if f.located("") != nil || !(leftMM < rightMM) {
		return 0
	}
	if f.sheet != nil {
		return f.sheet.part(leftMM, rightMM)
	}
	first := f.pieces[0] // in px of which is reckoned: whole ones stay whole
	fromPX, toPX := first.px(leftMM), first.px(rightMM)
	type span struct{ from, to float64 }
	var spans []span
	for _, p := range f.pieces {
		left := (p.leftMM() - first.leftMM()) / mmPerInch * first.across.dpi
		right := left + float64(p.across.px())*(first.across.dpi/p.across.dpi)
		spans = append(spans, span{max(fromPX, left), min(toPX, right)})
	}
	slices.SortFunc(spans, func(a, b span) int { return cmp.Compare(a.from, b.from) })
	covered, end := 0.0, fromPX
	for _, s := range spans {
		covered += max(0, s.to-max(s.from, end))
		end = max(end, s.to)
	}
	return covered / (toPX - fromPX)
}

// MM2PerM2 is how many mm² a m² has.
const MM2PerM2 = 1e6

// SolidM2 is the form's area times its coverage, in m².
func (f *Form) SolidM2() (float64, error) {
	if err := f.located("its area"); err != nil {
		return 0, err
	}
	if f.sheet != nil {
		return f.sheet.areaMM2() / MM2PerM2 * f.CoveragePct() / 100, nil
	}
	var sum float64
	for _, p := range f.pieces {
		sum += p.areaMM2() / MM2PerM2 * p.coveragePct() / 100
	}
	return sum, nil
}
