package ink

import (
	"fmt"
	"math"

	"bladeline/curves/settings"
)

// A FilmDensity is a film, in µm or g/m², and the density measured of it.
type FilmDensity struct {
	Film, Density float64
}

// A DensityFit is a law found from measurements.
type DensityFit struct {
	DensityLaw
	LimitError, RateError float64 // standard errors; NaN of two pairs alone
	RMS                   float64 // of the densities about the law
	Pairs                 int
}

// densityRounds is far more than a fit takes, which is about ten.
const densityRounds = 500

// FitDensity finds the law of least squares in density. For every m the best
// D∞ is known, so Levenberg and Marquardt's damped Gauss–Newton steps (D. W.
// Marquardt, SIAM J. Appl. Math. 11, 1963) begin at the best m of a coarse
// search. Standard errors are those of the linearized problem, the residual
// variance taken over the pairs less two.
//
// It refuses fewer than two distinct films, films or densities that are not
// above 0, and data that show no limit: whose densities grow in proportion to
// the film, or faster.
func FitDensity(pairs []FilmDensity) (*DensityFit, error) {
	films := map[float64]bool{}
	for i, p := range pairs {
		if !positive(p.Film) || !positive(p.Density) {
			return nil, fmt.Errorf("pair %d: film %s, density %s: both must be above 0; correct it or leave it out", i+1, settings.Plain(p.Film), settings.Plain(p.Density))
		}
		films[p.Film] = true
	}
	if len(films) < 2 {
		return nil, fmt.Errorf("a density law needs at least two different films, not %d; measure more, better five", len(films))
	}
	law, err := searchDensity(pairs)
	if err != nil {
		return nil, err
	}
	law = refineDensity(law, pairs)
	return law.withErrors(pairs), nil
}

// searchDensity is the best law over films whose thickest reaches from 1 % to
// 100 % of the limit.
func searchDensity(pairs []FilmDensity) (DensityLaw, error) {
	thickest := 0.0
	for _, p := range pairs {
		thickest = max(thickest, p.Film)
	}
	const steps = 60
	best, least, at := DensityLaw{}, math.Inf(1), 0
	for i := range steps + 1 {
		law := DensityLaw{Limit: 1, Rate: 0.01 * math.Pow(5000, float64(i)/steps) / thickest}
		var dg, gg float64
		for _, p := range pairs {
			g := law.At(p.Film)
			dg, gg = dg+p.Density*g, gg+g*g
		}
		law.Limit = dg / gg
		if s := law.squares(pairs); s < least {
			best, least, at = law, s, i
		}
	}
	if at == 0 || at == steps {
		return best, fmt.Errorf("the densities approach no limit as the film thickens; measure thinner and thicker films")
	}
	return best, nil
}

func (d DensityLaw) squares(pairs []FilmDensity) float64 {
	sum := 0.0
	for _, p := range pairs {
		r := p.Density - d.At(p.Film)
		sum += r * r
	}
	return sum
}

// normal is JᵀJ and Jᵀr of the law in (Limit, Rate).
func (d DensityLaw) normal(pairs []FilmDensity) (aa, ab, bb, ar, br float64) {
	for _, p := range pairs {
		a, b := d.At(p.Film)/d.Limit, d.Limit*p.Film*math.Exp(-d.Rate*p.Film)
		r := p.Density - d.At(p.Film)
		aa, ab, bb, ar, br = aa+a*a, ab+a*b, bb+b*b, ar+a*r, br+b*r
	}
	return aa, ab, bb, ar, br
}

// refineDensity steps to the least squares; a step that does not lower them is
// damped and tried again.
func refineDensity(law DensityLaw, pairs []FilmDensity) DensityLaw {
	damping, least := 1e-3, law.squares(pairs)
	for range densityRounds {
		aa, ab, bb, ar, br := law.normal(pairs)
		aa, bb = aa*(1+damping), bb*(1+damping)
		det := aa*bb - ab*ab
		next := DensityLaw{law.Limit + (bb*ar-ab*br)/det, law.Rate + (aa*br-ab*ar)/det}
		s := next.squares(pairs)
		if !(s < least) || next.Limit <= 0 || next.Rate <= 0 {
			if damping *= 10; damping > 1e12 {
				return law
			}
			continue
		}
		law, least, damping = next, s, damping/10
	}
	return law
}

// withErrors adds how sure the law is.
func (d DensityLaw) withErrors(pairs []FilmDensity) *DensityFit {
	squares, n := d.squares(pairs), float64(len(pairs))
	fit := &DensityFit{DensityLaw: d, RMS: math.Sqrt(squares / n), Pairs: len(pairs), LimitError: math.NaN(), RateError: math.NaN()}
	if len(pairs) > 2 {
		aa, ab, bb, _, _ := d.normal(pairs)
		variance := squares / (n - 2) / (aa*bb - ab*ab)
		fit.LimitError, fit.RateError = math.Sqrt(variance*bb), math.Sqrt(variance*aa)
	}
	return fit
}
