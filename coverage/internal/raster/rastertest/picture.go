// Package rastertest makes rasters for tests: naive pictures with naive sums,
// and writers of TIFF and PNG that reach every corner of those formats.
//
// It is written to be obviously right, not fast, and holds whole pictures in
// memory; the run-end coders alone stream, since very large plates are made
// with them. Options that no file could have panic: they are a test's mistake.
package rastertest

import "bladeline/coverage/internal/raster/fax"

// A Picture is a raster as plain as can be: one uint16 a sample, rows from the
// top, samples of a pixel side by side. Values run from 0 to 2^Bits - 1 and
// mean whatever the file they are written to says.
type Picture struct {
	Width, Height int // px
	Samples       int // samples a pixel
	Bits          int // a sample: 1, 2, 4, 8 or 16
	Data          []uint16
}

// New returns a picture of zeros.
func New(width, height, samples, bits int) *Picture {
	return &Picture{width, height, samples, bits, make([]uint16, width*height*samples)}
}

// Full is the greatest sample value.
func (p *Picture) Full() uint16 { return 1<<p.Bits - 1 }

// At returns sample s, counted from 0, of the pixel in column x of row y.
func (p *Picture) At(x, y, s int) uint16 { return p.Data[(y*p.Width+x)*p.Samples+s] }

// Set changes what At returns.
func (p *Picture) Set(x, y, s int, v uint16) { p.Data[(y*p.Width+x)*p.Samples+s] = v }

// Inverted returns the picture with every value v turned into Full - v.
func (p *Picture) Inverted() *Picture {
	q := New(p.Width, p.Height, p.Samples, p.Bits)
	for i, v := range p.Data {
		q.Data[i] = p.Full() - v
	}
	return q
}

// Columns sums sample s over each pixel column.
func (p *Picture) Columns(s int) []uint64 {
	sums := make([]uint64, p.Width)
	for y := range p.Height {
		for x := range p.Width {
			sums[x] += uint64(p.At(x, y, s))
		}
	}
	return sums
}

// Rows sums sample s over each pixel row.
func (p *Picture) Rows(s int) []uint64 {
	sums := make([]uint64, p.Height)
	for y := range p.Height {
		for x := range p.Width {
			sums[y] += uint64(p.At(x, y, s))
		}
	}
	return sums
}

// Total sums sample s over the picture.
func (p *Picture) Total(s int) uint64 {
	var sum uint64
	for _, v := range p.Rows(s) {
		sum += v
	}
	return sum
}

// Ends returns where sample s of row y changes between 0 and anything else, in
// pixels: 0 up to ends[0], not 0 from there to ends[1], and so on.
func (p *Picture) Ends(y, s int) []int32 {
	var ends []int32
	ink := false
	for x := range p.Width {
		if now := p.At(x, y, s) != 0; now != ink {
			ends = append(ends, int32(x))
			ink = now
		}
	}
	return ends
}

// Crop returns the rectangle of w by h pixels whose top left pixel is x, y.
func (p *Picture) Crop(x, y, w, h int) *Picture {
	q := New(w, h, p.Samples, p.Bits)
	for row := range h {
		from := ((y+row)*p.Width + x) * p.Samples
		copy(q.Data[row*w*p.Samples:], p.Data[from:from+w*p.Samples])
	}
	return q
}

// Plane returns sample s alone.
func (p *Picture) Plane(s int) *Picture {
	q := New(p.Width, p.Height, 1, p.Bits)
	for i := range q.Data {
		q.Data[i] = p.Data[i*p.Samples+s]
	}
	return q
}

// PackRow returns row y as packed samples, most significant bit first, 16-bit
// samples high byte first. What is left of the last byte is filled with ones in
// odd rows and zeros in even ones, so that nobody comes to count it unseen.
func (p *Picture) PackRow(y int) []byte {
	var b fax.BitWriter
	row := p.Width * p.Samples
	for _, v := range p.Data[y*row : (y+1)*row] {
		b.Put(uint32(v), uint(p.Bits))
	}
	b.Align(uint32(y & 1))
	return b.Bytes
}
