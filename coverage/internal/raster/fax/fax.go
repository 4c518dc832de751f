// Package fax codes rows of 1 bit a pixel by ITU-T T.4 and T.6, as Group 3, Group 4
// and Modified Huffman, for files that are written and for tests of those that are
// read.
package fax

import (
	"io"
	"strconv"
	"strings"
)

// The codes of ITU-T T.4 and T.6. A row is given as run ends: the pixels at
// which it changes, white (bits of 0) up to ends[0], black to ends[1], and so
// on; a change at the width or beyond is no change.

// Codes of run lengths, T.4 tables 2, 3a and 3b: 0 to 63 in ones, then 64 to
// 2560 in steps of 64.
var (
	whiteCodes = codes(`
00110101 000111 0111 1000 1011 1100 1110 1111 10011 10100 00111 01000 001000
000011 110100 110101 101010 101011 0100111 0001100 0001000 0010111 0000011
0000100 0101000 0101011 0010011 0100100 0011000 00000010 00000011 00011010
00011011 00010010 00010011 00010100 00010101 00010110 00010111 00101000 00101001
00101010 00101011 00101100 00101101 00000100 00000101 00001010 00001011 01010010
01010011 01010100 01010101 00100100 00100101 01011000 01011001 01011010 01011011
01001010 01001011 00110010 00110011 00110100
11011 10010 010111 0110111 00110110 00110111 01100100 01100101 01101000 01100111
011001100 011001101 011010010 011010011 011010100 011010101 011010110 011010111
011011000 011011001 011011010 011011011 010011000 010011001 010011010 011000
010011011` + extendedCodes)
	blackCodes = codes(`
0000110111 010 11 10 011 0011 0010 00011 000101 000100 0000100 0000101 0000111
00000100 00000111 000011000 0000010111 0000011000 0000001000 00001100111
00001101000 00001101100 00000110111 00000101000 00000010111 00000011000
000011001010 000011001011 000011001100 000011001101 000001101000 000001101001
000001101010 000001101011 000011010010 000011010011 000011010100 000011010101
000011010110 000011010111 000001101100 000001101101 000011011010 000011011011
000001010100 000001010101 000001010110 000001010111 000001100100 000001100101
000001010010 000001010011 000000100100 000000110111 000000111000 000000100111
000000101000 000001011000 000001011001 000000101011 000000101100 000001011010
000001100110 000001100111
0000001111 000011001000 000011001001 000001011011 000000110011 000000110100
000000110101 0000001101100 0000001101101 0000001001010 0000001001011
0000001001100 0000001001101 0000001110010 0000001110011 0000001110100
0000001110101 0000001110110 0000001110111 0000001010010 0000001010011
0000001010100 0000001010101 0000001011010 0000001011011 0000001100100
0000001100101` + extendedCodes)
)

// extendedCodes are those of 1792 to 2560, the same for both colours.
const extendedCodes = `
00000001000 00000001100 00000001101 000000010010 000000010011 000000010100
000000010101 000000010110 000000010111 000000011100 000000011101 000000011110
000000011111`

// Codes of T.4 table 4; vertical[3+d] is that of a1 standing d to the right of b1.
var (
	pass       = code("0001")
	horizontal = code("001")
	vertical   = codes("0000010 000010 010 1 011 000011 0000011")
	eol        = code("000000000001")
)

// A bitCode is a code and its length in bits.
type bitCode struct {
	bits uint32
	n    uint
}

func code(s string) bitCode {
	v, err := strconv.ParseUint(s, 2, 32)
	if err != nil {
		panic(err)
	}
	return bitCode{uint32(v), uint(len(s))}
}

func codes(s string) []bitCode {
	var list []bitCode
	for _, f := range strings.Fields(s) {
		list = append(list, code(f))
	}
	return list
}

func (b *BitWriter) code(c bitCode) { b.Put(c.bits, c.n) }

// run writes one run of up to any length in the codes of its colour.
func (b *BitWriter) run(table []bitCode, length int32) {
	for ; length > 2560+63; length -= 2560 {
		b.code(table[63+2560/64])
	}
	if length >= 64 {
		b.code(table[63+length/64])
	}
	b.code(table[length%64])
}

// row1D writes a row as alternating white and black runs (T.4, 4.1).
func (b *BitWriter) row1D(ends []int32, width int32) {
	tables := [2][]bitCode{whiteCodes, blackCodes}
	at := int32(0)
	for i := 0; i == 0 || at < width; i++ {
		end := change(ends, i, width)
		b.run(tables[i&1], end-at)
		at = end
	}
}

// change returns changing element i of a row, the width where there is none.
func change(ends []int32, i int, width int32) int32 {
	if i < len(ends) && ends[i] < width {
		return ends[i]
	}
	return width
}

// row2D writes a row against the one above it (T.4, 4.2; T.6, 2.2), in the
// names of T.4 figure 6:
//
//	            b1      b2
//	above  ░░░░░████████░░░░░
//	row    ████░░░░░░███████░
//	          a0     a1     a2
//
// Even elements change to black, odd ones to white.
func (b *BitWriter) row2D(above, row []int32, width int32) {
	tables := [2][]bitCode{whiteCodes, blackCodes}
	a0 := int32(-1) // an imaginary white pixel before the row
	j := 0          // b1 is element j of the row above
	for i := 0; a0 < width; {
		for j > 0 && above[j-1] > a0 {
			j--
		}
		for j < len(above) && (above[j] <= a0 || j&1 != i&1) {
			j++
		}
		a1 := change(row, i, width)
		b1, b2 := change(above, j, width), change(above, j+1, width)
		switch d := a1 - b1; {
		case b2 < a1:
			b.code(pass)
			a0 = b2
		case -3 <= d && d <= 3:
			b.code(vertical[3+d])
			a0 = a1
			i++
		default:
			a2 := change(row, i+1, width)
			b.code(horizontal)
			b.run(tables[i&1], a1-max(a0, 0))
			b.run(tables[i&1^1], a2-a1)
			a0 = a2
			i += 2
		}
	}
}

// A G4Encoder writes rows as Group 4 (T.6) and holds no more than two of them.
type G4Encoder struct {
	w     io.Writer
	err   error
	bits  BitWriter
	width int32
	above []int32
}

// NewG4Encoder returns an encoder of rows of width pixels.
func NewG4Encoder(w io.Writer, width int) *G4Encoder {
	return &G4Encoder{w: w, width: int32(width)}
}

// Row writes the next row; ends are strictly rising and not kept.
func (e *G4Encoder) Row(ends []int32) {
	e.bits.row2D(e.above, ends, e.width)
	e.above = append(e.above[:0], ends...)
	if len(e.bits.Bytes) >= 1<<16 {
		e.flush()
	}
}

func (e *G4Encoder) flush() {
	if e.err == nil {
		_, e.err = e.w.Write(e.bits.Bytes)
	}
	e.bits.Bytes = e.bits.Bytes[:0]
}

// Close writes the end of the block (EOFB) and returns the first error met.
func (e *G4Encoder) Close() error {
	e.bits.code(eol)
	e.bits.code(eol)
	e.bits.Align(0)
	e.flush()
	return e.err
}

// EncodeG4 returns rows of run ends as one Group 4 block with its EOFB (T.6).
func EncodeG4(rows [][]int32, width int) []byte {
	var b BitWriter
	var above []int32
	for _, row := range rows {
		b.row2D(above, row, int32(width))
		above = row
	}
	b.code(eol)
	b.code(eol)
	b.Align(0)
	return b.Bytes
}

// EncodeMH returns rows of run ends as Modified Huffman: one-dimensional codes
// without EOL, every row on a byte of its own (TIFF 6.0, section 10).
func EncodeMH(rows [][]int32, width int) []byte {
	var b BitWriter
	for _, row := range rows {
		b.row1D(row, int32(width))
		b.Align(0)
	}
	return b.Bytes
}

// G3 are the choices that Group 3 leaves to an encoder.
type G3 struct {
	// K is the parameter of two-dimensional coding (T.4, 4.2.1): one row in K
	// is coded by itself. 0 is one-dimensional coding, without tag bits.
	K int
	// FillEOL sets fill bits before every EOL so that it ends on a byte border.
	FillEOL bool
	// RTC ends the block with six EOLs (T.4, 4.1.4).
	RTC bool
}

// EncodeG3 returns rows of run ends as Group 3, an EOL before each (T.4).
func EncodeG3(rows [][]int32, width int, o G3) []byte {
	var b BitWriter
	for y, row := range rows {
		alone := o.K == 0 || y%o.K == 0
		b.g3EOL(o, alone)
		if alone {
			b.row1D(row, int32(width))
		} else {
			b.row2D(rows[y-1], row, int32(width))
		}
	}
	for i := 0; o.RTC && i < 6; i++ {
		b.g3EOL(G3{K: o.K}, true)
	}
	b.Align(0)
	return b.Bytes
}

// g3EOL writes an EOL and, in two-dimensional coding, the tag bit that says how
// the next row is coded.
func (b *BitWriter) g3EOL(o G3, alone bool) {
	for o.FillEOL && b.n != 4 {
		b.Put(0, 1)
	}
	b.code(eol)
	if o.K > 0 && alone {
		b.Put(1, 1)
	} else if o.K > 0 {
		b.Put(0, 1)
	}
}
