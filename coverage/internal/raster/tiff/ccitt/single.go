package ccitt

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

// codeBits is how long the longest mode code is, horizontalBits the horizontal
// one.
const (
	codeBits       = 7
	horizontalBits = 3
)

// A code is what the next codeBits bits begin with: one code.
//
//	bits  0– 5  how many bits it takes
//	bits  6– 7  what it is if it is neither a vertical nor a pass code
//	bits  8–15  a1 - b1, signed
//	bits 16–23  4, the bytes of an element, if it is a pass code
//	bits 24–31  -4 if it is
type code uint32

const (
	codeHorizontal code = 1<<6 | horizontalBits
	codeExtension  code = 2<<6 | codeBits
	codeNone       code = 3 << 6
	codeKind       code = 3 << 6
	codeDelta           = 8
	codePass       code = 4<<16 | 0xfc<<24
)

func (c code) bits() int    { return int(c & 63) }
func (c code) isPass() bool { return c&codePass != 0 }
func (c code) delta() int   { return int(int8(c >> codeDelta)) }

type codesByBits [1 << codeBits]code

var codes = codeTable()

func codeTable() (t codesByBits) {
	for i := range t {
		t[i] = codeNone
	}
	for bits, delta := range verticalCodes {
		t.set(bits, code(uint8(delta))<<codeDelta)
	}
	t.set(passCode, codePass)
	t.set(horizontalCode, codeHorizontal)
	t.set(extensionCode, codeExtension)
	return t
}

// set enters a code at every index that begins with it.
func (t *codesByBits) set(bits string, c code) {
	first, n := codeIndexes(bits, codeBits)
	for i := first; i < first+n; i++ {
		t[i] = c | code(len(bits))
	}
}

// single decodes one code of a two-dimensional row. That the row ends here is an
// error: only a pass code can have led there.
func (r *rows) single(p *place) error {
	if p.a0 == r.width {
		return ErrRow
	}
	c := codes[r.peek()>>(64-codeBits)]
	switch c & codeKind {
	case codeNone:
		if r.atEOL() {
			return ErrEarlyEnd
		}
		return ErrCode
	case codeExtension & codeKind:
		return ErrUncompressed
	}
	r.skip(c.bits())
	switch {
	case c == codeHorizontal:
		return r.horizontal(p)
	case c.isPass():
		return r.pass(p)
	}
	return r.vertical(p, int32(c.delta()))
}

// vertical decodes a vertical code, of a1 - b1.
func (r *rows) vertical(p *place, delta int32) error {
	a1 := r.line[p.i] + delta
	if a1 <= p.a0 || a1 > r.width {
		return ErrRow
	}
	r.line[p.k] = a1
	*p = place{a1, r.next(p.i+1, a1), p.k + 1}
	return nil
}

// pass decodes a pass code, which never leads to the end of a row.
func (r *rows) pass(p *place) error {
	b2 := r.line[p.i+1]
	if b2 >= r.width {
		return ErrRow
	}
	*p = place{b2, p.i + 2, p.k}
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
