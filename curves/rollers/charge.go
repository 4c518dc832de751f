package rollers

import (
	"context"
	"errors"
)

// A Charge is how clean rollers are best inked before the run: all keys alike at
// OpeningPct for so many turns, form rollers off the plate, then the setting of
// the job.
type Charge struct {
	OpeningPct float64
	Turns      int
	FilmUM     float64  // mean film on the rollers after it
	Sheets     int      // until all zones stay within 10 % of the steady film
	From       *State   // with which the run begins
	Startup    *Startup // from there
}

// Charge looks for the charge that takes the fewest sheets, and among those that
// take as many the fewest turns, at the openings that are offered, in %; none
// stands for every 5 %.
func (m *Model) Charge(ctx context.Context, st *Steady, f Form, s Setting, openings ...float64) (*Charge, error) {
	return nil, errors.New("")
}
