package preset

import (
	"bladeline/curves"
	"bladeline/zones"
)

// neighbourLimit warns of printing keys that one blade, which bends only so far from
// key to key, holds wider open than the curve asks: as set on their steps, which may
// take back what the blade raises.
func (f *inspected) neighbourLimit() []zones.Warning {
	raised := f.keys(func(k Key) bool { return is(curves.Neighbour)(k) && f.stands(k)-f.asked(k) >= leastPct })
	if len(raised) == 0 {
		return nil
	}
	_, worst := extremes(raised, func(k Key) float64 { return f.stands(k) / f.asked(k) })
	return f.warning(CodeNeighbours, worst.Zone, "steep neighbours: the blade bends by at most %g %% of travel from key to key, and so holds %s wider open than the curve asks; zone %d stands at %.1f %% instead of %.1f %%: %s too much ink; %s",
		f.press.Limits.NeighbourPct, Spans(raised), worst.Zone, f.stands(worst), f.asked(worst), excess(f.stands(worst), f.asked(worst)),
		f.freeing(curves.Neighbour, "a take-off bar there, or turning or re-imposing the form, may help"))
}
