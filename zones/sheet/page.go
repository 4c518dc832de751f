package sheet

import "image"

// A Page is a page and all that stands on it. Places and lengths are in mm
// from the upper left corner; later marks lie over earlier ones.
type Page struct {
	WidthMM, HeightMM float64
	Title             string
	Marks             []Mark
}

// A Mark is a Line, Polygon, Circle, Text or Picture.
type Mark interface {
	// BoxMM is the smallest upright rectangle around the mark.
	BoxMM() Box
}

// A Point is a place on the page.
type Point struct{ X, Y float64 }

// A Box is an upright rectangle.
type Box struct{ Left, Top, Right, Bottom float64 }

// A Gray is a shade of black ink: 0 is black, 1 is paper.
type Gray float64

// The shades in use.
const (
	Black Gray = 0
	Mid   Gray = 0.45 // lines that stand back
	Pale  Gray = 0.82 // areas that stand back
	White Gray = 1
)

// A Line is a straight line.
type Line struct {
	From, To Point
	WidthMM  float64
	Gray     Gray
	Dashed   bool
}

// A Polygon is a closed area, filled, outlined or both.
type Polygon struct {
	Points  []Point
	Fill    *Gray   // nil: not filled
	WidthMM float64 // of its outline; 0: none
}

// A Circle is filled, outlined or both.
type Circle struct {
	At       Point
	RadiusMM float64
	Fill     *Gray   // nil: not filled
	WidthMM  float64 // of its outline; 0: none
}

// A Text is one line of text. (X, Y) is a place on its baseline.
type Text struct {
	X, Y   float64
	Before float64 // share of the text before that place: fromLeft, centred or toRight
	Text   string
	SizePT float64
	Bold   bool
	Gray   Gray
	Up     bool // it reads upwards
}

// A Picture is stretched over a rectangle.
type Picture struct {
	Box   Box
	Image *image.Gray
}

// BoxMM is around the line's middle; its width is left out.
func (l Line) BoxMM() Box { return around(l.From, l.To) }

// BoxMM is around the polygon's corners; its outline's width is left out.
func (p Polygon) BoxMM() Box { return around(p.Points...) }

// BoxMM is around the circle; its outline's width is left out.
func (c Circle) BoxMM() Box {
	return Box{c.At.X - c.RadiusMM, c.At.Y - c.RadiusMM, c.At.X + c.RadiusMM, c.At.Y + c.RadiusMM}
}

// BoxMM is the picture's place.
func (p Picture) BoxMM() Box { return p.Box }

// BoxMM reaches from the tallest figure to the lowest letter.
func (t Text) BoxMM() Box {
	at, width, above, below := t.start(), t.WidthMM(), ascent*t.SizePT*mmPerPT, descent*t.SizePT*mmPerPT
	if t.Up {
		return Box{at.X - above, at.Y - width, at.X + below, at.Y}
	}
	return Box{at.X, at.Y - above, at.X + width, at.Y + below}
}

// start is where the baseline begins.
func (t Text) start() Point {
	before := t.Before * t.WidthMM()
	if t.Up {
		return Point{t.X, t.Y + before}
	}
	return Point{t.X - before, t.Y}
}

// WidthMM is how long the text runs.
func (t Text) WidthMM() float64 { return widthMM(t.Text, t.SizePT, t.Bold) }

func around(points ...Point) Box {
	if len(points) == 0 {
		return Box{}
	}
	b := Box{points[0].X, points[0].Y, points[0].X, points[0].Y}
	for _, p := range points[1:] {
		b.Left, b.Right = min(b.Left, p.X), max(b.Right, p.X)
		b.Top, b.Bottom = min(b.Top, p.Y), max(b.Bottom, p.Y)
	}
	return b
}

func (b Box) corners() []Point {
	return []Point{{b.Left, b.Top}, {b.Right, b.Top}, {b.Right, b.Bottom}, {b.Left, b.Bottom}}
}

func (p *Page) add(m ...Mark) { p.Marks = append(p.Marks, m...) }

func (p *Page) line(x1, y1, x2, y2, widthMM float64, g Gray) {
	p.add(Line{From: Point{x1, y1}, To: Point{x2, y2}, WidthMM: widthMM, Gray: g})
}

func (p *Page) dashed(x1, y1, x2, y2, widthMM float64, g Gray) {
	p.add(Line{From: Point{x1, y1}, To: Point{x2, y2}, WidthMM: widthMM, Gray: g, Dashed: true})
}

// frame outlines a box.
func (p *Page) frame(b Box, widthMM float64) {
	p.add(Polygon{Points: b.corners(), WidthMM: widthMM})
}

// area fills a polygon and outlines it in black.
func (p *Page) area(points []Point, fill Gray, widthMM float64) {
	p.add(Polygon{Points: points, Fill: &fill, WidthMM: widthMM})
}

// Shares of a text before the place that it is given.
const (
	fromLeft = 0.0
	centred  = 0.5
	toRight  = 1.0
)

func (p *Page) text(x, y float64, s string, sizePT float64, bold bool, before float64) {
	p.add(Text{X: x, Y: y, Before: before, Text: shown(s), SizePT: sizePT, Bold: bold})
}
