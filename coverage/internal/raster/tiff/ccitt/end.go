package ccitt

import (
	"errors"
	"io"
	"math/bits"
)

// End tells if nothing follows the rows read so far but what writers leave
// there: bits of 0 that fill the last byte or word, or the end mark (EOFB),
// which some leave out, and padding behind that. Where it says no, a further
// row may be read.
func (g *Group4) End() (bool, error) {
	if zeros, err := g.onlyZeros(); zeros || err != nil {
		return zeros, err
	}
	if !g.atEOL() {
		return false, nil
	}
	err := g.passMark(0)
	return err == nil, err
}

// End tells if nothing follows the rows read so far but bits of 0. Where it says
// no, a further row may be read.
func (h *Huffman) End() (bool, error) {
	h.skip(h.n & 7) // whole bytes were read
	return h.onlyZeros()
}

// End tells if nothing follows the rows read so far but what writers leave
// there: bits of 0 that fill the last byte or word, an EOL, from those that take
// it for the end of a row, or several, which are the end mark (RTC), and padding
// behind that. Where it says no, a further row may be read.
func (g *Group3) End() (bool, error) {
	if zeros, err := g.onlyZeros(); zeros || err != nil {
		return zeros, err
	}
	coded, err := g.start()
	g.ahead = &rowStart{coded, err}
	if err != nil {
		return false, g.in.failed() // else reading that row will say what it is
	}
	if zeros, err := g.onlyZeros(); zeros || err != nil {
		return zeros, err
	}
	if !g.atEOL() {
		return false, nil
	}
	err = g.passMark(int(g.options & twoDimensional))
	return err == nil, err
}

// onlyZeros tells if all bits that are left are 0. Else it leaves as many of
// these as an EOL begins with, and goes on by whole bytes. Its error is that of a
// stream that could not be read to its end.
func (r *rows) onlyZeros() (bool, error) {
	const seen, skipped = 56, 40
	for r.peek()>>(64-seen) == 0 {
		if r.in.Short(r.n) != nil {
			return r.in.failed() == nil, r.in.failed()
		}
		r.skip(skipped)
	}
	return false, nil
}

// maxPadding is how many bytes of any value may stand behind an end mark: some
// writers fill up to a word, and those that copy codes out of another file take
// the end of a line behind them along.
const maxPadding = 3

// passMark goes behind the EOLs of an end mark, behind each of which so many tag
// bits stand. It refuses with ErrBehind what follows, but for padding.
func (r *rows) passMark(tags int) error {
	for r.atEOL() {
		if zeros, err := r.onlyZeros(); zeros || err != nil {
			return err
		}
		r.skip(bits.LeadingZeros64(r.peek()) + 1)
		r.peek()
		r.skip(tags)
	}
	if r.in.left(r.n) >= 8*(maxPadding+1) {
		return ErrBehind
	}
	return r.in.failed()
}

// left counts the bits that are left of the stream when n are still in the
// accumulator, as far as they were read: those of a whole accumulator at least,
// where it has not ended.
func (b *Bits) left(n int) int { return n + 8*(b.end-b.pos) - b.padding }

// failed returns why the stream could not be read to its end, nil where it was,
// or may yet be.
func (b *Bits) failed() error {
	if errors.Is(b.err, io.EOF) {
		return nil
	}
	return b.err
}
