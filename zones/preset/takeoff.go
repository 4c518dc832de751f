package preset

import (
	"fmt"
	"math"
	"strings"

	"bladeline/zones"
)

// Coverages of one colour below 10 % and above 90 % are typically troublesome
// in offset (glossary, trycktval.se). A page of text has about 4 % and runs well:
// of the first nothing is said unless it is asked for.
const highPct = 90.0

// ByKeys, as the least coverage that is asked for, is what each zone's own key
// can meter.
//
// What a bare zone is fed comes back; of what a zone with image is fed beyond
// that, the image takes the rest. Where that is less than one step of the key, or
// where the key cannot close so far, no setting gives what the image takes, and
// what it does not take stays. A bar that takes a step's worth cures that. Common
// practice, no source.
const ByKeys = -1.0

// shortestBarMM is as short as a bar is put on a plate to cure that. Common
// practice, no source.
const shortestBarMM = 3.0

// low warns of printing zones that take off less ink than is asked for, and
// says how long a solid bar would have to be. Along the print direction, as wide
// as the form lies over a zone that is covered c %, that is
//
//	(asked − c) / 100 / part of the zone × reference length
//
// in whole mm, and no longer than what is free there. A zone of which the form
// covers less than half is not judged: no bar can be printed beside the form.
func (f *inspected) low(takeOffPct float64) []zones.Warning {
	low := f.keys(func(k Key) bool { return f.barWantedMM(k, takeOffPct) > hairPct })
	if len(low) == 0 {
		return nil
	}
	bars, capped := map[int]float64{}, false
	for _, k := range low {
		bar, room := f.barMM(k, takeOffPct)
		bars[k.Zone], capped = bar, capped || !room
	}
	least, most := extremes(low, covered)
	what := fmt.Sprintf("less than %g %%", takeOffPct)
	if takeOffPct == ByKeys {
		what = "which is less ink than their keys can be set by"
		if len(low) == 1 {
			what = "which is less ink than its key can be set by"
		}
	}
	return f.warning(CodeLow, least.Zone, "little image in %s, covered %s, %s: ink that is not taken off stays on the rollers and takes up water; %s",
		worstOf(low, least), pctSpan(least.CoveragePct, most.CoveragePct), what, barWords(low, bars, capped))
}

// barWantedMM is how long a bar would bring a zone to the coverage that is asked for.
func (f *inspected) barWantedMM(k Key, takeOffPct float64) float64 {
	part := f.form.Part(*k.LeftMM, *k.RightMM)
	if part < 0.5 {
		return 0
	}
	askedPct := takeOffPct * part
	if takeOffPct == ByKeys {
		askedPct = f.meteredPct(k)
	}
	return (askedPct - k.CoveragePct) / 100 / part * f.form.ReferenceMM()
}

// barMM is how long a bar is advised where one is wanted, in whole mm, and whether
// there is room for all of it.
func (f *inspected) barMM(k Key, takeOffPct float64) (mm float64, room bool) {
	free := math.Floor(f.form.FreeMM(*k.LeftMM, *k.RightMM) + hairPct)
	mm = math.Ceil(f.barWantedMM(k, takeOffPct) - hairPct)
	if takeOffPct == ByKeys {
		mm = max(mm, shortestBarMM)
	}
	return min(mm, free), mm <= free
}

// worstOf names zones, and the worst of several.
func worstOf(keys []Key, worst Key) string {
	if len(keys) == 1 {
		return Spans(keys)
	}
	return fmt.Sprintf("%s (worst %d)", Spans(keys), worst.Zone)
}

// barWords say how long the bars in zones must be; capped tells that some would
// have to be longer than what is free.
func barWords(low []Key, bars map[int]float64, capped bool) string {
	shortest, longest := extremes(low, func(k Key) float64 { return bars[k.Zone] })
	enough := "would take up enough"
	if capped {
		enough = "take up as much as there is room for"
	}
	from, to := bars[shortest.Zone], bars[longest.Zone]
	switch {
	case to < 1:
		return "there is no room for a take-off bar: run as little water as keeps the plate clean"
	case len(low) == 1:
		return fmt.Sprintf("a solid take-off bar %.0f mm long in the print direction %s", to, strings.Replace(enough, "take up as", "takes up as", 1))
	case from == to:
		return fmt.Sprintf("solid take-off bars %.0f mm long in the print direction %s", to, enough)
	}
	return fmt.Sprintf("solid take-off bars, in the print direction %.0f mm long in zone %d down to %.0f mm in zone %d, %s",
		to, longest.Zone, from, shortest.Zone, enough)
}

// meteredPct is the least coverage of a zone that its key can be set by at the
// unit's sweep: it asks for the key's least opening, and for a step more than a
// bare zone. Where the curve never asks for so much it is 0.
func (f *inspected) meteredPct(k Key) float64 {
	least, _ := f.press.KeyRange(k.Zone)
	wants := max(f.press.Keys.Opening(k.Zone, least), f.askedAt(0, f.unit.Sweep)+100*f.press.Keys.Step/f.press.Keys.Travel)
	if f.askedAt(100, f.unit.Sweep) < wants {
		return 0
	}
	low, high := 0.0, 100.0
	for high-low > hairPct {
		if middle := (low + high) / 2; f.askedAt(middle, f.unit.Sweep) < wants-hairPct {
			low = middle
		} else {
			high = middle
		}
	}
	return high
}

// high warns of zones that are almost solid. What it advises is common
// practice, no source.
func (f *inspected) high() []zones.Warning {
	high := f.keys(func(k Key) bool { return k.CoveragePct > highPct+hairPct })
	if len(high) == 0 {
		return nil
	}
	least, most := extremes(high, covered)
	return f.warning(CodeHigh, most.Zone, "high take-off: %s, covered %s, more than %g %%: colour runs short there first, and heavy solids dry slowly and set off; watch them first, and keep the pile low",
		Spans(high), pctSpan(least.CoveragePct, most.CoveragePct), highPct)
}

// hairPct is a difference that comes of binary fractions and means nothing.
const hairPct = 1e-9
