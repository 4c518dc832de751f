package tiff

import (
	"errors"
	"fmt"
	"io"
	"math/bits"

	"bladeline/coverage/internal/raster"
	"bladeline/coverage/internal/raster/inflate"
	"bladeline/coverage/internal/raster/tiff/ccitt"
)

// rowsBytes is about how many bytes of rows are handed over at once: few
// enough to stay in a core's own cache, a multiple of 16 rows where they fit.
const rowsBytes = 256 << 10

// A decoder holds the buffers to decode strips or tiles of one page.
type decoder struct {
	page *page
	data segmentData
	rows []byte // decoded rows

	runs     runDecoder
	visible  []int32 // runs cut to the visible part of a tile
	inflate  *inflate.Reader
	lzw      *lzwReader
	packBits *packBitsReader
}

// A runDecoder decodes rows of one of ITU-T's codings.
type runDecoder interface {
	Reset(src io.Reader, width int)
	Row() (ends []int32, err error)
	// End tells if no further row follows those that were read. Its error says
	// what stands there that is none, or why that could not be read.
	End() (bool, error)
}

// segmentData are the bytes of a strip or tile as stored, the bits of each
// turned round where FillOrder says so.
type segmentData struct {
	io.SectionReader
	reversed bool
}

func (s *segmentData) Read(p []byte) (int, error) {
	n, err := s.SectionReader.Read(p)
	if s.reversed {
		for i, b := range p[:n] {
			p[i] = bits.Reverse8(b)
		}
	}
	return n, err
}

// NewDecoder returns a decoder for one goroutine.
func (p *page) NewDecoder() raster.Decoder {
	rows := max(1, rowsBytes/p.rowBytes())
	if rows > 16 {
		rows -= rows % 16
	}
	d := &decoder{page: p}
	switch p.compression {
	case compressionHuffman:
		d.runs = new(ccitt.Huffman)
	case compressionGroup3:
		d.runs = ccitt.NewGroup3(p.t4Options)
	case compressionGroup4:
		d.runs = new(ccitt.Group4)
	case compressionJPEG:
	default:
		d.rows = make([]byte, min(rows, p.partRows)*p.rowBytes())
	}
	return d
}

// DecoderBytes is what the compression takes, and a batch of rows.
func (p *page) DecoderBytes() int {
	switch p.compression {
	case compressionHuffman, compressionGroup3, compressionGroup4:
		return 16 * p.width // the runs of two rows
	case compressionJPEG:
		return p.jpegBytes() + 3*p.jpegSamples() // a strip's data, its planes and its samples
	case compressionLZW:
		return lzwMost + max(rowsBytes, p.rowBytes())
	}
	return max(rowsBytes, p.rowBytes())
}

// Decode decodes one part of the page.
func (d *decoder) Decode(part int, to raster.Sink) error {
	p := d.page
	block, segment, row := p.part(part)
	if block.H == 0 {
		return nil
	}
	offset, length := p.offsets[segment], p.counts[segment]
	if p.compression == compressionNone { // a part may begin within it
		skip := int64(row) * int64(p.rowBytes())
		offset, length = offset+skip, length-skip
	}
	if offset < 0 || length < 0 || offset > p.in.size-length {
		return d.failed(block, segment, 0, io.ErrUnexpectedEOF)
	}
	d.data = segmentData{*io.NewSectionReader(p.in.r, offset, length), p.reversed}
	var rows int
	var err error
	switch {
	case d.runs != nil:
		rows, err = d.decodeRuns(block, p.storedRows(segment), to)
	case p.compression == compressionJPEG:
		err = d.decodeJPEG(block, p.storedRows(segment), to)
	default:
		rows, err = d.decodePacked(block, row, p.storedRows(segment), to)
	}
	if err != nil {
		return d.failed(block, segment, rows, err)
	}
	return nil
}

// A sinkError is what a sink refused; it is passed on as it is.
type sinkError struct{ error }

// decodeRuns decodes ITU-T's codings. It returns how many rows went well.
func (d *decoder) decodeRuns(block raster.Block, stored int, to raster.Sink) (int, error) {
	d.runs.Reset(&d.data, d.page.width)
	one := block
	one.H = 1
	for y := range block.H {
		ends, err := d.runs.Row()
		if err != nil {
			return y, err
		}
		one.Y = block.Y + y
		if err := to.Runs(one, d.cut(ends, block.W)); err != nil {
			return y, sinkError{err}
		}
	}
	return block.H - 1, d.checkRunsEnd(stored-block.H, d.page.height-stored)
}

// cut takes away what lies behind the visible width of a tile.
func (d *decoder) cut(ends []int32, width int) []int32 {
	if width == d.page.width {
		return ends
	}
	d.visible = d.visible[:0]
	for i := 0; i < len(ends) && ends[i] < int32(width); i += 2 {
		d.visible = append(d.visible, ends[i], min(ends[i+1], int32(width)))
	}
	return d.visible
}

// decodePacked decodes the compressions that give packed rows. It returns how
// many rows went well. The part begins at row from of a segment of so many
// stored rows.
func (d *decoder) decodePacked(block raster.Block, from, stored int, to raster.Sink) (int, error) {
	expanded, err := d.expand()
	if err != nil {
		return 0, err
	}
	if d.page.Parts() == 1 && d.page.compression != compressionNone && block.H > len(d.rows)/d.page.rowBytes() {
		ahead, stop := readAhead(expanded)
		defer stop()
		expanded = ahead
	}
	expanded = raster.Stoppable(d.page.in.r, expanded, rowsBytes) // hidden rows are handed to nobody
	rowBytes := d.page.rowBytes()
	last := from+d.page.partRows >= stored
	done, err := d.window(block, to)
	if err != nil {
		return done, err
	}
	for done < block.H {
		rows := min(len(d.rows)/rowBytes, block.H-done)
		n, err := io.ReadFull(expanded, d.rows[:rows*rowBytes])
		if err != nil {
			return done + n/rowBytes, err
		}
		if d.page.predictor {
			d.page.undoPredictor(d.rows[:n])
		}
		some := block
		some.Y, some.H = block.Y+done, rows
		if err := to.Packed(some, d.rows[:n], rowBytes); err != nil {
			return done, sinkError{err}
		}
		done += rows
	}
	if !last {
		return done, nil
	}
	hidden, filled := stored-from-done, d.page.height-stored
	if err := d.checkEnd(expanded, hidden, filled); err != nil {
		return done - 1, err
	}
	return done - 1, d.checkStream()
}

// leastWindow is how many bytes of rows are worth a window of the file.
const leastWindow = 1 << 18

// window hands over rows of an uncompressed part as they stand in the file, about
// partBytes of them at once: a tile may be of any size. It returns how many
// went well; those behind are to be read.
func (d *decoder) window(block raster.Block, to raster.Sink) (done int, err error) {
	p := d.page
	file, is := p.in.r.(raster.Windowed)
	if !is || p.compression != compressionNone || p.reversed || p.predictor {
		return 0, nil
	}
	_, offset, length := d.data.Outer()
	rowBytes := p.rowBytes()
	for done < block.H {
		some := block
		some.Y, some.H = block.Y+done, min(max(1, partBytes/rowBytes), block.H-done)
		at, n := int64(done)*int64(rowBytes), some.H*rowBytes
		if n < leastWindow || at+int64(n) > length {
			break
		}
		err := file.Window(offset+at, n, func(rows []byte) error {
			if err := to.Packed(some, rows, rowBytes); err != nil {
				return sinkError{err}
			}
			return nil
		})
		if errors.Is(err, errors.ErrUnsupported) {
			break
		}
		if err != nil {
			return done, err
		}
		done += some.H
	}
	_, err = d.data.Seek(int64(done)*int64(rowBytes), io.SeekStart)
	return done, err
}

// readAhead has a stream expanded in a goroutine of its own until it is stopped.
func readAhead(expanded io.Reader) (ahead io.Reader, stop func()) {
	if r, ok := expanded.(*inflate.Reader); ok {
		return r, r.Ahead()
	}
	a := inflate.NewAhead(expanded)
	return a, a.Close
}

// expand returns the segment's rows as a stream.
func (d *decoder) expand() (io.Reader, error) {
	switch d.page.compression {
	case compressionDeflate, compressionOldDeflate:
		if d.inflate == nil {
			d.inflate = new(inflate.Reader)
		}
		d.inflate.Reset(&d.data)
		return d.inflate, nil
	case compressionLZW:
		if d.lzw == nil {
			d.lzw = d.page.in.lzw.take()
		}
		return d.lzw, d.lzw.reset(&d.data)
	case compressionPackBits:
		if d.packBits == nil {
			d.packBits = new(packBitsReader)
		}
		d.packBits.reset(&d.data, d.page.rowBytes())
		return d.packBits, nil
	default:
		return &d.data, nil
	}
}

// undoPredictor adds to every sample the one of the pixel before: TIFF 6.0,
// section 14.
func (p *page) undoPredictor(rows []byte) {
	samples, rowBytes := p.samples, p.rowBytes()
	for ; len(rows) > 0; rows = rows[rowBytes:] {
		row := rows[:rowBytes]
		if p.header.Bits == 8 {
			for i := samples; i < len(row); i++ {
				row[i] += row[i-samples]
			}
			continue
		}
		order := p.in.order
		for i := 2 * samples; i+1 < len(row); i += 2 {
			order.PutUint16(row[i:], order.Uint16(row[i:])+order.Uint16(row[i-2*samples:]))
		}
	}
}

// failed makes the error for a row of a segment that could not be decoded.
func (d *decoder) failed(block raster.Block, segment, row int, err error) error {
	var refused sinkError
	if errors.As(err, &refused) {
		return refused.error
	}
	p := d.page
	at := raster.Where{Page: p.header.Page, Row: block.Y + row + 1}
	name := fmt.Sprintf("%s %d of %d (%s)", p.kind, segment+1, p.count(), compressionNames[p.compression])
	switch {
	case errors.Is(err, io.ErrUnexpectedEOF), errors.Is(err, io.EOF):
		return &raster.FormatError{Where: at, What: "the data of " + name + " end early", Do: exportAgain, Err: err}
	case isUnread(err):
		return &raster.UnsupportedError{Where: at, What: name + " uses " + err.Error() + ", which is not read", Do: "save it with another compression"}
	case isDamage(err):
		return &raster.FormatError{Where: at, What: "the data of " + name + " are damaged: " + err.Error(), Do: exportAgain, Err: err}
	default:
		return &raster.ReadError{Where: at, Err: err}
	}
}

func isUnread(err error) bool {
	return errors.Is(err, ccitt.ErrUncompressed) || errors.Is(err, errOldLZW) || errors.Is(err, errUnreadJPEG)
}

// isDamage tells what a decompressor found wrong from a failure of the file
// system.
func isDamage(err error) bool {
	for _, damage := range []error{
		ccitt.ErrCode, ccitt.ErrRow, ccitt.ErrEarlyEnd, ccitt.ErrBehind, errLZW, errLZWFull, errPackBits, errJPEG, errExcess, errBehind,
		inflate.ErrHeader, inflate.ErrData, inflate.ErrChecksum,
	} {
		if errors.Is(err, damage) {
			return true
		}
	}
	return false
}
