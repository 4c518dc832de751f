package ccitt

import "encoding/binary"

// twoDimensional decodes a row coded against the one above into cur and returns
// the next free place there. i is the index of b1 in ref, k the next place in
// cur; both are odd where a0's colour is white.
//
//	            a0    a1       a2
//	coding  ....██████.........████
//	reference  ...████.............██████
//	               b1              b2
func (g *rows) twoDimensional() (k int, err error) {
	ref, cur, width := g.ref, g.cur, g.width
	in, acc, n := &g.in, g.acc, g.n
	a0 := int32(-1)
	i, k, passed := 1, 1, 0
	for a0 < width {
		if n < 32 {
			if in.pos+4 <= in.end {
				acc |= uint64(binary.BigEndian.Uint32(in.buf[in.pos:])) << (32 - n)
				in.pos += 4
				n += 32
			} else {
				acc, n = in.Fill(acc, n)
			}
		}
		m := modes[acc>>(64-modeBits)]
		if m&kindMask == 0 {
			// maxVertical codes are applied at once, in pairs: two elements in
			// the halves of a word.
			b, out := ref[i-1:i+maxVertical+1:i+maxVertical+1], cur[k:k+maxVertical:k+maxVertical]
			b01, b12, b23, b34, b45 := pair(b[0], b[1]), pair(b[1], b[2]), pair(b[2], b[3]), pair(b[3], b[4]), pair(b[4], b[5])
			a12 := b12 + uint64(m)&(7*both) - 3*both
			a34 := b34 + uint64(m)>>3&(7*both) - 3*both
			a01, a23 := a12<<32|uint64(uint32(a0)), a12>>32|a34<<32
			// Each is right if the next b1 is the next element of ref, that is
			// if it lies right of a1, if the element before b1 does not, and if
			// a1 lies right of a0. Else a half below is negative.
			wrong := (a12 - a01 - both) | (a34 - a23 - both) | (b23 - a12 - both) | (b45 - a34 - both) | (a12 - b01) | (a34 - b23)
			out[0], out[1], out[2], out[3] = int32(a12), int32(a12>>32), int32(a34), int32(a34>>32)
			if wrong&(both<<31) == 0 {
				i += m.vertical() + 2*m.passes()
				k += m.vertical()
				passed = m.passes()
				a0 = choose(cur[k-1], ref[i-1], passed)
				acc <<= m.bits()
				n -= m.bits()
				continue
			}
			// One code at a time.
			if m.vertical() == 0 {
				a0, passed = ref[i+1], 1
				i += 2
				acc <<= len(passCode)
				n -= len(passCode)
				continue
			}
			a1 := ref[i] + m.delta()
			if a1 <= a0 || a1 > width {
				err = ErrRow
				break
			}
			a0, passed = a1, 0
			cur[k] = a0
			k++
			i = g.next(i+1, a0)
			acc <<= m.firstBits()
			n -= m.firstBits()
			continue
		}
		acc <<= m.bits()
		n -= m.bits()
		switch m & kindMask {
		case kindHorizontal:
			passed = 0
			var first, second int32
			first, second, acc, n, err = g.horizontal(acc, n, k&1 == 1)
			k = put(cur, k, max(a0, 0)+first)
			a0 = max(a0, 0) + first + second
			if err == nil && a0 > width {
				err = ErrRow
				break
			}
			k = put(cur, k, a0)
			i = g.next(i, a0)
		case kindExtension:
			err = ErrUncompressed
		case kindEnd:
			err = ErrEarlyEnd
		default:
			err = ErrCode
		}
		if err != nil {
			break
		}
	}
	if passed == 1 && err == nil {
		err = ErrRow // a pass code to the row's end leaves nothing to follow it
	}
	g.acc, g.n = acc, n
	return k, err
}

// choose is a, or b where which is 1, without a branch.
func choose(a, b int32, which int) int32 { return a ^ (a^b)&-int32(which) }

// both is 1 in each half of a word.
const both = 1<<32 | 1

// pair puts two elements that stand side by side in the halves of a word.
func pair(a, b int32) uint64 { return uint64(uint32(a)) | uint64(uint32(b))<<32 }

// horizontal decodes the two runs of a horizontal code.
func (g *rows) horizontal(acc uint64, n int, white bool) (first, second int32, _ uint64, _ int, err error) {
	one, two := whiteRuns, blackRuns
	if !white {
		one, two = two, one
	}
	first, acc, n, err = g.run(acc, n, one)
	if err != nil {
		return 0, 0, acc, n, err
	}
	second, acc, n, err = g.run(acc, n, two)
	return first, second, acc, n, err
}

// next finds b1 from a guess i of the right colour: the first element right of
// a0. Only a vertical code to the left can leave it behind the guess, by one
// element of its colour at most, as it reaches back three pixels.
func (g *rows) next(i int, a0 int32) int {
	if i > 2 && g.ref[i-2] > a0 {
		return i - 2
	}
	for g.ref[i] <= a0 && g.ref[i] < g.width {
		i += 2
	}
	return i
}
