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
	for len(row) >= 32 && len(words) >= 4 {
		w0, w1 := binary.LittleEndian.Uint64(row), binary.LittleEndian.Uint64(row[8:])
		w2, w3 := binary.LittleEndian.Uint64(row[16:]), binary.LittleEndian.Uint64(row[24:])
		words[0], words[1], words[2], words[3] = w0, w1, w2, w3
		ones += uint64(bits.OnesCount64(w0) + bits.OnesCount64(w1) + bits.OnesCount64(w2) + bits.OnesCount64(w3))
		row, words = row[32:], words[4:]
	}
	for i := range words {
		words[i] = wordAt(row, i)
		ones += uint64(bits.OnesCount64(words[i]))
	}
	if spare := -c.n & 7; spare > 0 {
		last, behind := len(words)-1, byte(1<<spare-1)
		ones -= uint64(bits.OnesCount8(row[len(row)-1] & behind))
		words[last] &^= uint64(behind) << (8 * ((len(row) - 1) % 8))
	}
	return ones
}

// wordAt is word i of a row, whose last word may be short.
func wordAt(row []byte, i int) uint64 {
	var word [8]byte
	copy(word[:], row[8*i:])
	return binary.LittleEndian.Uint64(word[:])
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
	for word := range c.words {
		var planes [8]uint64
		for p := range planes {
			planes[p] = c.planes[p][word]
		}
		for first := 64 * word; first < min(64*word+64, len(lanes)); first += 8 {
			counts := byteCounts(&planes)
			for p := range planes {
				planes[p] >>= 8
			}
			if first+8 <= len(lanes) {
				storeCounts((*[8]uint32)(lanes[first:]), counts)
				continue
			}
			for i := first; i < len(lanes); i++ {
				lanes[i] = uint32(counts & 0xff)
				counts >>= 8
			}
		}
	}
	for p := range c.planes {
		clear(c.planes[p])
	}
}

// byteCounts puts the counts of the lanes in the planes' lowest bytes into a
// byte each, that of the leftmost pixel lowest.
func byteCounts(p *[8]uint64) uint64 {
	return spread[uint8(p[0])] + spread[uint8(p[1])]<<1 + spread[uint8(p[2])]<<2 + spread[uint8(p[3])]<<3 +
		spread[uint8(p[4])]<<4 + spread[uint8(p[5])]<<5 + spread[uint8(p[6])]<<6 + spread[uint8(p[7])]<<7
}

func storeCounts(lanes *[8]uint32, counts uint64) {
	lanes[0], lanes[1], lanes[2], lanes[3] = uint32(counts&0xff), uint32(counts>>8&0xff), uint32(counts>>16&0xff), uint32(counts>>24&0xff)
	lanes[4], lanes[5], lanes[6], lanes[7] = uint32(counts>>32&0xff), uint32(counts>>40&0xff), uint32(counts>>48&0xff), uint32(counts>>56)
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
