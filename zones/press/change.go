package press

import "slices"

// A Change is how a press is to differ, to see what would come of it; nil
// is as the press has it.
type Change struct {
	Zones             *int     `json:"zones"`
	ZoneWidthMM       *float64 `json:"zone_width_mm"`
	FirstZone         *End     `json:"first_zone"`
	Blade             *Blade   `json:"blade"`
	NeighbourLimitPct *float64 `json:"neighbour_limit_pct"` // of a one-piece blade
}

// AssumedNeighbourPct is the neighbour limit of a blade that is taken for one
// piece and whose limit is not stated: a value to try things out with, from
// memory.
const AssumedNeighbourPct = 20

// With is the press with a change. The rules are those of a press's file, and
// so are the errors, of type *settings.FileError. Zeros of keys that the changed
// press does not have are left out, and keys that it has more have none.
func (p *Press) With(c Change) (*Press, error) {
	if p == nil {
		return nil, errNoPress
	}
	changed := *p
	f, limit := &p.Fountain, p.NeighbourPct()
	raw := pressFile{Fountain: fountainFile{
		Zones: or(c.Zones, &f.Zones), ZoneWidthMM: or(c.ZoneWidthMM, &f.ZoneWidthMM),
		FirstZone: string(*or(c.FirstZone, &f.FirstZone)), Blade: string(*or(c.Blade, &f.Blade)),
		NeighbourLimitPct: or(c.NeighbourLimitPct, &limit),
	}}
	r := rules{}
	changed.Fountain = raw.Fountain.fountain(&r)
	limits := raw.limits(&r)
	r.strokes(p.Train, changed.Fountain)
	if r.err != nil {
		return nil, r.err
	}
	changed.Limits.NeighbourPct = limits.NeighbourPct
	keys := changed.Fountain.Zones
	changed.Keys.Zero, changed.Keys.ZeroByHand = zerosOf(p.Keys.Zero, keys), zerosOf(p.Keys.ZeroByHand, keys)
	changed.Units = slices.Clone(p.Units)
	for i := range changed.Units {
		u := &changed.Units[i]
		u.Zero, u.ZeroByHand = zerosOf(u.Zero, keys), zerosOf(u.ZeroByHand, keys)
	}
	return &changed, nil
}

// zerosOf are zeros for so many keys; none where none are stated.
func zerosOf(zero []float64, keys int) []float64 {
	if len(zero) == 0 || len(zero) == keys {
		return zero
	}
	fitted := make([]float64, keys)
	copy(fitted, zero)
	return fitted
}

// NeighbourPct is the press's neighbour limit, were its blade one piece.
func (p *Press) NeighbourPct() float64 {
	if p != nil && p.Limits.NeighbourPct > 0 {
		return p.Limits.NeighbourPct
	}
	return AssumedNeighbourPct
}

func or[V any](v, otherwise *V) *V {
	if v != nil {
		return v
	}
	return otherwise
}
