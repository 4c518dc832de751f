package main

import (
	"fmt"
	"io"
	"math"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/curves/settings"
	"bladeline/zones/preset"
	"bladeline/zones/press"

	"github.com/spf13/cobra"
)

func newCompare() *cobra.Command {
	var (
		out      outputFlags
		run      runFlags
		pressArg string
	)
	c := &cobra.Command{
		Use:   "compare A [B]",
		Short: "Compare presets and what was finally run, with each other or one with the other",
		Long: `compare prints, for every key, how far B differs from A: in the key as it is set,
and in the feed, which is opening x sweep. A and B are presets, JSON or CSV, of
one press and the same inks, or OK files: a preset's CSV with ok_key, and ok_sweep
where it changed, filled in.

An OK file stands for what was run, any other for its preset, on either side; so
run is compared with run, and preset with preset, too. One OK file alone is
compared with its own preset. The head of the output says which is which.

Keys that were not read are not compared. A key that was run is a place on the
press's scale, so its opening, and with it the feed, is known only with --press.
So are the scale's steps. The feed of a preset is of the openings that its curve asks
for, before keys go onto their steps; that of keys that were run, or that the train
set, is as they stand on them. A line over the table says which.

Feed differs in points: how much wider the key would stand at the sweep of A, in
% of travel, to feed what B feeds; beside it stands how much more ink that is. Zones
without a sheet over them, in A and in B, are left out of the sums.`,
		Example: `  bladeline compare job-ok.csv --press two-colour
  bladeline compare last-ok.csv job-ok.csv --press two-colour
  bladeline compare coated.json uncoated.json`,
		Args: from(1, 2, "preset"),
		RunE: func(c *cobra.Command, args []string) error { return compare(c, args, &out, &run, pressArg) },
	}
	c.Flags().StringVar(&pressArg, "press", "", "the `PRESS` of both: a file, or a name that press list shows")
	run.add(c)
	out.add(c, ".csv or .json")
	return c
}

func compare(c *cobra.Command, args []string, out *outputFlags, run *runFlags, pressArg string) error {
	if err := out.check([]string{"csv", "json"}, args); err != nil {
		return err
	}
	how := job.Comparing{Files: args, Rest: run.rest}
	if c.Flags().Changed("press") {
		how.Press = &pressArg
	}
	result, err := how.Compare()
	if err != nil {
		return err
	}
	return out.write(c, map[string]format{
		"table": func(w io.Writer) error { return writeComparison(w, result) },
		"csv":   result.WriteCSV,
		"json":  result.WriteJSON,
	})
}

// setWords say by what keys were set.
func setWords(by string) string {
	if by == preset.SetByRun {
		return "as they were run"
	}
	return "by the " + by
}

// writeComparison prints a table a unit, and under it what it comes to.
func writeComparison(w io.Writer, c *preset.Comparison) error {
	fmt.Fprintf(w, "press  %s\na      %s, %s\nb      %s, %s\n", settings.Printable(c.Press), settings.Printable(c.A), runOrPreset(c.AWasRun, c.ADate), settings.Printable(c.B), runOrPreset(c.BWasRun, c.BDate))
	for i := range c.Units {
		u := &c.Units[i]
		fmt.Fprintf(w, "\n%s: sweep %s in a, %s in b\n", settings.Printable(u.Ink), settings.Printable(press.Amount(u.SweepA, c.SweepUnit)), settings.Printable(press.Amount(u.SweepB, c.SweepUnit)))
		if u.SetByA != "" {
			fmt.Fprintf(w, "keys %s in a, %s in b\n", setWords(u.SetByA), setWords(u.SetByB))
		}
		if u.FeedLargestPoints != nil {
			fmt.Fprintln(w, c.FeedWords(u))
		}
		t := &table{align: "rrrrrrrr"}
		t.row("zone", "key a "+string(c.KeyUnit), "key b "+string(c.KeyUnit), "b - a", "feed a", "feed b", "points", "ink")
		for _, k := range u.Keys {
			t.row(fmt.Sprint(k.Zone), orEmpty(k.KeyAText), orEmpty(k.KeyBText), signed(c.KeyUnit, k.KeyDifference), orBlank(0, k.FeedA), orBlank(0, k.FeedB), points(k.FeedDifferencePoints), moreInk(k.FeedA, k.FeedB))
		}
		if err := t.write(w); err != nil {
			return err
		}
		if err := writeSums(w, c, u); err != nil {
			return err
		}
	}
	return nil
}

// runOrPreset says what a side of a comparison stands for, and of which day.
func runOrPreset(run bool, day *string) string {
	text := "as preset"
	if run {
		text = "as run"
	}
	if day != nil {
		text += " " + *day
	}
	return text
}

// orEmpty is the text of a key, empty where it was not read.
func orEmpty(text *string) string {
	if text == nil {
		return ""
	}
	return *text
}

func writeSums(w io.Writer, c *preset.Comparison, u *preset.UnitComparison) error {
	if u.Compared == 0 {
		_, err := fmt.Fprintln(w, "no key was read")
		return err
	}
	keys := "give --press for the share within one step"
	if u.WithinStepPct != nil {
		keys = fixed(0, *u.WithinStepPct) + " % within one step"
	}
	if *u.KeyLargest == 0 {
		fmt.Fprintf(w, "keys: %d compared, all alike\n", u.Compared)
	} else {
		fmt.Fprintf(w, "keys: %d compared, largest %s in zone %d, mean %.3g; %s\n",
			u.Compared, signed(c.KeyUnit, u.KeyLargest), *u.KeyLargestZone, *u.KeyMean, keys)
	}
	if u.FeedLargestPoints == nil {
		_, err := fmt.Fprintln(w, "feed: give --press, whose scale turns keys that were run into openings")
		return err
	}
	_, err := fmt.Fprintf(w, "feed: largest %s points in zone %d, mean %.1f; %.0f %% within 5 points\n",
		points(u.FeedLargestPoints), *u.FeedLargestZone, *u.FeedMeanPoints, *u.Within5PointsPct)
	return err
}

// signed is a difference of keys, in the words of their scale.
func signed(unit press.KeyUnit, v *float64) string {
	switch {
	case v == nil:
		return ""
	case *v > 0:
		return "+" + press.KeyText(unit, *v)
	}
	return press.KeyText(unit, *v)
}

func points(v *float64) string {
	if v == nil {
		return ""
	}
	return fmt.Sprintf("%+.1f", *v)
}

// moreInk is how much more ink b feeds than a, as an operator says it.
func moreInk(a, b *float64) string {
	switch {
	case a == nil || b == nil || *a == 0:
		return ""
	case math.Abs(*b / *a - 1) < 0.005:
		return "0 %"
	}
	return fmt.Sprintf("%+.0f %%", 100*(*b / *a - 1))
}

func orBlank(places int, v *float64) string {
	if v == nil {
		return ""
	}
	return fixed(places, *v)
}
