package curves

import "math"

// A Demand is what one zone over the sheet asks for.
type Demand struct {
	CoveragePct float64
	OpeningPct  float64 // by the curve, at its reference sweep
}

// A Choice is a sweep, and what was weighed to find it.
type Choice struct {
	Sweep    float64
	Settings int // how many were weighed
	Equals   int // how many of them lose as little as the chosen one

	// What is lost at Sweep, in % of all the ink that the curve asks for; not
	// finite where it asks for none.
	CutPct     float64 // by the ceiling
	AddedPct   float64 // by the floor
	Cut, Added []int   // the demands it happens to, by index

	Highest    int     // index of the printing demand whose key stands highest
	HighestPct float64 // where it stands
	Blank      bool    // nothing prints: Sweep is the setting nearest the scale's reference
}

// wantedPct is where the highest key is best: wide enough to be set finely,
// with some travel left to open it further on the run. Common practice, no
// source.
const wantedPct = 80

// ChooseSweep finds the setting of a valid scale at which the keys come
// closest to what the curve asks. The loss of a setting is the feed, opening ×
// sweep, that the ceiling cuts off or the floor adds, weighted by coverage.
// Among settings that lose as little, within 1e-9 relative, the one whose
// highest key is nearest 80 % of its travel is taken, and of two as near the
// lower sweep. reference is the sweep that the demands refer to. Demands of
// zones without coverage do not count. The sweep of a scale without settings is
// NaN.
func ChooseSweep(demands []Demand, scale SweepScale, reference float64, limits Limits) Choice {
	settings := scale.Settings()
	f := fountain{demands, reference, limits}
	asked, highest := f.asked()
	if highest < 0 || len(settings) == 0 {
		return Choice{Sweep: scale.Nearest(scale.Reference), Settings: len(settings), Blank: highest < 0}
	}
	losses, least := make([]float64, len(settings)), math.Inf(1)
	for i, s := range settings {
		cut, added := f.losses(s)
		losses[i] = cut + added
		least = min(least, losses[i])
	}
	c := Choice{Settings: len(settings), Highest: highest}
	nearest := math.Inf(1)
	for i, s := range settings {
		if losses[i] > least+hair*max(least, asked) {
			continue
		}
		c.Equals++
		key, _ := limits.hold(OpeningAt(demands[highest].OpeningPct, reference, s), false)
		if off := math.Abs(key - wantedPct); off < nearest-hair {
			nearest, c.Sweep, c.HighestPct = off, s, key
		}
	}
	f.account(&c, asked)
	return c
}

// fountain is one unit's demands and what bounds them.
type fountain struct {
	demands   []Demand
	reference float64
	limits    Limits
}

// asked is the coverage-weighted feed that the curve asks for, and the index
// of the printing demand that asks most, -1 where nothing prints.
func (f fountain) asked() (feed float64, highest int) {
	highest = -1
	for i, d := range f.demands {
		if d.CoveragePct <= 0 {
			continue
		}
		feed += d.CoveragePct * d.OpeningPct * f.reference
		if highest < 0 || d.OpeningPct > f.demands[highest].OpeningPct {
			highest = i
		}
	}
	return feed, highest
}

// losses are the coverage-weighted feeds cut off and added at a sweep.
func (f fountain) losses(sweep float64) (cut, added float64) {
	for _, d := range f.demands {
		c, a := f.loss(d, sweep)
		cut += c
		added += a
	}
	return cut, added
}

func (f fountain) loss(d Demand, sweep float64) (cut, added float64) {
	opening := OpeningAt(d.OpeningPct, f.reference, sweep)
	cut = d.CoveragePct * max(0, opening-f.limits.CeilingPct) * sweep
	added = d.CoveragePct * max(0, f.limits.FloorPct-opening) * sweep
	return cut, added
}

// account writes into c what is lost at its sweep, and where.
func (f fountain) account(c *Choice, asked float64) {
	for i, d := range f.demands {
		cut, added := f.loss(d, c.Sweep)
		if cut > hair*asked {
			c.Cut = append(c.Cut, i)
		}
		if added > hair*asked {
			c.Added = append(c.Added, i)
		}
		c.CutPct += cut
		c.AddedPct += added
	}
	c.CutPct, c.AddedPct = share(c.CutPct, asked), share(c.AddedPct, asked)
}

// share is feed in % of what was asked, where rounding leaves nothing behind.
func share(feed, asked float64) float64 {
	if asked > 0 && feed <= hair*asked {
		return 0
	}
	return 100 * feed / asked
}
