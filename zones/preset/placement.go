package preset

import (
	"fmt"
	"math"
	"slices"

	"bladeline/curves/settings"
	"bladeline/zones"
)

// StatedPlacement is what a preset states of how its separations lie on the
// fountain, so that they can be laid there again.
type StatedPlacement struct {
	LeadEdge zones.Edge `json:"lead_edge"` // of the raster as given
	Mirrored bool       `json:"mirrored"`  // the raster is wrong-reading
	ShiftMM  float64    `json:"shift_mm"`  // to the right in bench view
	DPIX     *float64   `json:"dpi_x"`     // px an inch of the raster as given; nil: as it states itself
	DPIY     *float64   `json:"dpi_y"`
}

// State is a placement as a preset states it.
func State(p zones.Placement) *StatedPlacement { return presetPlacement(&p) }

// Validate tells what is wrong with a placement that somebody states. Its errors
// are of type *settings.FileError, with the name of the field as the place.
func (p *StatedPlacement) Validate() error {
	if field, what := p.validate(); what != "" {
		return &settings.FileError{Place: field, What: what, Do: "correct it"}
	}
	return nil
}

// presetPlacement is nil where the placement is not known.
func presetPlacement(p *zones.Placement) *StatedPlacement {
	if p == nil {
		return nil
	}
	return &StatedPlacement{p.Lead(), p.Mirrored, p.ShiftMM, nilIfZero(p.DPIX), nilIfZero(p.DPIY)}
}

// Placement lays a separation as the preset's were laid; nil is not known.
func (p *StatedPlacement) Placement() *zones.Placement {
	if p == nil {
		return nil
	}
	at := &zones.Placement{LeadEdge: p.LeadEdge, Mirrored: p.Mirrored, ShiftMM: p.ShiftMM}
	if p.DPIX != nil {
		at.DPIX = *p.DPIX
	}
	if p.DPIY != nil {
		at.DPIY = *p.DPIY
	}
	return at
}

// sameWay tells whether two placements are one; nil is not known.
func sameWay(a, b *zones.Placement) bool {
	if a == nil || b == nil {
		return a == b
	}
	return a.Same(*b)
}

func (p *StatedPlacement) validate() (field, what string) {
	if p == nil {
		return "", ""
	}
	switch {
	case !slices.Contains([]zones.Edge{zones.Bottom, zones.Top, zones.Left, zones.Right}, p.LeadEdge):
		return "lead_edge", fmt.Sprintf("%s is not bottom, top, left or right", settings.Quoted(string(p.LeadEdge)))
	case !(math.Abs(p.ShiftMM) <= maxMM):
		return "shift_mm", fmt.Sprintf("%s is not a distance to move a form", settings.Plain(p.ShiftMM))
	case p.DPIX != nil && !zones.IsResolution(*p.DPIX):
		return "dpi_x", fmt.Sprintf("%s is not the resolution of a plate", settings.Plain(*p.DPIX))
	case p.DPIY != nil && !zones.IsResolution(*p.DPIY):
		return "dpi_y", fmt.Sprintf("%s is not the resolution of a plate", settings.Plain(*p.DPIY))
	}
	return "", ""
}
