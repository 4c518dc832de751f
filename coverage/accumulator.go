package coverage

import (
	"bladeline/coverage/internal/raster"
)

// An accumulator is one worker's raster.Sink. It counts in counters narrow enough to
// be fast. What each row and cell got goes into the page's sums when the rows
// leave a row of cells, what each pixel column got when other columns come.
type accumulator struct {
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

func newAccumulator(s *sums) *accumulator {
	h := s.header
	return &accumulator{
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
func (a *accumulator) Packed(b raster.Block, data []byte, stride int) error {
	rowBytes := a.sums.header.PackedBytes(b.W * b.Samples)
	for b.H > 0 {
		rows, at := a.enter(b, false)
		a.count.add(data[:(rows-1)*stride+rowBytes], stride, a.rows[at*b.Samples:(at+rows)*b.Samples])
		b.Y, b.H = b.Y+rows, b.H-rows
		if b.H > 0 {
			data = data[rows*stride:]
		}
	}
	return nil
}

// Runs counts one row of runs.
func (a *accumulator) Runs(b raster.Block, ends []int32) error {
	_, at := a.enter(b, true)
	a.rows[at*b.Samples] += a.edges.add(ends)
	return nil
}

// enter prepares for the first rows of b, those within one row of cells, and
// returns how many these are and where the first stands in it.
func (a *accumulator) enter(b raster.Block, runs bool) (rows, at int) {
	side := a.sums.y[1]
	first := b.Y / side * side
	at = b.Y - first
	rows = min(b.H, side-at)
	columns := b
	columns.Y, columns.H = 0, 0
	if a.columns != columns || a.runs != runs || a.held+rows > mostRows {
		a.flush()
		a.begin(columns, runs)
	} else if a.first != first {
		a.flushCells()
	}
	a.first, a.height = first, max(a.height, at+rows)
	a.held += rows
	return rows, at
}

// begin makes ready for other columns.
func (a *accumulator) begin(columns raster.Block, runs bool) {
	if a.count == nil || a.samples != columns.Samples {
		a.count, a.samples = newCounter(a.sums.header, columns.Samples), columns.Samples
	}
	a.columns, a.runs = columns, runs
	a.spans.cut(columns, a.sums.x)
	a.counts().reset(columns.W * columns.Samples)
}

func (a *accumulator) counts() laneCounts {
	if a.runs {
		return &a.edges
	}
	return a.count
}

// flushCells hands over what the row of cells got.
func (a *accumulator) flushCells() {
	if a.height == 0 {
		return
	}
	a.counts().flushCells(a.columnLanes(), &a.spans)
	rows := a.rows[:a.height*a.columns.Samples]
	a.sums.addRows(a.columns, a.first, rows, &a.spans)
	clear(rows)
	a.height = 0
}

// flush hands over all that was counted.
func (a *accumulator) flush() {
	a.flushCells()
	if a.held == 0 {
		return
	}
	lanes := a.columnLanes()
	a.counts().flushLanes(lanes)
	a.sums.addColumns(a.columns, lanes)
	clear(lanes)
	a.held, a.columns = 0, raster.Block{}
}

func (a *accumulator) columnLanes() []uint32 { return a.lanes[:a.columns.W*a.columns.Samples] }
