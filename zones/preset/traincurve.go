package preset

import (
	"fmt"
	"math"

	"bladeline/curves"
	"bladeline/curves/rollers"
	"bladeline/curves/settings"
	"bladeline/zones/press"
)

// TrainCurve is the line of a press's train as a curve, for a press without history: what
// every zone would want if all others were covered alike, at the press's reference
// sweep. It is scaled so that it runs through an opening that is known to be right at a
// coverage, where one is given, else for the usual film of an ink, which is a guess where
// the train was not fitted. The error is as that of [NewTrain], or of type
// *settings.FileError.
func TrainCurve(name string, on *press.Press, through *curves.Point) (*curves.Curve, error) {
	t, err := NewTrain(on, rollers.Coarse)
	if err != nil {
		return nil, err
	}
	opening := func(pct float64) float64 {
		return 100 * t.Line().FeedUM(usualFilmUM, coverOn(on, 0, pct), t.StripMM(on.Sweep.Reference)) / on.Train.Feed.FilmFullUM
	}
	scale, note := 1.0, fmt.Sprintf("The line of the roller train of %s", on.Name)
	switch {
	case through != nil && !(through.OpeningPct > 0 && inPct(through.OpeningPct) && inPct(through.CoveragePct)):
		return nil, &settings.FileError{
			Place: "through", What: fmt.Sprintf("an opening of %s %% at a coverage of %s %% scales no line", settings.Plain(through.OpeningPct), settings.Plain(through.CoveragePct)),
			Do: "give the coverage of a zone and an opening above 0 that printed it right, both up to 100 %",
		}
	case through != nil:
		scale = through.OpeningPct / opening(through.CoveragePct)
		note += fmt.Sprintf(", through %s %% of opening at %s %% of coverage", settings.Plain(through.OpeningPct), settings.Plain(through.CoveragePct))
	default:
		note += fmt.Sprintf(", for a film of %g µm", usualFilmUM)
	}
	switch {
	case !t.Fitted() && through == nil:
		note += " on a train that was not fitted, so that its height is a guess: a " + Trend
	case !t.Fitted():
		note += ": a " + Trend
	}
	c := &curves.Curve{Name: name, Shape: curves.Straight, Note: note + "."}
	bare, full := scale*opening(0), scale*opening(100)
	if bare >= 100 {
		return nil, &settings.FileError{Place: "through", What: fmt.Sprintf("with it a bare zone wants %.0f %% of opening", bare), Do: "give a coverage and an opening that printed it right at the reference sweep"}
	}
	c.Points = []curves.Point{{CoveragePct: 0, OpeningPct: hundredth(bare)}}
	if full > 100 { // keys are fully open from here on
		c.Points = append(c.Points, curves.Point{CoveragePct: hundredth(100 * (100 - bare) / (full - bare)), OpeningPct: 100})
	}
	c.Points = append(c.Points, curves.Point{CoveragePct: 100, OpeningPct: hundredth(min(100, full))})
	return c, c.Prepare()
}

// hundredth rounds to two places.
func hundredth(v float64) float64 { return math.Round(100*v) / 100 }
