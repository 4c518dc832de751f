package zones

import (
	"fmt"
	"slices"

	"bladeline/zones/press"
)

// A Zone is the part of the form that one key inks.
type Zone struct {
	Number          int
	LeftMM, RightMM *float64 // from the left end, in bench view; nil is not known
	CoveragePct     float64
	OffSheet        bool // there is no raster over it
}

// Split divides the form into n zones of equal width, numbered from the left
// and measured from its left edge. Its own length is the reference. It needs no
// resolution; where there is none, the zones' places in mm are not known.
func (f *Form) Split(n int) ([]Zone, error) {
	if n < 1 || n > press.MaxZones {
		return nil, fmt.Errorf("%d zones are outside 1 to %d; give the number of keys", n, press.MaxZones)
	}
	if len(f.laid()) == 0 {
		return nil, errNothing
	}
	whole := f.Outline()
	zones := make([]Zone, n)
	for i := range zones {
		zones[i].Number, zones[i].CoveragePct = i+1, min(100, f.splitPct(i, n))
		if whole.WidthMM > 0 {
			zones[i].LeftMM = new(float64(i) / float64(n) * whole.WidthMM)
			zones[i].RightMM = new(float64(i+1) / float64(n) * whole.WidthMM)
		}
	}
	return zones, nil
}

// splitPct is the coverage of the i-th of n equal parts of the form's width. That
// of one piece is worked out in px, as its resolution need not be known.
func (f *Form) splitPct(i, n int) float64 {
	if len(f.pieces) == 1 && f.sheet == nil {
		p := f.pieces[0]
		width, height := p.across.px(), p.along.px()
		from, to := float64(i*width)/float64(n), float64((i+1)*width)/float64(n)
		return p.columns.between(from, to) / (float64(width) / float64(n) * float64(height)) * 100
	}
	o := f.Outline()
	left, right := o.LeftMM+float64(i)/float64(n)*o.WidthMM, o.LeftMM+float64(i+1)/float64(n)*o.WidthMM
	return f.InkMM2(left, right) / (o.WidthMM / float64(n) * o.LengthMM) * 100
}

// Zones are the fountain's, by number; the warnings are of the form's place
// alone.
//
//	zone coverage = ink area in the zone / (zone width × reference length)
//
// The reference is the press's print length, or the form's own where the press
// states none. A pixel column cut by a border is shared in proportion to area.
func (f *Form) Zones() ([]Zone, []Warning, error) {
	if err := f.located("its place on the fountain"); err != nil {
		return nil, nil, err
	}
	beyond, err := f.beyond()
	if err != nil {
		return nil, nil, err
	}
	zones, err := f.zones()
	return zones, append(beyond, f.tooLong()...), err
}

func (f *Form) zones() ([]Zone, error) {
	zones := make([]Zone, f.fountain.Zones)
	for i := range zones { // from the left, so that of two errors the left one is told
		number := i + 1
		if f.fountain.FirstZone == press.Right {
			number = f.fountain.Zones - i
		}
		left, right := f.fountain.ZoneMM(number)
		z := Zone{Number: number, LeftMM: &left, RightMM: &right, OffSheet: f.isOff(left, right), CoveragePct: f.coveragePct(left, right)}
		if z.CoveragePct > f.fullPct() && !f.overprints() {
			return nil, f.refused(&OverfullError{z.Number, z.CoveragePct, f.printMM, f.Outline().LengthMM, f.sheet != nil})
		}
		z.CoveragePct = min(z.CoveragePct, 100)
		zones[number-1] = z
	}
	return zones, nil
}

// refused is an error of the form.
func (f *Form) refused(err error) error {
	if f.sheet != nil {
		return inMap(f.sheet.of, err)
	}
	return inMap(f.pieces[0].given, err)
}

// isOff tells whether no piece, nor the sheet that they stand on, lies over a zone
// between two borders.
func (f *Form) isOff(leftMM, rightMM float64) bool {
	if f.sheet != nil {
		return !(f.sheet.part(leftMM, rightMM) > hairPX)
	}
	return !slices.ContainsFunc(f.pieces, func(p *piece) bool {
		return p.border(rightMM) > hairPX && p.border(leftMM) < float64(p.across.px())-hairPX
	})
}

// coveragePct is that of a zone between two borders.
func (f *Form) coveragePct(leftMM, rightMM float64) (sum float64) {
	for _, p := range f.pieces {
		widthPX := f.fountain.ZoneWidthMM / p.mmPerPX
		sum += 100 * p.columns.between(p.border(leftMM), p.border(rightMM)) / (widthPX * f.referencePX(p))
	}
	return sum
}

// referencePX is ReferenceMM in px of a piece.
func (f *Form) referencePX(p *piece) float64 {
	return f.ReferenceMM() / p.along.lengthMM() * float64(p.along.px())
}

// fullPct is the most that a zone can be covered: a raster is whole pixels
// long and may so be a pixel longer than the print.
func (f *Form) fullPct() (most float64) {
	if f.sheet != nil {
		return f.sheet.fullPct(f)
	}
	for _, p := range f.pieces {
		most = max(most, 100*(1+1/f.referencePX(p)))
	}
	return most
}
