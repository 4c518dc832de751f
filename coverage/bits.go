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
	samples int // a pixel
	n       int // lanes
	words   int // a row
	planes  [8][]uint64
	waiting [batchRows][]uint64 // rows not yet counted
	rows    int                 // how many
	masks   [][]uint64          // where samples are in word i: masks[i%samples], one a sample
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
	if c.samples > 1 {
		c.masks = sampleMasks(c.samples)
	}
}

// sampleMasks says where each sample of a pixel stands in whole words of a row,
// byte 0 of which is the lowest.
func sampleMasks(samples int) [][]uint64 {
	masks := make([][]uint64, samples)
	for i := range masks {
		masks[i] = make([]uint64, samples)
		for place := range 64 {
			bit := place&^7 + 7 - place&7 // the leftmost pixel is a byte's highest bit
			masks[i][(64*i+place)%samples] |= 1 << bit
		}
	}
	return masks
}

// add counts packed rows.
func (c *bitCounter) add(data []byte, stride int, rows []uint64) {
	for y := range len(rows) / c.samples {
		row := c.waiting[c.rows]
		ones := c.load(row, data[y*stride:])
		if c.samples == 1 {
			rows[y] += ones
		} else {
			c.addSamples(rows[y*c.samples:][:c.samples], row)
		}
		if c.rows++; c.rows == batchRows {
			c.batch()
		}
	}
}

// addSamples adds the ones of each sample of a row.
func (c *bitCounter) addSamples(sums []uint64, row []uint64) {
	for i, w := range row {
		for s, mask := range c.masks[i%c.samples] {
			sums[s] += uint64(bits.OnesCount64(w & mask))
		}
	}
}

// load copies a packed row into whole words, clears the bits behind its last
// lane, and returns how many ones it has. Byte 0 becomes the lowest byte.
func (c *bitCounter) load(words []uint64, row []byte) (ones uint64) {
	row = row[:(c.n+7)/8]
	rest, at := row, words
	for len(rest) >= 32 && len(at) >= 4 {
		w0, w1 := binary.LittleEndian.Uint64(rest), binary.LittleEndian.Uint64(rest[8:])
		w2, w3 := binary.LittleEndian.Uint64(rest[16:]), binary.LittleEndian.Uint64(rest[24:])
		at[0], at[1], at[2], at[3] = w0, w1, w2, w3
		ones += uint64(bits.OnesCount64(w0) + bits.OnesCount64(w1) + bits.OnesCount64(w2) + bits.OnesCount64(w3))
		rest, at = rest[32:], at[4:]
	}
	for i := range at {
		var word [8]byte
		copy(word[:], rest[8*i:])
		at[i] = binary.LittleEndian.Uint64(word[:])
		ones += uint64(bits.OnesCount64(at[i]))
	}
	if spare := -c.n & 7; spare > 0 {
		behind := byte(1<<spare - 1)
		ones -= uint64(bits.OnesCount8(row[len(row)-1] & behind))
		words[c.words-1] &^= uint64(behind) << (8 * ((len(row) - 1) % 8))
	}
	return ones
}

// batch adds the waiting rows to the planes.
func (c *bitCounter) batch() {
	n := c.words
	p0, p1, p2, p3 := c.planes[0][:n], c.planes[1][:n], c.planes[2][:n], c.planes[3][:n]
	p4, p5, p6, p7 := c.planes[4][:n], c.planes[5][:n], c.planes[6][:n], c.planes[7][:n]
	r0, r1, r2, r3 := c.waiting[0][:n], c.waiting[1][:n], c.waiting[2][:n], c.waiting[3][:n]
	r4, r5, r6, r7 := c.waiting[4][:n], c.waiting[5][:n], c.waiting[6][:n], c.waiting[7][:n]
	r8, r9, r10, r11 := c.waiting[8][:n], c.waiting[9][:n], c.waiting[10][:n], c.waiting[11][:n]
	r12, r13, r14, r15 := c.waiting[12][:n], c.waiting[13][:n], c.waiting[14][:n], c.waiting[15][:n]
	for i := range p0 {
		var t1, t2, f1, f2, e1, e2 uint64
		one, two, four := p0[i], p1[i], p2[i]
		one, t1 = addBits(one, r0[i], r1[i])
		one, t2 = addBits(one, r2[i], r3[i])
		two, f1 = addBits(two, t1, t2)
		one, t1 = addBits(one, r4[i], r5[i])
		one, t2 = addBits(one, r6[i], r7[i])
		two, f2 = addBits(two, t1, t2)
		four, e1 = addBits(four, f1, f2)
		one, t1 = addBits(one, r8[i], r9[i])
		one, t2 = addBits(one, r10[i], r11[i])
		two, f1 = addBits(two, t1, t2)
		one, t1 = addBits(one, r12[i], r13[i])
		one, t2 = addBits(one, r14[i], r15[i])
		two, f2 = addBits(two, t1, t2)
		four, e2 = addBits(four, f1, f2)
		p0[i], p1[i], p2[i] = one, two, four
		eight, carry := addBits(p3[i], e1, e2)
		p3[i] = eight
		p4[i], carry = p4[i]^carry, p4[i]&carry
		p5[i], carry = p5[i]^carry, p5[i]&carry
		p6[i], carry = p6[i]^carry, p6[i]&carry
		p7[i] ^= carry
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
		for _, row := range c.waiting[c.rows:] {
			clear(row)
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
