package ccitt

import (
	"errors"
	"io"
	"math/bits"
)

// Bits of TIFF's T4Options (TIFF 6.0, section 11). The third says that EOLs end
// on a byte border; nothing depends on it, as fill may stand before any EOL.
const (
	twoDimensional = 1 << 0
	uncompressed   = 1 << 1
)

// Group3 decodes rows of ITU-T T.4, each behind an EOL, TIFF's compression 3.
//
// Tolerated, as other readers do:
//   - no EOL before the first row of a strip: writers that take EOL for the end
//     of a row leave it out. The row is then one-dimensional, without a tag.
//   - fill before an EOL or none, whatever T4Options says: writers that convert
//     fax files copy their codes and forget the option, or set it always.
//   - any number of two-dimensional rows in succession, the first row of a strip
//     among them, whatever the recommendation says of its parameter K: the tag
//     bit behind each EOL alone decides. Fax software for lines without errors
//     sets no limit.
//   - no return to control (RTC) behind the last row: most writers of strips
//     leave it out.
//
// A row that ends before its width or beyond is an error; the next EOL is not
// searched for.
type Group3 struct {
	rows
	options int64
	begun   bool      // the first row's EOL was looked for
	ahead   *rowStart // of the next row, where it was read already
}

// A rowStart is what start found.
type rowStart struct {
	coded bool
	err   error
}

// NewGroup3 returns a decoder for what the T4Options field (292) of a page
// says, 0 where there is none.
func NewGroup3(t4Options int64) *Group3 { return &Group3{options: t4Options} }

// Reset starts a strip of rows that are width pixels wide.
func (g *Group3) Reset(src io.Reader, width int) {
	g.reset(src, width)
	g.begun, g.ahead = false, nil
}

// Row decodes one row and returns its black runs as pairs of start and end in
// pixels, strictly rising. The slice is valid until the next call. Pages that
// allow uncompressed mode are refused with ErrUncompressed.
func (g *Group3) Row() ([]int32, error) {
	if g.options&uncompressed != 0 {
		return nil, ErrUncompressed
	}
	coded, err := g.start()
	if err != nil {
		return g.finish(0, err)
	}
	if g.atEOL() {
		return g.finish(0, ErrEarlyEnd)
	}
	decode := g.plain
	if coded {
		decode = g.coded
	}
	k, err := decode()
	if (errors.Is(err, ErrCode) || errors.Is(err, ErrEarlyEnd)) && g.atEOL() {
		err = ErrRow // it is the next row's
	}
	return g.finish(k, err)
}

// start reads a row's EOL and tag bit and tells if the row is two-dimensional.
func (g *Group3) start() (coded bool, err error) {
	if ahead := g.ahead; ahead != nil {
		g.ahead = nil
		return ahead.coded, ahead.err
	}
	first := !g.begun
	g.begun = true
	if first && !g.atEOL() {
		return false, nil
	}
	zeros := 0
	for g.peek()>>8 == 0 && g.in.Short(g.n) == nil {
		g.skip(56)
		zeros += 56
	}
	n := bits.LeadingZeros64(g.peek() | 1<<8)
	if zeros+n < eolZeros {
		return false, ErrRow
	}
	g.skip(n + 1)
	if g.options&twoDimensional == 0 {
		return false, nil
	}
	coded = g.peek()>>63 == 0
	g.skip(1)
	return coded, nil
}
