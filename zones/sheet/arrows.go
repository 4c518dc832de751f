package sheet

import (
	"math"

	"bladeline/zones/preset"
	"bladeline/zones/press"
)

// moved draws which way a key goes, and how far, around x below top.
func (s *changeSheet) moved(k preset.KeyChange, b bank, x, top float64) {
	text := byText(k)
	if k.Move == preset.Stay || k.Move == preset.SetTo {
		s.middled(x, top, b.move, text, b.byPT, true)
		return
	}
	arrow := b.arrowMM()
	if b.stacked {
		s.arrow(k, Point{x, top + arrow/2 + 0.3}, arrow/2)
		s.middled(x, top+arrow, b.move-arrow, text, b.byPT, true)
		return
	}
	left := x - (arrow+besideMM+widthMM(text, b.byPT, true))/2
	s.arrow(k, Point{left + arrow/2, top + b.move/2}, arrow/2)
	s.text(left+arrow+besideMM, top+(b.move+ascent*b.byPT*mmPerPT)/2, text, b.byPT, true, fromLeft)
}

// arrow is a screw's turn, else up or down.
func (s *changeSheet) arrow(k preset.KeyChange, at Point, half float64) {
	if k.Turn != nil {
		s.turned(at, half, *k.Turn)
		return
	}
	s.pointed(at, 0.85*half, k.Move == preset.Open)
}

// pointed is an arrow head, up or down.
func (s *changeSheet) pointed(at Point, half float64, up bool) {
	down := half * 0.8
	if up {
		down = -down
	}
	s.area([]Point{{at.X, at.Y + down}, {at.X - half, at.Y - down}, {at.X + half, at.Y - down}}, Black, 0)
}

// turned is an arrow around a point, as the screw turns that one faces.
func (s *changeSheet) turned(at Point, radius float64, way press.Turned) {
	const from, to, parts = 225.0, -15.0, 16 // degrees, counted counter-clockwise from the right
	mirror := 1.0
	if way == press.CounterClockwise {
		mirror = -1
	}
	r := 0.78 * radius
	on := func(degrees, r float64) Point {
		sin, cos := math.Sincos(degrees * math.Pi / 180)
		return Point{at.X + mirror*r*cos, at.Y - r*sin}
	}
	for i := range parts {
		a := on(from+(to-from)*float64(i)/parts, r)
		b := on(from+(to-from)*float64(i+1)/parts, r)
		s.line(a.X, a.Y, b.X, b.Y, 0.22*radius, Black)
	}
	const head = 48 // degrees that the arrow's head takes
	s.area([]Point{on(to+6, r-0.52*radius), on(to+6, r+0.52*radius), on(to-head, r)}, Black, 0)
}
