package tiff

import (
	"encoding/binary"
	"errors"
	"io"
)

// A packBitsReader expands PackBits: TIFF 6.0, section 9. A code of 0 to 127
// is followed by one byte more than its value to be copied, one of -127 to -1
// by a byte to be repeated once more than its negated value; -128 does nothing.
// Each row is packed by itself: a code that goes beyond its row's end is damage,
// as libtiff warns of ("discarding bytes").
type packBitsReader struct {
	src    io.Reader
	buf    []byte
	packed []byte // what of buf is not yet expanded
	err    error  // why src gives no more

	count  int // bytes that the current code still gives
	repeat bool
	value  byte

	row    int  // bytes of a row
	left   int  // of them, those that no code has given yet
	across bool // a code went beyond the row's end
}

const (
	packBitsBuffer = 64 << 10
	packBitsStep   = 16
)

var errPackBits = errors.New("a run across a row's end")

// reset starts a strip of rows of so many bytes.
func (r *packBitsReader) reset(src io.Reader, row int) {
	if r.buf == nil {
		r.buf = make([]byte, packBitsBuffer)
	}
	*r = packBitsReader{src: src, buf: r.buf, row: row, left: row}
}

// Read fills p; it returns fewer bytes only with an error.
func (r *packBitsReader) Read(p []byte) (int, error) {
	n := 0
	for n < len(p) {
		if r.count == 0 {
			n += r.expand(p[n:])
			if r.across {
				return n, errPackBits
			}
			if n == len(p) {
				break
			}
			if err := r.code(); err != nil {
				return n, err
			}
			continue
		}
		part := p[n:min(len(p), n+r.count)]
		if r.repeat {
			fill(part, r.value)
		} else {
			if len(r.packed) == 0 {
				if err := r.more(); err != nil {
					return n, err
				}
			}
			part = part[:copy(part, r.packed)]
			r.packed = r.packed[len(part):]
		}
		n += len(part)
		r.count -= len(part)
	}
	return n, nil
}

// expand expands codes that are whole in the buffer and fit p whole, up to one
// that goes beyond its row, and returns how many bytes they gave. It writes
// packBitsStep bytes at a time, up to as many behind what a code gives.
func (r *packBitsReader) expand(p []byte) int {
	const longest = 128
	n, packed, rowEnd := 0, r.packed, r.left
	for len(p)-n >= longest && len(packed) > longest {
		c := int(int8(packed[0]))
		switch {
		case c >= 0:
			for i := 0; i <= c; i += packBitsStep {
				*(*[packBitsStep]byte)(p[n+i:]) = *(*[packBitsStep]byte)(packed[1+i:])
			}
			n += c + 1
			packed = packed[c+2:]
		case c == -128:
			packed = packed[1:]
		default:
			word := uint64(packed[1]) * 0x0101010101010101
			for i := 0; i <= -c; i += packBitsStep {
				binary.NativeEndian.PutUint64(p[n+i:], word)
				binary.NativeEndian.PutUint64(p[n+i+8:], word)
			}
			n += 1 - c
			packed = packed[2:]
		}
		if n >= rowEnd {
			if n > rowEnd {
				r.across = true
				return n - 1 - max(c, -c)
			}
			rowEnd += r.row
		}
	}
	r.packed, r.left = packed, rowEnd-n
	return n
}

// code reads the next code, which may stand across the end of the buffer.
func (r *packBitsReader) code() error {
	c, err := r.byte()
	if err != nil || c == 0x80 {
		return err
	}
	r.repeat = c > 0x80
	r.count = int(c) + 1
	if r.repeat {
		r.count = 257 - int(c)
	}
	if r.count > r.left {
		r.across, r.count = true, 0
		return errPackBits
	}
	if r.left -= r.count; r.left == 0 {
		r.left = r.row
	}
	if r.repeat {
		if r.value, err = r.byte(); err != nil {
			r.count = 0
		}
	}
	return err
}

func (r *packBitsReader) byte() (byte, error) {
	if len(r.packed) == 0 {
		if err := r.more(); err != nil {
			return 0, err
		}
	}
	b := r.packed[0]
	r.packed = r.packed[1:]
	return b, nil
}

// more fills the buffer again.
func (r *packBitsReader) more() error {
	for len(r.packed) == 0 {
		if r.err != nil {
			if errors.Is(r.err, io.EOF) {
				return io.ErrUnexpectedEOF
			}
			return r.err
		}
		var n int
		n, r.err = r.src.Read(r.buf)
		r.packed = r.buf[:n]
	}
	return nil
}

func fill(p []byte, v byte) {
	if v == 0 {
		clear(p)
		return
	}
	for i := range p {
		p[i] = v
	}
}
