package preset

import (
	"fmt"

	"bladeline/curves"
	"bladeline/zones"
	"bladeline/zones/press"
)

// Ink that a blade of one piece feeds to zones where nothing prints is worth a
// word from spillPct of all the ink on, and a sweep that lessens it from fewerPct
// on. Common practice, no source.
const (
	spillPct = 10.0
	fewerPct = 5.0
)

// spill warns of ink that goes where nothing prints, since neighbours on the
// blade hold the keys there open.
func (f *inspected) spill() []zones.Warning {
	pct, zoned := f.spillAt(f.unit.Sweep)
	if pct < spillPct {
		return nil
	}
	least, sweep := pct, f.unit.Sweep
	_, now := f.limitedAt(f.unit.Sweep)
	for _, s := range f.press.Sweep.Settings() {
		if !f.press.Sweep.IsWorking(s) {
			continue
		}
		_, off := f.limitedAt(s)
		if p, _ := f.spillAt(s); p < least && !f.holdsOthers(now, off) {
			least, sweep = p, s
		}
	}
	lessens := ""
	if pct-least >= fewerPct {
		lessens = fmt.Sprintf("a sweep of %s makes that %.0f %%; ", press.Amount(sweep, f.press.Sweep.Unit), least)
	}
	_, worst := extremes(zoned, func(k Key) float64 { return k.OpeningPct })
	return f.warning(CodeSpill, worst.Zone, "spilled ink: %.0f %% of the ink goes to %s, where nothing prints, as the blade bends by at most %g %% of travel from key to key: it stays on the rollers, and darkens the image beside; %sa take-off bar in those under the sheet takes it up, or turn or re-impose the form; bend the blade further only as far as its manual allows",
		pct, Spans(zoned), f.press.Limits.NeighbourPct, lessens)
}

// spillAt is the share of all ink, in %, that at a sweep would go where nothing
// prints since neighbours hold the keys open, and those keys.
func (f *inspected) spillAt(sweep float64) (pct float64, zoned []Key) {
	openings, states := f.openingsAt(sweep)
	var all, spilled float64
	for i, k := range f.unit.Keys {
		key := f.press.Key(k.Zone, openings[i], f.in.Zones[i].OffSheet)
		fed := f.press.Keys.OpeningPct(k.Zone, key)
		all += fed
		if states[i] == curves.Neighbour && k.CoveragePct < printsPct && fed > 0 {
			spilled += fed
			zoned = append(zoned, k)
		}
	}
	if spilled == 0 {
		return 0, nil
	}
	return 100 * spilled / all, zoned
}
