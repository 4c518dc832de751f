package tiff

import (
	"encoding/binary"
	"errors"
	"io"

	"bladeline/coverage/raster/tiff/ccitt"
)

// Codes of TIFF's LZW: TIFF 6.0, section 13. Codes are packed from the most
// significant bit and grow by one bit one code early: at 511, 1023 and 2047.
const (
	lzwClear    = 256
	lzwEnd      = 257
	lzwFirst    = 258
	lzwMinBits  = 9
	lzwMaxBits  = 12
	lzwMaxCodes = 1 << lzwMaxBits
)

var (
	errLZW    = errors.New("a code that is not in the table")
	errOldLZW = errors.New("LZW of the old, reversed bit order")
)

// An lzwReader expands LZW. No string of the table is ever stored: the string
// of the code before and the first byte of the next stand side by side in what
// was put out, so that an entry is a place there and a length.
type lzwReader struct {
	in  ccitt.Bits
	acc uint64
	n   int

	window    []byte // what was put out since the table was cleared
	read, end int    // window[read:end] is not yet delivered
	full      int    // where the last string of a full table ends, 0 before
	cleared   bool   // the table is to be cleared before the next code

	table      [lzwMaxCodes]lzwString
	next, bits int       // the code to be entered next, the length of a code
	prev       lzwString // the string before; empty behind a clear code
	err        error     // why there is no more, io.EOF behind the end code
}

type lzwString struct{ place, size int32 }

// lzwAhead is about how much is put out before it is delivered. lzwSlack lets
// strings be copied 8 bytes at a time.
const (
	lzwAhead = 64 << 10
	lzwSlack = 8
)

// reset starts a strip.
func (r *lzwReader) reset(src io.ReadSeeker) error {
	var head [2]byte
	n, err := io.ReadFull(src, head[:])
	if n == 2 && head[0] == 0 && head[1]&1 == 1 {
		return errOldLZW
	}
	if n < 2 {
		return err
	}
	if _, err := src.Seek(0, io.SeekStart); err != nil {
		return err
	}
	r.in.Reset(src)
	r.acc, r.n, r.err = 0, 0, nil
	r.clear()
	return nil
}

// clear empties the table; all that was put out must have been delivered.
func (r *lzwReader) clear() {
	r.next, r.bits, r.prev = lzwFirst, lzwMinBits, lzwString{}
	r.read, r.end, r.full, r.cleared = 0, 0, 0, false
}

// Read delivers what was put out, putting out more where nothing is left.
func (r *lzwReader) Read(p []byte) (int, error) {
	for r.read == r.end {
		if r.err != nil {
			return 0, r.err
		}
		r.more()
	}
	n := copy(p, r.window[r.read:r.end])
	r.read += n
	return n, nil
}

// more puts out strings until about lzwAhead bytes wait, the table is to be
// cleared, or the data end. All of window has been delivered.
func (r *lzwReader) more() {
	if r.cleared {
		r.clear()
	}
	if r.full > 0 {
		r.read, r.end = r.full, r.full
	}
	acc, n := r.acc, r.n
	for limit := r.end + lzwAhead; r.end < limit && r.err == nil; {
		if n < lzwMaxBits {
			acc, n = r.in.Fill(acc, n)
		}
		code := int(acc >> (64 - r.bits))
		acc <<= r.bits
		n -= r.bits
		if r.err = r.in.Short(n); r.err != nil {
			break
		}
		if code == lzwClear {
			r.cleared = true
			break
		}
		r.err = r.put(code)
	}
	r.acc, r.n = acc, n
}

// put puts out the string of a code and enters the one it makes with the
// string before.
func (r *lzwReader) put(code int) error {
	if r.prev.size > 0 && r.next < lzwMaxCodes {
		r.enter()
	}
	s := r.table[code]
	switch {
	case code < lzwClear:
		s.size = 1
	case code == lzwEnd:
		return io.EOF
	case code >= r.next:
		return errLZW
	}
	if len(r.window) < r.end+int(s.size)+lzwSlack {
		r.window = append(r.window, make([]byte, max(lzwAhead, len(r.window)))...)
	}
	if code < lzwClear {
		r.window[r.end] = byte(code)
	} else {
		copyString(r.window, r.end, s)
	}
	r.prev = lzwString{place: int32(r.end), size: s.size}
	r.end += int(s.size)
	if r.next == lzwMaxCodes && r.full == 0 {
		r.full = r.end
	}
	return nil
}

// enter adds the string before, lengthened by the byte that comes next.
func (r *lzwReader) enter() {
	r.table[r.next] = lzwString{place: r.prev.place, size: r.prev.size + 1}
	r.next++
	if r.next == 1<<r.bits-1 && r.bits < lzwMaxBits {
		r.bits++
	}
}

// copyString copies s to end. Where s is the string just entered, its last
// byte is the first of the copy itself.
func copyString(window []byte, end int, s lzwString) {
	from := window[s.place:]
	to := window[end:]
	for i := 0; i < int(s.size); i += 8 {
		binary.LittleEndian.PutUint64(to[i:], binary.LittleEndian.Uint64(from[i:]))
	}
	if int(s.place+s.size) > end {
		to[s.size-1] = to[0]
	}
}
