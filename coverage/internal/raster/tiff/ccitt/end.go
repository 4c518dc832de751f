package ccitt

// End tells if nothing follows the rows read so far but what writers leave
// there: bits of 0 that fill the last byte or word, or the end mark (EOFB),
// which some leave out, and anything behind that. Where it says no, a further
// row may be read.
func (g *Group4) End() bool { return g.onlyZeros() || g.atEOL() }

// End tells if nothing follows the rows read so far but bits of 0. Where it says
// no, a further row may be read.
func (h *Huffman) End() bool {
	h.skip(h.n & 7) // whole bytes were read
	return h.onlyZeros()
}

// End tells if nothing follows the rows read so far but what writers leave
// there: bits of 0 that fill the last byte or word, an EOL, from those that take
// it for the end of a row, or several, which are the end mark (RTC), and
// anything behind that. Where it says no, a further row may be read.
func (g *Group3) End() bool {
	if g.onlyZeros() {
		return true
	}
	coded, err := g.start()
	g.ahead = &rowStart{coded, err}
	return err == nil && (g.onlyZeros() || g.atEOL())
}

// onlyZeros tells if all bits that are left are 0. Else it leaves as many of
// these as an EOL begins with, and goes on by whole bytes.
func (r *rows) onlyZeros() bool {
	const seen, skipped = 56, 40
	for r.peek()>>(64-seen) == 0 {
		if r.in.Short(r.n) != nil {
			return true
		}
		r.skip(skipped)
	}
	return false
}
