package rollers

import (
	"fmt"
	"math"
)

// Limits of what is computed, so that time and memory have an end; Lay has its own.
const (
	MostZones    = 128
	MostStrokeMM = 100
	mostCells    = 4 << 20 // slots times columns, on all surfaces together
	mostStripMM  = 1000
	mostFilmUM   = 10_000
)

// A TrainError is what is wrong with a train.
type TrainError struct {
	Roller string // its name; empty: the train itself
	What   string // is wrong: the end of a sentence that begins with the roller
}

func (e *TrainError) Error() string {
	if e.Roller == "" {
		return "the train " + e.What
	}
	return fmt.Sprintf("roller %q %s", e.Roller, e.What)
}

// Check says what makes a train none that can be computed: a [*TrainError], the
// first in the order of its fields. How it lies is not looked at.
func (t Train) Check() error {
	if err := t.checkRollers(); err != nil {
		return err
	}
	if err := (bounds{"has a fountain film of %g µm at full opening", t.Feed.FilmFullUM, 0.01, mostFilmUM}).check(""); err != nil {
		return err
	}
	return t.Feed.checkStrip()
}

func (f Feed) checkStrip() error {
	return bounds{"takes a strip of %g mm", f.StripMM, 0.01, mostStripMM}.check("")
}

// checkRollers is Check of all but the feed.
func (t Train) checkRollers() error {
	for _, b := range []bounds{
		{"has a plate of diameter %g mm", t.PlateMM, LeastPlateMM, MostPlateMM},
		{"has an image of length %g mm", t.ImageMM, 20, math.Pi * t.PlateMM},
		{"gives the paper the share %g of the blanket's film", t.Paper, 0.1, 0.7},
		{"splits films %g to the second roller", t.Split, 0.45, 0.55},
		{"has a ductor of diameter %g mm", t.Ductor.DiameterMM, LeastRollerMM, MostRollerMM},
		{"has a ductor that moves every %g sheets", float64(t.Ductor.EverySheets), 1, 4},
		{"has a ductor that rides on its roller for the share %g of the time", t.Ductor.Duty, 0.2, 0.5},
		{"has oscillators that take %g turns of the plate", t.Turns, 1, 5},
		{"has %g rollers", float64(len(t.Rollers)), 1, MaxRollers},
	} {
		if err := b.check(""); err != nil {
			return err
		}
	}
	for _, r := range t.Rollers {
		if err := r.check(); err != nil {
			return err
		}
	}
	return nil
}

// bounds are those of one number.
type bounds struct {
	what        string // with a verb for the number
	is          float64
	least, most float64
}

func (b bounds) check(roller string) error {
	if b.is >= b.least && b.is <= b.most {
		return nil
	}
	return &TrainError{roller, fmt.Sprintf(b.what+"; it is from %.4g to %.4g", b.is, b.least, b.most)}
}

func (r Roller) check() error {
	if r.Kind != Distributor && r.Kind != Oscillator && r.Kind != Rider && r.Kind != FormRoller {
		return &TrainError{r.Name, fmt.Sprintf("is of kind %q; kinds are distributor, oscillator, rider and form", r.Kind)}
	}
	if err := (bounds{"has a diameter of %g mm", r.DiameterMM, LeastRollerMM, MostRollerMM}).check(r.Name); err != nil {
		return err
	}
	if r.Kind != Oscillator && r.StrokeMM != 0 {
		return &TrainError{r.Name, fmt.Sprintf("has a stroke of %g mm and is no oscillator", r.StrokeMM)}
	}
	return bounds{"has a stroke of %g mm", r.StrokeMM, 0, MostStrokeMM}.check(r.Name)
}
