package tiff

import (
	"bytes"
	"fmt"
	"slices"
)

// jpegCodes are a Huffman table, whose codes of one length follow each other:
// T.81, annex C.
type jpegCodes struct {
	short  [1 << 8]uint16 // by the next 8 bits: the code's length, and its value below; 0 where it is longer
	limit  [17]int        // by length: the first 16 bits that begin with no code so short
	place  [17]int        // by length: what added to a code gives its place in values
	values []byte
}

// maxDefined is how many tables may be defined: eight there can be at once, which
// a segment may define anew, and again between its scans.
const maxDefined = 32

// defineCodes reads Huffman tables: T.81, B.2.4.2.
func (s *jpegScanner) defineCodes(body []byte) error {
	for len(body) > 0 {
		if s.defined++; len(body) < 17 || body[0]>>4 > 1 || body[0]&15 > 3 || s.defined > maxDefined {
			return errCodes
		}
		codes := new(jpegCodes)
		count := 0
		for _, n := range body[1:17] {
			count += int(n)
		}
		if count > 256 || len(body) < 17+count {
			return errCodes
		}
		codes.values = bytes.Clone(body[17 : 17+count])
		if !codes.build(body[1:17]) || body[0]>>4 == 0 && len(codes.values) > 0 && slices.Max(codes.values) > maxCategory {
			return errCodes
		}
		s.tables[body[0]>>4][body[0]&15] = codes
		body = body[17+count:]
	}
	return nil
}

// maxCategory is the largest of DC coefficients that libjpeg takes: four bits say
// how many bits of a difference follow.
const maxCategory = 15

var errCodes = fmt.Errorf("%w: a table of codes", errJPEG)

// build makes a table from how many codes of each length there are, and tells
// if there can be so many: none is of ones alone (annex C).
func (c *jpegCodes) build(counts []byte) bool {
	code, at := 0, 0
	for i, n := range counts {
		length := i + 1
		c.place[length] = at - code
		for ; n > 0; n-- {
			if code >= 1<<length-1 {
				return false
			}
			for entry := code << 8 >> length; length <= 8 && entry < (code+1)<<8>>length; entry++ {
				c.short[entry] = uint16(length)<<8 | uint16(c.values[at])
			}
			code, at = code+1, at+1
		}
		c.limit[length] = code << (16 - length)
		code <<= 1
	}
	return true
}

// find returns the length and the value of the code that 16 bits begin with, 0
// where there is none.
func (c *jpegCodes) find(bits int) (length, value int) {
	if e := c.short[bits>>8]; e != 0 {
		return int(e >> 8), int(e & 0xff)
	}
	for length = 9; length <= 16; length++ {
		if bits < c.limit[length] {
			return length, int(c.values[bits>>(16-length)+c.place[length]])
		}
	}
	return 0, 0
}

// jpegBits are the bits of a scan.
type jpegBits struct {
	data []byte
	pos  int    // of the next byte
	acc  uint64 // the next n bits, left-aligned
	n    int
	made int // bits of acc that were made up behind the data's end
}

// fill makes sure of 57 bits; behind the end of the data they are zeros.
func (b *jpegBits) fill() {
	for b.n <= 56 {
		var v byte
		switch {
		case b.pos < len(b.data) && b.data[b.pos] != 0xff:
			v = b.data[b.pos]
			b.pos++
		case b.pos+1 < len(b.data) && b.data[b.pos+1] == 0: // a byte of ones: T.81, B.1.1.5
			v = 0xff
			b.pos += 2
		default:
			b.made += 8
		}
		b.acc |= uint64(v) << (56 - b.n)
		b.n += 8
	}
}

// take goes on by some bits, all of which must have been there.
func (b *jpegBits) take(n int) error {
	b.acc <<= n
	b.n -= n
	if b.n < b.made {
		return fmt.Errorf("%w: its data end early", errJPEG)
	}
	return nil
}

// value reads a code and passes over the bits behind it that the lower half of
// its value says.
func (b *jpegBits) value(codes *jpegCodes) (v int, err error) {
	b.fill()
	length, v := codes.find(int(b.acc >> 48))
	if length == 0 {
		return 0, fmt.Errorf("%w: bits that are not a code", errJPEG)
	}
	return v, b.take(length + v&15)
}

// block passes over one block of 64 coefficients: T.81, F.1.2.
func (b *jpegBits) block(codes [2]*jpegCodes) error {
	if _, err := b.value(codes[0]); err != nil {
		return err
	}
	const zeros16, rest = 0xf0, 0
	for k := 1; k < 64; k++ {
		v, err := b.value(codes[1])
		switch {
		case err != nil:
			return err
		case v == rest:
			return nil
		case v&15 == 0 && v != zeros16:
			return fmt.Errorf("%w: a code of no coefficient", errJPEG)
		}
		if k += v >> 4; k > 63 {
			return fmt.Errorf("%w: more coefficients than a block has", errJPEG)
		}
	}
	return nil
}

// aligned goes to the marker behind the data, before which less than a byte may
// be left.
func (b *jpegBits) aligned() error {
	if b.n-b.made >= 8 {
		return fmt.Errorf("%w: data after its last block", errJPEG)
	}
	b.acc, b.n, b.made = 0, 0, 0
	return nil
}

func (b *jpegBits) atMarker() bool {
	return b.pos+1 < len(b.data) && b.data[b.pos] == 0xff && b.data[b.pos+1] != 0
}

// restart passes over a restart marker, whose numbers go round from 0 to 7.
func (b *jpegBits) restart(n int) error {
	if err := b.aligned(); err != nil {
		return err
	}
	if !b.atMarker() || b.data[b.pos+1] != markerRST0+byte(n%8) {
		return fmt.Errorf("%w: no restart where one is due", errJPEG)
	}
	b.pos += 2
	return nil
}

// end returns how many bytes the data took.
func (b *jpegBits) end() (used int, err error) { return b.pos, b.aligned() }
