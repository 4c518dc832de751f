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
		ink := rows[y*c.samples:][:c.samples]
		if 8%c.samples == 0 {
			c.addRow(row, ink)
			continue
		}
		var places [8]uint64 // of the bytes of a word, which belong to no one sample
		c.addRow(row, places[:])
		for i, v := range row {
			ink[i%c.samples] += uint64(v)
		}
	}
}

// widen gives each sample of a row a byte.
func (c *byteCounter) widen(row []byte) []byte {
	wide, full := c.wide, byte(1)<<c.bits-1
	for _, v := range row {
		if c.bits == 4 && len(wide) >= 2 {
			wide[0], wide[1] = v>>4, v&full
			wide = wide[2:]
			continue
		}
		for shift := 8 - c.bits; shift >= 0 && len(wide) > 0; shift -= c.bits {
			wide[0] = v >> shift & full
			wide = wide[1:]
		}
	}
	return c.wide
}

// addRow adds a row to the lanes, and what its words hold at each place to the
// sums of samples that recur every len(sums) places.
func (c *byteCounter) addRow(row []byte, sums []uint64) {
	const most = 256 // words whose bytes a 16-bit field holds
	even, odd := c.even, c.odd
	for len(row) >= 8 {
		words := min(len(row)/8, most)
		e, o := even[:words], odd[:words]
		part := row[:8*words]
		var rowEven, rowOdd uint64
		for i := range e {
			w := binary.LittleEndian.Uint64(part[8*i:])
			a, b := w&evenBytes, w>>8&evenBytes
			e[i] += a
			o[i] += b
			rowEven += a
			rowOdd += b
		}
		addFields(sums, rowEven, rowOdd)
		row, even, odd = row[8*words:], even[words:], odd[words:]
	}
	if len(row) > 0 {
		var last [8]byte
		copy(last[:], row)
		w := binary.LittleEndian.Uint64(last[:])
		even[0] += w & evenBytes
		odd[0] += w >> 8 & evenBytes
		addFields(sums, w&evenBytes, w>>8&evenBytes)
	}
}

func addFields(sums []uint64, even, odd uint64) {
	n := len(sums)
	for i := range 4 {
		sums[2*i%n] += even >> (16 * i) & 0xffff
		sums[(2*i+1)%n] += odd >> (16 * i) & 0xffff
	}
}

func (c *byteCounter) drain(lanes []uint32) {
	for ; len(lanes) >= 8; lanes = lanes[8:] {
		word := (c.n - len(lanes)) / 8
		e, o := c.even[word], c.odd[word]
		lanes[0], lanes[1], lanes[2], lanes[3] = uint32(e&0xffff), uint32(o&0xffff), uint32(e>>16&0xffff), uint32(o>>16&0xffff)
		lanes[4], lanes[5], lanes[6], lanes[7] = uint32(e>>32&0xffff), uint32(o>>32&0xffff), uint32(e>>48), uint32(o>>48)
	}
	for i := range lanes {
		half := c.even
		if i%2 == 1 {
			half = c.odd
		}
		lanes[i] = uint32(half[c.n/8] >> (i / 2 * 16) & 0xffff)
	}
	clear(c.even)
	clear(c.odd)
}
