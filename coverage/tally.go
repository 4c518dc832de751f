package coverage

import (
	"bladeline/coverage/raster"
)

// A tally is one worker's raster.Sink. It counts within one row of cells at a
// time, in counters narrow enough to be fast, and merges into the page's sums
// when the rows leave it.
type tally struct {
	sums  *sums
	block raster.Block // what was counted since the last merge
	count counter      // packed rows
	edges edges        // runs
	runs  bool         // which of the two holds the block
	lanes []uint32
	rows  []uint64 // ink of each row of the row of cells, sample by sample
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
	t := &tally{
		sums:  s,
		lanes: make([]uint32, h.Width*h.Samples),
		rows:  make([]uint64, maxCell*h.Samples),
	}
	switch h.Bits {
	case 1:
		t.count = &bitCounter{}
	case 16:
		t.count = &wordCounter{samples: h.Samples, little: h.LittleEndian}
	default:
		t.count = &byteCounter{samples: h.Samples, bits: h.Bits}
	}
	return t
}

// Packed counts rows of packed samples.
func (t *tally) Packed(b raster.Block, data []byte, stride int) error {
	samples := t.sums.header.Samples
	for b.H > 0 {
		rows, at := t.enter(b, false)
		t.count.add(data[:(rows-1)*stride+t.sums.header.RowBytes(b.W)], stride, t.rows[at*samples:(at+rows)*samples])
		b.Y, b.H = b.Y+rows, b.H-rows
		if b.H > 0 {
			data = data[rows*stride:]
		}
	}
	return nil
}

// Runs counts one row of runs.
func (t *tally) Runs(y int, ends []int32) error {
	_, at := t.enter(raster.Block{Y: y, W: t.sums.header.Width, H: 1}, true)
	t.rows[at] += t.edges.add(ends)
	return nil
}

// enter prepares for the first rows of b, those within one row of cells, and
// returns how many these are and where the first stands in it.
func (t *tally) enter(b raster.Block, runs bool) (rows, at int) {
	side := t.sums.y[1]
	first := b.Y / side * side
	if t.block.Y != first || t.block.X != b.X || t.block.W != b.W || t.runs != runs {
		t.merge()
		t.block, t.runs = raster.Block{X: b.X, Y: first, W: b.W}, runs
		if runs {
			t.edges.reset(b.W)
		} else {
			t.count.reset(b.W * t.sums.header.Samples)
		}
	}
	at = b.Y - first
	rows = min(b.H, side-at)
	t.block.H = max(t.block.H, at+rows)
	return rows, at
}

// merge hands over what was counted.
func (t *tally) merge() {
	if t.block.H == 0 {
		return
	}
	samples := t.sums.header.Samples
	lanes, rows := t.lanes[:t.block.W*samples], t.rows[:t.block.H*samples]
	if t.runs {
		t.edges.drain(lanes)
	} else {
		t.count.drain(lanes)
	}
	t.sums.add(t.block, lanes, rows)
	clear(rows)
	t.block = raster.Block{}
}
