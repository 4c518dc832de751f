package zones

// columnSums is the ink of a separation from its left edge on: exact sums, so
// that narrow zones lose nothing to wide plates.
type columnSums struct {
	columns *axis
	before  []uint64 // before[x] is the ink of all columns left of x
	full    float64

	first, last float64 // the left edge of the first inked column, the right one of the last; the raster's right and left edge where there is no ink
}

func newColumnSums(v *view) columnSums {
	before := make([]uint64, v.across.px()+1)
	var sum uint64
	for x := range v.across.px() {
		sum += v.across.at(x)
		before[x+1] = sum
	}
	s := columnSums{columns: &v.across, before: before, full: float64(v.full)}
	s.first, s.last = s.firstInked(), s.lastInked()
	return s
}

func (s *columnSums) total() uint64 { return s.before[len(s.before)-1] }

// between is the ink from one place to another, both in px from the left edge,
// in px² of full ink. Places off the raster bear none.
func (s *columnSums) between(from, to float64) float64 {
	a, partA := s.at(from)
	b, partB := s.at(to)
	return max(0, float64(s.before[b]-s.before[a])+partB-partA) / s.full
}

// at is the column that a place falls in and the ink of it that lies before
// the place.
func (s *columnSums) at(px float64) (column int, before float64) {
	width := s.columns.px()
	if !(px > 0) {
		return 0, 0
	}
	column = int(min(px, float64(width)))
	if column == width {
		return column, 0
	}
	return column, (px - float64(column)) * float64(s.columns.at(column))
}

func (s *columnSums) firstInked() float64 {
	x := 0
	for x < s.columns.px() && s.columns.at(x) == 0 {
		x++
	}
	return float64(x)
}

func (s *columnSums) lastInked() float64 {
	x := s.columns.px()
	for x > 0 && s.columns.at(x-1) == 0 {
		x--
	}
	return float64(x)
}
