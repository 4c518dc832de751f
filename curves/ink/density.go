package ink

import (
	"cmp"
	"fmt"
	"math"

	"bladeline/curves/settings"
)

// A DensityLaw says how dense a solid is for its ink film, after Tollenaar and
// Ernst:
//
//	D = D∞·(1 − exp(−m·w))
//
// The standard form, from memory. Densities are of the ink alone, the paper's
// subtracted.
type DensityLaw struct {
	Limit float64 // D∞, that no film, however thick, exceeds
	Rate  float64 // m, per unit of film: per µm, or per g/m²
}

// At is the density of a film, in units of 1/Rate.
func (d DensityLaw) At(film float64) float64 { return d.Limit * -math.Expm1(-d.Rate*film) }

// Film is the film that has a density of 0 or more; infinite from Limit on.
func (d DensityLaw) Film(density float64) float64 { return depth(density, d.Limit) / d.Rate }

// depth is m·w of a density, +Inf from the limit on.
func depth(density, limit float64) float64 {
	if density >= limit {
		return math.Inf(1)
	}
	return -math.Log1p(-density / limit)
}

// FilmRatio is how many times the present film gives the target density. Rate
// cancels out. A density at its limit asks for none, one of 0 for infinitely
// many times the film.
func FilmRatio(density, target, limit float64) float64 {
	return depth(target, limit) / depth(density, limit)
}

// positive is false for NaN and infinities.
func positive(v float64) bool { return v > 0 && !math.IsInf(v, 0) }

// CorrectOptions say what densities are corrected to.
type CorrectOptions struct {
	Target  float64 // density, below Limit
	Limit   float64 // D∞ of the ink
	Damping float64 // share of the correction to make at once, up to 1; 0 stands for 0.5
}

// DefaultDamping is half a correction: ink keeps moving through the rollers
// for many sheets after a key was, and a whole one overshoots. Common practice,
// no source.
const DefaultDamping = 0.5

// What is certain of a density, and how far one correction goes.
const (
	readableShare = 0.98 // of the limit: nearer to it a film of any thickness measures alike
	mostRatio     = 2    // a film is at most doubled or halved at once. Common practice, no source
)

// A CorrectionNote says what is special about a correction.
type CorrectionNote string

// The notes.
const (
	Unmeasured   CorrectionNote = "not measured"         // left as it is
	AtLimit      CorrectionNote = "at the density limit" // taken to be at 98 % of the limit: at least so much too thick
	LimitedRatio CorrectionNote = "too far off"          // the film is doubled or halved, and no more
	Closed       CorrectionNote = "closed"               // too little ink, but no factor opens a closed key
)

// A Correction is a zone's new opening.
type Correction struct {
	OpeningPct float64        // before limits
	FilmRatio  float64        // film wanted over film measured, 1/2 to 2; 1 where not measured
	Note       CorrectionNote // "": nothing special
}

// Correct changes the openings of zones, in % of travel, by the densities
// measured in them; a density of NaN was not measured, and its zone stays. An
// opening is multiplied by 1 + Damping·(FilmRatio − 1), as the film follows the
// feed in proportion. Openings go with densities by index.
func Correct(openingsPct, densities []float64, o CorrectOptions) ([]Correction, error) {
	o.Damping = cmp.Or(o.Damping, DefaultDamping)
	if err := o.check(); err != nil {
		return nil, err
	}
	if len(openingsPct) != len(densities) {
		return nil, fmt.Errorf("%d densities for %d zones; give one for every zone, or none", len(densities), len(openingsPct))
	}
	cs := make([]Correction, len(densities))
	for i, d := range densities {
		if d < 0 || math.IsInf(d, 0) {
			return nil, fmt.Errorf("zone %d: %s is not a density; measure the solid against the bare paper", i+1, settings.Plain(d))
		}
		cs[i] = o.correct(openingsPct[i], d)
	}
	return cs, nil
}

func (o CorrectOptions) check() error {
	switch {
	case !positive(o.Limit):
		return fmt.Errorf("a density limit must be a number above 0, not %s; give the density that no film exceeds", settings.Plain(o.Limit))
	case !(o.Target > 0 && o.Target < readableShare*o.Limit):
		return fmt.Errorf("a target density of %s is not between 0 and %s, 98 %% of the limit; correct the target or the limit", settings.Plain(o.Target), settings.Number(readableShare*o.Limit))
	case !(o.Damping > 0 && o.Damping <= 1):
		return fmt.Errorf("a damping of %s is not above 0 and up to 1; 0.5 makes half of the correction", settings.Plain(o.Damping))
	}
	return nil
}

func (o CorrectOptions) correct(openingPct, density float64) Correction {
	if math.IsNaN(density) {
		return Correction{openingPct, 1, Unmeasured}
	}
	note := CorrectionNote("")
	if readable := readableShare * o.Limit; density > readable {
		density, note = readable, AtLimit
	}
	ratio := FilmRatio(density, o.Target, o.Limit)
	if limited := min(max(ratio, 1.0/mostRatio), mostRatio); limited != ratio {
		ratio = limited
		if note == "" {
			note = LimitedRatio
		}
	}
	if openingPct <= 0 && ratio > 1 {
		note = Closed
	}
	return Correction{openingPct * (1 + o.Damping*(ratio-1)), ratio, note}
}
