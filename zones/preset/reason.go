package preset

import (
	"fmt"
	"math"
	"strings"

	"bladeline/curves"
	"bladeline/curves/settings"
	"bladeline/zones/press"
)

// sweep is the unit's sweep, how it came about, and a sentence that says why.
func (in laidUnit) sweep(on *press.Press) (sweep float64, chosen, reason string) {
	if in.Sweep != nil {
		return *in.Sweep, Given, fmt.Sprintf("%s was given", press.Amount(*in.Sweep, on.Sweep.Unit))
	}
	var demands []curves.Demand
	var numbers []int
	for _, z := range in.Zones {
		if !z.OffSheet {
			demands = append(demands, curves.Demand{CoveragePct: z.CoveragePct, OpeningPct: in.Curve.At(z.CoveragePct)})
			numbers = append(numbers, z.Number)
		}
	}
	c := curves.ChooseSweep(demands, on.Sweep, in.reference(on), on.Limits)
	return c.Sweep, Auto, reasonFor(c, on, numbers)
}

// reasonFor says what was weighed for a choice; numbers are the zones of its
// demands.
func reasonFor(c curves.Choice, on *press.Press, numbers []int) string {
	s := on.Sweep
	if c.Blank {
		return fmt.Sprintf("nothing prints in this ink: %s, nearest the press's reference, is kept", press.Amount(c.Sweep, s.Unit))
	}
	weighed := fmt.Sprintf("of %d settings from %s to %s", c.Settings, settings.Plain(s.From), press.Amount(s.To, s.Unit))
	stands := fmt.Sprintf("the highest key, zone %d, stands nearest 80 %% of its travel (%.1f %%)", numbers[c.Highest], c.HighestPct)
	if len(c.Cut)+len(c.Added) == 0 {
		keeps := "keep"
		if c.Equals == 1 {
			keeps = "keeps"
		}
		return fmt.Sprintf("%s, %d %s every printing key within floor and ceiling; at %s %s", weighed, c.Equals, keeps, press.Amount(c.Sweep, s.Unit), stands)
	}
	text := fmt.Sprintf("%s, none keeps every printing key within floor and ceiling; at %s the ink comes closest to the curve: %s",
		weighed, press.Amount(c.Sweep, s.Unit), losses(c, numbers))
	if c.Equals > 1 {
		text += fmt.Sprintf("; of %d settings that come as close, %s here", c.Equals, stands)
	}
	return text
}

// losses says how much ink is lost or added, in % of all that the curve asks
// for, and where.
func losses(c curves.Choice, numbers []int) string {
	var parts []string
	if len(c.Cut) > 0 {
		parts = append(parts, fmt.Sprintf("the ceiling cuts off %s in %s", sharePct(c.CutPct), zoneList(c.Cut, numbers)))
	}
	if len(c.Added) > 0 {
		parts = append(parts, fmt.Sprintf("the floor adds %s in %s", sharePct(c.AddedPct), zoneList(c.Added, numbers)))
	}
	return strings.Join(parts, ", ")
}

func sharePct(pct float64) string {
	switch {
	case math.IsInf(pct, 0) || math.IsNaN(pct):
		return "ink that the curve does not ask for"
	case pct < 0.1:
		return "less than 0.1 %"
	}
	return fmt.Sprintf("%.1f %%", pct)
}

func zoneList(indices, numbers []int) string {
	names := make([]string, len(indices))
	for i, at := range indices {
		names[i] = fmt.Sprint(numbers[at])
	}
	if len(names) == 1 {
		return "zone " + names[0]
	}
	return "zones " + listed(names)
}
