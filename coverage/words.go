package coverage

import "encoding/binary"

// A wordCounter counts 16-bit lanes; maxCell rows of 65535 stay within 32 bits.
type wordCounter struct {
	samples int // a pixel
	little  bool
	sums    []uint32
}

func (c *wordCounter) reset(n int) {
	if len(c.sums) != n {
		c.sums = make([]uint32, n)
	}
}

// add counts rows of 16-bit samples.
func (c *wordCounter) add(data []byte, stride int, rows []uint64) {
	for y := range len(rows) / c.samples {
		row := data[y*stride:][:2*len(c.sums)]
		ink := rows[y*c.samples:][:c.samples]
		for i := range c.sums {
			v := binary.BigEndian.Uint16(row[2*i:])
			if c.little {
				v = v>>8 | v<<8
			}
			c.sums[i] += uint32(v)
			ink[i%c.samples] += uint64(v)
		}
	}
}

func (c *wordCounter) drain(lanes []uint32) {
	copy(lanes, c.sums)
	clear(c.sums)
}
