package coverage

import (
	"bladeline/coverage/raster"
)

// A tally is one worker's raster.Sink. It counts within one row of cells at a
// time, in counters narrow enough to be fast, and merges into the page's sums
// when the rows leave it.
type tally struct {
	sums    *sums
	block   raster.Block // what was counted since the last merge
	count   counter      // packed rows, of so many samples a pixel:
	samples int
	edges   edges // runs
	runs    bool  // which of the two holds the block
	lanes   []uint32
	rows    []uint64 // ink of each row of the row of cells, sample by sample
}

// A counter adds packed rows lane by lane, a lane being one sample of one
// pixel column. It may be given at most maxCell rows before it is drained.
type counter interface {
	// reset empties the counter for rows of n lanes.
	reset(n int)
	// add counts rows that stand stride bytes apart, and adds each one's ink
	// to rows, a value a sample.
	add(data []byte, stride int, rows []uint64)
	// drain stores the lanes' sums and empties the counter.
	drain(lanes []uint32)
}

func newTally(s *sums) *tally {
	h := s.header
	return &tally{
		sums:  s,
		lanes: make([]uint32, h.Width*h.Samples),
		rows:  make([]uint64, maxCell*h.Samples),
	}
}

// newCounter is for rows of the page's depth and some samples a pixel.
func newCounter(h *raster.Header, samples int) counter {
	switch h.Bits {
	case 1:
		return &bitCounter{samples: samples}
	case 16:
		return &wordCounter{samples: samples, little: h.LittleEndian}
	}
	return &byteCounter{samples: samples, bits: h.Bits}
}

// Packed counts rows of packed samples.
func (t *tally) Packed(b raster.Block, data []byte, stride int) error {
	rowBytes := t.sums.header.PackedBytes(b.W * b.Samples)
	for b.H > 0 {
		rows, at := t.enter(b, false)
		t.count.add(data[:(rows-1)*stride+rowBytes], stride, t.rows[at*b.Samples:(at+rows)*b.Samples])
		b.Y, b.H = b.Y+rows, b.H-rows
		if b.H > 0 {
			data = data[rows*stride:]
		}
	}
	return nil
}

// Runs counts one row of runs.
func (t *tally) Runs(b raster.Block, ends []int32) error {
	_, at := t.enter(b, true)
	t.rows[at*b.Samples] += t.edges.add(ends)
	return nil
}

// enter prepares for the first rows of b, those within one row of cells, and
// returns how many these are and where the first stands in it.
func (t *tally) enter(b raster.Block, runs bool) (rows, at int) {
	side := t.sums.y[1]
	first := b.Y / side * side
	at = b.Y - first
	rows = min(b.H, side-at)
	want := b
	want.Y, want.H = first, t.block.H
	if t.block != want || t.runs != runs || t.block.H == 0 {
		t.begin(want, runs)
	}
	t.block.H = max(t.block.H, at+rows)
	return rows, at
}

// begin hands over what was counted and makes ready for another block.
func (t *tally) begin(b raster.Block, runs bool) {
	t.merge()
	if t.count == nil || t.samples != b.Samples {
		t.count, t.samples = newCounter(t.sums.header, b.Samples), b.Samples
	}
	b.H = 0
	t.block, t.runs = b, runs
	if runs {
		t.edges.reset(b.W)
	} else {
		t.count.reset(b.W * b.Samples)
	}
}

// merge hands over what was counted.
func (t *tally) merge() {
	if t.block.H == 0 {
		return
	}
	lanes, rows := t.lanes[:t.block.W*t.block.Samples], t.rows[:t.block.H*t.block.Samples]
	if t.runs {
		t.edges.drain(lanes)
	} else {
		t.count.drain(lanes)
	}
	t.sums.add(t.block, lanes, rows)
	clear(rows)
	t.block = raster.Block{}
}
