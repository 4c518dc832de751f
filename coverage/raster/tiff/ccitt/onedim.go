package ccitt

import "io"

// Huffman decodes TIFF's modified Huffman coding: rows of runs, each of which
// starts on a byte (TIFF 6.0, section 10).
type Huffman struct{ rows }

// Row decodes one row.
func (h *Huffman) Row() ([]int32, error) {
	spare := h.n % 8
	h.acc <<= spare
	h.n -= spare
	return h.finish(h.oneDimensional())
}

// Group3 decodes ITU-T T.4: an end-of-line code goes before every row, which is
// coded by itself or, in the two-dimensional scheme, as a bit says that follows
// the end-of-line code.
type Group3 struct {
	rows
	twoDim bool
	first  bool
}

// NewGroup3 returns a decoder for TIFF's T4Options: bit 0 is the
// two-dimensional scheme. Bit 1 allows the uncompressed mode, which is refused
// where it is used. Bit 2 says that end-of-line codes end on bytes; the zeros
// that see to it are passed over whatever it says, as fax programs set it
// wrongly.
func NewGroup3(t4Options int64) *Group3 { return &Group3{twoDim: t4Options&1 != 0} }

// Reset starts a strip or tile.
func (g *Group3) Reset(src io.Reader, width int) {
	g.rows.Reset(src, width)
	g.first = true
}

// Row decodes one row.
func (g *Group3) Row() ([]int32, error) {
	one, err := g.begin()
	if err != nil {
		return g.finish(1, err)
	}
	if one {
		return g.finish(g.oneDimensional())
	}
	k, err := g.twoDimensional()
	if err == ErrEarlyEnd { // the next end-of-line code
		err = ErrRow
	}
	return g.finish(k, err)
}

// begin reads the end-of-line code before a row and tells if the row is coded
// by itself. The first code of a strip may be missing: some writers put it
// behind each row.
func (g *Group3) begin() (oneDim bool, err error) {
	found := g.endOfLine()
	if !found && !g.first {
		return false, ErrRow
	}
	g.first = false
	oneDim = true
	if g.twoDim && found {
		oneDim = g.take(1) == 1
	}
	if found && g.endOfLine() { // two in a row begin the end mark
		return false, ErrEarlyEnd
	}
	return oneDim, nil
}

// eolZeros is how many zeros, at least, stand before the 1 of an end-of-line
// code; fill adds more.
const eolZeros = 11

// endOfLine takes an end-of-line code and the fill before it, if they are next.
func (g *Group3) endOfLine() bool {
	if g.peek(eolZeros) != 0 {
		return false
	}
	g.take(eolZeros)
	for g.take(1) == 0 {
		if g.in.Short(g.n) != nil {
			return false
		}
	}
	return true
}

func (g *Group3) peek(bits int) uint64 {
	if g.n < 32 {
		g.acc, g.n = g.in.Fill(g.acc, g.n)
	}
	return g.acc >> (64 - bits)
}

func (g *Group3) take(bits int) uint64 {
	v := g.peek(bits)
	g.acc <<= bits
	g.n -= bits
	return v
}

// oneDimensional decodes a row of runs, white first, into cur and returns the
// next free place there.
func (g *rows) oneDimensional() (k int, err error) {
	acc, n, codes, other := g.acc, g.n, whiteRuns, blackRuns
	k = 1
	for at := int32(0); at < g.width; {
		var length int32
		length, acc, n, err = g.run(acc, n, codes)
		if at += length; err == nil && at > g.width {
			err = ErrRow
		}
		if err != nil {
			break
		}
		k = put(g.cur, k, at)
		codes, other = other, codes
	}
	g.acc, g.n = acc, n
	return k, err
}
