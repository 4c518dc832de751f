package ccitt

// Terminating and make-up codes: ITU-T T.4 (07/2003), tables 2, 3a and 3b.
// Entry i of a terminating table is the code of a run of i pixels, entry i of
// a make-up table that of a run of 64·(i+1) pixels.

var whiteTerminating = [64]string{
	"00110101", "000111", "0111", "1000", "1011", "1100", "1110", "1111",
	"10011", "10100", "00111", "01000", "001000", "000011", "110100", "110101",
	"101010", "101011", "0100111", "0001100", "0001000", "0010111", "0000011", "0000100",
	"0101000", "0101011", "0010011", "0100100", "0011000", "00000010", "00000011", "00011010",
	"00011011", "00010010", "00010011", "00010100", "00010101", "00010110", "00010111", "00101000",
	"00101001", "00101010", "00101011", "00101100", "00101101", "00000100", "00000101", "00001010",
	"00001011", "01010010", "01010011", "01010100", "01010101", "00100100", "00100101", "01011000",
	"01011001", "01011010", "01011011", "01001010", "01001011", "00110010", "00110011", "00110100",
}

var blackTerminating = [64]string{
	"0000110111", "010", "11", "10", "011", "0011", "0010", "00011",
	"000101", "000100", "0000100", "0000101", "0000111", "00000100", "00000111", "000011000",
	"0000010111", "0000011000", "0000001000", "00001100111", "00001101000", "00001101100", "00000110111", "00000101000",
	"00000010111", "00000011000", "000011001010", "000011001011", "000011001100", "000011001101", "000001101000", "000001101001",
	"000001101010", "000001101011", "000011010010", "000011010011", "000011010100", "000011010101", "000011010110", "000011010111",
	"000001101100", "000001101101", "000011011010", "000011011011", "000001010100", "000001010101", "000001010110", "000001010111",
	"000001100100", "000001100101", "000001010010", "000001010011", "000000100100", "000000110111", "000000111000", "000000100111",
	"000000101000", "000001011000", "000001011001", "000000101011", "000000101100", "000001011010", "000001100110", "000001100111",
}

var whiteMakeUp = [27]string{
	"11011", "10010", "010111", "0110111", "00110110", "00110111", "01100100", "01100101",
	"01101000", "01100111", "011001100", "011001101", "011010010", "011010011", "011010100", "011010101",
	"011010110", "011010111", "011011000", "011011001", "011011010", "011011011", "010011000", "010011001",
	"010011010", "011000", "010011011",
}

var blackMakeUp = [27]string{
	"0000001111", "000011001000", "000011001001", "000001011011", "000000110011", "000000110100", "000000110101", "0000001101100",
	"0000001101101", "0000001001010", "0000001001011", "0000001001100", "0000001001101", "0000001110010", "0000001110011", "0000001110100",
	"0000001110101", "0000001110110", "0000001110111", "0000001010010", "0000001010011", "0000001010100", "0000001010101", "0000001011010",
	"0000001011011", "0000001100100", "0000001100101",
}

// commonMakeUp holds the runs of 1792 to 2560 pixels, the same in both colours.
var commonMakeUp = [13]string{
	"00000001000", "00000001100", "00000001101", "000000010010", "000000010011", "000000010100", "000000010101",
	"000000010110", "000000010111", "000000011100", "000000011101", "000000011110", "000000011111",
}

// runBits is the length of the longest run code.
const runBits = 13

// A runCode is what the next runBits bits of a row begin with: the length of
// the run from bit 6 on, the length of the code in the lower 4, and bit 4 set
// where a further code of the same run follows (make-up), whose length is then
// counted in 64 pixels. 0: no code.
type runCode uint16

const (
	codeLength  = 0xf
	codeMakeUp  = 1 << 4
	codeRunBits = 6
)

type runTable [1 << runBits]runCode

// runTables are those of black and of white runs.
var runTables = [2]runTable{*runs(&blackTerminating, &blackMakeUp), *runs(&whiteTerminating, &whiteMakeUp)}

func runs(terminating *[64]string, makeUp *[27]string) *runTable {
	t := new(runTable)
	for i, code := range terminating {
		t.set(code, runCode(i)<<codeRunBits)
	}
	for i, code := range makeUp {
		t.set(code, runCode(i+1)<<codeRunBits|codeMakeUp)
	}
	for i, code := range commonMakeUp {
		t.set(code, runCode(1792/64+i)<<codeRunBits|codeMakeUp)
	}
	return t
}

// set enters the code at every index that begins with it.
func (t *runTable) set(code string, entry runCode) {
	first, n := codeIndexes(code, runBits)
	for i := first; i < first+n; i++ {
		t[i] = entry | runCode(len(code))
	}
}

// codeIndexes gives the first of the n table indexes of the given width whose
// leading bits are code.
func codeIndexes(code string, width int) (first, n int) {
	for _, bit := range code {
		first = first<<1 | int(bit-'0')
	}
	n = 1 << (width - len(code))
	return first * n, n
}

// pairBits is how many bits of a row a look-up of two runs sees; nearly all
// runs of a halftone are short enough to be found so.
const pairBits = 13

// A pair is what the next pairBits bits begin with, if it is two runs without
// make-up codes, else 0.
//
//	bits 0– 3  how many bits the two codes take
//	bits 4– 9  the length of the first run
//	bits 10–   the length of the second
type pair uint16

const (
	pairLength = 0xf
	pairFirst  = 4
	pairSecond = 10
)

func (p pair) bits() int     { return int(p & pairLength) }
func (p pair) first() int32  { return int32(p >> pairFirst & 63) }
func (p pair) second() int32 { return int32(p >> pairSecond) }

type pairTable [1 << pairBits]pair

// pairs are those of a black and a white run, and of a white and a black one.
var pairs = [2]pairTable{*pairsOf(&runTables[0], &runTables[1]), *pairsOf(&runTables[1], &runTables[0])}

func pairsOf(one, two *runTable) *pairTable {
	t := new(pairTable)
	for i := range t {
		bits := i << (runBits - pairBits)
		first := one[bits]
		second := two[bits<<(first&codeLength)&(1<<runBits-1)]
		n := first&codeLength + second&codeLength
		if first == 0 || second == 0 || (first|second)&codeMakeUp != 0 || n > pairBits {
			continue
		}
		t[i] = pair(n) | pair(first>>codeRunBits)<<pairFirst | pair(second>>codeRunBits)<<pairSecond
	}
	return t
}
