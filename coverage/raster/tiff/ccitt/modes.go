package ccitt

import "strings"

// Mode codes of two-dimensional rows: ITU-T T.6 (11/88), table 1.
var (
	verticalCodes = map[string]int{ // a1 - b1
		"1": 0, "011": +1, "010": -1, "000011": +2, "000010": -2, "0000011": +3, "0000010": -3,
	}
	otherCodes = map[string]mode{
		"0001": kindPass, "001": kindHorizontal, "0000001": kindExtension, "0000000": kindEnd,
	}
)

// modeBits is how many bits of a row one look-up sees; maxVertical is how many
// vertical codes it then returns at most. Halftones are coded by runs of short
// vertical codes, so a look-up mostly yields three or four of them.
const (
	modeBits    = 11
	maxVertical = 4
)

// A mode is what the next modeBits bits begin with: either one code of another
// kind, or one to maxVertical vertical codes.
//
//	bits  0– 3  how many bits all its codes take
//	bits  4– 6  how many vertical codes, 0 for another kind
//	bits  8–10  the kind, where it is another
//	bits 16–27  a1 - b1 + 3 of each vertical code, 3 bits each; 3 beyond the last
//	bits 32–47  how many bits the codes up to and with this one take, 4 bits each
type mode uint64

const (
	kindInvalid    mode = 0 << 8
	kindPass       mode = 1 << 8
	kindHorizontal mode = 2 << 8
	kindExtension  mode = 3 << 8
	kindEnd        mode = 4 << 8
	kindMask       mode = 7 << 8
)

func (m mode) bits() int             { return int(m & 15) }
func (m mode) vertical() int         { return int(m >> 4 & 7) }
func (m mode) delta(i int) int32     { return int32(m>>(16+3*i)&7) - 3 }
func (m mode) bitsThrough(i int) int { return int(m >> (32 + 4*i) & 15) }

var modes = modeTable()

func modeTable() *[1 << modeBits]mode {
	t := new([1 << modeBits]mode)
	for code, kind := range otherCodes {
		first, n := codeIndexes(code, modeBits)
		for i := first; i < first+n; i++ {
			t[i] = kind | mode(len(code))
		}
	}
	addVertical(t, nil, "")
	return t
}

// addVertical enters every row start that begins with the given vertical
// codes; longer sequences are entered later and so replace their beginnings.
func addVertical(t *[1 << modeBits]mode, codes []string, prefix string) {
	if len(codes) > 0 {
		entry := verticalEntry(codes)
		first, n := codeIndexes(prefix, modeBits)
		for i := first; i < first+n; i++ {
			t[i] = entry
		}
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

func verticalEntry(codes []string) mode {
	m := mode(len(strings.Join(codes, ""))) | mode(len(codes))<<4
	through := 0
	for i := range maxVertical {
		delta := 0
		if i < len(codes) {
			delta = verticalCodes[codes[i]]
			through += len(codes[i])
		}
		m |= mode(delta+3)<<(16+3*i) | mode(through)<<(32+4*i)
	}
	return m
}
