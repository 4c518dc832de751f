package tiff

import (
	"encoding/binary"
	"errors"
	"io"
	"sync"
)

// Codes of TIFF's LZW: TIFF 6.0, section 13. Codes are packed from the most
// significant bit and grow by one bit one code early: at 511, 1023 and 2047.
const (
	lzwClear    = 256
	lzwEnd      = 257
	lzwMinBits  = 9
	lzwMaxBits  = 12
	lzwMaxCodes = 1 << lzwMaxBits
)

// lzwMostFull is how many codes may follow each other with a full table, which
// the coder should clear at once: as many as libtiff reads. They would else blow
// 12 bits up to 3,838 bytes without end.
const lzwMostFull = 1024

var (
	errLZW     = errors.New("a code that is not in the table")
	errLZWFull = errors.New("a full table that is not cleared")
	errOldLZW  = errors.New("LZW of the old, reversed bit order")
)

// An lzwReader expands LZW. No string of the table is ever stored: the string
// of the code before and the first byte of the next stand side by side in what
// was put out, so that an entry is a place there and a length. The window
// begins with every single byte, so that literals are such strings, too.
type lzwReader struct {
	src    io.Reader
	buf    []byte // packed[pos:] of it is not yet in acc
	packed []byte
	pos    int
	srcErr error  // why src gives no more
	acc    uint64 // the next n bits, left-aligned
	n      int

	window    []byte // single bytes, and what was put out since the table was cleared
	read, end int    // window[read:end] is not yet delivered
	full      int    // where the last string of a full table ends, 0 before
	since     int    // codes since the table is full
	cleared   bool   // the table is to be cleared before the next code

	table      [lzwMaxCodes + 1]lzwString // the last is for what a full table does not take
	next, bits int                        // the code to be entered next, the length of a code
	prev       lzwString                  // the string before
	err        error                      // why there is no more, io.EOF behind the end code
}

// An lzwString is its place in the window, shifted by lzwSizeBits, and its
// length.
type lzwString uint64

const lzwSizeBits = 16

// lzwMost is what the window comes to: strings of a full table that grow by a
// byte each.
const lzwMost = lzwMaxCodes * lzwMaxCodes / 2

// lzwAhead is about how much is put out before it is delivered. lzwStep bytes
// of a string are copied at a time, up to as many behind its end.
const (
	lzwBuffer   = 64 << 10
	lzwLiterals = 256
	lzwAhead    = 64 << 10
	lzwStep     = 16
)

// lzwReaders are those of the page that is in use, which the next one uses again:
// of very many small pages each would else ask for lzwMost bytes.
type lzwReaders struct {
	mu         sync.Mutex
	used, free []*lzwReader
}

func (l *lzwReaders) take() *lzwReader {
	l.mu.Lock()
	defer l.mu.Unlock()
	var r *lzwReader
	if n := len(l.free); n > 0 {
		r, l.free = l.free[n-1], l.free[:n-1]
	} else {
		r = new(lzwReader)
	}
	l.used = append(l.used, r)
	return r
}

// turn ends the use of a page, behind which comes another of LZW or of none.
func (l *lzwReaders) turn(again bool) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.free = append(l.free, l.used...)
	l.used = nil
	if !again {
		l.free = nil
	}
}

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
	if r.buf == nil {
		r.start()
	}
	r.src, r.packed, r.pos, r.srcErr = src, nil, 0, nil
	r.acc, r.n, r.err = 0, 0, nil
	r.clear()
	return nil
}

// start makes what all strips use.
func (r *lzwReader) start() {
	r.buf = make([]byte, lzwBuffer)
	r.window = make([]byte, lzwLiterals, lzwMost+2*lzwAhead) // none of which takes memory before it is used
	for v := range lzwLiterals {
		r.window[v] = byte(v)
		r.table[v] = lzwString(v<<lzwSizeBits | 1)
	}
}

// clear empties the table; all that was put out must have been delivered. The
// first code brings no entry: what it would is left in the end code's place.
func (r *lzwReader) clear() {
	r.next, r.bits, r.prev = lzwEnd, lzwMinBits, 0
	r.read, r.end, r.full, r.since, r.cleared = lzwLiterals, lzwLiterals, 0, 0, false
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
	r.grow(r.end + lzwAhead + lzwMaxCodes + lzwStep)
	r.err = r.decode(r.end + lzwAhead)
}

// decode puts out strings until limit is reached or a clear code comes. Its
// state is in local variables, as the next code waits for all of it. Shifts are
// by less than 64 bits, and masked so that the compiler knows.
func (r *lzwReader) decode(limit int) (err error) {
	window, table, packed := r.window, &r.table, r.packed
	pos, acc, n, end, next, bits, prev := r.pos, r.acc, r.n, r.end, r.next, r.bits, r.prev
	for end < limit {
		if n < lzwMaxBits {
			if pos+8 <= len(packed) {
				acc |= binary.BigEndian.Uint64(packed[pos:]) >> (n & 63)
				pos += (63 - n) >> 3
				n |= 56
			} else {
				r.pos = pos
				acc, n = r.refill(acc, n)
				if packed, pos = r.packed, r.pos; n < bits {
					err = r.ended()
					break
				}
			}
		}
		code := int(acc >> (-bits & 63))
		acc <<= bits & 63
		n -= bits
		if code&^1 == lzwClear { // or lzwEnd
			if code == lzwEnd {
				err = io.EOF
			}
			r.cleared = code == lzwClear
			break
		}
		table[next] = prev + 1
		if next < lzwMaxCodes {
			next++
			if next == 1<<bits-1 && bits < lzwMaxBits {
				bits++
			} else if next == lzwMaxCodes {
				r.full = end + 1
			}
		} else if r.since++; r.since > lzwMostFull {
			err = errLZWFull
			break
		}
		if code >= next {
			err = errLZW
			break
		}
		s := table[code]
		copyString(window, end, s)
		size := int(s & (1<<lzwSizeBits - 1))
		prev = lzwString(end)<<lzwSizeBits | lzwString(size)
		end += size
	}
	r.pos, r.acc, r.n, r.end, r.next, r.bits, r.prev = pos, acc, n, end, next, bits, prev
	return err
}

// refill adds whole bytes to the n bits of acc. It never makes bits up: where
// the data end, as many are missing.
func (r *lzwReader) refill(acc uint64, n int) (uint64, int) {
	for len(r.packed)-r.pos < 8 && r.srcErr == nil {
		kept := copy(r.buf, r.packed[r.pos:])
		var more int
		more, r.srcErr = r.src.Read(r.buf[kept:])
		r.packed, r.pos = r.buf[:kept+more], 0
	}
	for ; n <= 56 && r.pos < len(r.packed); r.pos++ {
		acc |= uint64(r.packed[r.pos]) << (56 - n)
		n += 8
	}
	return acc, n
}

// ended says why a code is missing.
func (r *lzwReader) ended() error {
	if errors.Is(r.srcErr, io.EOF) {
		return io.ErrUnexpectedEOF
	}
	return r.srcErr
}

// unused counts the bytes that were read of src and that no code is of.
func (r *lzwReader) unused() int { return r.n/8 + len(r.packed) - r.pos }

// grow makes room in the window.
func (r *lzwReader) grow(size int) {
	if more := size - len(r.window); more > 0 {
		r.window = append(r.window, make([]byte, more)...)
	}
}

// copyString copies s to end, lzwStep bytes at a time. Where s is the string
// just entered, its last byte is the first of the copy itself.
func copyString(window []byte, end int, s lzwString) {
	place, size := int(s>>lzwSizeBits), int(s&(1<<lzwSizeBits-1))
	*(*[lzwStep]byte)(window[end:]) = *(*[lzwStep]byte)(window[place:])
	for i := lzwStep; i < size; i += lzwStep {
		*(*[lzwStep]byte)(window[end+i:]) = *(*[lzwStep]byte)(window[place+i:])
	}
	if place+size > end {
		window[end+size-1] = window[end]
	}
}
