package preset

import "bladeline/zones"

// A zone's demand is uneven along the print direction where the fullest band,
// bandPart of the reference length, is covered at least bandTimes as much as
// the zone, and at least bandPct itself, as a headline over a light page
// starves nothing. Common practice, no source.
const (
	bandPart  = 0.1
	bandTimes = 3.0
	bandPct   = 50.0
)

// uneven warns of printing zones whose ink stands in one band: a key feeds it
// evenly to the whole length.
func (f *inspected) uneven() []zones.Warning {
	bands := map[int]zones.Band{}
	found := f.keys(func(k Key) bool {
		b, uneven := f.unevenIn(k)
		bands[k.Zone] = b
		return uneven
	})
	if len(found) == 0 {
		return nil
	}
	times := func(k Key) float64 { return bands[k.Zone].CoveragePct / k.CoveragePct }
	_, worst := extremes(found, times)
	b := bands[worst.Zone]
	return f.warning(CodeUneven, worst.Zone, "uneven demand along the print direction in %s; in zone %d the tenth of the length from %.0f to %.0f mm from the gripper edge is covered %.1f %%, %.1f times the zone's %.1f %%: no key can even that out, and starvation or ghosting may follow; turning or re-imposing the form, or a take-off bar, may help",
		Spans(found), worst.Zone, b.FromMM, b.ToMM, b.CoveragePct, times(worst), worst.CoveragePct)
}

// unevenIn is the fullest band of a zone, and whether the zone is uneven by it.
func (f *inspected) unevenIn(k Key) (zones.Band, bool) {
	if !mayBeUneven(k.CoveragePct) {
		return zones.Band{}, false
	}
	b := f.form.Fullest(*k.LeftMM, *k.RightMM, bandPart*f.form.ReferenceMM())
	return b, b.CoveragePct >= bandPct && b.CoveragePct >= bandTimes*k.CoveragePct
}

// mayBeUneven tells whether a zone that is covered so can have such a band at all,
// which is quicker than to look for it: a band has no more ink than the zone, and is
// no more than solid. The margin keeps what binary fractions leave out of it.
func mayBeUneven(coveragePct float64) bool {
	const margin = 1.01
	return coveragePct/bandPart*margin >= bandPct && bandTimes*coveragePct <= 100*margin
}
