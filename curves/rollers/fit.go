package rollers

import "errors"

// A Reading is an opening that printed the film that was wanted at a coverage.
type Reading struct {
	Cover      float64 // 0 to 1
	OpeningPct float64 // at the reference sweep
}

// A Fitted is what ties a train to a press, as it was found.
type Fitted struct {
	FilmFullUM, FilmFullError float64 // value and standard error
	StripMM, StripError       float64
	OffsetPct, OffsetError    float64 // opening at coverage 0
	SlopePct, SlopeError      float64 // what it rises by to coverage 1
	SpreadPct                 float64 // of the readings about the line, standard deviation
	Readings                  int
}

// An Unfit says why readings do not hold a fit.
type Unfit struct {
	Reason   UnfitReason
	Readings int
	Fitted   Fitted // as far as it went
}

// An UnfitReason is why readings do not hold a fit.
type UnfitReason string

// The reasons.
const (
	TooFew    UnfitReason = "too-few"   // fewer readings, or a shorter range of coverage, than a line takes
	NoSlope   UnfitReason = "no-slope"  // openings do not clearly rise with coverage
	NoOffset  UnfitReason = "no-offset" // the offset cannot be told from none
	TooSteep  UnfitReason = "no-strip"  // the slope is less than what the rollers alone take: no strip explains it
	NotNumber UnfitReason = "not-a-number"
)

func (u *Unfit) Error() string { return string(u.Reason) }

// Fit finds the film at full opening and the strip that make the line of a train
// that of the readings, which printed filmUM.
func (l *Line) Fit(filmUM float64, readings []Reading) (Fitted, error) {
	return Fitted{}, errors.New("")
}
