package press

import (
	"math"

	"bladeline/curves"
)

// BendPct is how far apart the blade lets two neighbouring keys stand as they are
// set, in % of travel; 0 is any. Keys stand on steps, so it is the press's limit
// rounded up to a whole step: the keys of a preset, each on its own step, never
// stand further apart. Where they are shut at settings of their own, a step more
// may come between.
func (p *Press) BendPct() float64 {
	if p == nil || p.Limits.NeighbourPct <= 0 {
		return 0
	}
	step := 100 * p.Keys.Step / p.Keys.Travel
	steps := math.Ceil(p.Limits.NeighbourPct/step - halfTolerance)
	if !p.Keys.CountsFromShut() {
		steps++
	}
	return steps * step
}

// Bent is where the blade stands at every key, in % of travel, when the keys are set
// so, by zone from 1, and what holds it where it does not stand as set: floor and
// ceiling hold a key under the sheet, and a neighbour on the same blade pulls it
// open. offSheet marks the zones that have no sheet over them.
func (p *Press) Bent(keys []float64, offSheet []bool) ([]float64, []curves.State) {
	set, states := make([]float64, len(keys)), make([]curves.State, len(keys))
	for i, key := range keys {
		if off := i < len(offSheet) && offSheet[i]; off {
			states[i] = curves.OffSheet
		} else {
			key, states[i] = p.held(i+1, key)
		}
		set[i] = p.Keys.OpeningPct(i+1, key)
	}
	stands, raised := curves.Limits{CeilingPct: math.Inf(1), NeighbourPct: p.BendPct()}.Apply(set, nil)
	for i, state := range raised {
		if state == curves.Neighbour {
			states[i] = state
		}
	}
	return stands, states
}

// held is a key between floor and ceiling, where a step lies between the two.
func (p *Press) held(zone int, key float64) (float64, curves.State) {
	least, most := p.KeyRange(zone)
	switch {
	case least > most:
	case key < least:
		return least, curves.Floor
	case key > most:
		return most, curves.Ceiling
	}
	return key, curves.Set
}
