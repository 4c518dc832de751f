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

// Group4 decodes rows of ITU-T T.6.
type Group4 struct {
	in    Bits
	acc   uint64 // the next bits, left-aligned
	n     int    // how many of them are valid
	width int32

	// ref and cur hold the changing elements of the row above and of this
	// row, strictly rising, white to black first. They start at index 1,
	// behind the imaginary element at -1, and are followed by sentinels, so
	// that looking one behind and maxVertical+1 ahead needs no test.
	ref, cur []int32
}

const sentinels = maxVertical + 2

// Reset starts a strip of rows that are width pixels wide; its reference line
// is white.
func (g *Group4) Reset(src io.Reader, width int) {
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

// Row decodes one row and returns its black runs as pairs of start and end in
// pixels, strictly rising. The slice is valid until the next call.
func (g *Group4) Row() ([]int32, error) {
	k, err := g.row()
	if short := g.in.Short(g.n); short != nil {
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
	return g.ref[1 : 1+(k-1+1)&^1], nil
}

// close puts the sentinels behind the k elements of a row.
func (g *Group4) close(row []int32, k int) {
	for i := range sentinels {
		row[k+i] = g.width
	}
}

// row fills cur and returns how many elements it holds. i is the index of b1
// in ref, k the next place in cur; both are odd where a0's colour is white.
//
//	            a0    a1       a2
//	coding  ....██████.........████
//	reference  ...████.............██████
//	               b1              b2
func (g *Group4) row() (k int, err error) {
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
func (g *Group4) horizontal(acc uint64, n int, white bool) (first, second int32, _ uint64, _ int, err error) {
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

// run decodes one run: any number of make-up codes and a terminating code.
func (g *Group4) run(acc uint64, n int, codes *runTable) (int32, uint64, int, error) {
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

// next finds b1 from a guess i of the right colour: the first element right of
// a0. Only a vertical code to the left can leave it behind the guess, by one
// element of its colour at most, as it reaches back three pixels.
func (g *Group4) next(i int, a0 int32) int {
	if i > 2 && g.ref[i-2] > a0 {
		return i - 2
	}
	for g.ref[i] <= a0 && g.ref[i] < g.width {
		i += 2
	}
	return i
}
