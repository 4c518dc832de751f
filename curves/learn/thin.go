package learn

import (
	"math"
	"slices"

	"bladeline/curves"
)

// thinnedPct is how far a point may lie off the curve before it is needed.
const thinnedPct = 0.1

// curve is what was fitted, with as few of the knots for points as give the
// same curve within thinnedPct at every coverage. It keeps the old curve's
// name, shape and sweep; its note was about the old points.
func (f *fitting) curve(old *curves.Curve) *curves.Curve {
	c := &curves.Curve{Name: old.Name, Shape: old.Shape, ReferenceSweep: old.ReferenceSweep}
	all := *c
	for i, v := range f.value {
		opening := math.Round(min(max(v, 0), 100)*100) / 100
		all.Points = append(all.Points, curves.Point{CoveragePct: knotsPct[i], OpeningPct: opening})
	}
	c.Points = thinned(&all)
	return c
}

// thinned chooses among a curve's points: the ends, and then, as long as the
// curve through the chosen differs too much, the one nearest to where it
// differs most.
func thinned(all *curves.Curve) []curves.Point {
	chosen := []int{0, len(all.Points) - 1}
	for {
		c := &curves.Curve{Shape: all.Shape}
		slices.Sort(chosen)
		for _, i := range chosen {
			c.Points = append(c.Points, all.Points[i])
		}
		at, off := farthest(all, c)
		if off <= thinnedPct {
			return c.Points
		}
		chosen = append(chosen, nearestLeft(all.Points, chosen, at))
	}
}

// farthest is the coverage where two curves differ most, and by how much.
func farthest(a, b *curves.Curve) (coveragePct, offPct float64) {
	for _, c := range []*curves.Curve{a, b} {
		if c.Prepare() != nil {
			return 0, 0
		}
	}
	const perPct = 4
	for i := range 100*perPct + 1 {
		c := float64(i) / perPct
		if d := math.Abs(a.At(c) - b.At(c)); d > offPct {
			coveragePct, offPct = c, d
		}
	}
	return coveragePct, offPct
}

// nearestLeft is the index of the point nearest to a coverage among those not
// chosen yet; where two curves differ there is one.
func nearestLeft(points []curves.Point, chosen []int, coveragePct float64) int {
	best, least := 0, math.Inf(1)
	for i, p := range points {
		if d := math.Abs(p.CoveragePct - coveragePct); d < least && !slices.Contains(chosen, i) {
			best, least = i, d
		}
	}
	return best
}
