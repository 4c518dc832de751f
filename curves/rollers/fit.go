package rollers

import (
	"fmt"
	"math"
)

// A Reading is an opening that printed the film that was wanted at a coverage.
type Reading struct {
	Cover      float64 // 0 to 1
	OpeningPct float64 // at the sweep whose strip is to be found
}

// A Straight is a straight line of openings over coverage, offset + slope·c, with
// standard errors; 0 where they are not known.
type Straight struct {
	OffsetPct, OffsetError float64 // at coverage 0
	SlopePct, SlopeError   float64 // what it rises by to coverage 1
	Together               float64 // covariance of both
}

// A Fitted is what ties a train to a press.
type Fitted struct {
	FilmFullUM, FilmFullError float64 // value and standard error
	StripMM, StripError       float64
	Straight                  Straight
	SpreadPct                 float64 // standard deviation: of the readings about a line; of jobs' films, as the train prints them, about what they were passed as
	Readings                  int
	Jobs                      int // 0 where a line was fitted
}

// An UnfitReason is why a line holds no fit.
type UnfitReason string

// The reasons.
const (
	TooFew   UnfitReason = "too-few"   // readings, or too short a range of coverage, for a line
	FewJobs  UnfitReason = "few-jobs"  // how far one job lies from the next cannot be told
	Scatter  UnfitReason = "scatter"   // the train as fitted prints its own jobs too unevenly to be believed
	NoSlope  UnfitReason = "no-slope"  // openings do not clearly rise with coverage
	NoOffset UnfitReason = "no-offset" // the offset cannot be told from none
	NoStrip  UnfitReason = "no-strip"  // the strip cannot be told: the line rises hardly more than the rollers alone make it
)

// What a fit takes. Common practice, no source.
const (
	leastReadings = 6
	leastRange    = 0.15 // of coverage
	clearly       = 3    // standard errors
	mostSpreadPct = 10   // of films about what they were passed as: what is seen on the sheet
)

// LeastJobs are how many jobs a fit takes: as many as make a curve trustworthy.
const LeastJobs = 3

// An Unfit is the refusal to call numbers fitted.
type Unfit struct {
	Reason UnfitReason
	Fitted // as far as it went
}

func (u *Unfit) Error() string {
	s := u.Straight
	switch u.Reason {
	case TooFew:
		return fmt.Sprintf("%d readings hold no line; it takes %d or more, over %d %% of coverage or more", u.Readings, leastReadings, int(100*leastRange))
	case FewJobs:
		return fmt.Sprintf("%d of the %d jobs that it takes; fewer do not tell how far one lies from the next", u.Jobs, LeastJobs)
	case Scatter:
		return fmt.Sprintf("at its best it would print the films of its own jobs off by %.2g %%, and they were passed as right; it takes %d %% or less", u.SpreadPct, mostSpreadPct)
	case NoSlope:
		return fmt.Sprintf("openings do not clearly rise with coverage: by %.3g ± %.2g %% to full coverage", s.SlopePct, s.SlopeError)
	case NoOffset:
		return fmt.Sprintf("the opening at no coverage, %.3g ± %.2g %%, cannot be told from none", s.OffsetPct, s.OffsetError)
	}
	return fmt.Sprintf("openings rise from %.3g to %.3g %% with coverage; how much of that the strip makes, and not the rollers, cannot be told", s.OffsetPct, s.OffsetPct+s.SlopePct)
}

// Fit finds the film at full opening and the strip with which the line of a train
// is that of the readings, by least squares; they printed filmUM. An error is an
// [*Unfit], or says what is no number.
func (l *Line) Fit(filmUM float64, readings []Reading) (Fitted, error) {
	fitted := Fitted{Readings: len(readings)}
	var n, sumC, sumO float64
	least, most := math.Inf(1), math.Inf(-1)
	for i, r := range readings {
		if !(r.Cover >= 0 && r.Cover <= 1 && r.OpeningPct >= 0 && r.OpeningPct <= 1000) {
			return fitted, fmt.Errorf("reading %d is an opening of %g %% at a coverage of %g", i+1, r.OpeningPct, r.Cover)
		}
		n, sumC, sumO = n+1, sumC+r.Cover, sumO+r.OpeningPct
		least, most = min(least, r.Cover), max(most, r.Cover)
	}
	if len(readings) < leastReadings || most-least < leastRange {
		return fitted, &Unfit{TooFew, fitted}
	}
	var cc, co, rest float64
	for _, r := range readings {
		cc += (r.Cover - sumC/n) * (r.Cover - sumC/n)
		co += (r.Cover - sumC/n) * (r.OpeningPct - sumO/n)
	}
	s := Straight{SlopePct: co / cc}
	s.OffsetPct = sumO/n - s.SlopePct*sumC/n
	for _, r := range readings {
		off := r.OpeningPct - s.OffsetPct - s.SlopePct*r.Cover
		rest += off * off
	}
	variance := rest / (n - 2)
	s.SlopeError = math.Sqrt(variance / cc)
	s.OffsetError = math.Sqrt(variance * (1/n + sumC/n*sumC/n/cc))
	s.Together = -variance * sumC / n / cc
	with, err := l.FitStraight(filmUM, s)
	if u, is := err.(*Unfit); is {
		u.SpreadPct, u.Readings = math.Sqrt(variance), len(readings)
	}
	with.SpreadPct, with.Readings = math.Sqrt(variance), len(readings)
	return with, err
}

// FitStraight finds the same from a line. Its offset is x·A and its slope x·B, in
// parts of the film at full opening; so that film is 100·x·A/offset, and B is
// A·slope/offset, of which R is known. Errors are carried on to first order.
func (l *Line) FitStraight(filmUM float64, s Straight) (Fitted, error) {
	fitted := Fitted{Straight: s}
	if !(filmUM > 0 && filmUM < 1000) {
		return fitted, fmt.Errorf("a printed film of %g µm", filmUM)
	}
	for _, v := range []float64{s.OffsetPct, s.OffsetError, s.SlopePct, s.SlopeError, s.Together} {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return fitted, fmt.Errorf("a line from %g %% that rises by %g %%", s.OffsetPct, s.SlopePct)
		}
	}
	if s.SlopePct <= clearly*s.SlopeError {
		return fitted, &Unfit{NoSlope, fitted}
	}
	if s.OffsetPct <= clearly*s.OffsetError {
		return fitted, &Unfit{NoOffset, fitted}
	}
	a, b := s.OffsetPct, s.SlopePct
	fitted.FilmFullUM = 100 * filmUM * l.A / a
	fitted.FilmFullError = fitted.FilmFullUM * s.OffsetError / a
	// B − R, and its error.
	strokes := l.A*b/a - l.R
	da, db := -l.A*b/(a*a), l.A/a
	err := math.Sqrt(max(0, da*da*s.OffsetError*s.OffsetError+db*db*s.SlopeError*s.SlopeError+2*da*db*s.Together))
	if strokes <= clearly*err {
		return fitted, &Unfit{NoStrip, fitted}
	}
	fitted.StripMM = 2 * l.sheets * l.imageMM / strokes
	fitted.StripError = fitted.StripMM * err / strokes
	return fitted, nil
}
