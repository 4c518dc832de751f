package main

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/curves/settings"
)

// perInk reads the values of a flag that may begin with INK=.
func perInk[T any](flag string, values []string, read func(flag, text string) (T, error)) ([]job.Choice[T], error) {
	var choices []job.Choice[T]
	for _, given := range values {
		ink, text, named := strings.Cut(given, "=")
		switch {
		case !named:
			ink, text = "", given
		case ink == "":
			return nil, usagef("%s %s: no ink is named before the equals sign; add one, or leave the sign out", flag, given)
		}
		if text == "" {
			return nil, usagef("%s %s: no value follows the ink; add one, or leave the flag out", flag, given)
		}
		value, err := read(flag, text)
		if err != nil {
			return nil, err
		}
		choices = append(choices, job.Choice[T]{Ink: ink, Value: value})
	}
	return choices, nil
}

func asItIs(_, text string) (string, error) { return text, nil }

// upTo reads numbers above 0 up to the most that there is, of what a thing has.
func upTo(most float64, what string) func(flag, text string) (float64, error) {
	return func(flag, text string) (float64, error) {
		v, err := strconv.ParseFloat(settings.Pointed(text), 64)
		if err != nil || !(v > 0 && v <= most) {
			return 0, usagef("%s %s: %s; give a number above 0, up to %s", flag, text, what, settings.Plain(most))
		}
		return v, nil
	}
}

// flagged puts before an error of package job the flag that it is about. asked
// are the values of flags that ask something for the inks, by what they are of.
func flagged(err error, asked map[string][]string) error {
	if e, is := errors.AsType[*job.FewJobsError](err); is {
		return fmt.Errorf("--zeros: %w", e)
	}
	e, is := errors.AsType[*job.ChoiceError](err)
	switch {
	case !is:
		return err
	case e.Code() == job.CodeTwoFilms:
		return usagef("--%s and --%s: %w", job.OfFilmUM, job.OfFilmGM2, e)
	}
	return usagef("--%s %s: %w", e.Of, asked[e.Of][e.Index], e)
}
