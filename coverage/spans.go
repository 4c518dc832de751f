package coverage

import "bladeline/coverage/internal/raster"

// spans are the stretches of a row of lanes that lie in one cell each.
type spans struct {
	samples int      // a pixel
	cells   []int    // which cell of a row of them each lies in
	ends    []int    // the lane behind each
	got     []uint32 // what each got in a row of cells, sample by sample
	total   []uint32 // what each held when it was last looked at, modulo 2^32
}

// cut cuts columns at the cells' borders.
func (s *spans) cut(columns raster.Block, borders []int) {
	s.samples, s.cells, s.ends = columns.Samples, s.cells[:0], s.ends[:0]
	for i := 0; i < columns.W; {
		cell := (columns.X + i*columns.Step) / borders[1]
		behind := (borders[cell+1] - columns.X + columns.Step - 1) / columns.Step // first that lies in a later cell
		i = min(behind, columns.W)
		s.cells, s.ends = append(s.cells, cell), append(s.ends, i*s.samples)
	}
	s.got = make([]uint32, len(s.ends)*s.samples)
	s.total = make([]uint32, len(s.ends)*s.samples)
}

// of returns the values of span i, one a sample, among those of all spans.
func (s *spans) of(values []uint32, i int) []uint32 {
	return values[i*s.samples:][:s.samples]
}

// grown stores as got by how much each span's lanes have grown since it was
// last asked, from 0 on.
func (s *spans) grown(lanes []uint32) {
	from := 0
	for i, end := range s.ends {
		clear(s.of(s.got, i))
		addLanes(s.of(s.got, i), lanes[from:end])
		from = end
	}
	s.since()
}

// since takes from what each span holds what it held before.
func (s *spans) since() {
	for i, now := range s.got {
		s.got[i] -= s.total[i]
		s.total[i] = now
	}
}

// addLanes adds lanes, sample after sample, to sums.
func addLanes(sums, lanes []uint32) {
	switch len(sums) {
	case 1:
		sum := sums[0]
		for _, v := range lanes {
			sum += v
		}
		sums[0] = sum
	case 4:
		s := [4]uint32(sums)
		for ; len(lanes) >= 4; lanes = lanes[4:] {
			s[0] += lanes[0]
			s[1] += lanes[1]
			s[2] += lanes[2]
			s[3] += lanes[3]
		}
		copy(sums, s[:])
	default:
		for ; len(lanes) >= len(sums); lanes = lanes[len(sums):] {
			for i := range sums {
				sums[i] += lanes[i]
			}
		}
	}
}
