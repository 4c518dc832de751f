package preset

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bladeline/curves"
	"bladeline/zones/press"
)

// chosenSweep is a unit's sweep, and how it came about.
type chosenSweep struct {
	curves.Choice
	chosen string // Given or Auto
}

func (in laidUnit) sweep(on *press.Press) chosenSweep {
	if in.Sweep != nil {
		return chosenSweep{curves.Choice{Fed: curves.Fed{Sweep: *in.Sweep}}, Given}
	}
	var demands []curves.Demand
	for i, z := range in.Zones {
		demands = append(demands, curves.Demand{OpeningPct: in.asked(i), Prints: z.CoveragePct >= printsPct, OffSheet: z.OffSheet})
	}
	return chosenSweep{curves.ChooseSweep(demands, on.Sweep, in.reference(on), on.SweepKeys()), Auto}
}

// reason is a sentence that says why a unit has its sweep.
func (c *chosenSweep) reason(in laidUnit, u *Unit, on *press.Press) string {
	amount := func(sweep float64) string { return press.Amount(sweep, on.Sweep.Unit) }
	text := ""
	switch {
	case c.chosen == Given:
		text = "you set " + amount(c.Sweep)
	case c.NoDemand || c.Sweep == c.AtStart.Sweep:
		text = fmt.Sprintf("%s, the press's reference: %s", amount(c.Sweep), c.kept(u))
	default:
		text = fmt.Sprintf("%s instead of the press's reference of %s, where %s", amount(c.Sweep), amount(c.AtStart.Sweep), faults(&c.AtStart, u, true))
		if still := c.left(); still != "" {
			text += fmt.Sprintf("; at %s %s", amount(c.Sweep), still)
		}
	}
	if r := in.reference(on); math.Abs(r-on.Sweep.Reference) > hairPct {
		text += fmt.Sprintf("; the curve holds at a sweep of its own, %s", amount(r))
	}
	return text
}

// left says how much of what the reference did wrong is left, and by what where that is
// more than the one thing it was there.
func (c *chosenSweep) left() string {
	before, after := figures(&c.AtStart), figures(&c.Fed)
	switch {
	case len(after) == 0:
		return ""
	case len(before) == 1 && len(after) == 1 && before[0].by == after[0].by:
		return "it is " + wholePct(after[0].pct)
	}
	var parts []string
	for _, f := range after {
		parts = append(parts, wholePct(f.pct)+" "+f.by)
	}
	text := parts[len(parts)-1]
	if others := parts[:len(parts)-1]; len(others) > 0 {
		text = strings.Join(others, ", ") + " and " + text
	}
	return "it is " + text
}

// A figure is how much is wrong, and by what.
type figure struct {
	pct float64
	by  string
}

func figures(f *curves.Fed) (all []figure) {
	for _, of := range []struct {
		figure
		is bool
	}{
		{figure{f.Cut, "cut by the ceiling"}, len(f.Ceiling) > 0},
		{figure{f.FloorPct, "too much by the floor"}, len(f.Floor) > 0},
		{figure{f.NeighbourPct, "too much by the bend of the blade"}, len(f.Neighbour) > 0},
		{figure{f.StepsPct, "too much by the keys' steps"}, f.StepsPct > 0},
		{figure{-f.StepsPct, "too little by the keys' steps"}, f.StepsPct < 0},
	} {
		if of.is {
			all = append(all, of.figure)
		}
	}
	return all
}

// kept says why a unit stays at the reference.
func (c *chosenSweep) kept(u *Unit) string {
	widest, prints := u.widest()
	found := faults(&c.Fed, u, false)
	switch {
	case !prints:
		return "nothing prints in this ink"
	case c.NoDemand:
		return "the curve asks for no ink where it prints"
	case found != "":
		return found + ", too little over the whole fountain to leave it for another sweep"
	case c.Cut > 0 || c.Off > 0:
		return fmt.Sprintf("no key strays visibly from the curve there; the widest, %d, stands %.0f %% open", widest.Zone, widest.OpeningPct)
	}
	every := "every key follows the curve there"
	if held := u.heldByBlade(); len(held) > 0 {
		every = fmt.Sprintf("the blade holds the key of %s, every other follows the curve there", Spans(held))
	}
	return fmt.Sprintf("%s; the widest, %d, stands %.0f %% open", every, widest.Zone, widest.OpeningPct)
}

// heldByBlade are the printing keys that a blade of one piece holds open.
func (u *Unit) heldByBlade() []Key {
	return slices.DeleteFunc(slices.Clone(u.Keys), func(k Key) bool { return k.State != curves.Neighbour || !k.Prints() })
}

// widest is the first of the printing keys that stand widest open.
func (u *Unit) widest() (widest Key, prints bool) {
	for _, k := range u.Keys {
		if k.State != curves.OffSheet && k.CoveragePct >= printsPct && (!prints || k.OpeningPct > widest.OpeningPct) {
			widest, prints = k, true
		}
	}
	return widest, prints
}

// faults say what is wrong with what the keys feed at a sweep, or would be; empty
// where nothing is to be seen.
func faults(f *curves.Fed, u *Unit, would bool) string {
	says := func(now, then string) string {
		if would {
			return "would " + then
		}
		return now
	}
	var parts []string
	if len(f.Ceiling) > 0 {
		upTo := ""
		if len(f.Ceiling) > 1 {
			upTo = "up to "
		}
		parts = append(parts, fmt.Sprintf("the ceiling %s %s%s off %s", says("cuts", "cut"), upTo, wholePct(f.Cut), u.spans(f.Ceiling)))
	}
	if len(f.Floor) > 0 {
		parts = append(parts, fmt.Sprintf("the floor %s %s more ink than the form takes, in %s", says("feeds", "feed"), wholePct(f.FloorPct), u.spans(f.Floor)))
	}
	if len(f.Neighbour) > 0 {
		parts = append(parts, fmt.Sprintf("the bend of the blade %s %s more ink than the form takes, in %s", says("feeds", "feed"), wholePct(f.NeighbourPct), u.spans(f.Neighbour)))
	}
	if f.StepsPct != 0 {
		way := "too much"
		if f.StepsPct < 0 {
			way = "too little"
		}
		parts = append(parts, fmt.Sprintf("the keys' steps %s all zones together %s %s", says("feed", "feed"), wholePct(math.Abs(f.StepsPct)), way))
	}
	return strings.Join(parts, ", ")
}

func wholePct(pct float64) string {
	if pct < 1 {
		return "less than 1 %"
	}
	return fmt.Sprintf("%.0f %%", pct)
}

// spans names the zones of a unit's keys, by their indices.
func (u *Unit) spans(indices []int) string {
	var keys []Key
	for _, i := range indices {
		keys = append(keys, u.Keys[i])
	}
	return Spans(keys)
}
