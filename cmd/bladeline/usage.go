package main

import (
	"errors"
	"fmt"
	"regexp"
	"strings"

	"bladeline/cmd/bladeline/internal/job"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// A usageError is a command line that makes no sense.
type usageError struct{ error }

func (e usageError) Unwrap() error { return e.error }

func usagef(format string, a ...any) error { return usageError{fmt.Errorf(format, a...)} }

func pressMissing() error {
	return usagef("--press is missing; name a press file, or one of these: %s", strings.Join(job.Shipped(job.PressKind), ", "))
}

// isUsage tells whether an error is one of the command line itself.
func isUsage(err error) bool {
	_, usage := errors.AsType[usageError](err)
	_, unnamed := errors.AsType[*job.UnnamedError](err)
	_, asked := errors.AsType[*job.AskedError](err)
	return usage || unnamed || asked
}

// guardUsage makes wrong flags and arguments of every command usage errors, of
// one line that says where to read more.
func guardUsage(c *cobra.Command) {
	c.SetFlagErrorFunc(func(c *cobra.Command, err error) error {
		return usagef("%s; see %s --help", misused(err), c.CommandPath())
	})
	if check := c.Args; check != nil {
		c.Args = func(c *cobra.Command, args []string) error {
			if err := check(c, args); err != nil {
				return usagef("%w; see %s --help", err, c.CommandPath())
			}
			return nil
		}
	}
	for _, child := range c.Commands() {
		guardUsage(child)
	}
}

// misused says what is wrong with a flag, and of a value of another kind, which
// is wanted.
func misused(err error) string {
	kinds := map[string]string{"float64": "a number", "int": "a whole number", "int64": "a whole number", "bool": "true or false", "duration": "a time, as 90s or 20m"}
	if e, is := errors.AsType[*pflag.NotExistError](err); is && strings.Contains(e.GetSpecifiedShortnames(), ".") {
		return fmt.Sprintf("-%s: begins with a dash, as flags do; if it is a file, write ./-%[1]s", e.GetSpecifiedShortnames())
	}
	e, is := errors.AsType[*pflag.InvalidValueError](err)
	if !is || kinds[e.GetFlag().Value.Type()] == "" {
		return err.Error()
	}
	flag := e.GetFlag()
	standIn, _ := pflag.UnquoteUsage(flag)
	must := strings.TrimSpace(standIn + " must be " + kinds[flag.Value.Type()])
	if strings.HasPrefix(flag.Value.Type(), "int") && grouped.MatchString(e.GetValue()) {
		must += ", without marks between its thousands; write " + strings.NewReplacer(",", "", ".", "", " ", "", "'", "").Replace(e.GetValue())
	}
	return fmt.Sprintf("--%s %s: %s", flag.Name, e.GetValue(), must)
}

// grouped is a whole number with marks between its thousands.
var grouped = regexp.MustCompile(`^\d{1,3}([,. ']\d{3})+$`)

// files takes one file or more.
func files(_ *cobra.Command, args []string) error {
	if len(args) == 0 {
		return errors.New("no separation is named")
	}
	return nil
}

// exactly takes so many arguments, which what names.
func exactly(n int, what string) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		if cobra.ExactArgs(n)(c, args) != nil {
			return fmt.Errorf("give %s (%d given)", what, len(args))
		}
		return nil
	}
}

// noArguments takes none.
func noArguments(c *cobra.Command, args []string) error {
	if cobra.NoArgs(c, args) != nil {
		return fmt.Errorf("%s: this command takes no arguments", args[0])
	}
	return nil
}

// from takes some arguments, so many at least; most 0 is any number.
func from(least, most int, what string) cobra.PositionalArgs {
	return func(_ *cobra.Command, args []string) error {
		switch {
		case len(args) < least:
			return fmt.Errorf("no %s is named", what)
		case most > 0 && len(args) > most:
			return fmt.Errorf("%s: give at most %d (%d given)", args[most], most, len(args))
		}
		return nil
	}
}
