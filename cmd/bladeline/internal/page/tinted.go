package page

import (
	"cmp"
	"math"

	"bladeline/coverage"
	"bladeline/curves"
	"bladeline/zones"
	"bladeline/zones/preset"
	"bladeline/zones/press"
)

// How exactly a tint stands for a coverage: to 1/tintFull of tintRows rows.
const (
	tintFull   = 100_000
	tintRows   = 100
	tintPXMM   = 10  // a pixel is no wider
	tintLength = 0.7 // of the width, where no length is known
)

// tinted are separations that cover a press's zones as a preset says, each zone an
// even tint as long as its coverages refer to; and how they lie. Zones off the sheet
// at the ends have none.
func tinted(p *preset.Preset, on *press.Press) ([]*coverage.Map, zones.Placement) {
	first, last := sheetOf(p, on)
	perZone := max(4, int(math.Ceil(on.Fountain.ZoneWidthMM/tintPXMM)))
	width := on.Fountain.ZoneWidthMM
	middle := (float64(first) + float64(last) + 1) / 2 * width
	var maps []*coverage.Map
	for i := range p.Units {
		u := &p.Units[i]
		m := &coverage.Map{
			Ink: u.Ink, File: p.Job, Page: 1, Channel: i + 1, Width: (last - first + 1) * perZone, Height: tintRows,
			DPIX: float64(perZone) * mmPerInch / width, DPIY: tintRows * mmPerInch / lengthOf(u, on), Full: tintFull, Rows: make([]uint64, tintRows),
			Cells: coverage.Cells{X: []int{0}, Y: []int{0, tintRows}},
		}
		for at := first; at <= last; at++ {
			m.Cells.X = append(m.Cells.X, len(m.Cells.X)*perZone)
			tint(m, u.Keys[zoneAt(at, on)-1].CoveragePct, perZone)
		}
		maps = append(maps, m)
	}
	return maps, zones.Placement{LeadEdge: zones.Bottom, ShiftMM: middle - on.Fountain.WidthMM()/2}
}

const mmPerInch = 25.4

// tint adds a zone of even coverage at the right.
func tint(m *coverage.Map, coveragePct float64, px int) {
	each := uint64(math.Round(coveragePct / 100 * tintFull)) // of every pixel
	for range px {
		m.Columns = append(m.Columns, each*tintRows)
	}
	for y := range m.Rows {
		m.Rows[y] += each * uint64(px)
	}
	m.Cells.Ink = append(m.Cells.Ink, uint32(each)*tintRows*uint32(px))
}

// sheetOf are the first and the last zone from the left that any ink has sheet over;
// all where none has.
func sheetOf(p *preset.Preset, on *press.Press) (first, last int) {
	first, last = on.Fountain.Zones, -1
	for i := range p.Units {
		for at := range on.Fountain.Zones {
			if p.Units[i].Keys[zoneAt(at, on)-1].State != curves.OffSheet {
				first, last = min(first, at), max(last, at)
			}
		}
	}
	if last < 0 {
		return 0, on.Fountain.Zones - 1
	}
	return first, last
}

// zoneAt is the number of a zone by its place from the left, counted from 0.
func zoneAt(at int, on *press.Press) int {
	if on.Fountain.FirstZone == press.Right {
		return on.Fountain.Zones - at
	}
	return at + 1
}

// lengthOf is what a unit's coverages refer to, in mm.
func lengthOf(u *preset.Unit, on *press.Press) float64 {
	var stated float64
	if u.LengthMM != nil {
		stated = *u.LengthMM
	}
	return cmp.Or(on.PrintLengthMM, stated, tintLength*on.Fountain.WidthMM())
}
