package rollers

import "errors"

// errOpen stands for what is being written.
var errOpen = errors.New("not yet worked out")

// Limits of what is computed, so that time and memory have an end.
const (
	MostRollers = 60
	MostZones   = 128
)

// Check says what makes a train none that can be computed: a [*TrainError].
func (t Train) Check() error { return errOpen }

// A TrainError is what is wrong with a train.
type TrainError struct {
	Roller string // its name; empty: the train, or its ductor
	What   string // is wrong; a sentence without its beginning and end
}

func (e *TrainError) Error() string { return e.Roller + " " + e.What }
