package sheet

import (
	"fmt"
	"slices"

	"bladeline/curves"
	"bladeline/zones/preset"
	"bladeline/zones/press"

	"gonum.org/v1/gonum/interp"
)

// fountain draws what one sees standing over the fountain: the roller's
// straight edge, the blade where its keys bend it to, the ink between them,
// and the screws behind.
func (s *sheet) fountain() {
	s.roller()
	pieces := s.blade()
	for _, upper := range pieces {
		s.ink(upper, Black)
	}
	s.paleGaps(pieces)
	s.travel()
	s.screws()
	for _, upper := range pieces {
		s.area(thick(upper), White, 0.35)
	}
	s.ends()
}

// ink fills the gap between the roller and the blade.
func (s *sheet) ink(upper []Point, shade Gray) {
	gap := append([]Point{{upper[0].X, s.plan.edge}}, upper...)
	s.area(append(gap, Point{upper[len(upper)-1].X, s.plan.edge}), shade, 0)
}

// gapMM is the gap drawn for an opening: in proportion.
func (p plan) gapMM(openingPct float64) float64 { return openingPct / 100 * p.gap }

// blade is the blade's upper side, left to right, in pieces: one for all keys,
// or one a key where each moves a piece of its own.
func (s *sheet) blade() [][]Point {
	if s.onePiece() && len(s.keys) > 1 {
		return [][]Point{s.bent()}
	}
	var pieces [][]Point
	for i, k := range s.keys {
		y := s.plan.edge + s.plan.gapMM(k.OpeningPct)
		pieces = append(pieces, []Point{{s.plan.x(i), y}, {s.plan.x(i + 1), y}})
	}
	return pieces
}

// onePiece tells whether the blade is known to be one: by the preset, or
// because a neighbour holds a key, which no other blade lets it.
func (s *sheet) onePiece() bool {
	if blade := s.preset.Press.Blade; blade != nil {
		return *blade == press.OnePiece
	}
	return slices.ContainsFunc(s.keys, func(k preset.Key) bool { return k.State == curves.Neighbour })
}

// pointsPerZone is how finely a bent blade is drawn.
const pointsPerZone = 8

// bent is a blade of one piece. It touches every key's opening over its screw,
// and bends smoothly between, never beyond the two keys beside it.
func (s *sheet) bent() []Point {
	xs, ys := make([]float64, len(s.keys)), make([]float64, len(s.keys))
	for i, k := range s.keys {
		xs[i], ys[i] = float64(i)+0.5, s.plan.gapMM(k.OpeningPct)
	}
	var curve interp.FritschButland
	if err := curve.Fit(xs, ys); err != nil {
		panic(err) // xs rise
	}
	last := len(s.keys)
	points := make([]Point, 0, last*pointsPerZone+1)
	for i := range last*pointsPerZone + 1 {
		at := float64(i) / pointsPerZone
		gap := curve.Predict(min(max(at, xs[0]), xs[last-1]))
		points = append(points, Point{s.plan.left + at*s.plan.column, s.plan.edge + gap})
	}
	return points
}

// thick is the blade's section below its upper side.
func thick(upper []Point) []Point {
	section := slices.Clone(upper)
	for i := len(upper) - 1; i >= 0; i-- {
		section = append(section, Point{upper[i].X, upper[i].Y + bladeMM})
	}
	return section
}

// roller is a cylinder from the side: the lines crowd toward its edges.
func (s *sheet) roller() {
	p := s.plan
	const over = 2.5 // the roller is longer than the fountain
	s.area(Box{p.left - over, p.roller, p.right + over, p.edge}.corners(), White, 0)
	for _, at := range []float64{0.05, 0.13, 0.9, 0.95} {
		y := p.roller + at*rollerMM
		s.line(p.left-over, y, p.right+over, y, 0.15, Mid)
	}
	s.line(p.left-over, p.roller, p.right+over, p.roller, 0.25, Black)
	s.line(p.left-over, p.edge, p.right+over, p.edge, 0.5, Black)
	s.text((p.left+p.right)/2, p.roller+rollerMM/2+0.9, "fountain roller", 8, false, centred)
}

// travel marks how far a fully open key would stand from the roller.
func (s *sheet) travel() {
	p := s.plan
	x := p.left - 2
	s.line(x, p.edge, x, p.edge+p.gap, 0.2, Black)
	for _, mark := range []struct {
		pct   float64
		label string
	}{{0, "shut"}, {50, "half"}, {100, "fully open"}} {
		y := p.edge + p.gapMM(mark.pct)
		s.line(x-1, y, x, y, 0.2, Black)
		s.text(x-1.6, y+0.9, mark.label, 7, false, toRight)
	}
	s.dashed(p.left, p.edge+p.gap, p.right, p.edge+p.gap, 0.15, Mid)
}

// screws are the keys: each reaches up to the blade, through the fountain's
// frame, with its slotted head below.
func (s *sheet) screws() {
	p := s.plan
	frame := p.edge + p.gap + bladeMM + 2
	width := min(1.6, p.column*0.3)
	for i, k := range s.keys {
		x, top := p.middle(i), p.edge+p.gapMM(k.OpeningPct)+bladeMM
		s.area(Box{x - width/2, top, x + width/2, p.screws()}.corners(), White, 0.2)
		head := Box{x - width, p.screws(), x + width, p.screws() + 1.8}
		s.area(head.corners(), White, 0.3)
		s.line(x, head.Top+0.4, x, head.Bottom, 0.3, Black)
	}
	s.area(Box{p.left, frame, p.right, frame + 1.4}.corners(), Pale, 0.2)
}

// ends names the fountain's ends over its roller.
func (s *sheet) ends() {
	p := s.plan
	y := p.roller - 1
	if s.preset.FirstZone() == "" {
		s.text(p.left, y, "at which end zone 1 is, is not stated", 8, true, fromLeft)
		return
	}
	s.text(p.left, y, fmt.Sprintf("◄ left end, zone %d", s.keys[0].Zone), 8, true, fromLeft)
	s.text(p.right, y, fmt.Sprintf("right end, zone %d ►", s.keys[len(s.keys)-1].Zone), 8, true, toRight)
}

// borders are the zones' borders, from the form down to the boxes: dark on
// paper, light through ink.
func (s *sheet) borders(f *drawnForm) {
	p := s.plan
	for i := range len(s.keys) + 1 {
		x := p.x(i)
		if f != nil {
			s.line(x, p.formTop, x, p.formBottom, 0.12, Mid)
		}
		if i > 0 && i < len(s.keys) {
			s.dashed(x, p.edge, x, p.edge+p.gap, 0.1, Pale)
		}
		s.line(x, p.screws()+2.6, x, p.number, 0.12, Mid)
	}
}
