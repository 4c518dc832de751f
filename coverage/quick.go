package coverage

import (
	"encoding/binary"

	"bladeline/coverage/raster"
)

// A quick way turns a row of w pixels into their ink, 16 bits each, low byte
// first. It returns false for a row that has a pixel which may have to be
// refused: plain then goes through it pixel by pixel.
type quick interface {
	convert(ink, row []byte, w int) bool
}

// quickOf is the quick way for a picture, nil where there is none.
func quickOf(p *plain) quick {
	h := p.header
	switch {
	case h.Bits > 1 && h.Bits <= 8 && h.Samples == 1:
		return newByteTable(p)
	case h.Bits == 8 && h.Clear == nil:
		return newBytePixels(p)
	}
	return nil
}

// A byteTable is for pixels of one sample of 2, 4 or 8 bits: what every byte's
// pixels are.
type byteTable struct {
	*plain
	bits  int
	ink   [256][8]byte
	wrong [256]bool // a pixel of it is coloured, or no colour of the palette
}

func newByteTable(p *plain) *byteTable {
	t := &byteTable{plain: p, bits: p.header.Bits}
	for v := range t.ink {
		t.wrong[v] = !t.convertSome(t.ink[v][:], []byte{byte(v)}, 0, 8/t.bits)
	}
	return t
}

// convertSome converts pixels x to end of a row one by one.
func (t *byteTable) convertSome(ink, row []byte, x, end int) bool {
	right := true
	for ; x < end; x++ {
		tone, known := t.tone(row, x)
		right = right && known && !tone.coloured
		binary.LittleEndian.PutUint16(ink[2*x:], t.plain.ink(tone))
	}
	return right
}

func (t *byteTable) convert(ink, row []byte, w int) bool {
	per := 8 / t.bits
	whole := w / per
	for _, v := range row[:whole] {
		if t.wrong[v] {
			return false
		}
	}
	t.convertWhole(ink, row[:whole])
	return t.convertSome(ink, row, whole*per, w)
}

// convertWhole converts whole bytes.
func (t *byteTable) convertWhole(ink, row []byte) {
	switch t.bits {
	case 2:
		for i, v := range row {
			*(*[8]byte)(ink[8*i:]) = [8]byte(t.ink[v][:])
		}
	case 4:
		for i, v := range row {
			*(*[4]byte)(ink[4*i:]) = [4]byte(t.ink[v][:])
		}
	default:
		for i, v := range row {
			*(*[2]byte)(ink[2*i:]) = [2]byte(t.ink[v][:])
		}
	}
}

// bytePixels is for pixels of several 8-bit samples, gray or RGB and perhaps
// alpha, whose ink hangs on the first of them and on alpha alone.
type bytePixels struct {
	*plain
	samples, own int         // a pixel, and of those without alpha
	opaque       [256]uint16 // the ink of a pixel all of which is there, by its first sample
}

func newBytePixels(p *plain) *bytePixels {
	c := &bytePixels{plain: p, samples: p.header.Samples, own: 1}
	if p.header.Model == raster.RGB {
		c.own = 3
	}
	for v := range c.opaque {
		c.opaque[v] = p.ink(tone{value: uint16(v), alpha: 255})
	}
	return c
}

func (c *bytePixels) convert(ink, row []byte, w int) bool {
	var coloured byte
	for x := range w {
		pixel := row[x*c.samples:][:c.samples]
		value, alpha := pixel[0], byte(255)
		if c.samples > c.own {
			alpha = pixel[c.own]
		}
		if c.own == 3 && alpha > 0 {
			coloured |= (value ^ pixel[1]) | (value ^ pixel[2])
		}
		v := c.opaque[value]
		if alpha < 255 {
			v = c.ink(tone{value: uint16(value), alpha: uint16(alpha)})
		}
		binary.LittleEndian.PutUint16(ink[2*x:], v)
	}
	return coloured == 0
}
