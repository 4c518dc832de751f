package preset

import (
	"fmt"

	"bladeline/zones"
)

// Coverages of one colour below 10 % and above 90 % are typically troublesome
// in offset (glossary, trycktval.se). The first is the default of what is
// asked for, not a rule: a page of text has about 4 %.
const (
	LowPct  = 10.0
	highPct = 90.0
)

// low warns of printing zones that take off less ink than is asked for, and
// says how long a solid bar would have to be. Along the print direction, over
// the whole width of a zone that is covered c %, it is
//
//	(asked − c) / 100 × reference length
//
// A zone that the form covers only in part is judged by that part, and not at
// all where it is less than half: no bar can be printed beside the form.
func (f *inspected) low(takeOffPct float64) []zones.Warning {
	low := f.keys(func(k Key) bool {
		part := f.form.Part(*k.LeftMM, *k.RightMM)
		return part >= 0.5 && k.CoveragePct < takeOffPct*part
	})
	if len(low) == 0 {
		return nil
	}
	least, most := extremes(low, covered)
	bar := func(k Key) float64 { return (takeOffPct - k.CoveragePct) / 100 * f.form.ReferenceMM() }
	bars := fmt.Sprintf("a solid take-off bar %.1f mm long in the print direction would bring it up to that", bar(least))
	switch longest, shortest := fmt.Sprintf("%.1f", bar(least)), fmt.Sprintf("%.1f", bar(most)); {
	case len(low) > 1 && longest == shortest:
		bars = fmt.Sprintf("solid take-off bars %s mm long in the print direction would bring them up to that", longest)
	case len(low) > 1:
		bars = fmt.Sprintf("solid take-off bars, in the print direction %.1f mm long in zone %d down to %.1f mm in zone %d, would bring them up to that",
			bar(least), least.Zone, bar(most), most.Zone)
	}
	return f.warning(CodeLow, least.Zone, "low take-off: %s, covered %s, less than %g %%: ink that is not taken off stays on the rollers and takes up water; %s",
		spans(low), pctSpan(least.CoveragePct, most.CoveragePct), takeOffPct, bars)
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
		spans(high), pctSpan(least.CoveragePct, most.CoveragePct), highPct)
}

// hairPct is a difference that comes of binary fractions and means nothing.
const hairPct = 1e-9
