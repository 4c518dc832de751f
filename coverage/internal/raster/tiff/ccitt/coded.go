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
	for err == nil && p.a0 < r.width {
		if hasVectors {
			advanceByChunks(r, &p, r.chunks)
		} else {
			r.advance(&p)
		}
		err = r.single(&p)
	}
	if hasVectors {
		r.plan(p.k - r.cur)
	}
	return p.k, err
}

// How many rows stand between two that plan judges: at first, and where one after the
// other is scattered.
const (
	fewestBetween = 16
	mostBetween   = 128
)

// plan finds by a row now and then, of so many elements, whether chunks are worth
// trying again after each code that stopped them. They are not where dots of a
// pixel or two stand at random, which stop one after the other; there they are tried
// less and less often.
func (r *rows) plan(elements int) {
	switch r.judged--; {
	case r.judged == 0:
		r.scattered, r.stops = false, 0
	case r.judged < 0 && 8*r.stops > elements:
		r.scattered, r.judged = true, r.between
		r.between = min(2*r.between, mostBetween)
	case r.judged < 0:
		r.judged, r.between = fewestBetween, fewestBetween
	}
}

// advance decodes vertical and pass codes as many at a time as a look-up sees,
// up to the first code that must be decoded by itself, or where the buffer
// holds too few bits.
//
// Nearly all of a halftone's time is spent in this loop: its state is in local
// variables, and it calls nothing.
func (r *rows) advance(p *place) {
	line, buf, pos := r.line, r.in.buf[:r.in.end], r.in.pos
	acc, n := r.acc, r.n
	a0, i, k := p.a0, p.i, p.k
	for {
		if len(buf)-pos < 8 {
			break
		}
		acc |= binary.BigEndian.Uint64(buf[pos:pos+8]) >> (n & 63) // as Bits.Fill
		pos += (63 - n) >> 3
		n |= 56
		m := modes[acc>>(64-modeBits)]

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
		if bad&laneSigns != 0 || m.skip() == 0 {
			break
		}
		acc <<= m & 63
		n -= m.bits()
		i += m.skip()
		k += m.vertical()
		a0 = line[k-1]
		if m&passes != 0 {
			a0 = line[i-1]
		}
	}
	r.acc, r.n, r.in.pos = acc, n, pos
	*p = place{a0, i, k}
}
