package coverage

import "encoding/binary"

// A byteCounter counts 8-bit lanes, and 2- and 4-bit ones after widening them
// to bytes. Eight bytes are added at once, as the even and the odd ones in
// 16-bit fields of a word: maxCell rows of 255 stay below 65536.
type byteCounter struct {
	samples int // a pixel
	bits    int // a sample: 2, 4 or 8
	n       int // lanes
	pieces  []bytePiece
	made    [groupRows][groupBytes + 4]byte // pieces of rows that are not there as whole bytes
	table   *[256]uint32                    // the samples of a byte, a byte each
}

// groupRows rows are added at once, groupWords words at a time: each row's own
// ink in these stays within 16 bits, too.
const (
	groupRows  = 4
	groupWords = 128
	groupBytes = 8 * groupWords
)

// A pieceRow is what a bytePiece covers of a row.
type (
	bytePiece struct{ even, odd [groupWords]uint64 }
	pieceRow  [groupBytes]byte
)

// rowSums are, of each row, the sums of the even and of the odd bytes of its
// words, in two parts of four.
type rowSums [groupRows][2][8]uint32

// fields are the sums of the even and of the odd bytes of a word.
type fields struct{ even, odd uint64 }

const evenBytes = 0x00ff00ff00ff00ff

func (c *byteCounter) reset(n int) {
	if c.n == n {
		return
	}
	c.n = n
	c.pieces = zeros[bytePiece]((n + groupBytes - 1) / groupBytes)
	if c.bits < 8 {
		c.table = wideTable(c.bits)
	}
}

// wideTable gives each sample of a byte a byte of its own, the leftmost the
// lowest.
func wideTable(bits int) *[256]uint32 {
	t := new([256]uint32)
	for v := range uint32(256) {
		for i := range 8 / bits {
			t[v] |= v >> (8 - bits*(i+1)) & (1<<bits - 1) << (8 * i)
		}
	}
	return t
}

// add counts rows of 2-, 4- or 8-bit samples.
func (c *byteCounter) add(data []byte, stride int, rows []uint64) {
	for count := len(rows) / c.samples; count > 0; count -= groupRows {
		var group [groupRows][]byte
		for r := range min(count, groupRows) {
			group[r] = data[r*stride:][:(c.n*c.bits+7)/8]
		}
		c.addRows(&group, rows)
		if count > groupRows {
			data, rows = data[groupRows*stride:], rows[groupRows*c.samples:]
		}
	}
}

// addRows adds rows, of which the last may be missing, to the lanes and their
// ink to sums, a value a sample.
func (c *byteCounter) addRows(rows *[groupRows][]byte, sums []uint64) {
	var ink rowSums
	for i := range c.pieces {
		p0, p1, p2, p3 := c.piece(rows, 0, i), c.piece(rows, 1, i), c.piece(rows, 2, i), c.piece(rows, 3, i)
		if hasVectors {
			addGroup(&c.pieces[i], p0, p1, p2, p3, &ink)
		} else {
			c.pieces[i].add(p0, p1, p2, p3, &ink)
		}
		if 8%c.samples == 0 {
			continue
		}
		for r, p := range [...]*pieceRow{p0, p1, p2, p3} {
			if rows[r] != nil {
				addSamples(sums[r*c.samples:][:c.samples], i*groupBytes%c.samples, p)
			}
		}
	}
	if 8%c.samples > 0 {
		return
	}
	for i := range sums[:min(len(sums), groupRows*c.samples)] {
		for at := i % c.samples; at < 8; at += c.samples {
			sums[i] += ink.at(i/c.samples, at)
		}
	}
}

// piece is piece i of row r, a byte a sample, with zeros behind the last.
func (c *byteCounter) piece(rows *[groupRows][]byte, r, i int) *pieceRow {
	row, n := rows[r], min(groupBytes, c.n-i*groupBytes)
	if c.bits == 8 && n == groupBytes && row != nil {
		return (*pieceRow)(row[i*groupBytes:])
	}
	made := &c.made[r]
	if row == nil {
		n = 0
	} else {
		c.widen(made[:], row[i*groupBytes*c.bits/8:][:(n*c.bits+7)/8])
	}
	clear(made[n:])
	return (*pieceRow)(made[:])
}

// widen gives each sample of a piece a byte.
func (c *byteCounter) widen(wide, row []byte) {
	if c.bits == 8 {
		copy(wide, row)
		return
	}
	per := 8 / c.bits
	for i, v := range row {
		binary.LittleEndian.PutUint32(wide[i*per:], c.table[v])
	}
}

// addSamples adds the ink of a piece, which begins with sample s, to samples
// that do not recur at the same places of every word.
func addSamples(sums []uint64, s int, piece *pieceRow) {
	for _, v := range piece {
		sums[s] += uint64(v)
		if s++; s == len(sums) {
			s = 0
		}
	}
}

// at is what a row holds at one of the eight places of its words.
func (s *rowSums) at(row, place int) uint64 {
	part := &s[row][place%2]
	return uint64(part[place/2]) + uint64(part[place/2+4])
}

// add adds four rows to the lanes, and what each one's words hold to sums.
func (p *bytePiece) add(r0, r1, r2, r3 *pieceRow, sums *rowSums) {
	var s0, s1, s2, s3 fields
	for i := range groupWords {
		w := binary.LittleEndian.Uint64(r0[8*i:])
		e0, o0 := w&evenBytes, w>>8&evenBytes
		s0.even += e0
		s0.odd += o0
		w = binary.LittleEndian.Uint64(r1[8*i:])
		e1, o1 := w&evenBytes, w>>8&evenBytes
		s1.even += e1
		s1.odd += o1
		w = binary.LittleEndian.Uint64(r2[8*i:])
		e2, o2 := w&evenBytes, w>>8&evenBytes
		s2.even += e2
		s2.odd += o2
		w = binary.LittleEndian.Uint64(r3[8*i:])
		e3, o3 := w&evenBytes, w>>8&evenBytes
		s3.even += e3
		s3.odd += o3
		p.even[i] += e0 + e1 + e2 + e3
		p.odd[i] += o0 + o1 + o2 + o3
	}
	for r, s := range [...]fields{s0, s1, s2, s3} {
		for place, v := range s.values() {
			sums[r][place%2][place/2] += v
		}
	}
}

// values are the eight sums in the order of the bytes.
func (f fields) values() [8]uint32 {
	return [...]uint32{
		uint32(f.even & 0xffff), uint32(f.odd & 0xffff), uint32(f.even >> 16 & 0xffff), uint32(f.odd >> 16 & 0xffff),
		uint32(f.even >> 32 & 0xffff), uint32(f.odd >> 32 & 0xffff), uint32(f.even >> 48), uint32(f.odd >> 48),
	}
}

// flushCells moves the counts to the lanes.
func (c *byteCounter) flushCells(lanes []uint32, s *spans) {
	c.flushLanes(lanes)
	s.grown(lanes)
}

// flushLanes moves the counts to the lanes.
func (c *byteCounter) flushLanes(lanes []uint32) {
	for i := range c.pieces {
		p, some := &c.pieces[i], lanes[i*groupBytes:]
		if hasVectors && len(some) >= groupBytes {
			spread((*[groupBytes]uint32)(some), p)
			continue
		}
		for word := range min(groupWords, (len(some)+7)/8) {
			f := fields{p.even[word], p.odd[word]}
			for j, v := range f.values() {
				if at := 8*word + j; at < len(some) {
					some[at] += v
				}
			}
		}
		clear(p.even[:])
		clear(p.odd[:])
	}
}
