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
	r.grow(r.end + lzwAhead + lzwMaxCodes + lzwSlack)
	r.err = r.decode(r.end + lzwAhead)
}

// decode puts out strings until limit is reached or a clear code comes. Its
// state is in local variables, as the next code waits for all of it.
func (r *lzwReader) decode(limit int) (err error) {
	window, table := r.window, &r.table
	acc, n, end, next, bits, prev := r.acc, r.n, r.end, r.next, r.bits, r.prev
	for end < limit {
		if n < lzwMaxBits {
			acc, n = r.in.Fill(acc, n)
		}
		code := int(acc >> (64 - bits) & (lzwMaxCodes - 1))
		acc <<= bits
		n -= bits
		if err = r.in.Short(n); err != nil {
			break
		}
		if code == lzwClear {
			r.cleared = true
			break
		}
		if code == lzwEnd {
			err = io.EOF
			break
		}
		if prev.size > 0 && next < lzwMaxCodes {
			table[next] = lzwString{place: prev.place, size: prev.size + 1}
			next++
			if next == 1<<bits-1 && bits < lzwMaxBits {
				bits++
			}
		}
		if code >= next {
			err = errLZW
			break
		}
		prev.place, prev.size = int32(end), 1
		if code < lzwClear {
			window[end] = byte(code)
			end++
		} else {
			prev.size = table[code].size
			end = copyString(window, end, table[code])
		}
		if next == lzwMaxCodes && r.full == 0 {
			r.full = end
		}
	}
	r.acc, r.n, r.end, r.next, r.bits, r.prev = acc, n, end, next, bits, prev
	return err
}

// grow makes room in the window; a quarter more at a time leaves little unused.
func (r *lzwReader) grow(size int) {
	if size > len(r.window) {
		r.window = append(r.window, make([]byte, max(size-len(r.window), len(r.window)/4))...)
	}
}

// copyString copies s to end, 8 bytes at a time, and returns the new end. Where
// s is the string just entered, its last byte is the first of the copy itself.
func copyString(window []byte, end int, s lzwString) int {
	size := int(s.size)
	from, to := window[s.place:], window[end:end+size+lzwSlack]
	binary.LittleEndian.PutUint64(to, binary.LittleEndian.Uint64(from))
	for i := 8; i < size; i += 8 {
		binary.LittleEndian.PutUint64(to[i:], binary.LittleEndian.Uint64(from[i:]))
	}
	if int(s.place)+size > end {
		to[size-1] = to[0]
	}
	return end + size
}
