package main

import (
	"fmt"
	"io"
	"strings"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/curves"
	"bladeline/curves/ink"
	"bladeline/curves/settings"
	"bladeline/zones/preset"
	"bladeline/zones/press"
	"bladeline/zones/sheet"

	"github.com/spf13/cobra"
)

// correctFlags are the flags of correct alone.
type correctFlags struct {
	press   string
	targets []string
	limits  []string
	damping float64
	size    string
	paperFlags
}

func newCorrect() *cobra.Command {
	var (
		out outputFlags
		in  inputFlags
		run runFlags
		how correctFlags
	)
	c := &cobra.Command{
		Use:   "correct PRESET DENSITIES.csv --press PRESS",
		Short: "Correct the keys by the solid densities of a pulled sheet",
		Long: `correct works out new keys from the densities of solids on a pulled sheet.

DENSITIES.csv has the columns ink,zone,density, one row per zone, the density of
the ink alone: zero the densitometer on the bare paper. Zones without a row, or
without a density, keep their keys. PRESET, JSON or CSV, is what the sheet was
printed with; where its ok_key and ok_sweep are filled in, those count.

A film w of ink has the density D = D0 x (1 - exp(-m w)), after Tollenaar and
Ernst, where no film exceeds D0, the limit. The density measured and the
target give the factor by which the film must change, whatever m is, and the film
follows the opening. Target and limit are the ink's target_density and
density_limit in the press's file, or --target and --limit.

Ink keeps moving for many sheets after a key has been moved, so only half of the
correction is made at once, or the share that --damping gives: pull another sheet
and correct again. Where half would not move a key by a step, and the whole
correction is half a step or more, the key moves one step; where it is less, no
setting is nearer, the key stays, and "less than a step" says so.
No film is more than doubled or halved at once. A density above 98 % of the limit
counts as 98 %: up there, films of any thickness measure alike.

The sweep stays. Floor, ceiling, neighbours and the key's steps hold as in a
preset, and the result is a preset. -o job.pdf or .svg draws a sheet for every ink
that was measured: where each key stood, where it goes, and which way.

When the sheet is right, write what stands into the CSV of the first preset, with
bladeline ok: history and curve learn then see how far that one was off. The last
correction, filed as it stands, would look like a preset that was right at once.

` + cautions,
		Example: `  bladeline correct job.csv densities.csv --press my.press.toml
  bladeline correct job.csv densities.csv --press two-colour --target 1.5 --limit Black=2 -o job2.csv -o job2.pdf`,
		Args: exactly(2, "a preset and its densities"),
		RunE: func(c *cobra.Command, args []string) error { return correct(c, args, &in, &out, &run, &how) },
	}
	flags := c.Flags()
	flags.StringVar(&how.press, "press", "", "the `PRESS` of the preset: a file, or a name that press list shows")
	flags.StringArrayVar(&how.targets, "target", nil, "`[INK=]DENSITY` to correct to, instead of the press's; may be repeated")
	flags.StringArrayVar(&how.limits, "limit", nil, "`[INK=]DENSITY` that no film exceeds, instead of the press's; may be repeated")
	decimalVar(flags, &how.damping, "damping", ink.DefaultDamping, "`SHARE` of the correction to make at once, above 0 and up to 1")
	run.add(c)
	how.paperFlags.add(c)
	flags.BoolVar(&in.strict, "strict", false, "exit with status 3 if there are warnings")
	addPageSize(c, &how.size, "the key sheet's page")
	out.add(c, ".csv, .json, .pdf or .svg")
	return c
}

func correct(c *cobra.Command, args []string, in *inputFlags, out *outputFlags, run *runFlags, how *correctFlags) error {
	switch {
	case how.press == "":
		return pressMissing()
	case !(how.damping > 0 && how.damping <= 1):
		return usagef("--damping %s: not a share; give a number above 0, up to 1", settings.Plain(how.damping))
	}
	if err := out.check([]string{"csv", "json", "pdf", "svg"}, args); err != nil {
		return err
	}
	if err := checkPageSize(how.size); err != nil {
		return err
	}
	correction, err := how.correction()
	if err == nil {
		correction.Run, err = how.run(c)
	}
	if err != nil {
		return err
	}
	correction.Press, correction.Preset, correction.Densities, correction.Rest = how.press, args[0], args[1], run.rest
	corrected, press, err := job.Correct(correction)
	if err != nil {
		return flagged(err, map[string][]string{job.OfTarget: how.targets, job.OfLimit: how.limits})
	}
	changes := corrected.Changes(press)
	if err := out.writeSheets(c, map[string]format{
		"table": func(w io.Writer) error { return writeCorrected(w, corrected, press, how.damping) },
		"csv":   corrected.Preset.WriteCSV,
		"json":  corrected.Preset.WriteJSON,
	}, func(path string) ([]job.File, error) {
		return changeSheets(path, changes, sheet.ChangeOptions{PageSize: sheet.PageSize(how.size), Says: fmt.Sprintf("%g %% of the correction by densities", 100*how.damping)})
	}); err != nil {
		return err
	}
	return in.warn(c, corrected.Preset.Warnings)
}

// correction is what the flags say that the densities are corrected to.
func (how *correctFlags) correction() (job.Correction, error) {
	correction := job.Correction{Damping: how.damping}
	var err error
	if correction.Targets, err = perInk("--target", how.targets, upTo(5, "not a density")); err == nil {
		correction.Limits, err = perInk("--limit", how.limits, upTo(5, "not a density"))
	}
	return correction, err
}

// writeCorrected prints a table a measured ink.
func writeCorrected(w io.Writer, c *preset.Corrected, on *press.Press, damping float64) error {
	p := c.Preset
	fmt.Fprintf(w, "job    %s\npress  %s\n%g %% of the correction is made at once: print, pull another sheet, and correct again\n", settings.Printable(p.Job), settings.Printable(p.Press.Name), 100*damping)
	for i, u := range c.Units {
		if !u.Measured {
			continue
		}
		set := p.Units[i]
		fmt.Fprintf(w, "\n%s: to the density %g; no film exceeds %g; sweep %s as it was\n", settings.Printable(u.Ink+inUnit(&set)), u.Options.Target, u.Options.Limit, settings.Printable(press.Amount(set.Sweep, p.Press.SweepUnit)))
		unit := string(p.Press.KeyUnit)
		head := []string{"zone", "density", "film x", "key was " + unit, "key is " + unit}
		if p.StatesShut() {
			head = append(head, "shut at")
		}
		t := &table{align: strings.Repeat("r", len(head)) + "ll"}
		t.row(append(head, "held by", "")...)
		for j, k := range u.Keys {
			density, ratio := "", ""
			if k.Density != nil {
				density, ratio = fixed(2, *k.Density), fixed(2, k.FilmRatio)
			}
			note := string(k.Note)
			if set.Keys[j].State == curves.OffSheet {
				note = "" // there is nothing to measure
			}
			row := []string{fmt.Sprint(k.Zone), density, ratio, on.Keys.Text(k.Was), set.Keys[j].KeyText}
			if p.StatesShut() {
				row = append(row, set.Keys[j].ShutText(p.Press.KeyUnit))
			}
			t.row(append(row, heldBy(set.Keys[j].State), note)...)
		}
		if err := t.write(w); err != nil {
			return err
		}
	}
	return nil
}
