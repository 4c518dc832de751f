package zones

import (
	"fmt"
	"math"

	"bladeline/curves/settings"
)

// PresetPlacement is what a preset states of how its separations lie on the
// fountain, so that they can be laid there again.
type PresetPlacement struct {
	LeadEdge Edge     `json:"lead_edge"` // of the raster as given
	Mirrored bool     `json:"mirrored"`  // the raster is wrong-reading
	ShiftMM  float64  `json:"shift_mm"`  // to the right in bench view
	DPIX     *float64 `json:"dpi_x"`     // px an inch of the raster as given; nil: as it states itself
	DPIY     *float64 `json:"dpi_y"`
}

// StatedPlacement is a placement as a preset states it.
func StatedPlacement(p Placement) *PresetPlacement { return presetPlacement(&p) }

// Validate tells what is wrong with a placement that somebody states. Its errors
// are of type *settings.FileError, with the name of the field as the place.
func (p *PresetPlacement) Validate() error {
	if field, what := p.flaw(); what != "" {
		return &settings.FileError{Place: field, What: what, Do: "correct it"}
	}
	return nil
}

// presetPlacement is nil where the placement is not known.
func presetPlacement(p *Placement) *PresetPlacement {
	if p == nil {
		return nil
	}
	return &PresetPlacement{p.leadEdge(), p.Mirrored, p.ShiftMM, known(p.DPIX), known(p.DPIY)}
}

// Placement lays a separation as the preset's were laid; nil is not known.
func (p *PresetPlacement) Placement() *Placement {
	if p == nil {
		return nil
	}
	at := &Placement{LeadEdge: p.LeadEdge, Mirrored: p.Mirrored, ShiftMM: p.ShiftMM}
	if p.DPIX != nil {
		at.DPIX = *p.DPIX
	}
	if p.DPIY != nil {
		at.DPIY = *p.DPIY
	}
	return at
}

// leadEdge is the edge that enters the press first.
func (p Placement) leadEdge() Edge {
	if p.LeadEdge == "" {
		return Bottom
	}
	return p.LeadEdge
}

// sameWay tells whether two placements are one.
func sameWay(a, b *Placement) bool {
	if a == nil || b == nil {
		return a == b
	}
	x, y := *a, *b
	x.LeadEdge, y.LeadEdge = x.leadEdge(), y.leadEdge()
	return x == y
}

func (p *PresetPlacement) flaw() (field, what string) {
	if p == nil {
		return "", ""
	}
	switch _, known := quarters[p.LeadEdge]; {
	case !known || p.LeadEdge == "":
		return "lead_edge", fmt.Sprintf("%s is none of bottom, top, left and right", settings.Quoted(string(p.LeadEdge)))
	case !(math.Abs(p.ShiftMM) <= maxMM):
		return "shift_mm", fmt.Sprintf("%s is no way to move a form", settings.Plain(p.ShiftMM))
	case p.DPIX != nil && !plausible(*p.DPIX):
		return "dpi_x", fmt.Sprintf("%s is no resolution of a plate", settings.Plain(*p.DPIX))
	case p.DPIY != nil && !plausible(*p.DPIY):
		return "dpi_y", fmt.Sprintf("%s is no resolution of a plate", settings.Plain(*p.DPIY))
	}
	return "", ""
}
