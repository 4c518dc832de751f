package main

import (
	"cmp"
	"image"
	"math"
	"slices"
)

// Pages are this large; a plate is filled with them.
const (
	pageWidth  = 243 // mm
	pageHeight = 189 // mm
)

// A form draws one page, by its number, with its upper left corner at a place.
type form func(l *layout, at image.Point, page int)

// forms are what a plate can be filled with.
var forms = map[string]form{
	"pages":  (*layout).page,
	"work":   (*layout).work,
	"text":   (*layout).text,
	"solids": (*layout).solids,
	"heavy":  (*layout).heavy,
	"mixed":  (*layout).mixed,
}

// A layout gathers the elements of one channel.
type layout struct {
	dpi, channel int
	seed         uint64
	black        bool // the channel that text stands in
	screen       *screen
	screens      []*screen         // of the form with many
	faces        map[int]*typeface // by size in points
	elements     []element
}

// newPlate lays out pages until the plate is full.
func newPlate(o options) (*plate, error) {
	p := &plate{width: o.width, height: o.height, bits: o.bits, samples: o.samples, ink: make([]uint64, o.samples)}
	p.runs.width = int32(o.width)
	p.line = make([]byte, (o.width*o.bits*o.samples+7)/8)
	l := layout{dpi: o.dpi, seed: o.seed, faces: map[int]*typeface{}}
	if err := l.makeScreens(o); err != nil {
		return nil, err
	}
	for l.channel = range o.samples {
		l.black = l.channel == o.samples-1
		l.elements = nil
		page := 0
		for y := 0; y < o.height; y += l.px(pageHeight) {
			for x := 0; x < o.width; x += l.px(pageWidth) {
				forms[o.form](&l, image.Pt(x, y), page)
				page++
			}
		}
		// The first form stays as it was measured from the beginning: its solid
		// bar comes behind the tint on the right, and rows of one bit lack it.
		if o.form != "pages" {
			leftToRight(l.elements)
		}
		p.elements = append(p.elements, l.elements)
	}
	return p, nil
}

// makeScreens makes what one bit a pixel is screened with; more bits need none.
func (l *layout) makeScreens(o options) (err error) {
	if o.bits > 1 {
		l.screens = make([]*screen, len(mixture))
		return nil
	}
	if l.screen, err = newScreen(o.screen, o.dpi, o.lpi, o.angle); err != nil || o.form != "mixed" {
		return err
	}
	for _, m := range mixture {
		s, err := newScreen(m.screen, o.dpi, m.lpi, m.angle)
		if err != nil {
			return err
		}
		l.screens = append(l.screens, s)
	}
	return nil
}

// leftToRight puts elements into the order in which rows are drawn.
func leftToRight(elements []element) {
	slices.SortStableFunc(elements, func(a, b element) int {
		return cmp.Compare(a.bounds().Min.X, b.bounds().Min.X)
	})
}

func (l *layout) px(mm float64) int { return int(math.Round(mm / 25.4 * float64(l.dpi))) }

// box is a rectangle in mm of the page at a place in px.
func (l *layout) box(at image.Point, left, top, right, bottom float64) image.Rectangle {
	return image.Rect(l.px(left), l.px(top), l.px(right), l.px(bottom)).Add(at)
}

func (l *layout) add(elements ...element) { l.elements = append(l.elements, elements...) }

// pageSeed is another for every page and channel.
func (l *layout) pageSeed(page int) uint64 { return l.seed*1009 + uint64(page*7+l.channel) }

func (l *layout) face(sizePt int) *typeface {
	if l.faces[sizePt] == nil {
		l.faces[sizePt] = newTypeface(sizePt, l.dpi)
	}
	return l.faces[sizePt]
}

// page is two pictures, a tint, a solid bar and two columns of text.
func (l *layout) page(at image.Point, n int) {
	seed := l.pageSeed(n)
	l.add(newPicture(l.box(at, 8, 8, 130, 92), l.screen, 0.3, seed),
		newPicture(l.box(at, 136, 8, 235, 64), l.screen, 0.3, seed+3),
		newTint(l.box(at, 136, 68, 235, 108), l.screen, [...]float64{0.4, 0.7, 0.85, 0.5}[seed%4]),
		newTint(l.box(at, 12, 96, 130, 108), l.screen, 1))
	if l.black {
		l.add(l.face(9).column(l.box(at, 12, 112, 118, 179), seed),
			l.face(9).column(l.box(at, 124, 112, 231, 179), seed+1))
	}
}

// work is what sheets mostly carry: three pictures, a wedge of tints, a solid
// bar and columns of text.
func (l *layout) work(at image.Point, n int) {
	seed := l.pageSeed(n)
	l.add(newPicture(l.box(at, 6, 6, 140, 100), l.screen, 0.1, seed),
		newPicture(l.box(at, 144, 6, 237, 60), l.screen, 0, seed+3),
		newPicture(l.box(at, 144, 64, 237, 118), l.screen, 0.3, seed+5),
		newTint(l.box(at, 6, 122, 237, 126), l.screen, 1))
	l.wedge(at, 6, 104, 140, 118)
	if l.black {
		l.add(l.face(9).column(l.box(at, 6, 130, 120, 183), seed),
			l.face(6).column(l.box(at, 124, 130, 237, 183), seed+1))
	}
}

// wedge is a row of tints from 5 to 95 %.
func (l *layout) wedge(at image.Point, left, top, right, bottom float64) {
	const tints = 19
	width := (right - left) / tints
	for i := range tints {
		x := left + float64(i)*width
		l.add(newTint(l.box(at, x, top, x+width, bottom), l.screen, 0.05*float64(i+1)))
	}
}

// text is two pages of a book in small type or large, with a headline each.
func (l *layout) text(at image.Point, n int) {
	seed := l.pageSeed(n)
	for i, left := range [...]float64{12, 130} {
		seed := seed + uint64(i)
		size := [...]int{9, 10, 8, 12}[seed%4]
		l.add(l.face(16).column(l.box(at, left, 8, left+100, 20), seed),
			l.face(size).column(l.box(at, left, 22, left+100, 165), seed+1),
			l.face(6).column(l.box(at, left, 168, left+100, 184), seed+2))
	}
}

// solids are large areas with type and lines reversed out of them, and bars.
func (l *layout) solids(at image.Point, n int) {
	seed := l.pageSeed(n)
	l.add(l.reversed(l.box(at, 6, 6, 160, 120), 9, seed),
		l.reversed(l.box(at, 166, 6, 237, 60), 16, seed+1),
		newTint(l.box(at, 166, 64, 237, 120), l.screen, 1))
	for i, b := range [...]bars{
		{line: 1, pitch: 2}, {line: 2, pitch: 5}, {line: 4, pitch: 8, slant: 1}, {line: 20, pitch: 47, slant: 16},
		{line: 3, pitch: 9, slant: 33}, {line: 60, pitch: 200, slant: 90}, {line: 300, pitch: 400, slant: 5},
	} {
		b.Rectangle = l.box(at, 6+33*float64(i), 126, 36+33*float64(i), 136)
		l.add(&b)
	}
	l.add(l.reversed(l.box(at, 6, 142, 237, 183), 6, seed+2))
}

// reversed is a solid with a column of type in it, bare.
func (l *layout) reversed(r image.Rectangle, sizePt int, seed uint64) *reversal {
	return &reversal{Rectangle: r, inside: []element{l.face(sizePt).column(r.Inset(l.px(2)), seed)}}
}

// heavy is dark from edge to edge: pictures, a tint and reversed type.
func (l *layout) heavy(at image.Point, n int) {
	seed := l.pageSeed(n)
	l.add(newPicture(l.box(at, 0, 0, 150, 100), l.screen, 0.6, seed),
		newPicture(l.box(at, 150, 0, 243, 100), l.screen, 0.45, seed+3),
		l.reversed(l.box(at, 0, 100, 100, 189), 9, seed),
		newTint(l.box(at, 100, 100, 243, 145), l.screen, [...]float64{0.75, 0.9, 0.97, 0.83}[seed%4]),
		newPicture(l.box(at, 100, 145, 200, 189), l.screen, 0.7, seed+5),
		newTint(l.box(at, 200, 145, 243, 189), l.screen, 1))
}

// mixture is the screens of the mixed form, at the angles of four inks.
var mixture = []struct {
	screen     string
	lpi, angle float64
}{
	{"round", 175, 15}, {"elliptic", 150, 75}, {"round", 200, 0}, {"line", 133, 45}, {"elliptic", 250, 45},
	{"round", 100, 75}, {"stochastic", 0, 0}, {"clustered", 0, 0}, {"line", 175, 15},
}

// mixed is pictures under nine screens, each with tints of its own below it,
// between type on paper and type reversed.
func (l *layout) mixed(at image.Point, n int) {
	seed := l.pageSeed(n)
	for i := range mixture {
		l.screen = l.screens[(i+n)%len(mixture)]
		left, top := 6+78*float64(i%3), 6+44*float64(i/3)
		l.add(newPicture(l.box(at, left, top, left+75, top+34), l.screen, 0.15*float64(i%3), seed+uint64(i)))
		l.wedge(at, left, top+35, left+75, top+42)
	}
	l.add(l.face(9).column(l.box(at, 6, 140, 80, 184), seed),
		l.reversed(l.box(at, 84, 140, 159, 184), 6, seed+1),
		l.face(6).column(l.box(at, 163, 140, 237, 184), seed+2))
}
