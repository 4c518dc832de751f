package ccitt

import (
	"encoding/binary"
	"errors"
	"io"
)

// Bits feeds a decoder's local accumulator from a stream, most significant bit
// first. The accumulator holds the next bits left-aligned; keeping it in the
// caller's registers is what makes decoding fast.
type Bits struct {
	src io.Reader
	buf []byte
	pos int // next byte of buf
	end int // bytes of buf that are valid
	// padding counts the zero bits that Fill made up behind the stream's end.
	padding int
	err     error // why the stream ended, nil while it has not
}

const bufferSize = 64 << 10

// Reset starts a stream; the accumulator is then empty.
func (b *Bits) Reset(src io.Reader) {
	if b.buf == nil {
		b.buf = make([]byte, bufferSize)
	}
	*b = Bits{src: src, buf: b.buf}
}

// Fill brings the n < 64 bits that acc holds to at least 56. What acc holds
// beyond them are the bits that the next Fill will count.
func (b *Bits) Fill(acc uint64, n int) (uint64, int) {
	if b.pos+8 > b.end {
		b.read()
	}
	acc |= binary.BigEndian.Uint64(b.buf[b.pos:]) >> (n & 63)
	b.pos += (63 - n) >> 3
	return acc, n | 56
}

// read makes eight bytes available, zeros where the stream has no more.
func (b *Bits) read() {
	b.end = copy(b.buf, b.buf[b.pos:b.end])
	b.pos = 0
	for b.end < 8 && b.err == nil {
		var n int
		n, b.err = b.src.Read(b.buf[b.end:])
		b.end += n
	}
	for b.end < 8 {
		b.buf[b.end] = 0
		b.end++
		b.padding += 8
	}
}

// Short returns why the stream cannot have held the bits that were taken from
// it when n are still in the accumulator, nil if it did hold them.
func (b *Bits) Short(n int) error {
	if b.left(n) >= 0 {
		return nil
	}
	return b.ended()
}

func (b *Bits) ended() error {
	if errors.Is(b.err, io.EOF) {
		return io.ErrUnexpectedEOF
	}
	return b.err
}
