package zones

import (
	"fmt"
	"math"

	"bladeline/coverage"
	"bladeline/curves/settings"
)

// A Zone is the strip of the form that one key inks.
type Zone struct {
	Number          int
	LeftMM, RightMM *float64 // from the left end, in bench view; nil is not known
	CoveragePct     float64
	OffSheet        bool // there is no raster over it
}

// Split divides a separation, in bench view, into n zones of equal width,
// numbered from the left and measured from the raster's left edge. The
// raster's own length is the reference. It needs no resolution; where there is
// none, the zones' places in mm are not known.
func Split(m *coverage.Map, n int, p Placement) ([]Zone, error) {
	if n < 1 || n > maxZones {
		return nil, fmt.Errorf("%d zones are outside 1 to %d; say how many keys there are", n, maxZones)
	}
	v, err := p.View(m)
	if err != nil {
		return nil, err
	}
	ink := newStrip(v)
	widthPX := float64(v.Width) / float64(n)
	zones := make([]Zone, n)
	for i := range zones {
		from, to := float64(i*v.Width)/float64(n), float64((i+1)*v.Width)/float64(n)
		zones[i].Number = i + 1
		zones[i].CoveragePct = min(100, ink.between(from, to)/(widthPX*float64(v.Height))*100)
		if v.DPIX > 0 {
			zones[i].LeftMM = new(float64(i) / float64(n) * v.WidthMM())
			zones[i].RightMM = new(float64(i+1) / float64(n) * v.WidthMM())
		}
	}
	return zones, nil
}

// Place lays a separation on the fountain of a press. The zones come by
// number; the warnings are of the placement alone.
//
//	zone coverage = ink area in the zone / (zone width × reference length)
//
// The reference is the press's print length, or the raster's own length where
// the press states none. A pixel column cut by a border is shared in
// proportion to area.
func Place(m *coverage.Map, press *Press, p Placement) ([]Zone, []Warning, error) {
	v, err := p.View(m)
	if err != nil {
		return nil, nil, err
	}
	if v.DPIX == 0 || v.DPIY == 0 {
		return nil, nil, inMap(m, "the raster states no resolution, so its place on the fountain is not known; say --dpi")
	}
	if !plausible(v.DPIX) || !plausible(v.DPIY) {
		return nil, nil, inMap(m, "%s × %s dpi is no resolution of a plate; say --dpi", settings.Plain(v.DPIX), settings.Plain(v.DPIY))
	}
	l := layout{Map: v, ink: newStrip(v), press: press, mmPerPX: mmPerInch / v.DPIX}
	l.leftPX = float64(v.Width)/2 - (press.Fountain.WidthMM()/2+p.ShiftMM)/l.mmPerPX
	beyond, err := l.beyond()
	if err != nil {
		return nil, nil, err
	}
	zones, err := l.zones()
	return zones, append(beyond, l.length()...), err
}

const mmPerInch = 25.4

// plausible keeps mm and px within numbers that can be reckoned with.
func plausible(dpi float64) bool { return dpi >= 1 && dpi <= 100_000 }

// layout is a separation in bench view on a fountain.
type layout struct {
	*coverage.Map
	ink     strip
	press   *Press
	mmPerPX float64
	leftPX  float64 // the fountain's left end, in px from the raster's left edge
}

// border is the left border of the i-th zone from the left, in px from the
// raster's left edge. One that rounding keeps off a pixel's edge is put on it.
func (l *layout) border(i int) float64 {
	px := l.leftPX + float64(i)*l.press.Fountain.ZoneWidthMM/l.mmPerPX
	rounding := 8e-15 * (float64(l.Width) + l.press.Fountain.WidthMM()/l.mmPerPX)
	if edge := math.Round(px); math.Abs(px-edge) <= rounding {
		return edge
	}
	return px
}

func (l *layout) zones() ([]Zone, error) {
	f := l.press.Fountain
	zones := make([]Zone, f.Zones)
	for i := range zones {
		number := i + 1
		if f.FirstZone == Right {
			number = f.Zones - i
		}
		left, right := f.zoneMM(number)
		z := Zone{
			Number:   number,
			LeftMM:   &left,
			RightMM:  &right,
			OffSheet: l.border(i+1) <= hairPX || l.border(i) >= float64(l.Width)-hairPX,
		}
		z.CoveragePct = l.coveragePct(i)
		if z.CoveragePct > l.fullPct() {
			return nil, inMap(l.Map, "in zone %d the ink covers %.1f %%: the press prints %s mm and the raster is %s mm long; correct print_length_mm or --dpi",
				number, z.CoveragePct, settings.Plain(l.press.PrintLengthMM), mmText(l.HeightMM()))
		}
		z.CoveragePct = min(z.CoveragePct, 100)
		zones[number-1] = z
	}
	return zones, nil
}

func (l *layout) coveragePct(i int) float64 {
	widthPX := l.press.Fountain.ZoneWidthMM / l.mmPerPX
	return 100 * l.ink.between(l.border(i), l.border(i+1)) / (widthPX * l.lengthPX())
}

// lengthPX is the reference length in px.
func (l *layout) lengthPX() float64 {
	if l.press.PrintLengthMM == 0 {
		return float64(l.Height)
	}
	return l.press.PrintLengthMM / l.HeightMM() * float64(l.Height)
}

// fullPct is the most that a zone can be covered: a raster is whole pixels
// long and may so be a pixel longer than the print.
func (l *layout) fullPct() float64 { return 100 * (1 + 1/l.lengthPX()) }

// beyond refuses ink beyond the fountain's ends, and warns of blank raster. Ink
// in a pixel that reaches over an end is let pass: files round resolutions, PNG
// to whole pixels a metre, and a form as wide as the fountain then overlaps it.
func (l *layout) beyond() ([]Warning, error) {
	left, right := l.border(0), l.border(l.press.Fountain.Zones)
	width := float64(l.Width)
	if left <= hairPX && right >= width-hairPX {
		return nil, nil
	}
	overLeft, overRight := left-l.ink.first(), l.ink.last()-right
	switch blank := l.ink.last() == 0; {
	case blank: // nothing can be lost, wherever it lies
	case overLeft > 1 && overRight > 1:
		return nil, inMap(l.Map, "ink stands beyond the fountain's ends, %s mm at the left and %s mm at the right: the form is wider than the %s mm that it inks; take another press or correct --dpi",
			mmText(overLeft*l.mmPerPX), mmText(overRight*l.mmPerPX), mmText(l.press.Fountain.WidthMM()))
	case overLeft > 1:
		return nil, inMap(l.Map, "ink stands %s mm beyond the fountain's left end; shift it to the right or correct --dpi", mmText(overLeft*l.mmPerPX))
	case overRight > 1:
		return nil, inMap(l.Map, "ink stands %s mm beyond the fountain's right end; shift it to the left or correct --dpi", mmText(overRight*l.mmPerPX))
	}
	text := fmt.Sprintf("the raster reaches beyond the fountain, by %s mm on the left and %s mm on the right; nothing prints there",
		mmText(max(0, min(left, width))*l.mmPerPX), mmText(max(0, min(width-right, width))*l.mmPerPX))
	return []Warning{{Ink: l.Ink, Code: CodeBeyond, Text: text}}, nil
}

// length warns where the press prints less than the raster is long. The print
// begins at the lead edge. Ink in a pixel that reaches over its end is let
// pass, as in beyond.
func (l *layout) length() []Warning {
	length := l.press.PrintLengthMM
	if length == 0 || float64(l.Height) <= l.lengthPX()+1 {
		return nil
	}
	mmPerPX := mmPerInch / l.DPIY
	if over := l.reach() - l.lengthPX(); over > 1 {
		text := fmt.Sprintf("ink stands up to %s mm beyond the %s mm that the press prints from the lead edge; it is counted in its zones, but does not print: shorten the form, or correct print_length_mm or --lead-edge",
			mmText(over*mmPerPX), mmText(length))
		return []Warning{{Ink: l.Ink, Code: CodeOutside, Text: text}}
	}
	text := fmt.Sprintf("the raster is %s mm long, more than the %s mm that the press prints", mmText(l.HeightMM()), mmText(length))
	return []Warning{{Ink: l.Ink, Code: CodeLength, Text: text}}
}

// reach is how far ink stands from the lead edge, in px; 0 where there is none.
func (l *layout) reach() float64 {
	for y, v := range l.Rows {
		if v > 0 {
			return float64(l.Height - y)
		}
	}
	return 0
}

// hairPX is an overlap that is none: far more than the rounding of mm, far
// less than anybody can set or see.
const hairPX = 1e-6

// mmText rounds mm for a message.
func mmText(mm float64) string {
	if mm > 0 && mm < 0.001 {
		return "less than 0.001"
	}
	return decimal(math.Round(mm*1e3) / 1e3)
}
