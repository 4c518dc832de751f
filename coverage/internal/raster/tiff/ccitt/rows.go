package ccitt

import (
	"errors"
	"io"
)

// What can be wrong with a row. A stream that ends within a row gives
// io.ErrUnexpectedEOF, a stream that cannot be read its own error.
var (
	ErrCode         = errors.New("bits that are no code of the compression")
	ErrRow          = errors.New("codes that do not fit the row's width")
	ErrEarlyEnd     = errors.New("the compression's end mark before the last row")
	ErrBehind       = errors.New("bytes behind the compression's end mark")
	ErrUncompressed = errors.New("the compression's rare uncompressed mode")
)

// rows is what the codings share: the bits, and two rows of changing elements.
type rows struct {
	in    Bits
	acc   uint64 // the next bits, left-aligned
	n     int    // how many of them are valid
	width int32

	// line holds the changing elements of the row above, from index ref on,
	// and of this row, from cur on: strictly rising, white to black first. In
	// each row they stand behind the imaginary element at -1 and before
	// sentinels at the width, so that looking ahead needs no test.
	line     []int32
	ref, cur int

	// chunks are for processors with vectors; plan says how they are used.
	chunks    *chunkTable
	scattered bool // whether all codes behind the first stop are decoded one by one
	stops     int  // of chunks, in one row
	judged    int  // in so many rows a row's stops will be
	between   int  // rows until the next are
}

// sentinels: a pass code can lead three elements behind the row, from where as
// many as a vector holds are looked at.
const sentinels = 3 + 8

// reset starts rows that are width pixels wide below a white one.
func (r *rows) reset(src io.Reader, width int) {
	r.in.Reset(src)
	r.acc, r.n = 0, 0
	if hasVectors {
		r.chunks, r.scattered, r.stops = chunksByBits(), false, 0
		r.judged, r.between = 0, fewestBetween
	}
	row := width + 2 + sentinels
	if r.width != int32(width) || r.line == nil {
		r.width = int32(width)
		r.line = make([]int32, 2*row)
	}
	r.ref, r.cur = 0, row
	r.line[r.ref], r.line[r.cur] = -1, -1
	r.close(r.ref + 1)
}

// close puts the sentinels behind a row that ends before index k of line.
func (r *rows) close(k int) {
	for i := range sentinels {
		r.line[k+i] = r.width
	}
}

// finish makes the row that was decoded up to index k of line the reference
// line, and returns its runs.
func (r *rows) finish(k int, err error) ([]int32, error) {
	left := r.n
	if err != nil {
		left -= runBits // what was no code may have been behind the stream's end
	}
	if short := r.in.Short(left); short != nil {
		return nil, short
	}
	if err != nil {
		return nil, err
	}
	for k > r.cur+1 && r.line[k-1] == r.width {
		k--
	}
	r.close(k)
	r.ref, r.cur = r.cur, r.ref
	ends := k - (r.ref + 1)
	return r.line[r.ref+1:][:(ends+1)&^1], nil
}

// peek returns the next bits, at least 56 of them.
func (r *rows) peek() uint64 {
	r.acc, r.n = r.in.Fill(r.acc, r.n)
	return r.acc
}

// skip goes on by up to 56 bits that were peeked at.
func (r *rows) skip(bits int) {
	r.acc <<= bits & 63
	r.n -= bits
}

// atEOL tells if eleven zeros come next, which only an EOL begins with.
func (r *rows) atEOL() bool { return r.peek()>>(64-eolZeros) == 0 }

const eolZeros = 11

// put adds a changing element at a behind index k-1 of line. A run of no
// length puts its second end on its first: then the colour does not change
// there.
func put(line []int32, k int, a int32) int {
	if line[k-1] == a {
		return k - 1
	}
	line[k] = a
	return k + 1
}
