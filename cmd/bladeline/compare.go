package main

import (
	"fmt"
	"io"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/curves/settings"
	"bladeline/zones/preset"
	"bladeline/zones/press"

	"github.com/spf13/cobra"
)

func newCompare() *cobra.Command {
	var (
		out      outputFlags
		pressArg string
	)
	c := &cobra.Command{
		Use:   "compare A B",
		Short: "Compare two presets, or a preset with what was finally run",
		Long: `compare prints, for every key, how far B differs from A: in the key as it is set,
and in the feed, which is opening x sweep. A and B are presets, JSON or CSV, of
one press and the same inks.

B may be an OK file: a preset's CSV with ok_key, and ok_sweep where it changed,
filled in. Then what was run is compared, and keys left empty are not. A key
that was run is a place on the press's scale, so its opening, and with it the
feed, is known only with --press. So are the scale's steps.

Feed differs in points: how much wider the key would stand at the sweep of A, in
% of travel, to feed what B feeds. Zones without a sheet over them, in A and in
B, are left out of the sums.`,
		Example: `  bladeline compare job.csv job-ok.csv --press two-colour
  bladeline compare coated.json uncoated.json`,
		Args: exactly(2, "two presets"),
		RunE: func(c *cobra.Command, args []string) error { return compare(c, args, &out, pressArg) },
	}
	c.Flags().StringVar(&pressArg, "press", "", "the `PRESS` of both: a file, or a name that press list shows")
	out.add(c, ".csv or .json")
	return c
}

func compare(c *cobra.Command, args []string, out *outputFlags, pressArg string) error {
	if err := out.check([]string{"csv", "json"}, args); err != nil {
		return err
	}
	var press *press.Press
	var err error
	if c.Flags().Changed("press") {
		if press, _, err = job.LoadPress(pressArg); err != nil {
			return err
		}
	}
	var sides [2]preset.Compared
	for i, file := range args {
		p, err := job.LoadPreset(file)
		if err != nil {
			return err
		}
		sides[i] = preset.Compared{File: file, Preset: p}
	}
	result, err := preset.Compare(sides[0], sides[1], press)
	if err != nil {
		return err
	}
	return out.write(c, map[string]format{
		"table": func(w io.Writer) error { return writeComparison(w, result) },
		"csv":   result.WriteCSV,
		"json":  result.WriteJSON,
	})
}

// writeComparison prints a table a unit, and under it what it comes to.
func writeComparison(w io.Writer, c *preset.Comparison) error {
	run := ""
	if c.BWasRun {
		run = ", as it was run"
	}
	fmt.Fprintf(w, "press  %s\na      %s\nb      %s%s\n", settings.Printable(c.Press), settings.Printable(c.A), settings.Printable(c.B), run)
	for i := range c.Units {
		u := &c.Units[i]
		fmt.Fprintf(w, "\n%s: sweep %s in a, %s in b\n", settings.Printable(u.Ink), settings.Printable(press.Amount(u.SweepA, c.SweepUnit)), settings.Printable(press.Amount(u.SweepB, c.SweepUnit)))
		t := &table{align: "rrrrrrr"}
		t.row("zone", "key a "+string(c.KeyUnit), "key b "+string(c.KeyUnit), "b - a", "feed a", "feed b", "points")
		for _, k := range u.Keys {
			keyB := ""
			if k.KeyBText != nil {
				keyB = *k.KeyBText
			}
			t.row(fmt.Sprint(k.Zone), k.KeyAText, keyB, signed(c.KeyUnit, k.KeyDifference), orBlank(0, k.FeedA), orBlank(0, k.FeedB), points(k.FeedDifferencePoints))
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

func writeSums(w io.Writer, c *preset.Comparison, u *preset.UnitComparison) error {
	if u.Compared == 0 {
		_, err := fmt.Fprintln(w, "no key was read")
		return err
	}
	keys := "give --press for the share within one step"
	if u.WithinStepPct != nil {
		keys = fixed(0, *u.WithinStepPct) + " % within one step"
	}
	fmt.Fprintf(w, "keys: %d compared, largest %s in zone %d, mean %.3g; %s\n",
		u.Compared, signed(c.KeyUnit, u.KeyLargest), *u.KeyLargestZone, *u.KeyMean, keys)
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

func orBlank(places int, v *float64) string {
	if v == nil {
		return ""
	}
	return fixed(places, *v)
}
