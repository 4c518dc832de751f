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
	ErrUncompressed = errors.New("the compression's rare uncompressed mode")
)

// rows is what all codings share: the bits, and the row above and this one as
// changing elements, strictly rising, white to black first. They start at index
// 1, behind the imaginary element at -1, and are followed by sentinels, so that
// looking one behind and maxVertical+1 ahead needs no test.
type rows struct {
	in       Bits
	acc      uint64 // the next bits, left-aligned
	n        int    // how many of them are valid
	width    int32
	ref, cur []int32
}

const sentinels = maxVertical + 4

// Reset starts a strip or tile of rows that are width pixels wide; the row
// above the first is white.
func (g *rows) Reset(src io.Reader, width int) {
	g.in.Reset(src)
	g.acc, g.n = 0, 0
	if g.width != int32(width) || g.ref == nil {
		g.width = int32(width)
		g.ref = make([]int32, width+2+sentinels)
		g.cur = make([]int32, width+2+sentinels)
	}
	g.ref[0], g.cur[0] = -1, -1
	g.close(g.ref, 1)
}

// finish takes the row that stands in cur up to k, or the error that ended it,
// and returns its black runs as pairs of start and end in pixels, strictly
// rising. The slice is valid until the next row.
func (g *rows) finish(k int, err error) ([]int32, error) {
	left := g.n
	if err != nil {
		left -= runBits // what made no sense may have been the padding
	}
	if short := g.in.Short(left); short != nil {
		return nil, short
	}
	if err != nil {
		return nil, err
	}
	for k > 1 && g.cur[k-1] == g.width {
		k--
	}
	g.close(g.cur, k)
	g.ref, g.cur = g.cur, g.ref
	return g.ref[1 : 1+k&^1], nil
}

// close puts the sentinels behind the k elements of a row.
func (g *rows) close(row []int32, k int) {
	for i := range sentinels {
		row[k+i] = g.width
	}
}

// run decodes one run: any number of make-up codes and a terminating code.
func (g *rows) run(acc uint64, n int, codes *runTable) (int32, uint64, int, error) {
	var length int32
	for {
		if n < 32 {
			acc, n = g.in.Fill(acc, n)
		}
		code := codes[acc>>(64-runBits)]
		if code == 0 {
			return 0, acc, n, ErrCode
		}
		acc <<= code & codeLength
		n -= int(code & codeLength)
		length += int32(code >> codeRunBits)
		if length > g.width {
			return 0, acc, n, ErrRow
		}
		if code&codeMakeUp == 0 {
			return length, acc, n, nil
		}
	}
}

// put adds a changing element at a to the k that cur holds. A run of no length
// puts its second end on its first: then the colour does not change there.
func put(cur []int32, k int, a int32) int {
	if cur[k-1] == a {
		return k - 1
	}
	cur[k] = a
	return k + 1
}
