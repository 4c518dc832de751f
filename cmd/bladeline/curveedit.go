package main

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/curves"
	"bladeline/curves/settings"

	"github.com/spf13/cobra"
)

// editHelp is what every command says that edits a curve's file.
const editHelp = `The file keeps its comments, its order and whatever is not changed. A change
that would make the curve fall, or leave 0 to 100 %, is refused. A learned curve
is marked as edited.`

func newCurveNew() *cobra.Command {
	var from, out, train, through string
	c := &cobra.Command{
		Use:   "new NAME -o FILE.curve.toml",
		Short: "Start a curve of your own from one that ships, from another of yours, or from a press's rollers",
		Long: `new writes a copy of a curve under a name of its own. Name the file in the press's
[curves], or with preset --curve, and tune it with curve set.

--train makes a first curve for a press without any history, of the roller train that
its file describes: a straight line from what a bare zone among printing ones wants to
what a solid wants, at the press's reference sweep. Give it one key that is known to
be right, with --through, as 20=31, and the line is scaled to run through it. How steep
it is against where it begins follows from the rollers and the strip of a ductor
stroke; where press fit has not found that strip on this press it is a trend, not
measured, and so is the curve.`,
		Example: `  bladeline curve new "Hall press, coated" --from coated -o hall.curve.toml
  bladeline curve new "Hall press, first" --train hall.press.toml --through 20=31 -o first.curve.toml`,
		Args: exactly(1, "one name"),
		RunE: func(c *cobra.Command, args []string) error {
			if out == "" {
				return usagef("-o is missing; name the curve file to write")
			}
			if err := newCurveOf(c, args[0], from, train, through, out); err != nil {
				return err
			}
			return wrote(c, out)
		},
	}
	c.Flags().StringVar(&from, "from", "coated", "the `CURVE` to start from: a file, or the name of one that ships")
	c.Flags().StringVar(&train, "train", "", "start from the rollers of this `PRESS` instead: a file, or a name that press list shows")
	c.Flags().StringVar(&through, "through", "", "with --train, run through this `COVERAGE=OPENING`, in %, of a key known to be right")
	c.Flags().StringVarP(&out, "output", "o", "", "the `FILE` to write")
	return c
}

// newCurveOf writes a new curve, from another or from a press's rollers.
func newCurveOf(c *cobra.Command, name, from, train, through, out string) error {
	switch given := c.Flags().Changed; {
	case given("train") && given("from"):
		return usagef("--train --from: a curve starts from one of them; leave one out")
	case given("through") && !given("train"):
		return usagef("--through %s: says nothing without --train; add it", through)
	case !given("train"):
		return job.NewCurve(name, from, out)
	case !given("through"):
		return newTrainCurve(c, name, train, nil, out)
	}
	points, err := parsePoints([]string{through})
	if err != nil {
		return usagef("--through %s: not a point; give COVERAGE=OPENING in %%, as 20=31", through)
	}
	return newTrainCurve(c, name, train, &points[0], out)
}

// newTrainCurve writes one of a press's rollers, and warns where it opens keys fully.
func newTrainCurve(c *cobra.Command, name, train string, through *curves.Point, out string) error {
	full, err := job.NewTrainCurve(name, train, through, out)
	if err == nil && full < 100 {
		say(c, fmt.Sprintf("warning: %s: the line reaches full opening at %.0f %% of coverage: zones above it are starved at the reference sweep; a longer sweep feeds them", settings.Printable(out), full))
	}
	return err
}

// wrote says which files were written.
func wrote(c *cobra.Command, paths ...string) error {
	for _, path := range paths {
		if _, err := fmt.Fprintln(c.OutOrStdout(), "wrote", settings.Printable(path)); err != nil {
			return err
		}
	}
	return nil
}

func newCurveSet() *cobra.Command {
	return &cobra.Command{
		Use:   "set CURVE COVERAGE=OPENING...",
		Short: "Change openings of a curve's file, or add points",
		Long: `set changes the opening at a coverage, both in %: the point that stands there
moves, or where there is none, a new one is added. Several can be set at once.

` + editHelp,
		Example: "  bladeline curve set hall.curve.toml 30=42 40=50.5",
		Args:    curveAnd("COVERAGE=OPENING, as 30=42"),
		RunE: func(c *cobra.Command, args []string) error {
			points, err := parsePoints(args[1:])
			if err != nil {
				return err
			}
			return edit(c, args[0], func(file string, data []byte) ([]byte, error) {
				return curves.SetPoints(file, data, points...)
			})
		},
	}
}

func newCurveRemove() *cobra.Command {
	return &cobra.Command{
		Use:   "remove CURVE COVERAGE...",
		Short: "Take points out of a curve's file",
		Long: `remove takes out the points at these coverages, in %. The curve then runs from the
point before to the point after.

` + editHelp,
		Example: "  bladeline curve remove hall.curve.toml 30",
		Args:    curveAnd("a coverage"),
		RunE: func(c *cobra.Command, args []string) error {
			var coverages []float64
			for _, arg := range args[1:] {
				coverage, err := parseNumber(arg)
				if err != nil {
					return usagef("%s: not a coverage in %%; give a number, as 30", arg)
				}
				coverages = append(coverages, coverage)
			}
			return edit(c, args[0], func(file string, data []byte) ([]byte, error) {
				return curves.RemovePoints(file, data, coverages...)
			})
		},
	}
}

func newCurveScale() *cobra.Command {
	return &cobra.Command{
		Use:   "scale CURVE FACTOR",
		Short: "Multiply all openings of a curve's file",
		Long: `scale multiplies every opening by a factor: 1.05 feeds 5 % more ink everywhere.

` + editHelp,
		Example: "  bladeline curve scale hall.curve.toml 1.05",
		Args:    curveAnd("a factor"),
		RunE: func(c *cobra.Command, args []string) error {
			factor, err := parseNumber(args[1])
			if err != nil || !(factor > 0) || len(args) > 2 {
				return usagef("%s: not a factor; give one above 0, as 1.05", strings.Join(args[1:], " "))
			}
			return edit(c, args[0], func(file string, data []byte) ([]byte, error) {
				return curves.ScalePoints(file, data, factor)
			})
		},
	}
}

// curveAnd takes a curve and more.
func curveAnd(what string) cobra.PositionalArgs {
	return func(_ *cobra.Command, args []string) error {
		switch len(args) {
		case 0:
			return errors.New("no curve is named")
		case 1:
			return fmt.Errorf("%s: nothing follows the curve; give %s", args[0], what)
		}
		return nil
	}
}

func parsePoints(args []string) ([]curves.Point, error) {
	var points []curves.Point
	for _, arg := range args {
		left, right, _ := strings.Cut(arg, "=")
		coverage, err := parseNumber(left)
		var opening float64
		if err == nil {
			opening, err = parseNumber(right)
		}
		if err != nil {
			return nil, usagef("%s: not a point; give COVERAGE=OPENING in %%, as 30=42", arg)
		}
		for _, earlier := range points {
			if earlier.CoveragePct == coverage {
				return nil, usagef("%s: the coverage %s is set twice; leave one out", arg, settings.Plain(coverage))
			}
		}
		points = append(points, curves.Point{CoveragePct: coverage, OpeningPct: opening})
	}
	return points, nil
}

// parseNumber reads a finite number.
func parseNumber(s string) (float64, error) {
	v, err := strconv.ParseFloat(settings.Pointed(s), 64)
	if err == nil && (math.IsNaN(v) || math.IsInf(v, 0)) {
		err = strconv.ErrRange
	}
	return v, err
}

// edit changes a curve's own file and says what became of it.
func edit(c *cobra.Command, called string, change func(file string, data []byte) ([]byte, error)) error {
	e, err := job.EditCurve(called, change)
	if err != nil {
		return err
	}
	if err := wrote(c, e.File); err != nil {
		return err
	}
	return writeChanges(c.OutOrStdout(), e.Before, e.After)
}

// writeChanges prints where a curve has other openings than it had.
func writeChanges(w io.Writer, before, after *curves.Curve) error {
	t := &table{align: "rrr"}
	t.row("coverage %", "was %", "is %")
	for _, coverage := range rounds(before, after) {
		was, is := before.At(coverage), after.At(coverage)
		if math.Abs(is-was) >= 0.05 { // less does not show
			t.row(settings.Shortest(coverage), fixed(1, was), fixed(1, is))
		}
	}
	if len(t.rows) == 1 {
		_, err := fmt.Fprintln(w, "no opening changes by 0.1 % or more")
		return err
	}
	return t.write(w)
}

func newCurveCheck() *cobra.Command {
	return &cobra.Command{
		Use:   "check CURVE...",
		Short: "Check that curves are valid, and show what they span",
		Long: `check reads curves as preset does. The first that is not valid ends it with one
line that says where it is wrong and what to do.`,
		Example: "  bladeline curve check *.curve.toml",
		Args:    from(1, 0, "curve"),
		RunE: func(c *cobra.Command, args []string) error {
			all, err := loadCurves(args)
			if err != nil {
				return err
			}
			t := &table{align: "lrrrl"}
			t.row("curve", "points", "coverage %", "opening %", "reference sweep")
			for i, curve := range all {
				first, last := curve.Points[0], curve.Points[len(curve.Points)-1]
				t.row(args[i], fmt.Sprint(len(curve.Points)), span(first.CoveragePct, last.CoveragePct), span(first.OpeningPct, last.OpeningPct), referenceOf(curve))
			}
			return t.write(c.OutOrStdout())
		},
	}
}

func span(from, to float64) string { return settings.Shortest(from) + "-" + settings.Shortest(to) }
