package zones

import (
	"cmp"
	"slices"
	"sort"
)

// A Band is a piece of a form along the print direction, between two places
// across.
type Band struct {
	FromMM, ToMM float64 // from the lead edge
	CoveragePct  float64
}

// Fullest is the band of a length with most ink between two places, of all
// places where a band can lie; ink is taken as even within a cell. A form
// shorter than the band is one.
func (f *Form) Fullest(leftMM, rightMM, lengthMM float64) Band {
	if f.located("") != nil || !(leftMM < rightMM) || !(lengthMM > 0) {
		return Band{}
	}
	first, all := f.pieces[0], f.demand(leftMM, rightMM)
	mmPerPX := mmPerInch / first.along.dpi
	bandPX := lengthMM / mmPerPX
	startPX, most := all.fullest(bandPX)
	widthPX := first.px(rightMM) - first.px(leftMM)
	return Band{startPX * mmPerPX, (startPX + bandPX) * mmPerPX, 100 * most / (bandPX * widthPX * float64(first.full))}
}

// Along is the ink between two places in n bands along the print direction, in % of
// a band's area: from the lead edge to the end of the form or of the length that
// coverages refer to, whichever is farther. Nil where no size is known.
func (f *Form) Along(leftMM, rightMM float64, n int) (bandsPct []float64) {
	if f.located("") != nil || !(leftMM < rightMM) || n < 1 {
		return nil
	}
	first, all := f.pieces[0], f.demand(leftMM, rightMM)
	bandPX := f.AlongMM() / mmPerInch * first.along.dpi / float64(n)
	full := bandPX * (first.px(rightMM) - first.px(leftMM)) * float64(first.full)
	at, before := make(cursors, len(all.profiles)), 0.0
	for i := range n {
		ink := at.before(all, float64(i+1)*bandPX)
		bandsPct = append(bandsPct, 100*(ink-before)/full)
		before = ink
	}
	return bandsPct
}

// AlongMM is the length that Along divides.
func (f *Form) AlongMM() float64 { return max(f.ReferenceMM(), f.Outline().LengthMM) }

// FreeMM is how long Free is.
func (f *Form) FreeMM(leftMM, rightMM float64) float64 {
	free := f.Free(leftMM, rightMM)
	return free.ToMM - free.FromMM
}

// hairPX2 is as much of a full pixel as rounding may put between two places whose edge the
// image's is: it is no ink.
const hairPX2 = 1e-9

// Free is the longest stretch along the print direction, within the length that
// coverages refer to, where nothing prints between two places across: as long as a
// bar can be there. Of several the one nearest the lead edge.
func (f *Form) Free(leftMM, rightMM float64) Band {
	if f.located("") != nil || !(leftMM < rightMM) {
		return Band{}
	}
	all := f.demand(leftMM, rightMM)
	mmPerPX := mmPerInch / f.pieces[0].along.dpi
	end := f.ReferenceMM() / mmPerPX
	at := make(cursors, len(all.profiles))
	hair := hairPX2 * float64(f.pieces[0].full)
	var longest Band
	var from, ink float64
	for _, border := range append(all.borders, end) {
		border = min(border, end)
		if now := at.before(all, border); now > ink+hair {
			ink, from = now, border
		}
		if border-from > longest.ToMM-longest.FromMM {
			longest = Band{FromMM: from, ToMM: border}
		}
	}
	longest.FromMM, longest.ToMM = longest.FromMM*mmPerPX, longest.ToMM*mmPerPX
	return longest
}

// demand is the ink between two places across, in px of the first piece.
func (f *Form) demand(leftMM, rightMM float64) *demand {
	all, first := &demand{}, f.pieces[0]
	for _, p := range f.pieces {
		from, to := p.px(leftMM), p.px(rightMM)
		if len(f.pieces) > 1 && (to <= 0 || from >= float64(p.across.px())) {
			all.borders = append(all.borders, p.outline().LengthMM/mmPerInch*first.along.dpi) // where a band may end
			continue
		}
		all.add(newProfile(&p.view, from, to).asOf(p, first))
	}
	all.merge()
	slices.Sort(all.borders)
	return all
}

// asOf is a profile of a piece in px and full ink of the form's first, from the
// form's lead edge on. Whole px of the first stay whole, so that bands that are as
// full are seen to be.
func (s *profile) asOf(p, first *piece) *profile {
	longer := first.along.dpi / p.along.dpi
	fuller := longer * first.across.dpi / p.across.dpi * float64(first.full) / float64(p.full)
	fromLeadPX := p.fromLeadMM / mmPerInch * first.along.dpi
	for i := range s.borders {
		s.borders[i] = fromLeadPX + s.borders[i]*longer
		s.sums[i] *= fuller
	}
	return s
}

// demand is the ink of several pieces between two places across, along the print
// direction.
type demand struct {
	borders  []float64 // of all profiles
	profiles []*profile
}

func (d *demand) add(p *profile) {
	d.profiles, d.borders = append(d.profiles, p), append(d.borders, p.borders...)
}

// merge makes one profile of several, so that the work does not grow with their
// number times that of their borders.
func (d *demand) merge() {
	if len(d.profiles) == 1 {
		return
	}
	type bend struct { // where, and by how much, the ink gets steeper
		at, slope float64
		inked     int // how many more profiles have ink from there on
	}
	var bends []bend
	for _, p := range d.profiles {
		was, inked := 0.0, 0
		for i, at := range p.borders {
			slope := 0.0
			if i+1 < len(p.borders) {
				slope = (p.sums[i+1] - p.sums[i]) / (p.borders[i+1] - at)
			}
			now := 0
			if slope > 0 {
				now = 1
			}
			bends = append(bends, bend{at, slope - was, now - inked})
			was, inked = slope, now
		}
	}
	slices.SortFunc(bends, func(a, b bend) int { return cmp.Compare(a.at, b.at) })
	merged := &profile{borders: []float64{0}, sums: []float64{0}}
	var at, slope, sum float64
	inked := 0
	for _, b := range bends {
		if b.at > at {
			sum, at = sum+slope*(b.at-at), b.at
			merged.borders, merged.sums = append(merged.borders, at), append(merged.sums, sum)
		}
		slope, inked = slope+b.slope, inked+b.inked
		if inked == 0 {
			slope = 0 // but for rounding
		}
	}
	d.profiles = []*profile{merged}
}

// profile is the ink between two places across, along the print direction.
type profile struct {
	borders []float64 // of the rows of cells, px from the lead edge
	sums    []float64 // ink from the lead edge up to each border
}

// newProfile adds up cells between two places in px from the left edge. A cell
// that is cut is shared in proportion to area.
func newProfile(v *view, fromPX, toPX float64) *profile {
	rows := v.along.cellCount()
	p := &profile{borders: make([]float64, 1, rows+1), sums: make([]float64, 1, rows+1)} // 0 at the lead edge
	var whole []int
	var parts []cellColumn
	for _, c := range v.cellsBetween(fromPX, toPX) {
		if c.partPX == c.widthPX {
			whole = append(whole, c.cell)
		} else {
			parts = append(parts, c)
		}
	}
	var sum float64
	for y := rows - 1; y >= 0; y-- { // the lead edge is the bottom
		row := v.cells[v.along.cell(y):]
		var ink uint64 // whole cells are added exactly, and quicker
		for _, cell := range whole {
			ink += uint64(row[cell])
		}
		sum += float64(ink)
		for _, c := range parts {
			sum += float64(row[c.cell]) * c.partPX / c.widthPX
		}
		p.borders, p.sums = append(p.borders, float64(v.along.px()-v.along.border(y))), append(p.sums, sum)
	}
	return p
}

// cellColumn is a column of cells, of which a part is looked at.
type cellColumn struct {
	cell            int // as axis.cell has it
	partPX, widthPX float64
}

// cellsBetween are the columns of cells between two places in px from the left
// edge.
func (v *view) cellsBetween(fromPX, toPX float64) []cellColumn {
	n := v.across.cellCount()
	first := sort.Search(n, func(x int) bool { return float64(v.across.border(x+1)) > fromPX })
	var columns []cellColumn
	for x := first; x < n && float64(v.across.border(x)) < toPX; x++ {
		left, right := float64(v.across.border(x)), float64(v.across.border(x+1))
		columns = append(columns, cellColumn{v.across.cell(x), min(right, toPX) - max(left, fromPX), right - left})
	}
	return columns
}

// fullest is where the fullest band begins, and its ink. The borders are in order.
func (d *demand) fullest(bandPX float64) (startPX, most float64) {
	last := max(0, d.borders[len(d.borders)-1]-bandPX)
	var from, to [2]cursors // of the two kinds of start, which only move on
	for i := range from {
		from[i], to[i] = make(cursors, len(d.profiles)), make(cursors, len(d.profiles))
	}
	// The ink of a band changes its slope only where one of its ends crosses a
	// border, so that the fullest has an end on one.
	for _, border := range d.borders {
		for i, start := range [2]float64{border, border - bandPX} {
			start = min(max(start, 0), last)
			if ink := to[i].before(d, start+bandPX) - from[i].before(d, start); ink > most {
				most, startPX = ink, start
			}
		}
	}
	return startPX, most
}

// cursors are one a profile.
type cursors []cursor

func (c cursors) before(d *demand, px float64) (sum float64) {
	for i := range c {
		sum += c[i].before(d.profiles[i], px)
	}
	return sum
}

// cursor is a place in a profile that moves on and never back, so that a walk
// along a profile searches nothing.
type cursor struct {
	next int // the first border that is not before it
}

// before is the ink between the lead edge and a place in px from it, which is
// no nearer than the one asked for before.
func (c *cursor) before(p *profile, px float64) float64 {
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
