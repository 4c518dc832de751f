package coverage

import (
	"bladeline/coverage/internal/raster"
)

// A tally is one worker's raster.Sink. It counts in counters narrow enough to
// be fast. What each row and cell got goes into the page's sums when the rows
// leave a row of cells, what each pixel column got when other columns come.
type tally struct {
	sums    *sums
	columns raster.Block // those being counted, of no rows
	spans   spans        // of these columns
	first   int          // row of the row of cells
	height  int          // how far down that is counted
	held    int          // rows counted since the columns were last handed over
	count   counter      // packed rows, of so many samples a pixel:
	samples int
	edges   edges // runs
	runs    bool  // which of the two counts the columns
	lanes   []uint32
	rows    []uint64 // ink of each row of the row of cells, sample by sample
}

// Lanes are the samples of a row, one for each sample of each pixel column.
// laneCounts say how much ink each lane got.
type laneCounts interface {
	// reset makes ready for rows of n lanes.
	reset(n int)
	// flushCells ends a row of cells: it stores what each span got in it, and may
	// add the counts to lanes to make room for more.
	flushCells(lanes []uint32, s *spans)
	// flushLanes adds those counts to lanes that are not in them yet, and is then
	// empty. It comes after flushCells.
	flushLanes(lanes []uint32)
}

// A counter adds packed rows lane by lane. It may be given at most maxCell rows
// before its cells are flushed, and mostRows before its lanes are.
type counter interface {
	laneCounts
	// add counts rows that stand stride bytes apart, and adds each one's ink
	// to rows, a value a sample.
	add(data []byte, stride int, rows []uint64)
}

// mostRows of 65535 are what a lane of 32 bits holds, and what one of 16 holds
// of single bits.
const mostRows = 1<<16 - 1

func newTally(s *sums) *tally {
	h := s.header
	return &tally{
		sums:  s,
		lanes: zeros[uint32](h.Width * h.Samples),
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
	columns := b
	columns.Y, columns.H = 0, 0
	if t.columns != columns || t.runs != runs || t.held+rows > mostRows {
		t.merge()
		t.begin(columns, runs)
	} else if t.first != first {
		t.flushCells()
	}
	t.first, t.height = first, max(t.height, at+rows)
	t.held += rows
	return rows, at
}

// begin makes ready for other columns.
func (t *tally) begin(columns raster.Block, runs bool) {
	if t.count == nil || t.samples != columns.Samples {
		t.count, t.samples = newCounter(t.sums.header, columns.Samples), columns.Samples
	}
	t.columns, t.runs = columns, runs
	t.spans.cut(columns, t.sums.x)
	t.counts().reset(columns.W * columns.Samples)
}

func (t *tally) counts() laneCounts {
	if t.runs {
		return &t.edges
	}
	return t.count
}

// flushCells hands over what the row of cells got.
func (t *tally) flushCells() {
	if t.height == 0 {
		return
	}
	t.counts().flushCells(t.columnLanes(), &t.spans)
	rows := t.rows[:t.height*t.columns.Samples]
	t.sums.addRows(t.columns, t.first, rows, &t.spans)
	clear(rows)
	t.height = 0
}

// merge hands over all that was counted.
func (t *tally) merge() {
	t.flushCells()
	if t.held == 0 {
		return
	}
	lanes := t.columnLanes()
	t.counts().flushLanes(lanes)
	t.sums.addColumns(t.columns, lanes)
	clear(lanes)
	t.held, t.columns = 0, raster.Block{}
}

func (t *tally) columnLanes() []uint32 { return t.lanes[:t.columns.W*t.columns.Samples] }
