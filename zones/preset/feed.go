package preset

import (
	"bladeline/curves"
	"bladeline/zones/press"
)

// A Feed is what a unit's zones ask for beside what its keys give, by zone
// from 1. Demand and supply are opening in % of travel × sweep, to which the
// ink fed is proportional.
type Feed struct {
	ReferenceSweep float64   `json:"reference_sweep"` // that the curve refers to
	WantedPct      []float64 `json:"wanted_pct"`      // opening that the curve asks for at the unit's sweep, before limits
	Demand         []float64 `json:"demand"`
	Supply         []float64 `json:"supply"` // by the keys as set on the press's scale
	Prints         []bool    `json:"prints"` // false where nothing is covered but by a mark, or no sheet is
}

// Feed is the feed of a unit that was preset for a press by a curve; of what is not
// there it is empty.
func (u *Unit) Feed(on *press.Press, curve *curves.Curve) Feed {
	if u == nil || on == nil || curve == nil {
		return Feed{}
	}
	on = u.OnPress(on)
	f := Feed{ReferenceSweep: on.ReferenceSweep(curve)}
	for _, k := range u.Keys {
		asked := curve.At(k.CoveragePct)
		f.WantedPct = append(f.WantedPct, curves.OpeningAt(asked, f.ReferenceSweep, u.Sweep))
		f.Demand = append(f.Demand, asked*f.ReferenceSweep)
		f.Prints = append(f.Prints, k.Prints())
		f.Supply = append(f.Supply, on.Keys.OpeningPct(k.Zone, k.Key)*u.Sweep)
	}
	return f
}

// AutoSweep is the sweep that would be chosen for a unit that was preset for a press
// by a curve, whatever it was given; 0 of what is not there.
func (u *Unit) AutoSweep(on *press.Press, curve *curves.Curve) float64 {
	if u == nil || on == nil || curve == nil {
		return 0
	}
	on = u.OnPress(on)
	var demands []curves.Demand
	for _, k := range u.Keys {
		demands = append(demands, curves.Demand{OpeningPct: curve.At(k.CoveragePct), Prints: k.CoveragePct >= printsPct, OffSheet: k.State == curves.OffSheet})
	}
	return curves.ChooseSweep(demands, on.Sweep, on.ReferenceSweep(curve), on.SweepKeys()).Sweep
}

// Prints tells whether a key's zone prints: there is sheet over it, and more
// than a mark on it.
func (k Key) Prints() bool { return k.State != curves.OffSheet && k.CoveragePct >= printsPct }
