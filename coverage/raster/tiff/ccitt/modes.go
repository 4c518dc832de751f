package ccitt

import "strings"

// Mode codes of two-dimensional rows: ITU-T T.6 (11/88), table 1.
var (
	verticalCodes = map[string]int{ // a1 - b1
		"1": 0, "011": +1, "010": -1, "000011": +2, "000010": -2, "0000011": +3, "0000010": -3,
	}
	otherCodes = map[string]mode{
		"001": kindHorizontal, "0000001": kindExtension, "0000000": kindEnd,
	}
)

const passCode = "0001"

// modeBits is how many bits of a row one look-up sees; maxVertical is how many
// vertical codes it then returns at most. Halftones are coded by runs of short
// vertical codes, so a look-up mostly yields three or four of them; a pass code
// behind them comes with them, as which of the two comes next is what a
// processor cannot foretell.
const (
	modeBits    = 11
	maxVertical = 4
)

// A mode is what the next modeBits bits begin with: up to maxVertical vertical
// codes and a pass code, either of which may be absent, or one code of another
// kind.
//
//	bits  0– 2  a1 - b1 + 3 of the first vertical code, 32–34 of the second,
//	bits  3– 5  of the third, 35–37 of the fourth; 3 beyond the last code
//	bits  8–11  how many bits all its codes take
//	bits 12–14  how many vertical codes
//	bit  15     whether a pass code follows them
//	bits 16–18  the kind, where it is another
//	bits 20–22  how many bits the first vertical code takes
type mode uint64

const (
	modePass       mode = 1 << 15
	kindHorizontal mode = 1 << 16
	kindExtension  mode = 2 << 16
	kindEnd        mode = 3 << 16
	kindMask       mode = 7 << 16
)

func (m mode) bits() int      { return int(m >> 8 & 15) }
func (m mode) vertical() int  { return int(m >> 12 & 7) }
func (m mode) passes() int    { return int(m >> 15 & 1) }
func (m mode) delta() int32   { return int32(m&7) - 3 }
func (m mode) firstBits() int { return int(m >> 20 & 7) }

type modeTable [1 << modeBits]mode

var modes = newModeTable()

func newModeTable() *modeTable {
	t := new(modeTable)
	for code, kind := range otherCodes {
		t.enter(code, kind|mode(len(code))<<8)
	}
	addVertical(t, nil, "")
	return t
}

// addVertical enters every row start that begins with the given vertical codes,
// with and without a pass code behind them; longer sequences are entered later
// and so replace their beginnings.
func addVertical(t *modeTable, codes []string, prefix string) {
	if len(codes) > 0 {
		t.enter(prefix, verticalEntry(codes, 0))
	}
	if len(prefix+passCode) <= modeBits {
		t.enter(prefix+passCode, verticalEntry(codes, modePass|mode(len(passCode))<<8))
	}
	if len(codes) == maxVertical {
		return
	}
	for code := range verticalCodes {
		if next := prefix + code; len(next) <= modeBits {
			addVertical(t, append(codes[:len(codes):len(codes)], code), next)
		}
	}
}

// enter puts m at every index that begins with the codes.
func (t *modeTable) enter(codes string, m mode) {
	first, n := codeIndexes(codes, modeBits)
	for i := first; i < first+n; i++ {
		t[i] = m
	}
}

func verticalEntry(codes []string, m mode) mode {
	m += mode(len(strings.Join(codes, "")))<<8 | mode(len(codes))<<12
	if len(codes) > 0 {
		m |= mode(len(codes[0])) << 20
	}
	for i, place := range [maxVertical]int{0, 32, 3, 35} {
		delta := 0
		if i < len(codes) {
			delta = verticalCodes[codes[i]]
		}
		m |= mode(delta+3) << place
	}
	return m
}
