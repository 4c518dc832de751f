package job

import (
	"errors"
	"fmt"

	"bladeline/zones"
)

// Cures say in a front end's words what to do about errors and warnings, by their
// codes. Each is given the error, or the facts of the warning.
type Cures map[string]func(of any) string

// Always says the same, whatever the error is.
func Always(cure string) func(any) string { return func(any) string { return cure } }

// Cured is an error with what to do about it, where that has words.
func (c Cures) Cured(err error) error {
	coded, is := errors.AsType[interface {
		error
		Code() string
	}](err)
	if !is || c[coded.Code()] == nil {
		return err
	}
	return fmt.Errorf("%w; %s", err, c[coded.Code()](coded))
}

// CuredText is what a warning says with what to do about it, where that has words.
// Without facts it is as it was: the text has them already.
func (c Cures) CuredText(code, text string, facts any) string {
	if cure := c[code]; cure != nil && facts != nil {
		return text + "; " + cure(facts)
	}
	return text
}

// Inward is where to move a form that is too far out, as every front end says it.
func Inward(e *zones.InkBeyondError) string {
	switch {
	case e.RightMM == 0:
		return "shift it to the right"
	case e.LeftMM == 0:
		return "shift it to the left"
	}
	return "take another press"
}
