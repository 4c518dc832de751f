package tiff

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	"io"
	"slices"

	"bladeline/coverage/internal/raster"
)

// maxJPEG bounds the samples of a JPEG strip or tile, which the library
// decodes whole.
const maxJPEG = 4 << 20

// jpegPiece is how much of a strip's data is decoded before it is asked if
// reading is stopped: a scan of a few bytes may take some milliseconds.
const jpegPiece = 256

var (
	errJPEG       = errors.New("not JPEG data that fit the page")
	errUnreadJPEG = errors.New("a kind of JPEG")
)

// jpegBytes is how many bytes of data are read of a strip or tile: more than its
// samples take in any quality, and tables.
func (p *page) jpegBytes() int { return 2*min(maxJPEG/2, p.jpegSamples()) + maxTables }

// jpegSamples are those of a strip or tile, as far as they are read.
func (p *page) jpegSamples() int {
	return int(min(maxJPEG, int64(p.width)*int64(p.height)*int64(p.samples)))
}

// decodeJPEG decodes a segment of JPEG data: "TIFF Technical Note 2" (1995). A
// segment lacks the tables that all of them share.
func (d *decoder) decodeJPEG(block raster.Block, stored int, to raster.Sink) error {
	p := d.page
	if int64(p.width)*int64(stored)*int64(p.samples) > maxJPEG {
		return fmt.Errorf("%w with more than %d samples a %s", errUnreadJPEG, maxJPEG, p.kind)
	}
	head := jpegHead(p.jpegTables)
	n := head + int(min(d.data.Size(), int64(p.jpegBytes())))
	d.rows = slices.Grow(d.rows[:0], n)[:n]
	data := d.rows
	if _, err := d.data.ReadAt(data[head:], 0); err != nil && !errors.Is(err, io.EOF) { // JPEG has no FillOrder
		return err
	}
	stream, err := scanJPEG(p.jpegTables, data, p.samples)
	if err != nil {
		return err
	}
	if stream.width != p.width || stream.height < block.H || stream.height > stored {
		return fmt.Errorf("%w: %d × %d pixels in a %s of %d × %d", errJPEG, stream.width, stream.height, p.kind, p.width, stored)
	}
	if err := d.checkBehind(int64(stream.end)); err != nil {
		return err
	}
	img, err := jpeg.Decode(raster.Stoppable(p.in.r, bytes.NewReader(stream.clean), jpegPiece))
	if err != nil {
		return jpegError(err)
	}
	return d.handJPEG(img, block, to)
}

func (d *decoder) handJPEG(img image.Image, block raster.Block, to raster.Sink) error {
	var err error
	switch img := img.(type) {
	case *image.Gray:
		if d.page.samples != 1 {
			return fmt.Errorf("%w: one sample per pixel instead of %d", errJPEG, d.page.samples)
		}
		err = to.Packed(block, img.Pix, img.Stride)
	case *image.CMYK:
		if d.page.samples != 4 {
			return fmt.Errorf("%w: four samples per pixel instead of %d", errJPEG, d.page.samples)
		}
		for i, v := range img.Pix {
			img.Pix[i] = 255 - v // the library takes them for inverted, as some programs write them in JPEG files
		}
		err = to.Packed(block, img.Pix, img.Stride)
	default:
		return fmt.Errorf("%w of three samples per pixel", errUnreadJPEG)
	}
	if err != nil {
		return sinkError{err}
	}
	return nil
}

func jpegError(err error) error {
	if _, ok := errors.AsType[jpeg.UnsupportedError](err); ok {
		return fmt.Errorf("%w (%w)", errUnreadJPEG, err)
	}
	if _, ok := errors.AsType[jpeg.FormatError](err); ok {
		return fmt.Errorf("%w (%w)", errJPEG, err)
	}
	return err
}
