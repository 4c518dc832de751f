package zones

import (
	"errors"
	"fmt"
	"math"

	"bladeline/coverage"
	"bladeline/curves/settings"
	"bladeline/zones/press"
)

// Edge is an edge of a raster.
type Edge string

// The edges.
const (
	Bottom Edge = "bottom"
	Top    Edge = "top"
	Left   Edge = "left"
	Right  Edge = "right"
)

// A Placement says how a raster lies on the fountain. The zero Placement is a
// right-reading raster that enters the press with its bottom edge, in the
// middle of the fountain.
type Placement struct {
	LeadEdge   Edge    // of the raster as given; "" is Bottom
	Mirrored   bool    // the raster is wrong-reading
	ShiftMM    float64 // to the right in bench view
	DPIX, DPIY float64 // px an inch of the raster as given; 0: as it states itself
}

// quarters are the counter-clockwise quarter turns that bring an edge to the
// bottom.
var quarters = map[Edge]int{"": 0, Bottom: 0, Left: 1, Top: 2, Right: -1}

// Lead is the edge that enters the press first.
func (p Placement) Lead() Edge {
	if p.LeadEdge == "" {
		return Bottom
	}
	return p.LeadEdge
}

// Same tells whether two placements are one.
func (p Placement) Same(q Placement) bool {
	p.LeadEdge, q.LeadEdge = p.Lead(), q.Lead()
	return p == q
}

// check refuses what says nothing of where a raster lies.
func (p Placement) check() error {
	switch _, known := quarters[p.LeadEdge]; {
	case !known:
		return fmt.Errorf("gripper edge (lead edge) %s is not an edge; give bottom, top, left or right", settings.Quoted(string(p.LeadEdge)))
	case !finite(p.ShiftMM):
		return errors.New("the shift is not a number of mm; give how far to move the raster to the right")
	case !(p.DPIX >= 0) || !(p.DPIY >= 0) || !finite(p.DPIX) || !finite(p.DPIY):
		return errors.New("the resolution is not a number of pixels per inch; give one above 0")
	}
	return nil
}

// resolved is the separation as given, at the resolution that the placement
// says.
func (p Placement) resolved(m *coverage.Map) *coverage.Map {
	v := *m
	if p.DPIX != 0 {
		v.DPIX = p.DPIX
	}
	if p.DPIY != 0 {
		v.DPIY = p.DPIY
	}
	return &v
}

// checkFountain refuses one that no form can be laid on. Whether the press can be
// preset is not asked.
func checkFountain(on *press.Press) error {
	switch f := on.Fountain; {
	case f.Zones < 1 || f.Zones > press.MaxZones:
		return fmt.Errorf("a fountain cannot have %d zones; give 1 to %d", f.Zones, press.MaxZones)
	case !(f.ZoneWidthMM > 0) || !finite(f.WidthMM()):
		return fmt.Errorf("zones cannot be %s mm wide; give their width", settings.Plain(f.ZoneWidthMM))
	case f.FirstZone != press.Left && f.FirstZone != press.Right:
		return fmt.Errorf("zone 1 is at the %s of the fountain; give left or right", settings.Quoted(string(f.FirstZone)))
	case !(on.PrintLengthMM >= 0) || !finite(on.PrintLengthMM):
		return fmt.Errorf("the print length cannot be %s mm; give it, or 0 where the press has none", settings.Plain(on.PrintLengthMM))
	}
	return nil
}

var errNothing = errors.New("there is no separation; measure one")

// checkMap refuses what cannot be a separation, so that no sum divides by 0 and
// no cell stands beside the grid.
func checkMap(m *coverage.Map) error {
	if m == nil {
		return errNothing
	}
	fits := m.Width >= 1 && m.Height >= 1 && m.Full >= 1 && len(m.Columns) == m.Width && len(m.Rows) == m.Height &&
		areBorders(m.Cells.X, m.Width) && areBorders(m.Cells.Y, m.Height) && len(m.Cells.Ink) == (len(m.Cells.X)-1)*(len(m.Cells.Y)-1)
	if !fits {
		return inMap(m, fmt.Errorf("its sums do not fit its size of %d × %d px; measure the raster anew", m.Width, m.Height))
	}
	return nil
}

// areBorders tells whether borders rise from 0 to a length.
func areBorders(borders []int, length int) bool {
	for i := range borders[:max(0, len(borders)-1)] {
		if borders[i] >= borders[i+1] {
			return false
		}
	}
	return len(borders) >= 2 && borders[0] == 0 && borders[len(borders)-1] == length
}

func finite(v float64) bool { return !math.IsInf(v, 0) && !math.IsNaN(v) }
