package coverage

import (
	"encoding/binary"

	"bladeline/coverage/internal/raster"
)

// A quick way turns a row of w pixels into their ink, 16 bits each, low byte
// first. It returns false for a row that has a pixel which may have to be
// refused: plain then goes through it pixel by pixel.
type quick interface {
	convert(ink, row []byte, w int) bool
}

// quickOf is the quick way for a picture, nil where there is none.
func quickOf(p *plain) quick {
	switch h := p.header; {
	case h.Bits >= 8 && (h.Bits == 16 || h.Samples > 1):
		return newWidePixels(p)
	case h.Bits > 1 && h.Samples == 1:
		return newByteTable(p)
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

// widePixels is for pixels of 8 or 16 bits a sample, gray or RGB, and perhaps
// alpha or one that is clear: of most, all is there, and the first sample says
// what.
type widePixels struct {
	*plain
	samples, own int    // a pixel, and of those without alpha
	full         uint16 // of a sample
	flip, scale  uint16 // make ink of the first sample where all is there
	row          []uint16
}

func newWidePixels(p *plain) *widePixels {
	h := p.header
	c := &widePixels{plain: p, samples: h.Samples, own: 1, full: uint16(h.Full()), scale: 1, row: make([]uint16, h.Width*h.Samples)}
	if h.Model == raster.RGB {
		c.own = 3
	}
	if p.ink(tone{value: 0, alpha: c.full}) > 0 {
		c.flip = c.full
	}
	if h.Alpha == raster.Straight && h.Bits == 8 {
		c.scale = c.full
	}
	return c
}

func (c *widePixels) convert(ink, row []byte, w int) bool {
	samples := c.row[:w*c.samples]
	c.read(samples, row)
	if c.samples == 3 && c.header.Clear == nil {
		return c.convertRGB(ink, samples)
	}
	return c.convertPartly(ink, samples)
}

// convertRGB converts pixels of three samples, all of which are there.
func (c *widePixels) convertRGB(ink []byte, samples []uint16) bool {
	var coloured uint16
	for ; len(samples) >= 3 && len(ink) >= 2; samples, ink = samples[3:], ink[2:] {
		red, green, blue := samples[0], samples[1], samples[2]
		coloured |= (red ^ green) | (red ^ blue)
		binary.LittleEndian.PutUint16(ink, red^c.flip)
	}
	return coloured == 0
}

// convertPartly converts pixels of which some may be there in part.
func (c *widePixels) convertPartly(ink []byte, samples []uint16) bool {
	var coloured uint16
	for n := c.samples; len(samples) >= n; samples, ink = samples[n:], ink[2:] {
		pixel := samples[:n]
		alpha := c.alpha(pixel)
		if c.own == 3 && alpha > 0 {
			coloured |= (pixel[0] ^ pixel[1]) | (pixel[0] ^ pixel[2])
		}
		v := (pixel[0] ^ c.flip) * c.scale
		switch {
		case alpha == 0:
			v = 0
		case alpha < c.full:
			v = c.ink(tone{value: pixel[0], alpha: alpha})
		}
		binary.LittleEndian.PutUint16(ink, v)
	}
	return coloured == 0
}

// alpha is how much of a pixel is there.
func (c *widePixels) alpha(pixel []uint16) uint16 {
	clear := c.header.Clear
	switch {
	case len(pixel) > c.own:
		return pixel[c.own]
	case clear != nil && pixel[0] == clear[0] && (c.own == 1 || pixel[1] == clear[1] && pixel[2] == clear[2]):
		return 0
	}
	return c.full
}

// read reads samples of a row.
func (c *widePixels) read(samples []uint16, row []byte) {
	switch {
	case c.header.Bits == 8:
		row = row[:len(samples)]
		for i := range samples {
			samples[i] = uint16(row[i])
		}
	case c.header.LittleEndian:
		for i := range samples {
			samples[i] = binary.LittleEndian.Uint16(row[2*i:])
		}
	default:
		for i := range samples {
			samples[i] = binary.BigEndian.Uint16(row[2*i:])
		}
	}
}
