package coverage

import (
	"encoding/binary"
	"fmt"

	"bladeline/coverage/internal/raster"
)

// plain is a sink for pictures that are no plain gray or separated ones, but
// may be one underneath: RGB and palettes whose every pixel is neutral, and
// pictures through which bare paper shows. It hands on each pixel's ink as one
// 16-bit sample and refuses the first pixel that has a colour.
type plain struct {
	header *raster.Header
	light  bool // the light part is the ink
	to     raster.Sink
	row    []byte
	of     []tone // what each index of a palette is
	quick  quick  // nil where there is no quicker way than pixel by pixel
}

// A tone is a pixel's lightness and how much of it is there.
type tone struct {
	value, alpha uint16
	coloured     bool
}

// isPlain tells if a picture's samples can be counted as they are.
func isPlain(h *raster.Header) bool {
	return h.Model != raster.RGB && h.Model != raster.Palette && h.Alpha == raster.Opaque && h.Clear == nil
}

// plainHeader is the header of the rows that plain hands on, and plainFull
// what one full pixel of them adds to a sum: where a straight alpha of 8 bits
// multiplies, nothing is rounded.
func plainHeader(h *raster.Header) *raster.Header {
	p := *h
	p.Model, p.Samples, p.Bits, p.InkLow, p.LittleEndian = raster.Gray, 1, 16, false, true
	return &p
}

func plainFull(h *raster.Header) uint64 {
	switch {
	case h.Model == raster.Palette:
		return 0xffff
	case h.Alpha == raster.Straight && h.Bits == 8:
		return 255 * 255
	}
	return h.Full()
}

func newPlain(h *raster.Header, light bool, to raster.Sink) *plain {
	p := &plain{header: h, light: light, to: to, row: make([]byte, 2*h.Width)}
	if h.Model == raster.Palette {
		for _, c := range h.Colours {
			p.of = append(p.of, tone{c[1], c[3], c[0] != c[1] || c[1] != c[2]})
		}
	}
	p.quick = quickOf(p)
	return p
}

// countPlain counts a picture's ink, made of it pixel by pixel.
func countPlain(h *raster.Header, light bool) counting {
	s := newSums(plainHeader(h), plainFull(h))
	return counting{s, func(a *accumulator) raster.Sink { return newPlain(h, light, a) }, func() []*Map { return s.maps(false) }}
}

// Packed hands on the rows as ink.
func (p *plain) Packed(b raster.Block, data []byte, stride int) error {
	one := b
	one.H, one.Sample, one.Samples = 1, 0, 1
	for y := range b.H {
		one.Y = b.Y + y
		row := data[y*stride:]
		if p.quick == nil || !p.quick.convert(p.row, row, b.W) {
			if err := p.convert(b, one.Y, row); err != nil {
				return err
			}
		}
		if err := p.to.Packed(one, p.row[:2*b.W], 2*b.W); err != nil {
			return err
		}
	}
	return nil
}

// convert turns row y of the picture into ink, pixel by pixel.
func (p *plain) convert(b raster.Block, y int, row []byte) error {
	for x := range b.W {
		t, known := p.tone(row, x*b.Samples)
		switch {
		case !known:
			return p.unknown(row, x, y)
		case t.coloured:
			return p.coloured(row, x*b.Samples, b.X+x*b.Step, y)
		}
		binary.LittleEndian.PutUint16(p.row[2*x:], p.ink(t))
	}
	return nil
}

// Runs is never called: no picture of this kind has runs.
func (p *plain) Runs(b raster.Block, _ []int32) error {
	return &raster.FormatError{Where: p.where(b.Y), What: "runs in a picture of several tones"}
}

// tone reads the pixel whose first sample is the i-th of the row; an index may
// lie beyond the palette.
func (p *plain) tone(row []byte, i int) (t tone, known bool) {
	h := p.header
	first := p.sample(row, i)
	if h.Model == raster.Palette {
		if int(first) >= len(p.of) {
			return t, false
		}
		return p.of[first], true
	}
	t = tone{value: first, alpha: uint16(h.Full())}
	own := 1
	if h.Model == raster.RGB {
		own = 3
		t.coloured = p.sample(row, i+1) != first || p.sample(row, i+2) != first
	}
	if h.Alpha != raster.Opaque {
		t.alpha = p.sample(row, i+own)
	}
	if h.Clear != nil && p.isClear(row, i) {
		t = tone{value: first}
	}
	if t.alpha == 0 {
		t.coloured = false // nothing of it is there
	}
	return t, true
}

func (p *plain) isClear(row []byte, i int) bool {
	for s, v := range p.header.Clear {
		if p.sample(row, i+s) != v {
			return false
		}
	}
	return true
}

// sample is the i-th sample of a row.
func (p *plain) sample(row []byte, i int) uint16 {
	switch h := p.header; h.Bits {
	case 8:
		return uint16(row[i])
	case 16:
		if h.LittleEndian {
			return binary.LittleEndian.Uint16(row[2*i:])
		}
		return binary.BigEndian.Uint16(row[2*i:])
	default:
		bit := i * h.Bits
		return uint16(row[bit/8]) >> (8 - h.Bits - bit%8) & (1<<h.Bits - 1)
	}
}

// ink is how much of full ink, plainFull, a pixel is: its tone over bare paper.
func (p *plain) ink(t tone) uint16 {
	h := p.header
	full := uint32(h.Full())
	if h.Model == raster.Palette {
		full = 0xffff
	}
	value, alpha := uint32(t.value), uint32(t.alpha)
	darkIsLow := h.InkLow || h.Model == raster.RGB || h.Model == raster.Palette
	low := darkIsLow != p.light
	switch {
	case h.Alpha == raster.Premultiplied && low:
		return uint16(max(alpha, value) - value)
	case h.Alpha == raster.Premultiplied:
		return uint16(min(alpha, value))
	case low:
		value = full - value
	}
	switch {
	case h.Alpha == raster.Straight && h.Bits == 8:
		return uint16(value * alpha)
	case alpha == full:
		return uint16(value)
	}
	return uint16((uint64(value)*uint64(alpha) + uint64(full)/2) / uint64(full))
}

func (p *plain) unknown(row []byte, i, y int) error {
	return &raster.FormatError{
		Where: p.where(y),
		What:  fmt.Sprintf("a pixel has colour %d of a palette of %d", p.sample(row, i), len(p.of)),
		Do:    "export the file again",
	}
}

// coloured names the pixel, from 0, that makes the picture no separation.
func (p *plain) coloured(row []byte, i int, x, y int) error {
	kind, colour := "a palette", fmt.Sprintf("colour %d of it", p.sample(row, i))
	if p.header.Model == raster.RGB {
		kind, colour = "an RGB", fmt.Sprintf("red %d, green %d, blue %d", p.sample(row, i), p.sample(row, i+1), p.sample(row, i+2))
	}
	return &raster.UnsupportedError{
		Where: p.where(y),
		What:  fmt.Sprintf("%s picture is not a separation: pixel %d of the row is %s, which is not neutral", kind, x+1, colour),
		Do:    "leave it out where it is the composite beside the separations, else export each ink as gray, or all of them as CMYK",
	}
}

func (p *plain) where(y int) raster.Where {
	return raster.Where{Page: p.header.Page, Row: y + 1}
}
