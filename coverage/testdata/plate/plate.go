package main

import "image"

// A plate is a form of many like pages, drawn row by row from the top. Ink is
// the high value.
type plate struct {
	width, height int
	bits, samples int
	elements      [][]element // of every channel, none beside another's pixels
	ink           []uint64    // of the rows drawn so far, by channel
	transitions   uint64      // of the rows drawn so far, of one bit a pixel

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

// changes are the pixels that differ from the one on their left: T.4's changing
// elements, without the imaginary one behind the row's last pixel.
func (r *runs) changes() uint64 {
	n := len(r.ends)
	if n > 0 && r.ends[n-1] == r.width {
		n--
	}
	return uint64(n)
}

// solid draws a line's bytes, of which the first is pixel left.
func (r *runs) solid(line []byte, left int) {
	for i := 0; i < len(r.ends); i += 2 {
		for x := r.ends[i]; x < r.ends[i+1]; x++ {
			line[int(x)-left] = 255
		}
	}
}

// drawRow adds row y of elements that stand from left to right.
func drawRow(elements []element, y int, to *runs) {
	for _, e := range elements {
		if b := e.bounds(); b.Min.Y <= y && y < b.Max.Y {
			e.ink(y, to)
		}
	}
}

// ends draws row y as run ends and counts its ink; the slice is good until the
// next row.
func (p *plate) ends(y int) []int32 {
	p.runs.ends = p.runs.ends[:0]
	drawRow(p.elements[0], y, &p.runs)
	for i := 0; i < len(p.runs.ends); i += 2 {
		p.ink[0] += uint64(p.runs.ends[i+1] - p.runs.ends[i])
	}
	p.transitions += p.runs.changes()
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
