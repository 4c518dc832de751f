package coverage

import (
	"encoding/binary"
	"math/bits"
)

// A bitCounter counts 1-bit lanes without unpacking them. Counts are kept
// bit-sliced: plane p holds bit p of every lane's count, 64 lanes a word, and
// 16 rows at once go through a tree of carry-save adders: "Efficient
// computation of positional population counts using SIMD instructions"
// (Klarqvist, Muła and Lemire, 2021), here on plain 64-bit words.
type bitCounter struct {
	n       int // lanes
	words   int // a row
	planes  [8][]uint64
	waiting [batchRows][]uint64 // rows not yet counted
	rows    int                 // how many
}

// batchRows rows are counted at once; maxCell rows count to 240, so that 8
// planes hold every count.
const batchRows = 16

func (c *bitCounter) reset(n int) {
	if c.n == n {
		return
	}
	c.n, c.words = n, (n+63)/64
	for p := range c.planes {
		c.planes[p] = make([]uint64, c.words)
	}
	for r := range c.waiting {
		c.waiting[r] = make([]uint64, c.words)
	}
}

// add counts packed rows of one sample a pixel.
func (c *bitCounter) add(data []byte, stride int, rows []uint64) {
	for y := range rows {
		rows[y] += c.load(c.waiting[c.rows], data[y*stride:])
		if c.rows++; c.rows == batchRows {
			c.batch()
		}
	}
}

// load copies a packed row into whole words, clears the bits behind its last
// lane, and returns how many ones it has. Byte 0 becomes the lowest byte.
func (c *bitCounter) load(words []uint64, row []byte) (ones uint64) {
	row = row[:(c.n+7)/8]
	full := len(row) / 8
	for i := range words[:full] {
		w := binary.LittleEndian.Uint64(row[8*i:])
		words[i] = w
		ones += uint64(bits.OnesCount64(w))
	}
	if full < c.words {
		var last [8]byte
		copy(last[:], row[8*full:])
		words[full] = binary.LittleEndian.Uint64(last[:])
		ones += uint64(bits.OnesCount64(words[full]))
	}
	if spare := 8*len(row) - c.n; spare > 0 {
		behind := uint64(0xff>>(8-spare)) << (8 * ((len(row) - 1) % 8))
		ones -= uint64(bits.OnesCount64(words[c.words-1] & behind))
		words[c.words-1] &^= behind
	}
	return ones
}

// batch adds the waiting rows to the planes.
func (c *bitCounter) batch() {
	r, p := &c.waiting, &c.planes
	for i := range p[0][:c.words] {
		one, two, four, eight := p[0][i], p[1][i], p[2][i], p[3][i]
		var t1, t2, f1, f2, e1, e2, carry uint64
		one, t1 = addBits(one, r[0][i], r[1][i])
		one, t2 = addBits(one, r[2][i], r[3][i])
		two, f1 = addBits(two, t1, t2)
		one, t1 = addBits(one, r[4][i], r[5][i])
		one, t2 = addBits(one, r[6][i], r[7][i])
		two, f2 = addBits(two, t1, t2)
		four, e1 = addBits(four, f1, f2)
		one, t1 = addBits(one, r[8][i], r[9][i])
		one, t2 = addBits(one, r[10][i], r[11][i])
		two, f1 = addBits(two, t1, t2)
		one, t1 = addBits(one, r[12][i], r[13][i])
		one, t2 = addBits(one, r[14][i], r[15][i])
		two, f2 = addBits(two, t1, t2)
		four, e2 = addBits(four, f1, f2)
		eight, carry = addBits(eight, e1, e2)
		p[0][i], p[1][i], p[2][i], p[3][i] = one, two, four, eight
		for k := 4; k < len(p); k++ {
			p[k][i], carry = p[k][i]^carry, p[k][i]&carry
		}
	}
	c.rows = 0
}

// addBits adds three bits in each of 64 places: a carry-save adder.
func addBits(a, b, c uint64) (sum, carry uint64) {
	half := a ^ b
	return half ^ c, a&b | half&c
}

// drain reads the counts off the planes, eight lanes at a time.
func (c *bitCounter) drain(lanes []uint32) {
	if c.rows > 0 {
		for r := c.rows; r < batchRows; r++ {
			clear(c.waiting[r])
		}
		c.batch()
	}
	for first := 0; first < len(lanes); first += 8 {
		word, shift := first/64, first%64
		var counts uint64 // one byte a lane
		for p := range c.planes {
			counts += spread[c.planes[p][word]>>shift&0xff] << p
		}
		for i := range lanes[first:min(first+8, len(lanes))] {
			lanes[first+i] = uint32(counts >> (8 * i) & 0xff)
		}
	}
	for p := range c.planes {
		clear(c.planes[p])
	}
}

// spread puts each bit of a byte in a byte of its own, the most significant
// bit, which is the leftmost pixel, in the lowest.
var spread = spreadTable()

func spreadTable() *[256]uint64 {
	t := new([256]uint64)
	for b := range t {
		for i := range 8 {
			t[b] |= uint64(b>>(7-i)&1) << (8 * i)
		}
	}
	return t
}
