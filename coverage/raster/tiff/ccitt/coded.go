package ccitt

import "encoding/binary"

// A place is how far a two-dimensional row is decoded. i and k are odd, counted
// from the start of their row, where a0's colour is white.
type place struct {
	a0 int32
	i  int // of b1 in line
	k  int // of the next changing element in line
}

// coded decodes a two-dimensional row (T.4, 4.2; T.6, 2.2) into line and
// returns the index behind it.
//
//	            a0    a1       a2
//	coding  ....██████.........████
//	reference  ...████.............██████
//	               b1              b2
func (r *rows) coded() (k int, err error) {
	p := place{-1, r.ref + 1, r.cur + 1}
	for {
		m := r.advance(&p)
		switch m & kindMask {
		case kindNone:
			if m == 0 {
				r.in.read()
				continue
			}
			err = r.vertical(&p, m)
		case kindHorizontal:
			err = r.horizontal(&p)
		case kindExtension:
			err = ErrUncompressed
		default:
			err = ErrCode
			if r.atEOL() {
				err = ErrEarlyEnd
			}
		}
		if err != nil || p.a0 == r.width {
			return p.k, err
		}
	}
}

// advance decodes vertical and pass codes as many at a time as a look-up sees.
// It returns at any other code, with that code read; with no kind where the
// first code must be taken alone, none of them read; and with 0 where the
// buffer holds too few bits.
//
// Nearly all of a halftone's time is spent in this loop: its state is in local
// variables, and it calls nothing.
func (r *rows) advance(p *place) (m mode) {
	line, buf, pos := r.line, r.in.buf[:r.in.end], r.in.pos
	acc, n := r.acc, r.n
	a0, i, k := p.a0, p.i, p.k
	for {
		if len(buf)-pos < 8 {
			m = 0
			break
		}
		acc |= binary.BigEndian.Uint64(buf[pos:pos+8]) >> (n & 63) // as Bits.Fill
		pos += (63 - n) >> 3
		n |= 56
		m = modes[acc>>(64-modeBits)]

		// Two elements of b1 and of a1 lie in one word each.
		b, out := line[i-1:i+5:i+5], line[k:k+4:k+4]
		b12 := uint64(uint32(b[1])) | uint64(uint32(b[2]))<<32
		b34 := uint64(uint32(b[3])) | uint64(uint32(b[4]))<<32
		b23 := b12>>32 | b34<<32
		b45 := b34>>32 | uint64(uint32(b[5]))<<32
		a12 := b12 + m.delta12() - laneBias
		a34 := b34 + m.delta34() - laneBias
		out[0], out[1], out[2], out[3] = int32(a12), int32(a12>>32), int32(a34), int32(a34>>32)

		// They are right if each next b1 is the next element of ref: it lies
		// right of a1, the one before b1 does not, and a1 lies right of a0.
		// The first a1 is held against all of these, the distances between
		// the elements of ref answer for the others. A sign tells of failure.
		bad := (b23 - b12 - m.least12()) | (b45 - b34 - m.least34()) |
			uint64(uint32((int32(a12)-a0-1)|(int32(a12)-b[0])))
		if bad&laneSigns != 0 {
			m &^= kindMask
			break
		}
		acc <<= m & 63
		n -= m.bits()
		i += m.skip()
		k += m.vertical()
		before := a0
		a0 = line[k-1]
		if m&passes != 0 {
			a0 = line[i-1]
		}
		if m&kindMask != kindNone {
			if m.vertical() == 0 {
				a0 = before
			}
			break
		}
	}
	r.acc, r.n, r.in.pos = acc, n, pos
	*p = place{a0, i, k}
	return m
}

// vertical decodes the first code of m, which is a vertical one, or any where a
// pass code led to the end of the row.
func (r *rows) vertical(p *place, m mode) error {
	a1 := r.line[p.i] + m.first()
	if a1 <= p.a0 || a1 > r.width {
		return ErrRow
	}
	r.line[p.k] = a1
	r.skip(m.firstBits())
	*p = place{a1, r.next(p.i+1, a1), p.k + 1}
	return nil
}

// horizontal decodes the two runs behind a horizontal code.
func (r *rows) horizontal(p *place) error {
	first, second, err := r.both((p.k - r.cur) & 1)
	if err != nil {
		return err
	}
	a0 := max(p.a0, 0)
	if first+second > r.width-a0 {
		return ErrRow
	}
	p.k = put(r.line, p.k, a0+first)
	p.a0 = a0 + first + second
	p.k = put(r.line, p.k, p.a0)
	for r.line[p.i] <= p.a0 && r.line[p.i] < r.width {
		p.i += 2
	}
	return nil
}

// next finds b1 from a guess i of the right colour: the first element right of
// a0. Only a vertical code to the left can leave it behind the guess, by one
// element of its colour at most, as it reaches back three pixels.
func (r *rows) next(i int, a0 int32) int {
	if i > r.ref+2 && r.line[i-2] > a0 {
		return i - 2
	}
	for r.line[i] <= a0 && r.line[i] < r.width {
		i += 2
	}
	return i
}
