package press

import (
	"math"

	"bladeline/curves"
)

// Key is where to set the key of a zone, counted from 1, for an opening in % of
// travel that the press's limits let through. Rounding to a step takes no key
// below the floor or above the ceiling. Where no step lies between the two, and
// off the sheet, where neither holds, it is the nearest step. A key whose own zero
// would take it off the scale stands where the scale ends: there is its stop.
func (p *Press) Key(zone int, openingPct float64, offSheet bool) float64 {
	key := p.Keys.Key(zone, openingPct)
	if least, most := p.KeyRange(zone); !offSheet && least <= most {
		key = min(max(key, least), most)
	}
	return min(max(key, 0), p.Keys.Travel)
}

// KeyRange are the least and the greatest setting of a zone's key, counted from
// 1, that lie between floor and ceiling. Where no step does, the least is above
// the greatest. A floor of 0 asks for nothing: a blade cannot close further than
// shut.
func (p *Press) KeyRange(zone int) (least, most float64) {
	least = math.Inf(-1)
	if p.Limits.FloorPct > 0 {
		least = p.Keys.rounded(zone, p.Limits.FloorPct, up)
	}
	return least, p.Keys.rounded(zone, p.Limits.CeilingPct, down)
}

// RoundingPct is how far rounding to a step may take a key from an opening, in %
// of travel: half a step, or a whole one next to floor and ceiling.
func (p *Press) RoundingPct(openingPct float64) float64 {
	step := 100 * p.Keys.Step / p.Keys.Travel
	if openingPct-p.Limits.FloorPct < step/2 || p.Limits.CeilingPct-openingPct < step/2 {
		return step
	}
	return step / 2
}

// SweepKeys are what a sweep is weighed by, for demands that are listed by zone:
// the press's limits, on the keys' own steps.
func (p *Press) SweepKeys() curves.Keys {
	return curves.Keys{
		Limits: p.Limits,
		Range: func(i int) (leastPct, mostPct float64) {
			least, most := p.KeyRange(i + 1)
			return p.Keys.Opening(i+1, least), p.Keys.Opening(i+1, most)
		},
		Set: func(i int, openingPct float64, state curves.State) float64 {
			return p.Keys.OpeningPct(i+1, p.Key(i+1, openingPct, state == curves.OffSheet))
		},
	}
}
