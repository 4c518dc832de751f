package zones

import (
	"sort"

	"bladeline/coverage"
)

// A zone's demand is uneven along the print direction where the fullest band,
// bandPart of the reference length, is covered at least bandTimes as much as
// the zone, and at least bandPct itself, as a headline over a light page
// starves nothing. Common practice, no source.
const (
	bandPart  = 0.1
	bandTimes = 3.0
	bandPct   = 50.0
)

// uneven warns of printing zones whose ink stands in one band: a key feeds it
// evenly to the whole length.
func (f *inspected) uneven() []Warning {
	bands := map[int]band{}
	found := f.keys(func(k Key) bool {
		b := f.fullest(k)
		bands[k.Zone] = b
		return b.coveragePct >= bandPct && b.coveragePct >= bandTimes*k.CoveragePct
	})
	if len(found) == 0 {
		return nil
	}
	times := func(k Key) float64 { return bands[k.Zone].coveragePct / k.CoveragePct }
	_, worst := extremes(found, times)
	b := bands[worst.Zone]
	return f.warning(CodeUneven, worst.Zone, "uneven demand along the print direction in %s; in zone %d the tenth of the length from %.0f to %.0f mm from the lead edge is covered %.1f %%, %.1f times the zone's %.1f %%: no key levels that, and starvation and ghosting may follow; turning or re-imposing the form, or a take-off bar, may help",
		spans(found), worst.Zone, b.fromMM, b.toMM, b.coveragePct, times(worst), worst.CoveragePct)
}

// band is a piece of a zone along the print direction.
type band struct {
	fromMM, toMM float64 // from the lead edge
	coveragePct  float64
}

// fullest is the band of a zone with most ink, of all places where a band can
// lie; ink is taken as even within a cell. A raster shorter than a band is one.
func (f *inspected) fullest(k Key) band {
	fromPX, toPX := f.columnPX(*k.LeftMM), f.columnPX(*k.RightMM)
	s := newProfile(f.view, fromPX, toPX)
	mmPerPX := mmPerInch / f.view.DPIY
	bandPX := bandPart * f.lengthMM / mmPerPX
	last := max(0, float64(f.view.Height)-bandPX)
	var startPX, most float64
	var from, to [2]cursor // of the two kinds of start, which only move on
	// The ink of a band changes its slope only where one of its ends crosses a
	// border, so that the fullest has an end on one.
	for _, border := range s.borders {
		for i, start := range [2]float64{border, border - bandPX} {
			start = min(max(start, 0), last)
			if ink := to[i].before(s, start+bandPX) - from[i].before(s, start); ink > most {
				most, startPX = ink, start
			}
		}
	}
	return band{startPX * mmPerPX, (startPX + bandPX) * mmPerPX, 100 * most / (bandPX * (toPX - fromPX) * float64(f.view.Full))}
}

// columnPX is a place on the fountain, in px from the raster's left edge.
func (f *inspected) columnPX(mm float64) float64 {
	fromCentreMM := mm - f.press.Fountain.WidthMM()/2 - f.in.Placement.ShiftMM
	return float64(f.view.Width)/2 + fromCentreMM/mmPerInch*f.view.DPIX
}

// profile is the ink of a strip of a separation along the print direction.
type profile struct {
	borders []float64 // of the rows of cells, px from the lead edge
	sums    []float64 // ink from the lead edge up to each border
}

// cursor is a place in a profile that moves on and never back, so that a walk
// along a profile searches nothing.
type cursor struct {
	next int // the first border that is not before it
}

// before is the ink between the lead edge and a place in px from it, which is
// no nearer than the one asked for before.
func (c *cursor) before(p profile, px float64) float64 {
	for c.next < len(p.borders) && p.borders[c.next] < px {
		c.next++
	}
	switch c.next {
	case 0:
		return 0
	case len(p.borders):
		return p.sums[c.next-1]
	}
	part := (px - p.borders[c.next-1]) / (p.borders[c.next] - p.borders[c.next-1])
	return p.sums[c.next-1] + part*(p.sums[c.next]-p.sums[c.next-1])
}

// newProfile adds up cells between two places in px from the left edge. A cell
// that is cut is shared in proportion to area.
func newProfile(m *coverage.Map, fromPX, toPX float64) profile {
	c := m.Cells
	columns, rows := len(c.X)-1, len(c.Y)-1
	p := profile{borders: make([]float64, 1, rows+1), sums: make([]float64, 1, rows+1)} // 0 at the lead edge
	first := sort.Search(columns, func(x int) bool { return float64(c.X[x+1]) > fromPX })
	var sum float64
	for y := rows - 1; y >= 0; y-- { // the lead edge is the bottom
		for x := first; x < columns && float64(c.X[x]) < toPX; x++ {
			left, right := float64(c.X[x]), float64(c.X[x+1])
			sum += float64(c.Ink[y*columns+x]) * (min(right, toPX) - max(left, fromPX)) / (right - left)
		}
		p.borders, p.sums = append(p.borders, float64(m.Height-c.Y[y])), append(p.sums, sum)
	}
	return p
}
