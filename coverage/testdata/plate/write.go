package main

import (
	"bufio"
	"compress/zlib"
	"io"
	"os"

	"bladeline/coverage/internal/raster/fax"
	"bladeline/coverage/internal/raster/rastertest"
)

var compressions = map[string]int{
	"none":     rastertest.NoCompression,
	"g4":       rastertest.Group4,
	"lzw":      rastertest.LZW,
	"deflate":  rastertest.Deflate,
	"packbits": rastertest.PackBits,
}

// A counter knows how far it has written.
type counter struct {
	w io.Writer
	n uint64
}

func (c *counter) Write(b []byte) (int, error) {
	n, err := c.w.Write(b)
	c.n += uint64(n)
	return n, err
}

// writeTIFF writes the strips as they are drawn, then the directory, and at
// last its place into the header: BigTIFF where four bytes might not hold it.
func writeTIFF(f *os.File, p *plate, o options) error {
	// Coders make little more of a row than it was.
	form := rastertest.Form{Big: len(p.line)*p.height > 3<<30}
	buffered := bufio.NewWriterSize(f, 1<<20)
	w := &counter{w: buffered}
	if _, err := w.Write(form.Header(0)); err != nil {
		return err
	}
	var offsets, counts []uint64
	for y := 0; y < p.height; y += o.rowsPerStrip {
		offsets = append(offsets, w.n)
		if err := writeStrip(w, p, o.compression, y, min(y+o.rowsPerStrip, p.height)); err != nil {
			return err
		}
		counts = append(counts, w.n-offsets[len(offsets)-1])
	}
	if _, err := w.Write(make([]byte, w.n%2)); err != nil {
		return err
	}
	at := w.n
	ifd, _ := form.Directory(at, tags(p, o, form.Offsets(offsets), form.Offsets(counts)), 0)
	if _, err := w.Write(ifd); err != nil {
		return err
	}
	if err := buffered.Flush(); err != nil {
		return err
	}
	_, err := f.WriteAt(form.Header(at), 0)
	return err
}

func writeStrip(w io.Writer, p *plate, compression string, from, to int) error {
	if compression == "g4" {
		g4 := fax.NewG4Encoder(w, p.width)
		for y := from; y < to; y++ {
			g4.Row(p.ends(y))
		}
		return g4.Close()
	}
	strip := newStrip(w, compression)
	for y := from; y < to; y++ {
		if _, err := strip.Write(p.bytes(y)); err != nil {
			return err
		}
	}
	return strip.Close()
}

func newStrip(w io.Writer, compression string) io.WriteCloser {
	switch compression {
	case "lzw":
		return rastertest.NewLZWEncoder(w)
	case "deflate":
		return zlib.NewWriter(w)
	case "packbits":
		return packBits{plain{w}}
	}
	return plain{w}
}

type plain struct{ io.Writer }

func (plain) Close() error { return nil }

// packBits codes every Write as a row.
type packBits struct{ plain }

func (p packBits) Write(row []byte) (int, error) {
	_, err := p.Writer.Write(rastertest.EncodePackBits(row))
	return len(row), err
}

// tags are the directory, by the numbers of TIFF 6.0.
func tags(p *plate, o options, offsets, counts any) map[uint16]any {
	bits := make([]uint16, p.samples)
	for i := range bits {
		bits[i] = uint16(p.bits)
	}
	t := map[uint16]any{
		256: []uint32{uint32(p.width)},
		257: []uint32{uint32(p.height)},
		258: bits,
		259: []uint16{uint16(compressions[o.compression])},
		262: []uint16{0}, // WhiteIsZero
		273: offsets,
		277: []uint16{uint16(p.samples)},
		278: []uint32{uint32(o.rowsPerStrip)},
		279: counts,
		282: []rastertest.Rational{{uint32(o.dpi), 1}},
		283: []rastertest.Rational{{uint32(o.dpi), 1}},
		296: []uint16{2}, // inch
	}
	if p.samples == 4 {
		t[262] = []uint16{5} // separated
		t[332] = []uint16{1} // CMYK
	}
	return t
}

// writePNG writes one gray channel, ink dark: one bit without filters, eight
// bits with Paeth's.
func writePNG(f *os.File, p *plate, o options) error {
	w := bufio.NewWriterSize(f, 1<<20)
	perMetre := uint32(float64(o.dpi)/0.0254 + 0.5)
	head := []byte(rastertest.PNGSignature)
	head = rastertest.AppendPNGChunk(head, "IHDR", rastertest.PNGHeader(p.width, p.height, p.bits, rastertest.PNGGray, false))
	head = rastertest.AppendPNGChunk(head, "pHYs", rastertest.PNGPhys(perMetre, perMetre))
	if _, err := w.Write(head); err != nil {
		return err
	}
	chunks := bufio.NewWriterSize(rastertest.PNGData{W: w}, 1<<16)
	z := zlib.NewWriter(chunks)
	if err := writeRows(z, p); err != nil {
		return err
	}
	if err := z.Close(); err != nil {
		return err
	}
	if err := chunks.Flush(); err != nil {
		return err
	}
	if _, err := w.Write(rastertest.AppendPNGChunk(nil, "IEND", nil)); err != nil {
		return err
	}
	return w.Flush()
}

func writeRows(z io.Writer, p *plate) error {
	filter := rastertest.PNGNone
	if p.bits == 8 {
		filter = rastertest.PNGPaeth
	}
	above := make([]byte, len(p.line))
	row := make([]byte, len(p.line))
	var out []byte
	for y := range p.height {
		for i, v := range p.bytes(y) {
			row[i] = ^v
		}
		out = rastertest.AppendPNGFiltered(append(out[:0], byte(filter)), filter, row, above, 1)
		if _, err := z.Write(out); err != nil {
			return err
		}
		row, above = above, row
	}
	return nil
}
