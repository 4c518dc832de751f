package ccitt

import "strings"

// modeBits is how many bits of a row one look-up sees; maxVertical is how many
// vertical codes it then returns at most. Halftones are coded by runs of short
// vertical codes, so a look-up mostly yields three or four of them.
const (
	modeBits    = 13
	maxVertical = 4
)

// A mode is what the next modeBits bits begin with: up to maxVertical vertical
// codes and, where there is room, a pass code behind them.
//
// Its halves hold the odd and the even vertical codes, so that one mask gets
// two of them, each in a half of a word (a lane).
//
//	bits  0– 5         how many bits all its codes take
//	bits  6– 8, 38–40  a1 - b1 + 3 of the first and second vertical code,
//	bits  9–11, 41–43  of the third and fourth; 3 where there is none
//	bits 12–14, 44–46  least distance from the first and second b1 to the next,
//	bits 15–17, 47–49  from the third and fourth; 0 where there is none
//	bit  20            a pass code stands behind the vertical codes
//	bits 54–57         how many elements of the reference line to go on by
//	bits 60–62         how many vertical codes
type mode uint64

const passes mode = 1 << 20

const (
	laneMask  = 7<<32 | 7
	laneBias  = 3<<32 | 3 // what a lane of a1 - b1 holds too much
	laneSigns = 1<<63 | 1<<31
)

func (m mode) delta12() uint64 { return uint64(m >> 6 & laneMask) }
func (m mode) delta34() uint64 { return uint64(m >> 9 & laneMask) }
func (m mode) least12() uint64 { return uint64(m >> 12 & laneMask) }
func (m mode) least34() uint64 { return uint64(m >> 15 & laneMask) }

func (m mode) bits() int     { return int(m & 63) }
func (m mode) skip() int     { return int(m >> 54 & 15) }
func (m mode) vertical() int { return int(m >> 60) }

type modesByBits [1 << modeBits]mode

var modes = *modeTable()

func modeTable() *modesByBits {
	t := new(modesByBits)
	t.set("", verticalEntry(nil))
	t.add(nil)
	return t
}

// add enters every row start that begins with the given vertical codes; longer
// sequences are entered later and so replace their beginnings.
func (t *modesByBits) add(codes []string) {
	prefix := strings.Join(codes, "")
	entry := verticalEntry(codes)
	if len(codes) > 0 {
		t.set(prefix, entry)
	}
	t.set(prefix+passCode, entry|passes+2<<54)
	if len(codes) == maxVertical {
		return
	}
	for code := range verticalCodes {
		if len(prefix+code) <= modeBits {
			t.add(append(codes[:len(codes):len(codes)], code))
		}
	}
}

// set enters codes at every index that begins with them, if they fit.
func (t *modesByBits) set(codes string, entry mode) {
	if len(codes) > modeBits {
		return
	}
	first, n := codeIndexes(codes, modeBits)
	for i := first; i < first+n; i++ {
		t[i] = entry | mode(len(codes))
	}
}

// verticalEntry is the entry of vertical codes without what stands behind.
// That code j is right follows from the distances from its b1 and from the b1
// before: for a1 of j to lie right of a1 of j-1, the next b1 right of a1 of j,
// and the b1 before not right of it.
func verticalEntry(codes []string) mode {
	m := mode(len(codes))<<60 | mode(len(codes))<<54
	for j := range maxVertical {
		var delta, least int
		if j < len(codes) {
			delta = verticalCodes[codes[j]]
			least = max(0, 1+delta)
		}
		if j+1 < len(codes) {
			next := verticalCodes[codes[j+1]]
			least = max(least, 1+delta-next, -next)
		}
		lane := j%2*32 + j/2*3
		m |= mode(delta+3)<<(6+lane) | mode(least)<<(12+lane)
	}
	return m
}
