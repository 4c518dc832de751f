// Package inflate reads zlib streams, as PNG and TIFF hold them: RFC 1950. The
// inflating itself is a library's; the checksum, which otherwise takes a fifth
// of the time, is done here.
package inflate

import (
	"bufio"
	"encoding/binary"
	"errors"
	"io"

	"github.com/klauspost/compress/flate"
)

// What can be wrong with a stream, besides its end or its source.
var (
	ErrHeader   = errors.New("no zlib header")
	ErrData     = errors.New("bits that are not Deflate data")
	ErrChecksum = errors.New("the checksum does not match the data")
)

// A Reader inflates one stream after another.
type Reader struct {
	src     *bufio.Reader
	inflate io.ReadCloser
	data    io.Reader // inflate, or what reads it ahead
	sum     adler
	err     error // sticky
}

// Reset starts a stream. Its header is read with the first bytes.
func (r *Reader) Reset(src io.Reader) {
	if r.src == nil {
		r.src = bufio.NewReaderSize(nil, 64<<10)
		r.inflate = flate.NewReader(r.src)
	}
	r.src.Reset(src)
	r.data = r.inflate
	r.sum = newAdler()
	r.err = r.begin()
}

// Ahead makes the stream be inflated in a goroutine of its own, ahead of who
// reads it; the checksum is left to the reader's. The source belongs to that
// goroutine until stop has returned.
func (r *Reader) Ahead() (stop func()) {
	if r.err != nil {
		return func() {}
	}
	ahead := NewAhead(r.inflate)
	r.data = ahead
	return ahead.Close
}

func (r *Reader) begin() error {
	var head [2]byte
	if _, err := io.ReadFull(r.src, head[:]); err != nil {
		return early(err)
	}
	const deflate, dictionary = 8, 0x20
	if head[0]&15 != deflate || head[0]>>4 > 7 || head[1]&dictionary != 0 || binary.BigEndian.Uint16(head[:])%31 != 0 {
		return ErrHeader
	}
	return r.inflate.(flate.Resetter).Reset(r.src, nil)
}

// Read returns io.EOF only behind a stream whose checksum fits.
func (r *Reader) Read(p []byte) (int, error) {
	if r.err != nil {
		return 0, r.err
	}
	n, err := r.data.Read(p)
	r.sum = r.sum.add(p[:n])
	if err != nil {
		r.err = r.end(err)
	}
	if n > 0 {
		return n, nil
	}
	return 0, r.err
}

func (r *Reader) end(err error) error {
	_, corrupt := errors.AsType[flate.CorruptInputError](err)
	_, unexpected := errors.AsType[flate.InternalError](err) // as it calls damage to a block's code lengths
	if corrupt || unexpected {
		return ErrData
	}
	if !errors.Is(err, io.EOF) {
		return err
	}
	var stored [4]byte
	if _, err := io.ReadFull(r.src, stored[:]); err != nil {
		return early(err)
	}
	if binary.BigEndian.Uint32(stored[:]) != r.sum.value() {
		return ErrChecksum
	}
	return io.EOF
}

// Behind counts, at a stream's end, the bytes that follow it in its source, up
// to most.
func (r *Reader) Behind(most int) (n int, err error) {
	behind, err := r.src.Peek(most)
	if errors.Is(err, io.EOF) {
		err = nil
	}
	return len(behind), err
}

// Unused counts, at a stream's end, the bytes that were read of its source and
// follow it there.
func (r *Reader) Unused() int { return r.src.Buffered() }

func early(err error) error {
	if errors.Is(err, io.EOF) {
		return io.ErrUnexpectedEOF
	}
	return err
}
