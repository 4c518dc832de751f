package tiff

import (
	"bufio"
	"errors"
	"fmt"
	"io"

	"bladeline/coverage/raster"
	"bladeline/coverage/raster/tiff/ccitt"

	"github.com/klauspost/compress/flate"
	"github.com/klauspost/compress/zlib"
)

// rowsBytes is about how many bytes of rows are handed over at once: few
// enough to stay in a core's own cache, a multiple of 16 rows where they fit.
const rowsBytes = 256 << 10

// A decoder holds the buffers to decode strips of one page.
type decoder struct {
	page    *page
	section io.SectionReader
	source  *bufio.Reader // the strip's bytes as stored
	rows    []byte        // decoded rows

	group4   ccitt.Group4
	inflate  io.ReadCloser
	lzw      *lzwReader
	packBits *packBitsReader
}

// NewDecoder returns a decoder for one goroutine.
func (p *page) NewDecoder() raster.Decoder {
	rowBytes := p.header.RowBytes(p.header.Width)
	rows := max(1, rowsBytes/rowBytes)
	if rows > 16 {
		rows -= rows % 16
	}
	d := &decoder{page: p, source: bufio.NewReaderSize(nil, 64<<10)}
	if p.compression != compressionGroup4 {
		d.rows = make([]byte, min(rows, p.partRows)*rowBytes)
	}
	return d
}

// Decode decodes one part of the page.
func (d *decoder) Decode(part int, to raster.Sink) error {
	block := d.page.Part(part)
	strip := block.Y / d.page.rowsPerStrip
	within := block.Y % d.page.rowsPerStrip
	offset := d.page.offsets[strip] + int64(within*d.page.header.RowBytes(block.W))
	length := d.page.counts[strip] - int64(within*d.page.header.RowBytes(block.W))
	if d.page.compression != compressionNone {
		offset, length = d.page.offsets[strip], d.page.counts[strip]
	}
	if offset < 0 || length < 0 || offset > d.page.in.size-length {
		return d.failed(block.Y, io.ErrUnexpectedEOF)
	}
	d.section = *io.NewSectionReader(d.page.in.r, offset, length)
	if d.page.compression == compressionGroup4 {
		return d.decodeRuns(block, to)
	}
	return d.decodePacked(block, to)
}

// decodeRuns decodes Group 4.
func (d *decoder) decodeRuns(block raster.Block, to raster.Sink) error {
	d.group4.Reset(&d.section, block.W)
	for y := block.Y; y < block.Y+block.H; y++ {
		ends, err := d.group4.Row()
		if err != nil {
			return d.failed(y, err)
		}
		if err := to.Runs(y, ends); err != nil {
			return err
		}
	}
	return nil
}

// decodePacked decodes the compressions that give packed rows.
func (d *decoder) decodePacked(block raster.Block, to raster.Sink) error {
	expanded, err := d.expand()
	if err != nil {
		return d.failed(block.Y, err)
	}
	rowBytes := d.page.header.RowBytes(block.W)
	for y := block.Y; y < block.Y+block.H; {
		rows := min(len(d.rows)/rowBytes, block.Y+block.H-y)
		n, err := io.ReadFull(expanded, d.rows[:rows*rowBytes])
		if err != nil {
			return d.failed(y+n/rowBytes, err)
		}
		if err := to.Packed(raster.Block{Y: y, W: block.W, H: rows}, d.rows[:n], rowBytes); err != nil {
			return err
		}
		y += rows
	}
	if err := d.checkEnd(); err != nil {
		return d.failed(block.Y+block.H-1, err)
	}
	return nil
}

// expand returns the strip's rows as a stream.
func (d *decoder) expand() (io.Reader, error) {
	d.source.Reset(&d.section)
	switch d.page.compression {
	case compressionDeflate, compressionOldDeflate:
		if d.inflate == nil {
			r, err := zlib.NewReader(d.source)
			d.inflate = r
			return r, err
		}
		return d.inflate, d.inflate.(zlib.Resetter).Reset(d.source, nil)
	case compressionLZW:
		if d.lzw == nil {
			d.lzw = new(lzwReader)
		}
		return d.lzw, d.lzw.reset(&d.section)
	case compressionPackBits:
		if d.packBits == nil {
			d.packBits = new(packBitsReader)
		}
		*d.packBits = packBitsReader{src: d.source}
		return d.packBits, nil
	default:
		return &d.section, nil
	}
}

// checkEnd reads a Deflate stream to its end, where its checksum stands. Some
// writers fill the last strip up to its full height; so much more is read.
func (d *decoder) checkEnd() error {
	if d.page.compression != compressionDeflate && d.page.compression != compressionOldDeflate {
		return nil
	}
	spare := int64(d.page.rowsPerStrip) * int64(d.page.header.RowBytes(d.page.header.Width))
	if _, err := io.CopyN(io.Discard, d.inflate, spare+1); !errors.Is(err, io.EOF) {
		return err
	}
	return nil
}

// failed makes the error for a row, counted from 0, that could not be decoded.
func (d *decoder) failed(row int, err error) error {
	p := d.page
	at := raster.Where{Page: p.header.Page, Row: row + 1}
	strip := fmt.Sprintf("strip %d of %d (%s)", row/p.rowsPerStrip+1, p.strips(), compressionNames[p.compression])
	switch {
	case errors.Is(err, io.ErrUnexpectedEOF), errors.Is(err, io.EOF):
		return &raster.FormatError{Where: at, What: "the data of " + strip + " end early", Do: exportAgain, Err: err}
	case errors.Is(err, ccitt.ErrUncompressed), errors.Is(err, errOldLZW):
		return &raster.UnsupportedError{Where: at, What: strip + " uses " + err.Error() + ", which is not read", Do: "save it with another compression"}
	case isDamage(err):
		return &raster.FormatError{Where: at, What: "the data of " + strip + " are damaged: " + err.Error(), Do: exportAgain, Err: err}
	default:
		return &raster.ReadError{Where: at, Err: err}
	}
}

// isDamage tells what a decompressor found wrong from a failure of the file
// system.
func isDamage(err error) bool {
	for _, damage := range []error{ccitt.ErrCode, ccitt.ErrRow, ccitt.ErrEarlyEnd, errLZW, zlib.ErrChecksum, zlib.ErrHeader, zlib.ErrDictionary} {
		if errors.Is(err, damage) {
			return true
		}
	}
	var corrupt flate.CorruptInputError
	return errors.As(err, &corrupt)
}
