package inflate

import "encoding/binary"

// An adler is an Adler-32 under way: RFC 1950, section 8.2. s1 is 1 and the sum
// of all bytes, s2 the sum of all s1, both modulo 65521.
type adler struct{ s1, s2 uint64 }

const (
	adlerModulus = 65521
	// adlerWords words are summed at once in 16-bit fields: a field of t holds
	// at most 255·(1 + 2 + … + 22) = 64,515.
	adlerWords = 22
	adlerBytes = 8 * adlerWords
	fields     = 0x00ff00ff00ff00ff
)

func newAdler() adler { return adler{s1: 1} }

func (a adler) value() uint32 { return uint32(a.s2<<16 | a.s1) }

// add goes on with p.
func (a adler) add(p []byte) adler {
	for len(p) >= adlerBytes {
		a = a.addWords((*[adlerBytes]byte)(p))
		p = p[adlerBytes:]
	}
	for _, b := range p {
		a.s1 += uint64(b)
		a.s2 += a.s1
	}
	a.s1 %= adlerModulus
	a.s2 %= adlerModulus
	return a
}

// addWords adds 22 words of 8 bytes. Of n bytes the i-th is counted n-i times
// in s2. In the fields of s each place of a word is summed, in those of t each
// s: so that a byte in word k of K counts K-k times there, 8 times that in s2
// less its place in the word.
func (a adler) addWords(p *[adlerBytes]byte) adler {
	var s, t [2]uint64 // even and odd places
	for i := 0; i < adlerBytes; i += 8 {
		w := binary.LittleEndian.Uint64(p[i:])
		s[0] += w & fields
		s[1] += w >> 8 & fields
		t[0] += s[0]
		t[1] += s[1]
	}
	a.s2 += adlerBytes * a.s1
	for place := range uint64(8) {
		shift := place / 2 * 16
		sum, weighted := s[place%2]>>shift&0xffff, t[place%2]>>shift&0xffff
		a.s1 += sum
		a.s2 += 8*weighted - place*sum
	}
	return adler{a.s1 % adlerModulus, a.s2 % adlerModulus}
}
