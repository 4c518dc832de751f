package preset

import (
	"errors"
	"fmt"
	"math"

	"bladeline/curves"
	"bladeline/curves/settings"
	"bladeline/zones/press"
)

// A Trial weighs keys that somebody set by eye against what the zones ask for.
//
// A zone's supply is opening × sweep as set, its demand the same as the curve
// asks; off_pct = (supply / demand − 1) × 100. A zone is right within ±10 %,
// which is about ±0.05 of density: from −9.1 % to +10.4 % of ink around a density
// of 1.10, by five measured solids (TestFitDensityMeasured of package ink says whose).
// Zones covered less than 0.2 % hold a mark at most and do not count. The score
// is the share of the other zones that are right, each zone alike, in %.
type Trial struct {
	Zones      []TrialZone `json:"zones"`
	Score      float64     `json:"score"`
	Definition string      `json:"definition"`   // of the score, one sentence
	MeanOffPct float64     `json:"mean_off_pct"` // mean of the printing zones' off_pct without sign
}

// A TrialZone is what one key feeds, and should.
type TrialZone struct {
	Zone   int      `json:"zone"`
	Demand float64  `json:"demand"` // opening in % × sweep
	Supply float64  `json:"supply"`
	OffPct *float64 `json:"off_pct"` // nil where the zone does not count or asks for nothing
	Says   string   `json:"says"`    // TooMuch, TooLittle or TrialRight; Uncounted or "" where it does not count
}

// What a trial says of a zone.
const (
	TooMuch    = "too much"
	TooLittle  = "too little"
	TrialRight = "right"
	Uncounted  = "too little to count" // covered, but less than what counts; "" is bare
)

// rightPct is how far supply may lie off demand, and roundingPct what binary
// fractions may add to that.
const (
	rightPct    = 10
	roundingPct = 1e-9
)

// NewTrial weighs openings in % of travel, by zone from 1, at a sweep of the
// press, against a unit that was preset by a curve.
func NewTrial(on *press.Press, u *Unit, curve *curves.Curve, openingsPct []float64, sweep float64) (*Trial, error) {
	switch {
	case on == nil || u == nil || curve == nil:
		return nil, errors.New("a trial takes a press, a unit that was preset for it and its curve; give all three")
	case curve.Validate() != nil:
		return nil, fmt.Errorf("curve %s: %w", curve.Name, curve.Validate())
	}
	if len(openingsPct) != len(u.Keys) {
		return nil, fmt.Errorf("there are %d openings for %d keys; set every key", len(openingsPct), len(u.Keys))
	}
	if on = u.OnPress(on); !on.Sweep.OnScale(sweep) {
		return nil, fmt.Errorf("a sweep of %s cannot be set on this press; take one of its own settings", settings.Plain(sweep))
	}
	t := &Trial{Definition: fmt.Sprintf("The score is the share of the printing zones, each counted alike, whose supply (opening × sweep) is within ±%d %% of the demand, which is about ±0.05 of density. Zones covered less than %s %% do not count.", rightPct, settings.Plain(printsPct))}
	feed := u.Feed(on, curve)
	printing, right := 0, 0
	for i, k := range u.Keys {
		if !(openingsPct[i] >= 0 && openingsPct[i] <= 100) {
			return nil, fmt.Errorf("zone %d: an opening of %s %% cannot be set; give 0 to 100", k.Zone, settings.Plain(openingsPct[i]))
		}
		z := TrialZone{Zone: k.Zone, Demand: feed.Demand[i], Supply: openingsPct[i] * sweep}
		if feed.Prints[i] {
			z.judge()
			printing++
			if z.Says == TrialRight {
				right++
			}
			if z.OffPct != nil {
				t.MeanOffPct += math.Abs(*z.OffPct)
			}
		} else if k.CoveragePct > 0 {
			z.Says = Uncounted
		}
		t.Zones = append(t.Zones, z)
	}
	if printing == 0 {
		return nil, fmt.Errorf("no zone of this separation is covered %s %% or more, so there is nothing to set; take another", settings.Plain(printsPct))
	}
	t.Score, t.MeanOffPct = 100*float64(right)/float64(printing), t.MeanOffPct/float64(printing)
	return t, nil
}

// judge says how far a printing zone's supply lies off.
func (z *TrialZone) judge() {
	if z.Demand == 0 {
		z.Says = TrialRight
		if z.Supply > 0 {
			z.Says = TooMuch
		}
		return
	}
	off := (z.Supply/z.Demand - 1) * 100
	z.OffPct = &off
	switch {
	case off > rightPct+roundingPct:
		z.Says = TooMuch
	case off < -rightPct-roundingPct:
		z.Says = TooLittle
	default:
		z.Says = TrialRight
	}
}
