package tiff

import (
	"bytes"
	"errors"
	"io"
)

// errExcess is what a page shows whose size tags do not fit its data, errBehind
// what is no part of them.
var (
	errExcess = errors.New("more of them than its rows take")
	errBehind = errors.New("bytes behind their end")
)

// maxPadding is how many bytes may stand behind the last row of an uncompressed
// or packed strip, or behind the end of a compressed stream: some writers fill it
// up to a word. Of what is not compressed, as many as the strip has
// rows, or as a row has bytes, are no padding, since they may be a column or a
// row that the size tags lack.
const maxPadding = 3

func (p *page) isPadding(n int64) bool {
	padded := p.compression == compressionNone || p.compression == compressionPackBits
	return n == 0 || padded && n > 0 && n <= maxPadding && n < int64(p.height) && n < int64(p.rowBytes())
}

// checkRunsEnd is checkEnd for ITU-T's codings.
func (d *decoder) checkRunsEnd(hidden, filled int) error {
	if err := d.passRuns(hidden); err != nil {
		return err
	}
	ended, err := d.runs.End()
	if ended || err != nil {
		return err
	}
	if filled == 0 {
		return errExcess
	}
	switch err := d.passRuns(filled); {
	case err == nil:
	case isDamage(err), isUnread(err), errors.Is(err, io.ErrUnexpectedEOF):
		return errExcess
	default:
		return err
	}
	if ended, err = d.runs.End(); err == nil && !ended {
		return errExcess
	}
	return err
}

// passRuns reads rows that nobody sees.
func (d *decoder) passRuns(rows int) error {
	for range rows {
		if _, err := d.runs.Row(); err != nil {
			return err
		}
	}
	return nil
}

// checkEnd reads a segment to its end: a Deflate checksum stands there, and
// what is left must be rows that lie below the picture. hidden of them there
// are in a tile that reaches over the picture's end; a last strip may be filled
// up to full height, as programs leave it that hold strips of one size.
func (d *decoder) checkEnd(expanded io.Reader, hidden, filled int) error {
	p := d.page
	rowBytes := int64(p.rowBytes())
	must, may := int64(hidden)*rowBytes, int64(filled)*rowBytes
	n, err := io.CopyN(io.Discard, expanded, must+may+maxPadding+1)
	deflate := p.compression == compressionDeflate || p.compression == compressionOldDeflate
	switch { // only Deflate's data need an end
	case err == nil, errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF) && !deflate:
	default:
		return err
	}
	switch spare := n - must; {
	case spare < 0:
		return io.ErrUnexpectedEOF
	case p.isPadding(spare), p.isPadding(spare - may):
		return nil
	}
	return errExcess
}

// checkStream refuses bytes behind a stream that says itself where it ends, and
// was read up to there.
func (d *decoder) checkStream() error {
	var unused int
	switch d.page.compression {
	case compressionDeflate, compressionOldDeflate:
		unused = d.inflate.Unused()
	case compressionLZW:
		unused = d.lzw.unused()
	default:
		return nil
	}
	read, err := d.data.Seek(0, io.SeekCurrent)
	if err != nil {
		return err
	}
	return d.checkBehind(read - int64(unused))
}

// checkBehind refuses what stands in a segment behind the end of its stream, but
// for padding: a few bytes of any value, since writers that fill up to a word
// leave what was in their memory, or any number of zeros, as those leave them
// that give all segments room of one size.
func (d *decoder) checkBehind(end int64) error {
	if d.data.Size()-end <= maxPadding {
		return nil
	}
	if _, err := d.data.Seek(end, io.SeekStart); err != nil {
		return err
	}
	buf := make([]byte, 4<<10)
	for {
		n, err := d.data.Read(buf)
		switch {
		case len(bytes.TrimLeft(buf[:n], "\x00")) > 0:
			return errBehind
		case errors.Is(err, io.EOF):
			return nil
		case err != nil:
			return err
		}
	}
}
