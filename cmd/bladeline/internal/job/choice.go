package job

import (
	"fmt"
	"slices"
	"strings"
)

// A Choice is what is asked for one ink, or for every ink that nothing is asked
// for by name.
type Choice[T any] struct {
	Ink   string // "" is every other ink
	Value T
}

// Chosen is what was asked for the inks of a form.
type Chosen[T any] map[string]T

// Choose finds the inks of a form that choices of one thing are for. Names of
// inks are compared without regard to capitals. Its errors are ChoiceErrors.
func Choose[T any](of string, choices []Choice[T], inks []string) (Chosen[T], error) {
	return choose(of, choices, inks, false)
}

// choose is Choose of one form, or of one of many, which need not have every ink.
func choose[T any](of string, choices []Choice[T], inks []string, ofMany bool) (Chosen[T], error) {
	chosen := Chosen[T]{}
	for i, c := range choices {
		ink := c.Ink
		if ink != "" {
			at := slices.IndexFunc(inks, func(known string) bool { return strings.EqualFold(known, ink) })
			if at < 0 && ofMany {
				continue
			}
			if at < 0 {
				return nil, &ChoiceError{Of: of, Index: i, Ink: ink, Inks: inks, code: CodeUnknownInk}
			}
			ink = inks[at]
		}
		if _, twice := chosen[ink]; twice {
			return nil, &ChoiceError{Of: of, Index: i, Ink: ink, Inks: inks, code: CodeAskedTwice}
		}
		chosen[ink] = c.Value
	}
	return chosen, nil
}

// For is what was asked for an ink, as the form writes it; the zero value and
// false where nothing was.
func (c Chosen[T]) For(ink string) (T, bool) {
	v, named := c[ink]
	if !named {
		v, named = c[""]
	}
	return v, named
}

// What choices are of.
const (
	OfCurve   = "curve"
	OfSweep   = "sweep"
	OfFilmUM  = "film-um"
	OfFilmGM2 = "film-g"
	OfGravity = "gravity"
	OfTarget  = "target"
	OfLimit   = "limit"
	OfUnit    = "unit"
	OfFollows = "follows"
)

// A ChoiceError refuses what is asked for an ink.
type ChoiceError struct {
	Of    string   // what is asked, as OfCurve
	Index int      // of the choice, among all of that
	Ink   string   // that it is for; "" is every other ink
	Inks  []string // of the form
	Units []string // of the press, where a unit is asked that it does not have
	code  string
	unit  string
}

func (e *ChoiceError) Code() string { return e.code }

func (e *ChoiceError) Error() string {
	switch e.code {
	case CodeAskedTwice:
		return "another is given for the same ink"
	case CodeUnknownUnit:
		return fmt.Sprintf("the press has no unit %q", e.unit)
	case CodeTwoFilms:
		return "both give the film of " + e.Ink
	}
	return fmt.Sprintf("no separation is of the ink %q", e.Ink)
}
