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
	w := weighing{demands, reference, limits}
	asked, highest := w.asked()
	if highest < 0 || len(settings) == 0 {
		return Choice{Sweep: scale.Nearest(scale.Reference), Settings: len(settings), Blank: highest < 0}
	}
	losses, least := make([]float64, len(settings)), math.Inf(1)
	for i, s := range settings {
		cut, added := w.losses(s)
		losses[i] = cut + added
		least = min(least, losses[i])
	}
	c := Choice{Settings: len(settings), Highest: highest}
	nearest := math.Inf(1)
	for i, s := range settings {
		if losses[i] > least+tiny*max(least, asked) {
			continue
		}
		c.Equals++
		key, _ := limits.clamp(OpeningAt(demands[highest].OpeningPct, reference, s), false)
		if off := math.Abs(key - wantedPct); off < nearest-tiny {
			nearest, c.Sweep, c.HighestPct = off, s, key
		}
	}
	w.account(&c, asked)
	return c
}

// weighing is one unit's demands and what bounds them.
type weighing struct {
	demands   []Demand
	reference float64
	limits    Limits
}

// asked is the coverage-weighted feed that the curve asks for, and the index
// of the printing demand that asks most, -1 where nothing prints.
func (w weighing) asked() (feed float64, highest int) {
	highest = -1
	for i, d := range w.demands {
		if d.CoveragePct <= 0 {
			continue
		}
		feed += d.CoveragePct * d.OpeningPct * w.reference
		if highest < 0 || d.OpeningPct > w.demands[highest].OpeningPct {
			highest = i
		}
	}
	return feed, highest
}

// losses are the coverage-weighted feeds cut off and added at a sweep.
func (w weighing) losses(sweep float64) (cut, added float64) {
	for _, d := range w.demands {
		c, a := w.loss(d, sweep)
		cut += c
		added += a
	}
	return cut, added
}

func (w weighing) loss(d Demand, sweep float64) (cut, added float64) {
	opening := OpeningAt(d.OpeningPct, w.reference, sweep)
	cut = d.CoveragePct * max(0, opening-w.limits.CeilingPct) * sweep
	added = d.CoveragePct * max(0, w.limits.FloorPct-opening) * sweep
	return cut, added
}

// account writes into c what is lost at its sweep, and where.
func (w weighing) account(c *Choice, asked float64) {
	for i, d := range w.demands {
		cut, added := w.loss(d, c.Sweep)
		if cut > tiny*asked {
			c.Cut = append(c.Cut, i)
		}
		if added > tiny*asked {
			c.Added = append(c.Added, i)
		}
		c.CutPct += cut
		c.AddedPct += added
	}
	c.CutPct, c.AddedPct = share(c.CutPct, asked), share(c.AddedPct, asked)
}

// share is feed in % of what was asked, where rounding leaves nothing behind.
func share(feed, asked float64) float64 {
	if asked > 0 && feed <= tiny*asked {
		return 0
	}
	return 100 * feed / asked
}
