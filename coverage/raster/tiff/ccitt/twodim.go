package ccitt

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
	acc, n := g.acc, g.n
	a0 := int32(-1)
	i, k := 1, 1
	for a0 < width {
		if n < 32 {
			acc, n = g.in.Fill(acc, n)
		}
		m := modes[acc>>(64-modeBits)]
		count := m.vertical()
		if count > 0 {
			// maxVertical codes are applied at once. Each is right if the next
			// b1 is the next element of ref: it lies right of a1, the one
			// before b1 does not, and a1 lies right of a0. The sign of bad
			// tells if any of these failed.
			b, out := ref[i-1:i+maxVertical+1:i+maxVertical+1], cur[k:k+maxVertical:k+maxVertical]
			a1 := b[1] + int32(m>>16&7) - 3
			a2 := b[2] + int32(m>>19&7) - 3
			a3 := b[3] + int32(m>>22&7) - 3
			a4 := b[4] + int32(m>>25&7) - 3
			bad := (a1 - a0 - 1) | (a2 - a1 - 1) | (a3 - a2 - 1) | (a4 - a3 - 1) |
				(b[2] - a1 - 1) | (b[3] - a2 - 1) | (b[4] - a3 - 1) | (b[5] - a4 - 1) |
				(a1 - b[0]) | (a2 - b[1]) | (a3 - b[2]) | (a4 - b[3])
			out[0], out[1], out[2], out[3] = a1, a2, a3, a4
			if bad >= 0 {
				i += count
				k += count
				a0 = cur[k-1]
				acc <<= m.bits()
				n -= m.bits()
				continue
			}
			// One code at a time.
			b1 := ref[i]
			a0n := b1 + m.delta(0)
			if a0n <= a0 || a0n > width {
				err = ErrRow
				break
			}
			a0 = a0n
			cur[k] = a0
			k++
			i = g.next(i+1, a0)
			acc <<= m.bitsThrough(0)
			n -= m.bitsThrough(0)
			continue
		}
		acc <<= m.bits()
		n -= m.bits()
		switch m & kindMask {
		case kindPass:
			a0 = ref[i+1]
			i += 2
			if a0 == width {
				err = ErrRow
			}
		case kindHorizontal:
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
	g.acc, g.n = acc, n
	return k, err
}

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
