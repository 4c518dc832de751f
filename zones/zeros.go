package zones

import (
	"math"
	"slices"

	"bladeline/curves/learn"
)

// Unlearned is the press with the zeros that it had before any were learned.
// What is learned from there does not depend on what was written meanwhile, so
// learning twice from the same jobs finds the same.
func (p *Press) Unlearned() *Press {
	before := *p
	if len(p.Keys.ZeroByHand) > 0 {
		before.Keys.Zero = p.Keys.ZeroByHand
	}
	return &before
}

// ZerosLearned tells whether the press's zeros are learned ones.
func (p *Press) ZerosLearned() bool {
	return len(p.Keys.ZeroByHand) > 0 && !slices.Equal(p.Keys.Zero, p.Keys.ZeroByHand)
}

// ZerosWith are the zeros of all keys, in the key unit and rounded to 0.01 % of
// travel, once the offsets that were found are added to those of the press. A
// zone of which no key was read but at an end of its travel keeps its zero.
func (p *Press) ZerosWith(offsets []learn.Offset) []float64 {
	zero := make([]float64, p.Fountain.Zones)
	copy(zero, p.Keys.Zero)
	for _, o := range offsets {
		if i := o.Zone - 1; i < len(zero) && o.Readings > 0 {
			parts := math.Round(100*(100*zero[i]/p.Keys.Travel+o.ShiftPct)) + 0 // no -0
			zero[i] = min(max(-p.Keys.Travel, parts/10_000*p.Keys.Travel), p.Keys.Travel)
		}
	}
	return zero
}
