package main

import (
	"errors"
	"fmt"
	"io"
	"math"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/curves/learn"
	"bladeline/curves/settings"

	"github.com/spf13/cobra"
)

// pullFlags are the flags of curve learn that are about a pulled sheet.
type pullFlags struct {
	densities     string
	target, limit float64
}

func (f *pullFlags) add(c *cobra.Command) {
	flags := c.Flags()
	flags.StringVar(&f.densities, "densities", "", "learn from a pulled sheet, whose solids' densities are in `DENSITIES.csv`")
	decimalVar(flags, &f.target, "target", 0, "with --densities: `DENSITY` of the right film, instead of the press's")
	decimalVar(flags, &f.limit, "limit", 0, "with --densities: `DENSITY` that no film exceeds, instead of the press's")
}

func (f *pullFlags) asked() bool { return f.densities != "" }

// check refuses what does not go together.
func (f *pullFlags) check() error {
	if !f.asked() && (f.target != 0 || f.limit != 0) {
		return usagef("--target and --limit are about the densities of a pulled sheet; give --densities, too, or leave them out")
	}
	if err := checkDensity("--target", f.target); err != nil {
		return err
	}
	return checkDensity("--limit", f.limit)
}

// checkDensity refuses what is no density; 0 is not asked.
func checkDensity(flag string, v float64) error {
	if !(v >= 0 && v <= 5) {
		return usagef("%s %s: not a density; give a number above 0, up to 5", flag, settings.Plain(v))
	}
	return nil
}

// pull is what the flags ask for; nil is no pull.
func (f *pullFlags) pull() *job.Pull {
	if !f.asked() {
		return nil
	}
	p := &job.Pull{Densities: f.densities}
	if f.target != 0 {
		p.Target = &f.target
	}
	if f.limit != 0 {
		p.Limit = &f.limit
	}
	return p
}

// writePulled says what was learned from a pull, and what it is worth.
func writePulled(w io.Writer, l *lesson, learned *learn.Result, readingPct float64) error {
	fmt.Fprintf(w, "%s: the densities of %s of one pull used, %s left out\nthe old curve is %s%s\n",
		settings.Printable(learned.Curve.Name), counted(len(learned.Used), "zone"), counted(len(learned.LeftOut), "zone"), settings.Printable(l.Old.Name), settings.Printable(againWords(learned)))
	for _, line := range leftOut(learned.LeftOut) {
		fmt.Fprintln(w, "left out:", settings.Printable(line))
	}
	levels := l.Levels(learned, readingPct)
	return errors.Join(writeLevels(w, l, levels), writeLearnedPlot(w, l.Old, learned))
}

// writeLevels prints what each coverage that was read wants, and how surely.
func writeLevels(w io.Writer, l *lesson, levels []learn.Level) error {
	fmt.Fprintln(w, "\nwhat the coverages that were read want, in % of travel at the reference sweep, +- one standard error:")
	t := &table{align: "rrrrl"}
	t.row("coverage %", "zones", "old curve", "new curve", "")
	for _, v := range levels {
		sure := "?"
		if !math.IsNaN(v.ErrorPct) {
			sure = fixed(1, v.ErrorPct)
		}
		t.row(fixed(1, v.CoveragePct), fmt.Sprint(v.Readings), fixed(1, l.Old.At(v.CoveragePct)), fixed(1, v.OpeningPct), "+- "+sure)
	}
	if err := t.write(w); err != nil {
		return err
	}
	if n := len(levels); n > 0 {
		fmt.Fprintf(w, "below %s and above %s %% the new curve has the old one's shape\n", fixed(1, levels[0].CoveragePct), fixed(1, levels[n-1].CoveragePct))
	}
	_, err := fmt.Fprint(w, `The errors hold how far zones that are covered alike differ, as by their keys'
zeros and the reading, and a density limit that is known to 0.05. They do not hold
what another paper or ink wants, nor that rollers carry ink from thick films to
thin ones, which makes the curve flatter than it is. Learn once more from pull and jobs
as soon as there are some.
`)
	return err
}
