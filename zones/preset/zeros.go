package preset

import (
	"math"

	"bladeline/curves/learn"
	"bladeline/zones/press"
)

// Found tells whether an offset is more than its standard error.
func Found(o learn.Offset) bool { return o.Readings > 0 && math.Abs(o.ShiftPct) > o.ErrorPct }

// ZerosWith are the zeros of all keys of a press, in the key unit and rounded to
// 0.01 % of travel, once the offsets that were found are added to its own. A
// zone of which no key was read but at an end of its travel keeps its zero, and so does
// one whose offset is within its own standard error: that is noise.
func ZerosWith(on *press.Press, offsets []learn.Offset) []float64 {
	if on == nil {
		return nil
	}
	zero := make([]float64, on.Fountain.Zones)
	copy(zero, on.Keys.Zero)
	for _, o := range offsets {
		if i := o.Zone - 1; i >= 0 && i < len(zero) && Found(o) {
			parts := math.Round(100*(100*zero[i]/on.Keys.Travel+o.ShiftPct)) + 0 // no -0
			zero[i] = min(max(-on.Keys.Travel, parts/10_000*on.Keys.Travel), on.Keys.Travel)
		}
	}
	return zero
}
