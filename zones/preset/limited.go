package preset

import (
	"fmt"
	"math"

	"bladeline/curves"
	"bladeline/curves/settings"
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
	return f.warning(CodeCeiling, worst.Zone, "at the ceiling: %s; zone %d stands at %.1f %% of travel, the most opening, instead of %.1f %%: %.0f %% of its ink is missing; %s",
		Spans(limited), worst.Zone, f.stands(worst), f.asked(worst), 100*(1-f.stands(worst)/f.asked(worst)),
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
		Spans(limited), worst.Zone, f.stands(worst), f.asked(worst), excess(f.stands(worst), f.asked(worst)),
		f.freeing(curves.Floor, "watch for too much ink there"))
}

// stands is where a key stands on its step, in % of travel: what a warning says of the
// ink is what the key as set feeds.
func (f *inspected) stands(k Key) float64 { return f.press.Keys.OpeningPct(k.Zone, k.Key) }

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

// openingsAt are where the keys would stand at a sweep, in % of travel, and what
// would hold each.
func (f *inspected) openingsAt(sweep float64) ([]float64, []curves.State) {
	asked, offSheet := make([]float64, len(f.in.Zones)), make([]bool, len(f.in.Zones))
	for i, z := range f.in.Zones {
		asked[i], offSheet[i] = f.askedAt(z.CoveragePct, sweep), z.OffSheet
	}
	return f.press.Limits.Apply(asked, offSheet)
}

// limitedAt are what would hold each key at a sweep, and how far off what the
// curve asks for, in % of travel.
func (f *inspected) limitedAt(sweep float64) (states []curves.State, offPct []float64) {
	openings, states := f.openingsAt(sweep)
	for i, opening := range openings {
		offPct = append(offPct, math.Abs(opening-f.askedAt(f.in.Zones[i].CoveragePct, sweep)))
	}
	return states, offPct
}

// freeing names the sweep that frees all printing keys of a state and holds no
// other: the nearest to the unit's in the working range or, where none is, on
// the scale. Where there is none it says so, and what else to do.
func (f *inspected) freeing(state curves.State, otherwise string) string {
	on := f.press.Sweep
	best, nearest := math.NaN(), math.NaN() // that is advised, and whether worked with or not
	frees := false
	_, now := f.limitedAt(f.unit.Sweep)
	for _, s := range on.Settings() {
		states, off := f.limitedAt(s)
		if !f.frees(states, state) {
			continue
		}
		frees = true
		if f.holdsOthers(now, off) {
			continue
		}
		if math.IsNaN(best) || f.advised(s, best) {
			best = s
		}
		if math.IsNaN(nearest) || f.nearer(s, nearest) {
			nearest = s
		}
	}
	them := "them"
	if len(f.keys(is(state))) == 1 {
		them = "it"
	}
	switch {
	case math.IsNaN(best) && !frees:
		return "no sweep of the press changes that; " + otherwise
	case math.IsNaN(best):
		return fmt.Sprintf("no sweep of the press frees %s without holding other keys; %s", them, otherwise)
	case on.IsWorking(best) && best != nearest:
		return fmt.Sprintf("a sweep of %s frees %s, the nearest within the working range", press.Amount(best, on.Unit), them)
	case on.IsWorking(best):
		return fmt.Sprintf("a sweep of %s frees %s", press.Amount(best, on.Unit), them)
	}
	from, to := on.Working()
	return fmt.Sprintf("only a sweep of %s frees %s, outside the working range of %s to %s; %s",
		press.Amount(best, on.Unit), them, settings.Plain(from), settings.Plain(to), otherwise)
}

// advised tells whether to advise a sweep rather than another.
func (f *inspected) advised(s, other float64) bool {
	if works := f.press.Sweep.IsWorking(s); works != f.press.Sweep.IsWorking(other) {
		return works
	}
	return f.nearer(s, other)
}

// nearer tells whether a sweep is nearer to the unit's than another.
func (f *inspected) nearer(s, other float64) bool {
	return math.Abs(s-f.unit.Sweep) < math.Abs(other-f.unit.Sweep)
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

// holdsOthers tells whether a printing key is held further off than now, by as
// much as is worth a word.
func (f *inspected) holdsOthers(nowPct, offPct []float64) bool {
	return len(f.keys(func(k Key) bool { return offPct[k.Zone-1]-nowPct[k.Zone-1] >= leastPct })) > 0
}
