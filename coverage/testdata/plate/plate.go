package main

import (
	"image"
	"math"
)

// A plate is a form of many like pages, drawn row by row from the top. Ink is
// the high value.
type plate struct {
	width, height int
	bits, samples int
	elements      [][]element // of every channel, none beside another's pixels
	ink           []uint64    // of the rows drawn so far, by channel

	runs runs
	line []byte
}

// An element is a rectangle with ink in it.
type element interface {
	bounds() image.Rectangle
	// ink adds the runs of row y, for one bit a pixel.
	ink(y int, to *runs)
	// tones adds row y as bytes from the element's left edge on.
	tones(y int, line []byte)
}

// runs are the places at which a row changes between bare and ink.
type runs struct {
	ends  []int32
	width int32
}

// add inks the pixels from a to b, clipped to the row and to what is right of
// all that is inked.
func (r *runs) add(a, b int32) {
	b = min(b, r.width)
	last := int32(-1)
	if n := len(r.ends); n > 0 {
		last = r.ends[n-1]
		a = max(a, last)
	}
	switch {
	case a >= b:
	case a == last:
		r.ends[len(r.ends)-1] = b
	default:
		r.ends = append(r.ends, a, b)
	}
}

// newPlate lays out pages of 243 by 189 mm until the plate is full.
func newPlate(width, height, dpi, bits, samples int) *plate {
	p := &plate{width: width, height: height, bits: bits, samples: samples, ink: make([]uint64, samples)}
	p.runs.width = int32(width)
	p.line = make([]byte, (width*bits*samples+7)/8)
	face := newTypeface(dpi)
	for channel := range samples {
		l := layout{dpi: dpi, channel: channel, typeface: face, black: channel == samples-1}
		page := 0
		for y := 0; y < height; y += l.px(189) {
			for x := 0; x < width; x += l.px(243) {
				l.page(image.Pt(x, y), page)
				page++
			}
		}
		p.elements = append(p.elements, l.elements)
	}
	return p
}

// A layout gathers the elements of one channel.
type layout struct {
	dpi, channel int
	black        bool // the channel that text stands in
	typeface     *typeface
	elements     []element
}

func (l *layout) px(mm float64) int { return int(math.Round(mm / 25.4 * float64(l.dpi))) }

// box is a rectangle in mm of the page at a place in px.
func (l *layout) box(at image.Point, left, top, right, bottom float64) image.Rectangle {
	return image.Rect(l.px(left), l.px(top), l.px(right), l.px(bottom)).Add(at)
}

// page lays out two pictures, a tint, a solid bar and two columns of text.
func (l *layout) page(at image.Point, n int) {
	seed := uint64(n*7 + l.channel)
	l.elements = append(l.elements,
		newPicture(l.box(at, 8, 8, 130, 92), seed),
		newPicture(l.box(at, 136, 8, 235, 64), seed+3),
		newTint(l.box(at, 136, 68, 235, 108), [...]float64{0.4, 0.7, 0.85, 0.5}[seed%4]),
		newTint(l.box(at, 12, 96, 130, 108), 1))
	if l.black {
		l.elements = append(l.elements,
			l.typeface.column(l.box(at, 12, 112, 118, 179), seed),
			l.typeface.column(l.box(at, 124, 112, 231, 179), seed+1))
	}
}

// ends draws row y as run ends and counts its ink; the slice is good until the
// next row.
func (p *plate) ends(y int) []int32 {
	p.runs.ends = p.runs.ends[:0]
	for _, e := range p.elements[0] {
		if b := e.bounds(); b.Min.Y <= y && y < b.Max.Y {
			e.ink(y, &p.runs)
		}
	}
	for i := 0; i < len(p.runs.ends); i += 2 {
		p.ink[0] += uint64(p.runs.ends[i+1] - p.runs.ends[i])
	}
	return p.runs.ends
}

// bytes draws row y as it stands in an uncompressed file; the slice is good
// until the next row.
func (p *plate) bytes(y int) []byte {
	clear(p.line)
	if p.bits == 1 {
		ends := p.ends(y)
		for i := 0; i < len(ends); i += 2 {
			setBits(p.line, int(ends[i]), int(ends[i+1]))
		}
		return p.line
	}
	for s := range p.samples {
		p.channel(y, s)
	}
	return p.line
}

func (p *plate) channel(y, s int) {
	line := make([]byte, p.width)
	for _, e := range p.elements[s] {
		if b := e.bounds(); b.Min.Y <= y && y < b.Max.Y && b.Min.X < p.width {
			e.tones(y, line[b.Min.X:min(b.Max.X, p.width)])
		}
	}
	for x, v := range line {
		p.line[x*p.samples+s] = v
		p.ink[s] += uint64(v)
	}
}

// setBits sets the bits from a to b, most significant first.
func setBits(line []byte, a, b int) {
	first, last := a/8, b/8
	head, tail := byte(0xff)>>(a%8), ^(byte(0xff) >> (b % 8))
	if first == last {
		line[first] |= head & tail
		return
	}
	line[first] |= head
	for i := first + 1; i < last; i++ {
		line[i] = 0xff
	}
	if tail != 0 {
		line[last] |= tail
	}
}
