package coverage

import (
	"encoding/binary"
	"math/bits"
)

// A wordCounter counts 16-bit lanes. Four are added at once, as the even and
// the odd ones in 32-bit fields of a word, which hold maxCell rows of 65535
// with ease.
type wordCounter struct {
	samples int // a pixel
	little  bool
	n       int // lanes
	sums    []fields
}

const evenWords = 0x0000ffff0000ffff

// mostWords of four lanes of 65535 are added up in 32-bit fields.
const mostWords = 1 << 16

func (c *wordCounter) reset(n int) {
	if c.n != n {
		c.n = n
		c.sums = zeros[fields]((n + 3) / 4)
	}
}

// add counts rows of 16-bit samples.
func (c *wordCounter) add(data []byte, stride int, rows []uint64) {
	for y := range len(rows) / c.samples {
		row := data[y*stride:][:2*c.n]
		places := c.addRow(row)
		ink := rows[y*c.samples:][:c.samples]
		if 4%c.samples == 0 {
			for i, v := range places {
				ink[i%c.samples] += v
			}
			continue
		}
		c.addSamples(ink, row)
	}
}

// addRow adds a row to the lanes and returns what its words of four hold at
// each place.
func (c *wordCounter) addRow(row []byte) (places [4]uint64) {
	for at := c.sums; len(row) >= 8; {
		words := min(len(row)/8, mostWords)
		c.addWords(at[:words], row[:8*words], &places)
		row, at = row[8*words:], at[words:]
	}
	if len(row) > 0 {
		var last [8]byte
		copy(last[:], row)
		c.addWords(c.sums[len(c.sums)-1:], last[:], &places)
	}
	return places
}

func (c *wordCounter) addWords(at []fields, row []byte, places *[4]uint64) {
	var sum fields
	for i := range at {
		w := binary.LittleEndian.Uint64(row[8*i:])
		if !c.little {
			w = bits.ReverseBytes64(w) // now the lanes stand in reverse, too
		}
		even, odd := w&evenWords, w>>16&evenWords
		at[i].even += even
		at[i].odd += odd
		sum.even += even
		sum.odd += odd
	}
	for i, v := range c.values(sum) {
		places[i] += uint64(v)
	}
}

// values are the four sums from left to right.
func (c *wordCounter) values(f fields) [4]uint32 {
	if c.little {
		return [...]uint32{uint32(f.even), uint32(f.odd), uint32(f.even >> 32), uint32(f.odd >> 32)}
	}
	return [...]uint32{uint32(f.odd >> 32), uint32(f.even >> 32), uint32(f.odd), uint32(f.even)}
}

// addSamples adds a row's ink to samples that do not recur at the same places
// of every word.
func (c *wordCounter) addSamples(sums []uint64, row []byte) {
	for ; len(row) > 0; row = row[2*len(sums):] {
		for s := range sums {
			v := binary.BigEndian.Uint16(row[2*s:])
			if c.little {
				v = bits.ReverseBytes16(v)
			}
			sums[s] += uint64(v)
		}
	}
}

// flushCells moves the counts to the lanes.
func (c *wordCounter) flushCells(lanes []uint32, s *spans) {
	c.flushLanes(lanes)
	s.grown(lanes)
}

// flushLanes moves the counts to the lanes.
func (c *wordCounter) flushLanes(lanes []uint32) {
	for i, f := range c.sums {
		for j, v := range c.values(f) {
			if at := 4*i + j; at < len(lanes) {
				lanes[at] += v
			}
		}
	}
	clear(c.sums)
}
