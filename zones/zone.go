package zones

import (
	"fmt"

	"bladeline/coverage"
	"bladeline/zones/press"
)

// A Zone is the part of the form that one key inks.
type Zone struct {
	Number          int
	LeftMM, RightMM *float64 // from the left end, in bench view; nil is not known
	CoveragePct     float64
	OffSheet        bool // there is no raster over it
}

// Split divides a separation into n zones of equal width, as Form.Split does.
func Split(m *coverage.Map, n int, at Placement) ([]Zone, error) {
	f, err := Lay(m, nil, at)
	if err != nil {
		return nil, err
	}
	return f.Split(n)
}

// Place lays a separation on the fountain of a press, for its zones alone.
func Place(m *coverage.Map, on *press.Press, at Placement) ([]Zone, []Warning, error) {
	f, err := Lay(m, on, at)
	if err != nil {
		return nil, nil, err
	}
	return f.Zones()
}

// Split divides the form into n zones of equal width, numbered from the left
// and measured from its left edge. Its own length is the reference. It needs no
// resolution; where there is none, the zones' places in mm are not known.
func (f *Form) Split(n int) ([]Zone, error) {
	if n < 1 || n > press.MaxZones {
		return nil, fmt.Errorf("%d zones are outside 1 to %d; give the number of keys", n, press.MaxZones)
	}
	p := f.piece()
	width, height := p.across.px(), p.along.px()
	if width == 0 {
		return nil, errNothing
	}
	widthPX := float64(width) / float64(n)
	zones := make([]Zone, n)
	for i := range zones {
		from, to := float64(i*width)/float64(n), float64((i+1)*width)/float64(n)
		zones[i].Number = i + 1
		zones[i].CoveragePct = min(100, p.columns.between(from, to)/(widthPX*float64(height))*100)
		if p.across.dpi > 0 {
			zones[i].LeftMM = new(float64(i) / float64(n) * p.across.lengthMM())
			zones[i].RightMM = new(float64(i+1) / float64(n) * p.across.lengthMM())
		}
	}
	return zones, nil
}

// Zones are the fountain's, by number; the warnings are of the form's place
// alone.
//
//	zone coverage = ink area in the zone / (zone width × reference length)
//
// The reference is the press's print length, or the form's own where the press
// states none. A pixel column cut by a border is shared in proportion to area.
func (f *Form) Zones() ([]Zone, []Warning, error) {
	if err := f.piece().located("its place on the fountain"); err != nil {
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
	p, width := f.piece(), float64(f.piece().across.px())
	zones := make([]Zone, f.fountain.Zones)
	for i := range zones { // from the left, so that of two errors the left one is told
		number := i + 1
		if f.fountain.FirstZone == press.Right {
			number = f.fountain.Zones - i
		}
		left, right := f.fountain.ZoneMM(number)
		z := Zone{
			Number:      number,
			LeftMM:      &left,
			RightMM:     &right,
			OffSheet:    p.border(right) <= hairPX || p.border(left) >= width-hairPX,
			CoveragePct: f.coveragePct(left, right),
		}
		if z.CoveragePct > f.fullPct() {
			return nil, inMap(p.given, &OverfullError{z.Number, z.CoveragePct, f.printMM, p.along.lengthMM()})
		}
		z.CoveragePct = min(z.CoveragePct, 100)
		zones[number-1] = z
	}
	return zones, nil
}

// coveragePct is that of a zone between two borders.
func (f *Form) coveragePct(leftMM, rightMM float64) float64 {
	p := f.piece()
	widthPX := f.fountain.ZoneWidthMM / p.mmPerPX
	return 100 * p.columns.between(p.border(leftMM), p.border(rightMM)) / (widthPX * f.referencePX())
}

// referencePX is ReferenceMM in px.
func (f *Form) referencePX() float64 {
	px := float64(f.piece().along.px())
	if f.printMM == 0 {
		return px
	}
	return f.printMM / f.piece().along.lengthMM() * px
}

// fullPct is the most that a zone can be covered: a raster is whole pixels
// long and may so be a pixel longer than the print.
func (f *Form) fullPct() float64 { return 100 * (1 + 1/f.referencePX()) }
