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
	samples  int // a pixel
	n        int // lanes
	rowBytes int
	planes   []planes                     // of the rows since the last settling
	deep     []deepPlanes                 // of all before
	last     [batchRows * pieceBytes]byte // of rows, the piece that is not whole
	waiting  []byte                       // rows too few to be added yet
	rows     int                          // how many
	masks    [][]uint64                   // where samples are in word i of a row: masks[i%samples]
}

// batchRows rows are counted at once; maxCell rows count to 240, so that 8
// planes hold every count. Rows are added pieceWords words at a time, which
// stay in the fastest cache.
const (
	batchRows  = 16
	pieceWords = 32
	pieceBytes = 8 * pieceWords
)

// planes hold the counts of a piece, bit by bit: the ones, the twos, the fours.
// deepPlanes hold those of mostRows rows.
type (
	planes     [8][pieceWords]uint64
	deepPlanes [16][pieceWords]uint64
)

func (c *bitCounter) reset(n int) {
	if c.n == n {
		return
	}
	c.n, c.rowBytes = n, (n+7)/8
	c.planes = zeros[planes]((c.rowBytes + pieceBytes - 1) / pieceBytes)
	c.deep = zeros[deepPlanes](len(c.planes))
	c.waiting = make([]byte, batchRows*c.rowBytes)
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
	count := len(rows) / c.samples
	if c.samples > 1 {
		for y := range count {
			c.addSamples(rows[y*c.samples:][:c.samples], data[y*stride:][:c.rowBytes])
		}
	}
	y := 0
	for ; y+batchRows <= count; y += batchRows {
		ones := c.batch(data[y*stride:], stride)
		if c.samples == 1 {
			addOnes(rows[y:], &ones)
		}
	}
	for ; y < count; y++ {
		row := data[y*stride:][:c.rowBytes]
		if c.samples == 1 {
			rows[y] += c.ones(row)
		}
		c.wait(row)
	}
}

func addOnes(rows []uint64, ones *[batchRows][4]uint64) {
	for i, v := range ones {
		rows[i] += v[0] + v[1] + v[2] + v[3]
	}
}

// wait keeps a row until there are enough of them.
func (c *bitCounter) wait(row []byte) {
	copy(c.waiting[c.rows*c.rowBytes:], row)
	if c.rows++; c.rows == batchRows {
		c.batch(c.waiting, c.rowBytes)
		c.rows = 0
	}
}

// addSamples adds the ones of each sample of a row.
func (c *bitCounter) addSamples(sums []uint64, row []byte) {
	for i, turn := 0, 0; 8*i < len(row); i++ {
		w := c.word(row, i)
		for s, mask := range c.masks[turn][:len(sums)] {
			sums[s] += uint64(bits.OnesCount64(w & mask))
		}
		if turn++; turn == len(c.masks) {
			turn = 0
		}
	}
}

// ones counts those of a row.
func (c *bitCounter) ones(row []byte) (ones uint64) {
	for i := 0; 8*i < len(row); i++ {
		ones += uint64(bits.OnesCount64(c.word(row, i)))
	}
	return ones
}

// word returns word i of a row, byte 0 of which becomes the lowest, without
// what stands behind the row's last lane.
func (c *bitCounter) word(row []byte, i int) uint64 {
	if 64*(i+1) <= c.n {
		return binary.LittleEndian.Uint64(row[8*i:])
	}
	var last [8]byte
	copy(last[:], row[8*i:])
	if spare := -c.n & 7; spare > 0 {
		last[len(row)-1-8*i] &^= 1<<spare - 1
	}
	return binary.LittleEndian.Uint64(last[:])
}

// batch adds batchRows rows to the planes and returns each one's ones, in four
// parts.
func (c *bitCounter) batch(data []byte, stride int) (ones [batchRows][4]uint64) {
	for i := range c.planes {
		piece, apart := data[i*pieceBytes:], stride
		if (i+1)*8*pieceBytes > c.n {
			piece, apart = c.lastPiece(piece, stride), pieceBytes
		}
		piece = piece[:(batchRows-1)*apart+pieceBytes]
		if hasVectors {
			addPiece(&c.planes[i], &piece[0], apart, &ones)
		} else {
			c.planes[i].add(piece, apart, &ones)
		}
	}
	return ones
}

// lastPiece copies the rows' last piece, so that zeros stand behind their end.
func (c *bitCounter) lastPiece(data []byte, stride int) []byte {
	n := (c.rowBytes-1)%pieceBytes + 1
	clear(c.last[:])
	for r := range batchRows {
		row := c.last[r*pieceBytes:]
		copy(row, data[r*stride:][:n])
		row[n-1] &^= 1<<(-c.n&7) - 1
	}
	return c.last[:]
}

// add adds a piece of batchRows rows to the counts, and the ones of each to
// ones.
func (p *planes) add(data []byte, stride int, ones *[batchRows][4]uint64) {
	var rows [batchRows][pieceWords]uint64
	for r := range rows {
		piece := (*[pieceBytes]byte)(data[r*stride:])
		for i := range pieceWords {
			w := binary.LittleEndian.Uint64(piece[8*i:])
			rows[r][i] = w
			ones[r][i%4] += uint64(bits.OnesCount64(w))
		}
	}
	for i := range pieceWords {
		var t1, t2, f1, f2, e1, e2 uint64
		one, two, four := p[0][i], p[1][i], p[2][i]
		one, t1 = addBits(one, rows[0][i], rows[1][i])
		one, t2 = addBits(one, rows[2][i], rows[3][i])
		two, f1 = addBits(two, t1, t2)
		one, t1 = addBits(one, rows[4][i], rows[5][i])
		one, t2 = addBits(one, rows[6][i], rows[7][i])
		two, f2 = addBits(two, t1, t2)
		four, e1 = addBits(four, f1, f2)
		one, t1 = addBits(one, rows[8][i], rows[9][i])
		one, t2 = addBits(one, rows[10][i], rows[11][i])
		two, f1 = addBits(two, t1, t2)
		one, t1 = addBits(one, rows[12][i], rows[13][i])
		one, t2 = addBits(one, rows[14][i], rows[15][i])
		two, f2 = addBits(two, t1, t2)
		four, e2 = addBits(four, f1, f2)
		p[0][i], p[1][i], p[2][i] = one, two, four
		eight, carry := addBits(p[3][i], e1, e2)
		p[3][i] = eight
		p[4][i], carry = p[4][i]^carry, p[4][i]&carry
		p[5][i], carry = p[5][i]^carry, p[5][i]&carry
		p[6][i], carry = p[6][i]^carry, p[6][i]&carry
		p[7][i] ^= carry
	}
}

// addBits adds three bits in each of 64 places: a carry-save adder.
func addBits(a, b, c uint64) (sum, carry uint64) {
	half := a ^ b
	return half ^ c, a&b | half&c
}

// flushCells stores what each span got and makes the planes' counts part of the
// deep ones, which costs far less than reading them off lane by lane.
func (c *bitCounter) flushCells(_ []uint32, s *spans) {
	if c.rows > 0 {
		clear(c.waiting[c.rows*c.rowBytes:])
		c.batch(c.waiting, c.rowBytes)
		c.rows = 0
	}
	from := 0
	for i, end := range s.ends {
		c.ink(s.of(s.got, i), from, end)
		from = end
	}
	for i := range c.planes {
		c.deep[i].add(&c.planes[i])
	}
	clear(c.planes)
}

// ink stores the planes' counts of some lanes, added up for each sample.
func (c *bitCounter) ink(sums []uint32, from, end int) {
	clear(sums)
	for word := from / 64; 64*word < end; word++ {
		keep := firstLanes(end-64*word) &^ firstLanes(from-64*word)
		p, i := &c.planes[word/pieceWords], word%pieceWords
		if c.samples == 1 {
			sums[0] += p.ink(i, keep)
			continue
		}
		for s, mask := range c.masks[word%c.samples] {
			sums[s] += p.ink(i, keep&mask)
		}
	}
}

// ink adds up the counts of those lanes of a word that are to be kept.
func (p *planes) ink(word int, keep uint64) (sum uint32) {
	for n := range p {
		sum += uint32(bits.OnesCount64(p[n][word]&keep)) << n
	}
	return sum
}

// firstLanes are the first n of a word's 64 lanes; all where there are fewer,
// none where n is negative.
func firstLanes(n int) uint64 {
	n = min(max(n, 0), 64)
	whole := n &^ 7
	return 1<<whole - 1 | (0xff00>>(n-whole)&0xff)<<whole
}

// add adds the planes' counts.
func (d *deepPlanes) add(p *planes) {
	var carry [pieceWords]uint64
	for n := range p {
		for i := range carry {
			d[n][i], carry[i] = addBits(d[n][i], p[n][i], carry[i])
		}
	}
	for n := len(p); n < len(d); n++ {
		var carried uint64
		for i := range carry {
			d[n][i], carry[i] = d[n][i]^carry[i], d[n][i]&carry[i]
			carried |= carry[i]
		}
		if carried == 0 {
			return
		}
	}
}

// flushLanes adds the deep planes' counts to the lanes.
func (c *bitCounter) flushLanes(lanes []uint32) {
	for first := 0; first < len(lanes); first += 64 {
		word := first / 64
		d, i := &c.deep[word/pieceWords], word%pieceWords
		some := lanes[first:min(first+64, len(lanes))]
		for n := 0; n < len(d); n += 8 {
			bytes := [8]uint64{d[n][i], d[n+1][i], d[n+2][i], d[n+3][i], d[n+4][i], d[n+5][i], d[n+6][i], d[n+7][i]}
			transpose(&bytes)
			addCounts(some, &bytes, n)
		}
	}
	clear(c.deep)
}

// transpose exchanges planes and lanes in each of the eight 8 × 8 squares of
// bits that the words' bytes make: byte b of word w becomes the count of lane
// w of those in byte b, lane 0 being its most significant bit. Halves, quarters
// and single bits change places in turn: Warren, Hacker's Delight, section 7-3
// (from memory).
func transpose(w *[8]uint64) {
	for i := range 4 {
		w[i], w[i+4] = swapBits(w[i], w[i+4], 4, 0x0f0f0f0f0f0f0f0f)
	}
	for _, i := range [...]int{0, 1, 4, 5} {
		w[i], w[i+2] = swapBits(w[i], w[i+2], 2, 0x3333333333333333)
	}
	for i := 0; i < 8; i += 2 {
		w[i], w[i+1] = swapBits(w[i], w[i+1], 1, 0x5555555555555555)
	}
	w[0], w[1], w[2], w[3], w[4], w[5], w[6], w[7] = w[7], w[6], w[5], w[4], w[3], w[2], w[1], w[0]
}

// swapBits exchanges the high bits of low, those that mask shifted left by n
// has, with the low bits of high.
func swapBits(low, high uint64, n int, mask uint64) (uint64, uint64) {
	change := (low>>n ^ high) & mask
	return low ^ change<<n, high ^ change
}

// addCounts adds each lane's byte, shifted left by n.
func addCounts(lanes []uint32, bytes *[8]uint64, n int) {
	for i := range lanes {
		lanes[i] += uint32(bytes[i%8]>>(i&^7)&0xff) << n
	}
}
