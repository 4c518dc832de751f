package sheet

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bladeline/curves/rollers"
	"bladeline/zones/preset/rollerchart"
)

// A sideView is a roller train as one sees it from the end of its rollers, the sheet
// running to the right below the plate.
type sideView struct {
	*Page
	chart  *rollerchart.Chart
	films  []float64 // on the chart's rollers, µm, drawn as rings; nil: names in their place
	scale  float64   // mm of the page for one of the press
	origin Point     // the plate's axis on the page
}

// Below the plate's edge, on the page, mm: the top of the blanket, and the foot with
// the way of the sheet and the scale.
const (
	blanketTopMM = 7
	viewFootMM   = 12
)

// newSideView is a train's view, as large as a box holds it.
func newSideView(p *Page, c *rollerchart.Chart, in Box) sideView {
	laid := c.Laid
	all := Box{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	for _, at := range append([]rollers.Circle{laid.Plate, laid.Ductor}, laid.Rollers...) {
		r := at.DiameterMM / 2
		all.Left, all.Right = min(all.Left, at.XMM-r), max(all.Right, at.XMM+r)
		all.Top, all.Bottom = min(all.Top, -at.YMM-r), max(all.Bottom, -at.YMM+r)
	}
	v := sideView{Page: p, chart: c}
	wide, high := in.Right-in.Left, in.Bottom-in.Top-blanketTopMM-viewFootMM
	v.scale = min(wide/(all.Right-all.Left), high/(all.Bottom-all.Top))
	v.origin = Point{(in.Left+in.Right)/2 - v.scale*(all.Left+all.Right)/2, in.Bottom - blanketTopMM - viewFootMM - v.scale*all.Bottom}
	return v
}

// draw draws the rollers, each with its letter, and its name where there is room.
func (v sideView) draw() {
	v.blanket()
	plate := v.chart.Laid.Plate
	v.circle(plate, White, 0.5)
	at := v.at(plate)
	v.text(at.X, at.Y+1, "plate", 9, false, centred)
	v.turning(at, v.scale*plate.DiameterMM/2, plate.Clockwise)
	for i := range v.chart.Rollers {
		r := &v.chart.Rollers[i]
		c := rollers.Circle{XMM: r.XMM, YMM: r.YMM, DiameterMM: r.DiameterMM, Clockwise: r.Clockwise}
		fill, outline := White, 0.6
		if !r.Soft() {
			fill, outline = Pale, 0.25
		}
		if v.films != nil {
			v.film(c, fill, v.films[i], letter(i))
			continue
		}
		v.circle(c, fill, outline)
		v.turning(v.at(c), v.scale*c.DiameterMM/2, c.Clockwise)
		v.named(v.at(c), 2*(v.scale*c.DiameterMM/2-outline), letter(i), r.Name)
	}
}

// thickestMM is the thickness of the ring that stands for the thickest film.
const thickestMM = 2.2

// film draws a roller with its film as a ring within its edge, in proportion to the
// thickest, its letter and the figure.
func (v sideView) film(c rollers.Circle, fill Gray, um float64, letter string) {
	thick := max(0.1, thickestMM*um/max(1e-9, slices.Max(v.films)))
	wide := v.scale * c.DiameterMM
	thick = min(thick, wide/4)
	v.add(Circle{At: v.at(c), RadiusMM: (wide - thick) / 2, Fill: &fill, WidthMM: thick})
	text := fmt.Sprintf("%.1f", um)
	pt := min(9, 9*(wide-2*thick-1)/widthMM(text, 9, false))
	at := v.at(c)
	if high := 0.8 * pt * mmPerPT; wide-2*thick > 3*high {
		v.text(at.X, at.Y-0.15*high, letter, pt, true, centred)
		v.text(at.X, at.Y+high, text, pt, false, centred)
		return
	}
	v.text(at.X, at.Y+0.38*pt*mmPerPT, text, pt, false, centred)
}

func (v sideView) at(c rollers.Circle) Point {
	return Point{v.origin.X + v.scale*c.XMM, v.origin.Y - v.scale*c.YMM}
}

func (v sideView) circle(c rollers.Circle, fill Gray, outlineMM float64) {
	v.add(Circle{At: v.at(c), RadiusMM: v.scale * c.DiameterMM / 2, Fill: &fill, WidthMM: outlineMM})
}

// named writes a roller's letter into it, and below that its name, broken between
// words, where the circle is wide enough for type that can be read.
func (v sideView) named(at Point, wide float64, letter, name string) {
	const leastPT, mostPT, within = 5.0, 7.0, 0.86 // of the width: what is free of the arrow, a little below the middle
	size := min(11, 11*wide/8)
	lines := strings.Fields(shown(name))
	pt := min(mostPT, within*wide/max(widest(lines, 1, false), 1e-9))
	if len(lines) == 0 || len(lines) > 2 || pt < leastPT || wide < 11 {
		v.text(at.X, at.Y+0.38*size*mmPerPT, letter, size, true, centred)
		return
	}
	size, up := min(9, size), 0.3*float64(len(lines)) // above the middle
	v.text(at.X, at.Y-up, letter, size, true, centred)
	for i, line := range lines {
		v.text(at.X, at.Y-up+leading(pt)*(float64(i)+0.95), line, pt, false, centred)
	}
}

// turning draws an arrow within a circle's top, the way that it turns.
func (v sideView) turning(at Point, radius float64, clockwise bool) {
	const half, parts = 32.0, 8 // degrees to either side of the top
	if radius < 3 {
		return
	}
	r, head := radius-min(1.4, 0.2*radius), min(1.1, 0.16*radius)
	way := 1.0
	if !clockwise {
		way = -1
	}
	on := func(deg, r float64) Point {
		sin, cos := math.Sincos(deg * math.Pi / 180)
		return Point{at.X + way*r*sin, at.Y - r*cos}
	}
	for i := range parts {
		a, b := on(-half+2*half*float64(i)/parts, r), on(-half+2*half*float64(i+1)/parts, r)
		v.line(a.X, a.Y, b.X, b.Y, 0.2, Mid)
	}
	tip := half + 1.6*head/r*180/math.Pi
	v.area([]Point{on(half, r-head/2), on(half, r+head/2), on(tip, r)}, Mid, 0)
}

// blanket draws the top of the blanket, where the plate meets it, the way of the sheet
// and the scale.
func (v sideView) blanket() {
	c := v.chart.Laid.Blanket
	at, r := v.at(c), v.scale*c.DiameterMM/2
	deep := min(blanketTopMM, r)
	half := math.Acos(1 - deep/r)
	const parts = 24
	on := func(angle float64) Point {
		sin, cos := math.Sincos(angle)
		return Point{at.X + r*sin, at.Y - r*cos}
	}
	for i := range parts {
		a, b := on(half*(2*float64(i)/parts-1)), on(half*(2*float64(i+1)/parts-1))
		v.line(a.X, a.Y, b.X, b.Y, 0.3, Mid)
	}
	foot := at.Y - r + deep
	v.text(at.X, foot-0.8, "blanket", 8, false, centred)
	v.text(at.X, foot+5, "gray: hard; the sheet runs to the right", 8, false, centred)
	v.bar(Point{at.X, foot + 9})
}

// bar draws 100 mm of the press, to scale, about a place.
func (v sideView) bar(at Point) {
	half := 50 * v.scale
	v.line(at.X-half, at.Y, at.X+half, at.Y, 0.3, Black)
	for _, x := range []float64{at.X - half, at.X + half} {
		v.line(x, at.Y-0.8, x, at.Y+0.8, 0.3, Black)
	}
	v.text(at.X+half+1.5, at.Y+1, "100 mm", 7, false, fromLeft)
}

// letter names the i-th roller of a chart: A to Z, then AA, AB and so on.
func letter(i int) string {
	s := string(rune('A' + i%26))
	if i >= 26 {
		return letter(i/26-1) + s
	}
	return s
}
