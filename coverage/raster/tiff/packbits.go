package tiff

import (
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

	row  int // bytes of a row
	left int // of them, those that no code has given yet
}

const packBitsBuffer = 64 << 10

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

// expand expands codes that are whole in the buffer and fit p and their row
// whole, and returns how many bytes they gave.
func (r *packBitsReader) expand(p []byte) int {
	const longest = 128
	n, packed, left := 0, r.packed, r.left
	for len(p)-n >= longest && len(packed) > longest {
		c := int(int8(packed[0]))
		if c == -128 {
			packed = packed[1:]
			continue
		}
		size := 1 + max(c, -c)
		if size > left {
			break
		}
		if c >= 0 {
			copy(p[n:n+size], packed[1:])
			packed = packed[size+1:]
		} else {
			fill(p[n:n+size], packed[1])
			packed = packed[2:]
		}
		n += size
		if left -= size; left == 0 {
			left = r.row
		}
	}
	r.packed, r.left = packed, left
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
		r.count = 0
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
