package tiff

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	"io"

	"bladeline/coverage/raster"
)

// maxJPEG bounds the samples of a JPEG strip or tile, which the library
// decodes whole.
const maxJPEG = 4 << 20

// jpegPiece is how much of a strip's data is decoded before it is asked if
// reading is stopped: a scan of a few bytes may take some milliseconds.
const jpegPiece = 256

var (
	errJPEG       = errors.New("no JPEG data that fit the page")
	errUnreadJPEG = errors.New("a kind of JPEG")
)

// decodeJPEG decodes a segment of JPEG data: "TIFF Technical Note 2" (1995). A
// segment lacks the tables that all of them share.
func (d *decoder) decodeJPEG(block raster.Block, stored int, to raster.Sink) error {
	p := d.page
	if int64(p.width)*int64(stored)*int64(p.samples) > maxJPEG {
		return fmt.Errorf("%w with more than %d samples a %s", errUnreadJPEG, maxJPEG, p.kind)
	}
	data, err := io.ReadAll(io.LimitReader(&d.data, maxJPEG))
	if err != nil {
		return err
	}
	data = joinJPEG(p.jpegTables, data, p.samples)
	config, err := jpeg.DecodeConfig(bytes.NewReader(data))
	if err != nil {
		return jpegError(err)
	}
	if config.Width != p.width || config.Height < block.H || config.Height > stored {
		return fmt.Errorf("%w: %d × %d pixels in a %s of %d × %d", errJPEG, config.Width, config.Height, p.kind, p.width, stored)
	}
	img, err := jpeg.Decode(raster.Stoppable(p.in.r, bytes.NewReader(data), jpegPiece))
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
			return fmt.Errorf("%w: one sample a pixel instead of %d", errJPEG, d.page.samples)
		}
		err = to.Packed(block, img.Pix, img.Stride)
	case *image.CMYK:
		if d.page.samples != 4 {
			return fmt.Errorf("%w: four samples a pixel instead of %d", errJPEG, d.page.samples)
		}
		for i, v := range img.Pix {
			img.Pix[i] = 255 - v // the library takes them for inverted, as some programs write them in JPEG files
		}
		err = to.Packed(block, img.Pix, img.Stride)
	default:
		return fmt.Errorf("%w of three samples a pixel", errUnreadJPEG)
	}
	if err != nil {
		return sinkError{err}
	}
	return nil
}

// joinJPEG puts the shared tables before a segment's data, and says of four
// samples that they are inks, which TIFF says in its own tags.
func joinJPEG(tables, data []byte, samples int) []byte {
	const start, end = "\xff\xd8", "\xff\xd9"
	const inks = "\xff\xee\x00\x0e" + "\x41\x64\x6f\x62\x65\x00\x64\x00\x00\x00\x00\x00" // APP14, transform 0
	joined := []byte(start)
	if samples == 4 {
		joined = append(joined, inks...)
	}
	tables = bytes.TrimSuffix(bytes.TrimPrefix(tables, []byte(start)), []byte(end))
	joined = append(joined, tables...)
	return append(joined, bytes.TrimPrefix(data, []byte(start))...)
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
