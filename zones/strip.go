package zones

import "bladeline/coverage"

// strip is the ink of a separation from its left edge on: exact sums, so that
// narrow zones lose nothing to wide plates.
type strip struct {
	columns []uint64
	sums    []uint64 // sums[x] is the ink of all columns before x
	full    float64
}

func newStrip(m *coverage.Map) strip {
	sums := make([]uint64, len(m.Columns)+1)
	for x, v := range m.Columns {
		sums[x+1] = sums[x] + v
	}
	return strip{m.Columns, sums, float64(m.Full)}
}

// between is the ink from one place to another, both in px from the left edge,
// in px² of full ink. Places off the raster bear none.
func (s strip) between(from, to float64) float64 {
	a, partA := s.at(from)
	b, partB := s.at(to)
	return max(0, float64(s.sums[b]-s.sums[a])+partB-partA) / s.full
}

// at is the column that a place falls in and the ink of it that lies before
// the place.
func (s strip) at(px float64) (column int, before float64) {
	width := len(s.columns)
	px = min(max(px, 0), float64(width))
	column = int(px)
	if column == width {
		return column, 0
	}
	return column, (px - float64(column)) * float64(s.columns[column])
}

// first is the left edge of the first inked column; the right edge of the
// raster where there is no ink.
func (s strip) first() float64 {
	for x, v := range s.columns {
		if v > 0 {
			return float64(x)
		}
	}
	return float64(len(s.columns))
}

// last is the right edge of the last inked column; the left edge of the raster
// where there is no ink.
func (s strip) last() float64 {
	for x := len(s.columns); x > 0; x-- {
		if s.columns[x-1] > 0 {
			return float64(x)
		}
	}
	return 0
}
