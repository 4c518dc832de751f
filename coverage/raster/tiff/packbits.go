package tiff

import (
	"bufio"
	"io"
)

// A packBitsReader expands PackBits: TIFF 6.0, section 9. A code of 0 to 127
// is followed by one byte more than its value to be copied, one of -127 to -1
// by a byte to be repeated once more than its negated value; -128 does nothing.
type packBitsReader struct {
	src    *bufio.Reader
	count  int // bytes that the current code still gives
	repeat bool
	value  byte
}

// Read fills p; it returns fewer bytes only with an error.
func (r *packBitsReader) Read(p []byte) (int, error) {
	n := 0
	for n < len(p) {
		if r.count == 0 {
			if err := r.code(); err != nil {
				return n, err
			}
			continue
		}
		part := p[n:min(len(p), n+r.count)]
		if r.repeat {
			for i := range part {
				part[i] = r.value
			}
		} else if _, err := io.ReadFull(r.src, part); err != nil {
			return n, err
		}
		n += len(part)
		r.count -= len(part)
	}
	return n, nil
}

func (r *packBitsReader) code() error {
	c, err := r.src.ReadByte()
	if err != nil || c == 0x80 {
		return err
	}
	r.repeat = c > 0x80
	if !r.repeat {
		r.count = int(c) + 1
		return nil
	}
	r.count = 257 - int(c)
	r.value, err = r.src.ReadByte()
	return err
}
