package learn

import (
	"fmt"
	"maps"
	"slices"

	"bladeline/curves"
)

// startOf is the curve to start from: the one that old started from, where old
// is as it was learned and all that it was learned from is here once more.
func startOf(old *curves.Curve, runs []Run) *curves.Curve {
	if old.Learned == nil || old.Learned.Edited {
		return old
	}
	if len(learnedFrom(old, runs)) < len(old.Learned.Runs) {
		return old
	}
	return old.Learned.Origin(old.ReferenceSweep)
}

// provenance is what the fit started from and took in.
func (f *fitting) provenance(base *curves.Curve, runs []Run, leftOut int) *curves.Provenance {
	p := &curves.Provenance{
		From: base.Name, FromPoints: slices.Clone(base.Points), FromShape: base.Shape,
		Readings: len(f.rows), LeftOut: leftOut, ReadingPct: f.o.ReadingPct,
	}
	names := map[string]bool{}
	for _, r := range runs {
		names[r.Name] = true
	}
	p.Runs = slices.Sorted(maps.Keys(names))
	return p
}

// learnedFrom are the names of those runs that c was learned from.
func learnedFrom(c *curves.Curve, runs []Run) []string {
	var names []string
	for _, r := range runs {
		if c.Learned != nil && slices.Contains(c.Learned.Runs, r.Name) {
			names = append(names, r.Name)
		}
	}
	return names
}

// remedy is what to do where runs count twice.
func remedy(p *curves.Provenance) string {
	if p.Edited {
		return fmt.Sprintf("it has been changed by hand since: leave them out, or start from the curve before it, %s", p.From)
	}
	return fmt.Sprintf("leave them out, or learn from all %d jobs of the old curve and these at once", len(p.Runs))
}
