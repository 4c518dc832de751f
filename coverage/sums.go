package coverage

import (
	"math"
	"slices"
	"sync"

	"bladeline/coverage/internal/raster"
)

// sums gathers what all workers found on one page: sample values as stored,
// ink or light, per sample.
type sums struct {
	header  *raster.Header
	full    uint64 // what one full pixel adds
	x, y    []int  // cell borders
	mu      sync.Mutex
	columns [][]uint64
	rows    [][]uint64
	cells   [][]uint32
}

func newSums(h *raster.Header, full uint64) *sums {
	s := &sums{
		header: h,
		full:   full,
		x:      borders(h.Width, cellSide(h, h.DPIX)),
		y:      borders(h.Height, cellSide(h, h.DPIY)),
	}
	for range h.Samples {
		s.columns = append(s.columns, zeros[uint64](h.Width))
		s.rows = append(s.rows, zeros[uint64](h.Height))
		s.cells = append(s.cells, zeros[uint32]((len(s.x)-1)*(len(s.y)-1)))
	}
	return s
}

// zeros are n of them, written once: a page of memory that is read before it
// is written is mapped twice, and the second time every core is interrupted.
func zeros[T any](n int) []T {
	s := make([]T, n)
	clear(s)
	return s
}

// A cell is about cellMM wide and high, or a 256th of the longer side where
// the resolution is not known, but no less than a 512th of that, and large
// enough that all samples of a page have some manyCells. maxCell keeps a cell's
// sum within 32 bits at 16 bits a sample, and a row count within 8; cells of
// cellRound pixels and more are a multiple of it, which is how many rows are
// counted at once.
const (
	cellMM    = 2.0
	maxCell   = 240
	cellRound = 16
	manyCells = 1 << 21
)

// maxCells are those of the largest picture that is read, and what a file's
// pages have together.
const maxCells = raster.MaxArea / maxCell / maxCell

func cellSide(h *raster.Header, dpi float64) int {
	longer := max(h.Width, h.Height)
	side := float64(longer) / 256
	if dpi > 0 {
		side = max(cellMM/mmPerInch*dpi, float64(longer)/512)
	}
	side = max(side, math.Sqrt(float64(h.Area())/manyCells))
	px := int(math.Round(min(max(side, 1), maxCell)))
	if px >= cellRound {
		px = (px + cellRound/2) / cellRound * cellRound
	}
	return px
}

// borders cuts length pixels in pieces of side pixels; the last may be shorter.
func borders(length, side int) []int {
	cuts := make([]int, 0, length/side+2)
	for at := 0; at < length; at += side {
		cuts = append(cuts, at)
	}
	return append(cuts, length)
}

// addRows merges what a worker counted in one row of cells from row first on:
// each row's ink, sample after sample, and what the spans got.
func (s *sums) addRows(columns raster.Block, first int, rows []uint64, got *spans) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for i := range columns.Samples {
		sums := s.rows[columns.Sample+i][first:]
		for y := i; y < len(rows); y += columns.Samples {
			sums[y/columns.Samples] += rows[y]
		}
		cells := s.cells[columns.Sample+i][first/s.y[1]*(len(s.x)-1):]
		for span, cell := range got.cells {
			cells[cell] += got.of(got.got, span)[i]
		}
	}
}

// addColumns merges a worker's lanes, sample after sample of a pixel column.
func (s *sums) addColumns(columns raster.Block, lanes []uint32) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for i := range columns.Samples {
		sums := s.columns[columns.Sample+i][columns.X:]
		for x := range columns.W {
			sums[x*columns.Step] += uint64(lanes[x*columns.Samples+i])
		}
	}
}

// maps makes one Map a sample of the page's sums; inverted are those in which
// ink is low.
func (s *sums) maps(inverted bool) []*Map {
	h := s.header
	var maps []*Map
	var spare []uint32 // cells that are free
	for sample := range h.Samples {
		m := &Map{
			Page: h.Page, Channel: sample + 1,
			Width: h.Width, Height: h.Height, DPIX: h.DPIX, DPIY: h.DPIY,
			Full: s.full, Columns: s.columns[sample], Rows: s.rows[sample],
			Cells: Cells{X: s.x, Y: s.y, Ink: s.cells[sample]},
		}
		if inverted {
			m.invert()
		}
		spare = m.upright(h.Orientation, spare)
		maps = append(maps, m)
	}
	return maps
}

// invert exchanges ink and paper.
func (m *Map) invert() {
	m.change(m.Full, func(v, pixels uint64) uint64 { return m.Full*pixels - v })
}

// change makes of each sum another one, which hangs on how many pixels it is of.
func (m *Map) change(full uint64, of func(v, pixels uint64) uint64) {
	for x, v := range m.Columns {
		m.Columns[x] = of(v, uint64(m.Height))
	}
	for y, v := range m.Rows {
		m.Rows[y] = of(v, uint64(m.Width))
	}
	c, cols := m.Cells, len(m.Cells.X)-1
	for i, v := range c.Ink {
		x, y := i%cols, i/cols
		area := (c.X[x+1] - c.X[x]) * (c.Y[y+1] - c.Y[y])
		c.Ink[i] = uint32(of(uint64(v), uint64(area)))
	}
	m.Full = full
}

// orientations say what makes a stored picture upright: TIFF 6.0, section 8,
// Orientation, which names the sides of the picture that stored row 0 and
// column 0 show.
var orientations = map[int]struct{ transpose, mirror, upend bool }{
	2: {mirror: true},                               // top, right
	3: {mirror: true, upend: true},                  // bottom, right
	4: {upend: true},                                // bottom, left
	5: {transpose: true},                            // left, top
	6: {transpose: true, mirror: true},              // right, top
	7: {transpose: true, mirror: true, upend: true}, // right, bottom
	8: {transpose: true, upend: true},               // left, bottom
}

// upright undoes a stored orientation, in place: a page of many inks is much to
// be held twice. It may use spare cells, and returns those that are then free.
func (m *Map) upright(orientation int, spare []uint32) []uint32 {
	o := orientations[orientation]
	if o.transpose {
		m.Width, m.Height, m.DPIX, m.DPIY = m.Height, m.Width, m.DPIY, m.DPIX
		m.Columns, m.Rows = m.Rows, m.Columns
		spare = m.Cells.transpose(spare)
	}
	cols := len(m.Cells.X) - 1
	if o.mirror {
		slices.Reverse(m.Columns)
		m.Cells.X = reversedBorders(m.Cells.X)
		for row := range slices.Chunk(m.Cells.Ink, cols) {
			slices.Reverse(row)
		}
	}
	if o.upend {
		slices.Reverse(m.Rows)
		m.Cells.Y = reversedBorders(m.Cells.Y)
		slices.Reverse(m.Cells.Ink)
		for row := range slices.Chunk(m.Cells.Ink, cols) {
			slices.Reverse(row)
		}
	}
	return spare
}

// transpose makes columns of the rows. The cells go to spare, where there is
// some, and those of before are free.
func (c *Cells) transpose(spare []uint32) (free []uint32) {
	if spare == nil {
		spare = make([]uint32, len(c.Ink))
	}
	cols, rows := len(c.X)-1, len(c.Y)-1
	for y := range rows {
		for x := range cols {
			spare[x*rows+y] = c.Ink[y*cols+x]
		}
	}
	free = c.Ink
	*c = Cells{X: c.Y, Y: c.X, Ink: spare}
	return free
}
