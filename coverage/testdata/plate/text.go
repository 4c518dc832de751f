package main

import (
	"image"
	"math"
	"math/rand/v2"
)

// Type stands as 9 points on 11 do, its strokes a tenth of its size.
const (
	leadingOf9 = 11
	strokeEm   = 0.1
)

// A typeface holds made-up letters as runs.
type typeface struct {
	em, leading, space int // px
	letters            [27]letter
}

// A letter is the ink of its rows, from the line's top.
type letter struct {
	advance int // px
	rows    [][]int32
}

func newTypeface(sizePt, dpi int) *typeface {
	t := &typeface{em: sizePt * dpi / 72, leading: sizePt * leadingOf9 * dpi / (9 * 72)}
	t.space = t.leading / 4
	for i := range t.letters {
		t.letters[i] = t.draw(strokes(i))
	}
	return t
}

// A stroke is a straight line, in ems from the line's top left.
type stroke struct{ x0, y0, x1, y1 float64 }

// strokes puts a letter together: a body between 0.35 and 0.75 em, a stem up or
// down, and a bar or a dot.
func strokes(i int) []stroke {
	bodies := [3][]stroke{
		bowl(0.25, 0.55, 0.2),
		{{0.05, 0.35, 0.05, 0.75}, {0.45, 0.35, 0.45, 0.75}, {0.05, 0.35, 0.45, 0.35}},
		{{0.05, 0.35, 0.25, 0.75}, {0.25, 0.75, 0.45, 0.35}},
	}
	stems := [3][]stroke{nil, {{0.05, 0.05, 0.05, 0.75}}, {{0.45, 0.35, 0.45, 0.95}}}
	extras := [3][]stroke{nil, {{0.05, 0.55, 0.45, 0.55}}, {{0.25, 0.15, 0.25, 0.15}}}
	var all []stroke
	all = append(all, bodies[i%3]...)
	all = append(all, stems[i/3%3]...)
	return append(all, extras[i/9]...)
}

func bowl(x, y, r float64) []stroke {
	const sides = 24
	var ring []stroke
	for i := range sides {
		sin0, cos0 := math.Sincos(2 * math.Pi * float64(i) / sides)
		sin1, cos1 := math.Sincos(2 * math.Pi * float64(i+1) / sides)
		ring = append(ring, stroke{x + r*cos0, y + r*sin0, x + r*cos1, y + r*sin1})
	}
	return ring
}

// distance is that of a point from the stroke's line.
func (s stroke) distance(x, y float64) float64 {
	dx, dy := s.x1-s.x0, s.y1-s.y0
	along := 0.0
	if length := dx*dx + dy*dy; length > 0 {
		along = math.Max(0, math.Min(1, ((x-s.x0)*dx+(y-s.y0)*dy)/length))
	}
	return math.Hypot(x-s.x0-along*dx, y-s.y0-along*dy)
}

// draw inks what lies within half a stroke's width of a stroke.
func (t *typeface) draw(strokes []stroke) letter {
	l := letter{advance: t.em * 6 / 10}
	for y := range t.em {
		row := runs{width: int32(l.advance)}
		for x := range int32(l.advance) {
			for _, s := range strokes {
				if s.distance(float64(x)/float64(t.em), float64(y)/float64(t.em)) < strokeEm/2 {
					row.add(x, x+1)
					break
				}
			}
		}
		l.rows = append(l.rows, row.ends)
	}
	return l
}

// A column is lines of made-up words.
type column struct {
	image.Rectangle
	face  *typeface
	lines [][]placed
}

type placed struct {
	x      int32
	letter *letter
}

func (t *typeface) column(r image.Rectangle, seed uint64) *column {
	c := &column{Rectangle: r, face: t}
	rnd := rand.New(rand.NewPCG(seed, 0))
	for range r.Dy() / t.leading {
		c.lines = append(c.lines, t.line(r, rnd))
	}
	return c
}

func (t *typeface) line(r image.Rectangle, rnd *rand.Rand) []placed {
	var line []placed
	for x := r.Min.X; ; x += t.space {
		for range 2 + rnd.IntN(8) {
			l := &t.letters[rnd.IntN(len(t.letters))]
			if x+l.advance > r.Max.X {
				return line
			}
			line = append(line, placed{int32(x), l})
			x += l.advance
		}
	}
}

func (c *column) bounds() image.Rectangle { return c.Rectangle }

func (c *column) ink(y int, to *runs) {
	n, down := (y-c.Min.Y)/c.face.leading, (y-c.Min.Y)%c.face.leading
	if n >= len(c.lines) {
		return
	}
	for _, p := range c.lines[n] {
		if down >= len(p.letter.rows) {
			break
		}
		ends := p.letter.rows[down]
		for i := 0; i < len(ends); i += 2 {
			to.add(p.x+ends[i], p.x+ends[i+1])
		}
	}
}

func (c *column) tones(y int, line []byte) {
	r := runs{width: int32(c.Min.X + len(line))}
	c.ink(y, &r)
	r.solid(line, c.Min.X)
}
