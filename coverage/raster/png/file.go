// Package png reads a PNG as a stream of rows: chunks, inflate, unfilter. It
// follows the PNG specification (third edition, W3C 2025); gray pictures are
// separations, black is ink, and a gamma chunk changes nothing, since a
// sample says how much of a plate's cell carries image.
package png

import (
	"encoding/binary"
	"fmt"
	"io"

	"bladeline/coverage/raster"
)

const signature = "\x89PNG\r\n\x1a\n"

// IsPNG tells from the first bytes of a file if it is a PNG.
func IsPNG(magic []byte) bool {
	return len(magic) >= len(signature) && string(magic[:len(signature)]) == signature
}

// Colour types: section 11.2.1.
const (
	colourGray      = 0
	colourRGB       = 2
	colourPalette   = 3
	colourGrayAlpha = 4
	colourRGBAlpha  = 6
)

type file struct {
	r      io.ReaderAt
	size   int64
	header raster.Header
	image  int64 // offset of the first IDAT chunk
	done   bool
}

// Open reads a PNG of size bytes up to its image data. The file stays in use
// until its page is decoded.
func Open(r io.ReaderAt, size int64) (raster.File, error) {
	f := &file{r: r, size: size}
	at := int64(len(signature))
	chunks := newChunkReader(io.NewSectionReader(r, at, size-at))
	for first := true; ; first = false {
		if err := chunks.next(); err != nil {
			return nil, failed(-1, err)
		}
		if first != (chunks.kind == "IHDR") {
			return nil, failed(-1, fmt.Errorf("%w: %q stands where the header or a later chunk is expected", errChunk, chunks.kind))
		}
		if chunks.kind == "IDAT" {
			f.image = at
			return f, nil
		}
		at += 12 + chunks.left
		if err := f.read(chunks); err != nil {
			return nil, err
		}
	}
}

// read takes what matters from a chunk before the image data.
func (f *file) read(c *chunkReader) error {
	switch c.kind {
	case "IHDR":
		b, err := c.data(13)
		if err != nil || len(b) != 13 {
			return failed(-1, errorOr(err, "a header of %d bytes", len(b)))
		}
		return f.readHeader(b)
	case "pHYs":
		b, err := c.data(9)
		if err != nil || len(b) != 9 {
			return failed(-1, errorOr(err, "a pHYs chunk of %d bytes", len(b)))
		}
		const metre = 1
		if b[8] == metre {
			f.header.DPIX = float64(binary.BigEndian.Uint32(b)) * 0.0254
			f.header.DPIY = float64(binary.BigEndian.Uint32(b[4:])) * 0.0254
		}
		return nil
	case "tRNS":
		return &raster.UnsupportedError{What: "a PNG with a transparent colour is not read yet", Do: "save it without transparency"}
	}
	if critical := c.kind[0]&0x20 == 0; critical && c.kind != "PLTE" {
		return &raster.UnsupportedError{What: fmt.Sprintf("the PNG has a chunk %q that must be understood and is not", c.kind), Do: exportAgain}
	}
	if err := c.skip(); err != nil {
		return failed(-1, err)
	}
	return nil
}

func errorOr(err error, format string, a ...any) error {
	if err != nil {
		return err
	}
	return fmt.Errorf("%w: %s", errChunk, fmt.Sprintf(format, a...))
}

func (f *file) readHeader(b []byte) error {
	depth, colour, compression, filter, interlace := b[8], b[9], b[10], b[11], b[12]
	f.header = raster.Header{
		Page:   1,
		Width:  int(binary.BigEndian.Uint32(b)),
		Height: int(binary.BigEndian.Uint32(b[4:])),
		Bits:   int(depth), Samples: 1, InkLow: true, Orientation: 1,
	}
	switch {
	case !validDepth(colour, depth):
		return &raster.FormatError{What: fmt.Sprintf("colour type %d with %d bits does not exist in PNG", colour, depth), Do: exportAgain}
	case compression != 0 || filter != 0 || interlace > 1:
		return &raster.FormatError{What: "the PNG header names a method that does not exist", Do: exportAgain}
	case interlace == 1:
		return &raster.UnsupportedError{What: "an interlaced PNG is not read yet", Do: "save it without interlacing"}
	case colour == colourPalette:
		return &raster.UnsupportedError{What: "a palette PNG is not read yet", Do: "save it as gray"}
	case colour == colourGrayAlpha || colour == colourRGBAlpha:
		return &raster.UnsupportedError{What: "a PNG with an alpha channel is not read yet", Do: "save it without alpha"}
	case colour == colourRGB:
		f.header.Model, f.header.Samples = raster.RGB, 3
	}
	return f.header.Check()
}

// validDepth holds table 11.1 of the specification.
func validDepth(colour, depth byte) bool {
	switch depth {
	case 8, 16:
		return colour == colourGray || colour == colourRGB || colour == colourGrayAlpha ||
			colour == colourRGBAlpha || colour == colourPalette && depth == 8
	case 1, 2, 4:
		return colour == colourGray || colour == colourPalette
	}
	return false
}

// Next returns the file's only page, then io.EOF.
func (f *file) Next() (raster.Page, error) {
	if f.done {
		return nil, io.EOF
	}
	f.done = true
	return f, nil
}

// Header describes the picture.
func (f *file) Header() *raster.Header { return &f.header }

// Parts is 1: a PNG is one stream.
func (f *file) Parts() int { return 1 }

// Part is the whole picture.
func (f *file) Part(int) raster.Block {
	return raster.Block{W: f.header.Width, H: f.header.Height, Step: 1, Samples: f.header.Samples}
}
