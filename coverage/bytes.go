package coverage

import "encoding/binary"

// A byteCounter counts 8-bit lanes, and 2- and 4-bit ones after widening them
// to bytes. Eight bytes are added at once, as the even and the odd ones in
// 16-bit fields of a word: maxCell rows of 255 stay below 65536.
type byteCounter struct {
	samples   int // a pixel
	bits      int // a sample: 2, 4 or 8
	wide      []byte
	n         int // lanes
	even, odd []uint64
}

const evenBytes = 0x00ff00ff00ff00ff

func (c *byteCounter) reset(n int) {
	if c.n == n {
		return
	}
	c.n = n
	c.wide = make([]byte, n)
	c.even, c.odd = make([]uint64, (n+7)/8), make([]uint64, (n+7)/8)
}

// add counts rows of 2-, 4- or 8-bit samples.
func (c *byteCounter) add(data []byte, stride int, rows []uint64) {
	for y := range len(rows) / c.samples {
		row := data[y*stride:][:(c.n*c.bits+7)/8]
		if c.bits < 8 {
			row = c.widen(row)
		}
		c.addRow(row)
		addSamples(rows[y*c.samples:][:c.samples], row)
	}
}

// widen gives each sample of a row a byte.
func (c *byteCounter) widen(row []byte) []byte {
	a, full := 8/c.bits, byte(1)<<c.bits-1
	for i := range c.wide {
		c.wide[i] = row[i/a] >> (8 - c.bits - i%a*c.bits) & full
	}
	return c.wide
}

func (c *byteCounter) addRow(row []byte) {
	full := len(row) / 8
	for i := range full {
		w := binary.LittleEndian.Uint64(row[8*i:])
		c.even[i] += w & evenBytes
		c.odd[i] += w >> 8 & evenBytes
	}
	if full < len(c.even) {
		var last [8]byte
		copy(last[:], row[8*full:])
		w := binary.LittleEndian.Uint64(last[:])
		c.even[full] += w & evenBytes
		c.odd[full] += w >> 8 & evenBytes
	}
}

// addSamples adds the samples of a row to the sums of a pixel's samples.
func addSamples(sums []uint64, row []byte) {
	switch n := len(sums); n {
	case 1, 2, 4, 8:
		lanes := addWords(row)
		for i, v := range lanes {
			sums[i%n] += v
		}
		for i, v := range row[len(row)/8*8:] {
			sums[i%n] += uint64(v)
		}
	default:
		for i, v := range row {
			sums[i%n] += uint64(v)
		}
	}
}

// addWords adds up the bytes at each of the 8 places of a row's whole words.
func addWords(row []byte) (sums [8]uint64) {
	const most = 256 // words whose bytes a 16-bit field holds
	for len(row) >= 8 {
		words := min(len(row)/8, most)
		var even, odd uint64
		for i := range words {
			w := binary.LittleEndian.Uint64(row[8*i:])
			even += w & evenBytes
			odd += w >> 8 & evenBytes
		}
		for i := range 4 {
			sums[2*i] += even >> (16 * i) & 0xffff
			sums[2*i+1] += odd >> (16 * i) & 0xffff
		}
		row = row[8*words:]
	}
	return sums
}

func (c *byteCounter) drain(lanes []uint32) {
	for i := range lanes {
		half := c.even
		if i%2 == 1 {
			half = c.odd
		}
		lanes[i] = uint32(half[i/8] >> (i % 8 / 2 * 16) & 0xffff)
	}
	clear(c.even)
	clear(c.odd)
}
