package curves

import (
	"fmt"
	"math"
	"sort"

	"bladeline/curves/settings"

	"gonum.org/v1/gonum/interp"
)

// Shape says how a curve runs between its points.
type Shape string

// The shapes of a curve.
const (
	Smooth   Shape = "smooth"   // monotone cubic after Fritsch and Butland
	Straight Shape = "straight" // straight lines
)

// A Point of a curve. Both numbers are percentages, 0 to 100.
type Point struct {
	CoveragePct, OpeningPct float64
}

// A Curve says how far a key is opened for the coverage of its zone, when the
// fountain sweeps by ReferenceSweep.
//
// Set the fields, then call Prepare; ParseCurve does both. Once prepared a
// Curve is not to be changed and may be used by any number of goroutines.
type Curve struct {
	Name           string
	Shape          Shape
	ReferenceSweep float64 // in the press's unit of sweep; 0: the press's own reference
	Points         []Point // rising in coverage
	Note           string
	Learned        *Provenance // nil: not learned

	fit interp.Predictor
}

// minSpacingPct keeps neighbouring points so far apart that the slope between
// them stays a number that can be reckoned with.
const minSpacingPct = 1e-6

// Prepare fits the curve to its points. Its errors are those of Validate.
func (c *Curve) Prepare() error {
	fit, err := c.fitted()
	if c != nil {
		c.fit = fit
	}
	return err
}

// At is the opening in % of travel for a coverage in %. Beyond its first and
// last point the curve holds their openings. It passes through its points,
// never falls, and never leaves the range of the two points it runs between.
// A curve that cannot be prepared answers NaN.
func (c *Curve) At(coveragePct float64) float64 {
	var fit interp.Predictor
	if c != nil {
		fit = c.fit
	}
	if fit == nil {
		var err error
		if fit, err = c.fitted(); err != nil {
			return math.NaN()
		}
	}
	first, last := c.Points[0], c.Points[len(c.Points)-1]
	switch {
	case math.IsNaN(coveragePct):
		return coveragePct
	case coveragePct <= first.CoveragePct:
		return first.OpeningPct
	case coveragePct >= last.CoveragePct:
		return last.OpeningPct
	}
	next := sort.Search(len(c.Points), func(i int) bool { return c.Points[i].CoveragePct > coveragePct })
	low, high := c.Points[next-1].OpeningPct, c.Points[next].OpeningPct
	return min(max(fit.Predict(coveragePct), low), high) // rounding may step over a point by a hair
}

// fitted is the interpolation of a valid curve.
// Smooth: F. N. Fritsch and J. Butland, "A method for constructing local
// monotone piecewise cubic interpolants", SIAM J. Sci. Stat. Comput. 5 (1984).
func (c *Curve) fitted() (interp.Predictor, error) {
	if err := c.Validate(); err != nil {
		return nil, err
	}
	xs, ys := make([]float64, len(c.Points)), make([]float64, len(c.Points))
	for i, p := range c.Points {
		xs[i], ys[i] = p.CoveragePct, p.OpeningPct
	}
	var fit interp.FittablePredictor = &interp.FritschButland{}
	if c.Shape == Straight {
		fit = &interp.PiecewiseLinear{}
	}
	return fit, fit.Fit(xs, ys)
}

func errNoCurve() error { return &settings.FileError{What: "there is no curve", Do: "give one"} }

// Validate checks the curve without preparing it. Its errors are of type
// *settings.FileError, without the file's name.
func (c *Curve) Validate() error {
	if c == nil {
		return errNoCurve()
	}
	if c.Shape != Smooth && c.Shape != Straight {
		return &settings.FileError{Place: "shape", What: settings.Quoted(string(c.Shape)) + " is not a shape", Do: `write "smooth" or "straight"`}
	}
	if r := c.ReferenceSweep; r != 0 && !IsSweep(r) {
		return &settings.FileError{Place: "reference_sweep", What: settings.Plain(r) + " is not a sweep", Do: fmt.Sprintf("write the sweep that the points were found at, above 0 and up to %s", settings.Plain(maxSweep))}
	}
	if len(c.Points) < 2 {
		return &settings.FileError{Place: "points", What: fmt.Sprintf("a curve needs at least two, not %d", len(c.Points)), Do: "write each as [coverage in %, opening in %]"}
	}
	for i, p := range c.Points {
		if what, do := validatePoint(c.Points[:i], p); what != "" {
			place := fmt.Sprintf("points: point %d [%s, %s]", i+1, settings.Plain(p.CoveragePct), settings.Plain(p.OpeningPct))
			return &settings.FileError{Place: place, What: what, Do: do}
		}
	}
	return nil
}

// validatePoint says what is wrong with p after the points before it.
func validatePoint(before []Point, p Point) (what, do string) {
	if !inPct(p.CoveragePct) || !inPct(p.OpeningPct) {
		return "coverage and opening are percentages", "keep both between 0 and 100"
	}
	if len(before) == 0 {
		return "", ""
	}
	switch last := before[len(before)-1]; {
	case p.CoveragePct < last.CoveragePct+minSpacingPct:
		return fmt.Sprintf("the coverage does not rise from %s to %s", settings.Plain(last.CoveragePct), settings.Plain(p.CoveragePct)), "list the points in order of coverage, each coverage once"
	case p.OpeningPct < last.OpeningPct:
		return fmt.Sprintf("the opening falls from %s to %s", settings.Plain(last.OpeningPct), settings.Plain(p.OpeningPct)), "more coverage never needs less ink: raise this opening or lower those before it"
	}
	return "", ""
}

// inPct is false for NaN.
func inPct(v float64) bool { return v >= 0 && v <= 100 }
