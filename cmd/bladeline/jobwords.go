package main

import (
	"errors"
	"fmt"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/curves/settings"
)

// flagged says an error of package job with this program's flags and commands.
// asked are the values of flags that ask something for the inks, by what they
// are of.
func flagged(err error, asked map[string][]string) error {
	e, coded := errors.AsType[interface {
		error
		Code() string
	}](err)
	if !coded || jobWords[e.Code()] == nil {
		return err
	}
	worded := jobWords[e.Code()](e)
	choice, is := errors.AsType[*job.ChoiceError](err)
	switch {
	case !is:
		return worded
	case choice.Code() != job.CodeTwoFilms:
		worded = fmt.Errorf("--%s %s: %w", choice.Of, asked[choice.Of][choice.Index], worded)
	}
	return usageError{worded}
}

// jobWords are the words for the errors of package job, by their codes.
var jobWords = map[string]func(error) error{
	job.CodeNoCurve:      curedBy("add one under [curves], or give --curve"),
	job.CodeNoTarget:     unstated("target"),
	job.CodeNoLimit:      unstated("limit"),
	job.CodeUnknownInk:   func(err error) error { return err },
	job.CodeAskedTwice:   curedBy("leave one out"),
	job.CodeTwoFilms:     func(err error) error { return fmt.Errorf("--film-um and --film-g: %w; leave one out", err) },
	job.CodeUnplaced:     curedBy("run preset again, or give --lead-edge"),
	job.CodeShippedPress: shippedPress,
	job.CodeFewJobs:      func(err error) error { return fmt.Errorf("--zeros: %w; learn from more, or leave --zeros out", err) },
}

func curedBy(cure string) func(error) error {
	return func(err error) error { return fmt.Errorf("%w; %s", err, cure) }
}

func unstated(flag string) func(error) error {
	return func(err error) error {
		e, _ := errors.AsType[*job.UnstatedError](err)
		return fmt.Errorf("%w; add it under [inks.%s], or give --%s", err, settings.TOMLString(e.Ink), flag)
	}
}

func shippedPress(err error) error {
	e, _ := errors.AsType[*job.ShippedError](err)
	return fmt.Errorf("%w; start your own with bladeline press new --from %s", err, e.Called)
}
