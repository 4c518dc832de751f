// Package png reads a PNG as a stream of rows: chunks, inflate, unfilter. It
// follows the PNG specification (third edition, W3C 2025); gray pictures are
// separations, black is ink, and a gamma chunk changes nothing, since a
// sample says how much of a plate's cell carries image.
package png

import (
	"encoding/binary"
	"fmt"
	"io"

	"bladeline/coverage/internal/raster"
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
	colour byte
	passes []pass
	seen   map[string]bool // chunks before the image data that are read
	image  int64           // offset of the first IDAT chunk
	done   bool
}

// Open reads a PNG of size bytes up to its image data. The file stays in use
// until its page is decoded.
func Open(r io.ReaderAt, size int64) (raster.File, error) {
	f := &file{r: r, size: size, seen: map[string]bool{}}
	at := int64(len(signature))
	chunks := newChunkReader(io.NewSectionReader(r, at, size-at))
	for o := (order{seen: f.seen}); ; {
		if err := chunks.next(); err != nil {
			return nil, failed(-1, err)
		}
		if err := o.place(chunks.kind); err != nil {
			return nil, failed(-1, err)
		}
		if o.image {
			f.image = at
			return f, f.checkPalette()
		}
		at += 12 + chunks.left
		if err := f.read(chunks); err != nil {
			return nil, failed(-1, err)
		}
	}
}

// read takes what matters from a chunk before the image data.
func (f *file) read(c *chunkReader) error {
	switch c.kind {
	case "IHDR":
		b, err := c.sized(13)
		if err != nil {
			return err
		}
		return f.readHeader(b)
	case "pHYs":
		return f.readPixelSize(c)
	case "PLTE":
		return f.readPalette(c)
	case "tRNS":
		return f.readTransparency(c)
	}
	return c.skip()
}

// readPixelSize reads the resolution: section 11.3.4.3. Of unit 0 only the
// pixels' shape is known.
func (f *file) readPixelSize(c *chunkReader) error {
	const metre = 1
	b, err := c.sized(9)
	switch {
	case err != nil:
		return err
	case b[8] > metre:
		return fmt.Errorf("%w: pHYs names a unit %d that does not exist", errChunk, b[8])
	case b[8] == metre:
		f.header.DPIX = float64(binary.BigEndian.Uint32(b)) * 0.0254
		f.header.DPIY = float64(binary.BigEndian.Uint32(b[4:])) * 0.0254
	}
	return nil
}

func (f *file) readHeader(b []byte) error {
	depth, colour, compression, filter, interlace := b[8], b[9], b[10], b[11], b[12]
	f.header = raster.Header{
		Page:   1,
		Width:  raster.Int(int64(binary.BigEndian.Uint32(b))),
		Height: raster.Int(int64(binary.BigEndian.Uint32(b[4:]))),
		Bits:   int(depth), Samples: 1, InkLow: true, Orientation: 1,
	}
	switch {
	case !validDepth(colour, depth):
		return &raster.FormatError{What: fmt.Sprintf("colour type %d with %d bits does not exist in PNG", colour, depth), Do: exportAgain}
	case compression != 0 || filter != 0 || interlace > 1:
		return &raster.FormatError{What: "the PNG header names a method that does not exist", Do: exportAgain}
	}
	f.colour = colour
	h := &f.header
	switch colour {
	case colourRGB:
		h.Model, h.Samples = raster.RGB, 3
	case colourPalette:
		h.Model = raster.Palette
	case colourGrayAlpha:
		h.Samples, h.Alpha = 2, raster.Straight
	case colourRGBAlpha:
		h.Model, h.Samples, h.Alpha = raster.RGB, 4, raster.Straight
	}
	if err := h.Check(); err != nil {
		return err
	}
	f.passes = passesOf(h, interlace == 1)
	return nil
}

// readPalette reads the colours: section 11.2.2. For RGB pictures the chunk is
// a suggestion that says nothing of the samples; gray ones have none.
func (f *file) readPalette(c *chunkReader) error {
	const most = 256
	b, err := c.data(3 * most)
	switch {
	case err != nil:
		return err
	case len(b) == 0 || len(b)%3 != 0:
		return fmt.Errorf("%w: a palette of %d bytes", errChunk, len(b))
	case f.colour == colourGray || f.colour == colourGrayAlpha:
		return fmt.Errorf("%w: a palette in a gray picture", errChunk)
	case f.colour != colourPalette:
		return nil
	case len(b)/3 > 1<<f.header.Bits:
		return fmt.Errorf("%w: a palette of %d colours for samples of %d bits", errChunk, len(b)/3, f.header.Bits)
	}
	for ; len(b) > 0; b = b[3:] {
		f.header.Colours = append(f.header.Colours, [4]uint16{wide(b[0]), wide(b[1]), wide(b[2]), 0xffff})
	}
	return nil
}

// wide scales 8 bits to 16.
func wide(v byte) uint16 { return uint16(v) * 0x101 }

// readTransparency reads the alpha of palette entries, which may be fewer than
// there are, or the one gray or RGB colour through which paper shows: section
// 11.3.1.1. Of that the bits beyond a sample's depth are to be masked.
func (f *file) readTransparency(c *chunkReader) error {
	b, err := c.data(256)
	if err != nil {
		return err
	}
	h := &f.header
	switch {
	case f.colour == colourPalette && h.Colours == nil:
		return fmt.Errorf("%w: tRNS comes before the palette", errChunk)
	case f.colour == colourPalette && len(b) <= len(h.Colours):
		for i, alpha := range b {
			h.Colours[i][3] = wide(alpha)
		}
		return nil
	case f.colour == colourGray && len(b) == 2, f.colour == colourRGB && len(b) == 6:
		for ; len(b) > 0; b = b[2:] {
			h.Clear = append(h.Clear, binary.BigEndian.Uint16(b)&uint16(h.Full()))
		}
		return nil
	}
	return fmt.Errorf("%w: a tRNS chunk of %d bytes does not fit the picture", errChunk, len(b))
}

func (f *file) checkPalette() error {
	if f.colour == colourPalette && f.header.Colours == nil {
		return &raster.FormatError{What: "the palette is missing", Do: exportAgain}
	}
	return nil
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
