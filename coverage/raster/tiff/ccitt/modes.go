package ccitt

import "strings"

// Mode codes of two-dimensional rows: ITU-T T.4 (07/2003), table 4, and T.6
// (11/88), table 1.
var (
	verticalCodes = map[string]int{ // a1 - b1
		"1": 0, "011": +1, "010": -1, "000011": +2, "000010": -2, "0000011": +3, "0000010": -3,
	}
	passCode       = "0001"
	horizontalCode = "001"
	extensionCode  = "0000001"
)

// modeBits is how many bits of a row one look-up sees; maxVertical is how many
// vertical codes it then returns at most. Halftones are coded by runs of short
// vertical codes, so a look-up mostly yields three or four of them.
const (
	modeBits    = 13
	maxVertical = 4
)

// A mode is what the next modeBits bits begin with: up to maxVertical vertical
// codes and, where there is room, a pass or a horizontal code behind them.
//
// Its halves hold the odd and the even vertical codes, so that one mask gets
// two of them, each in a half of a word (a lane).
//
//	bits  0– 5         how many bits all its codes take
//	bits  6– 8, 38–40  a1 - b1 + 3 of the first and second vertical code,
//	bits  9–11, 41–43  of the third and fourth; 3 where there is none
//	bits 12–14, 44–46  least distance from the first and second b1 to the next,
//	bits 15–17, 47–49  from the third and fourth; 0 where there is none
//	bits 18–19         what stands behind the vertical codes
//	bit  20            a pass code does
//	bits 32–37         how many bits the first vertical code takes
//	bits 54–57         how many elements of the reference line to go on by
//	bits 60–62         how many vertical codes
type mode uint64

const (
	kindNone       mode = 0 << 18
	kindHorizontal mode = 1 << 18
	kindExtension  mode = 2 << 18
	kindOther      mode = 3 << 18 // an EOL, or no code
	kindMask       mode = 3 << 18
	passes         mode = 1 << 20
)

const (
	laneMask  = 7<<32 | 7
	laneBias  = 3<<32 | 3 // what a lane of a1 - b1 holds too much
	laneSigns = 1<<63 | 1<<31
)

func (m mode) delta12() uint64 { return uint64(m >> 6 & laneMask) }
func (m mode) delta34() uint64 { return uint64(m >> 9 & laneMask) }
func (m mode) least12() uint64 { return uint64(m >> 12 & laneMask) }
func (m mode) least34() uint64 { return uint64(m >> 15 & laneMask) }

func (m mode) bits() int      { return int(m & 63) }
func (m mode) first() int32   { return int32(m>>6&7) - 3 }
func (m mode) firstBits() int { return int(m >> 32 & 63) }
func (m mode) skip() int      { return int(m >> 54 & 15) }
func (m mode) vertical() int  { return int(m >> 60) }

type modesByBits [1 << modeBits]mode

var modes = *modeTable()

func modeTable() *modesByBits {
	t := new(modesByBits)
	none := verticalEntry(nil)
	t.set("", none|kindOther)
	t.set(extensionCode, none|kindExtension)
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
	t.set(prefix+horizontalCode, entry|kindHorizontal)
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
	if len(codes) > 0 {
		m |= mode(len(codes[0])) << 32
	}
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
