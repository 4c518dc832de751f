package preset

import (
	"fmt"
	"math"
	"strings"

	"bladeline/curves"
	"bladeline/zones"
	"bladeline/zones/press"
)

// leastPct is how far a key must stand off, in % of travel, to be worth a word.
// Common practice, no source.
const leastPct = 0.5

// ceiling warns of printing keys that cannot open as far as the curve asks.
func (f *inspected) ceiling() []zones.Warning {
	limited := f.keys(func(k Key) bool { return is(curves.Ceiling)(k) && f.asked(k)-k.OpeningPct >= leastPct })
	if len(limited) == 0 {
		return nil
	}
	_, worst := extremes(limited, f.asked)
	return f.warning(CodeCeiling, worst.Zone, "at the ceiling: %s; zone %d stands at %.1f %% of travel, the widest opening, instead of %.1f %%: %.0f %% of its ink is missing; %s",
		spans(limited), worst.Zone, worst.OpeningPct, f.asked(worst), 100*(1-worst.OpeningPct/f.asked(worst)),
		f.freeing(curves.Ceiling, "watch for thin colour there"))
}

// floor warns of printing keys that cannot close as far as the curve asks.
func (f *inspected) floor() []zones.Warning {
	limited := f.keys(func(k Key) bool { return is(curves.Floor)(k) && k.OpeningPct-f.asked(k) >= leastPct })
	if len(limited) == 0 {
		return nil
	}
	worst, _ := extremes(limited, f.asked)
	return f.warning(CodeFloor, worst.Zone, "at the floor: %s; zone %d stands at %.1f %% of travel, the least opening, instead of %.1f %%: %s too much ink; %s",
		spans(limited), worst.Zone, worst.OpeningPct, f.asked(worst), excess(worst.OpeningPct, f.asked(worst)),
		f.freeing(curves.Floor, "watch for too much ink there"))
}

func is(s curves.State) func(Key) bool { return func(k Key) bool { return k.State == s } }

// excess is how much more an opening feeds than is asked for.
func excess(opening, asked float64) string {
	if asked <= 0 || opening/asked > 1000 {
		return "far"
	}
	return fmt.Sprintf("%.0f %%", 100*(opening/asked-1))
}

// asked is what the curve asks for at the unit's sweep, in % of travel.
func (f *inspected) asked(k Key) float64 { return f.askedAt(k.CoveragePct, f.unit.Sweep) }

func (f *inspected) askedAt(coveragePct, sweep float64) float64 {
	return curves.OpeningAt(f.in.Curve.At(coveragePct), f.in.reference(f.press), sweep)
}

// statesAt are what would hold each key at a sweep.
func (f *inspected) statesAt(sweep float64) []curves.State {
	asked, offSheet := make([]float64, len(f.in.Zones)), make([]bool, len(f.in.Zones))
	for i, z := range f.in.Zones {
		asked[i], offSheet[i] = f.askedAt(z.CoveragePct, sweep), z.OffSheet
	}
	_, states := f.press.Limits.Apply(asked, offSheet)
	return states
}

// freeing names the sweep that frees all printing keys of a state, the nearest
// to the unit's, and which others it holds instead. Where none does, it says
// so and what else to do.
func (f *inspected) freeing(state curves.State, otherwise string) string {
	var sweep float64
	var states []curves.State
	nearest := math.Inf(1)
	for _, s := range f.press.Sweep.Settings() {
		if off := math.Abs(s - f.unit.Sweep); off < nearest {
			if at := f.statesAt(s); f.frees(at, state) {
				nearest, sweep, states = off, s, at
			}
		}
	}
	if states == nil {
		return "no sweep of the press changes that; " + otherwise
	}
	text := fmt.Sprintf("a sweep of %s frees", press.Amount(sweep, f.press.Sweep.Unit))
	if len(f.keys(is(state))) == 1 {
		text += " it"
	} else {
		text += " them"
	}
	return text + f.limitedInstead(states)
}

// frees tells whether no printing key is in a state any more among states, nor
// one that was in it raised by a neighbour instead.
func (f *inspected) frees(states []curves.State, state curves.State) bool {
	limited := f.keys(func(k Key) bool {
		at := states[k.Zone-1]
		return at == state || k.State == state && at == curves.Neighbour
	})
	return len(limited) == 0
}

// limitedInstead names the printing keys that would be held in another way than
// they are.
func (f *inspected) limitedInstead(states []curves.State) string {
	var parts []string
	for _, s := range []struct {
		state curves.State
		where string
	}{{curves.Ceiling, "at the ceiling"}, {curves.Floor, "at the floor"}, {curves.Neighbour, "by a neighbour"}} {
		limited := f.keys(func(k Key) bool { return states[k.Zone-1] == s.state && k.State != s.state })
		if len(limited) > 0 {
			parts = append(parts, fmt.Sprintf("%s %s", spans(limited), s.where))
		}
	}
	if len(parts) == 0 {
		return ""
	}
	return ", but then the press holds " + strings.Join(parts, " and ")
}
