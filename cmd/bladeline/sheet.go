package main

import (
	"context"
	"slices"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/zones"
	"bladeline/zones/sheet"

	"github.com/spf13/cobra"
)

// sheetFlags are the flags of sheet alone.
type sheetFlags struct {
	pageFlags
	press  string
	inks   []string
	copies int
	run    runFlags

	worksheet bool
	curves    []string
}

func newSheet() *cobra.Command {
	var (
		in  inputFlags
		out outputFlags
		how sheetFlags
	)
	c := &cobra.Command{
		Use:   "sheet PRESET -o FILE",
		Short: "Draw the key sheet that hangs at the press, a page per ink",
		Long: `sheet draws a preset, JSON or CSV, on paper: the form over the fountain, the gap
between roller and blade as the keys open it, every key as it is set on the
press, and boxes to write in what was finally run.

Of an OK file, a preset's CSV with ok_key or ok_sweep filled in, it draws what was
run, and says so in its head: keys and sweep large as run, those of the preset
small beside them. Keys that were not read have a dash, and a pale gap. The gap is
exact with --press.

A PDF has a page per ink. An SVG is one page: with several inks, each gets a file
of its own, FILE-INK.svg.

The picture of the form is drawn from the separations that the preset names,
where they are still there, in the folder they were in or beside the preset.
They are laid on the fountain as the preset states, unless flags say otherwise. A
CSV names no separations, and its sheet has no picture. Nor does it state how
the blade is made: name the --press.

With --worksheet it draws pages for learners instead: the form over its zones, the
curve, and empty boxes to write coverage, opening, key and sweep in; behind them,
each on a page of its own, the answers, which are the key sheets. The curve is the
one that the --press has for the ink, or --curve. With SVG the answers of an ink are
FILE-INK-answers.svg.

What the preset warns of stands on the sheet. --strict is about what sheet itself
warns of: a picture that it had to leave out. Letters that the sheet's font lacks
are drawn as empty boxes.

` + cautions,
		Example: `  bladeline sheet job.json -o job.pdf
  bladeline sheet job-ok.csv --press duplicator -o as-run.pdf
  bladeline sheet job.json --press duplicator --page-size letter -o job.svg
  bladeline sheet job.json --press duplicator --worksheet -o lesson.pdf`,
		Args: exactly(1, "one preset"),
		RunE: func(c *cobra.Command, args []string) error { return drawSheet(c, args[0], &in, &out, &how) },
	}
	flags := c.Flags()
	how.pageFlags.add(c, "the key sheet's page")
	wholeVar(flags, &how.copies, "copies", 0, "write how much ink `N` sheets take, as estimate works it out; the default is the run's, where the preset states it")
	flags.StringVar(&how.press, "press", "", "the `PRESS` that the preset is for, whose blade and [inks] are taken: a file, or a name that press list shows")
	flags.StringArrayVar(&how.inks, "ink", nil, "draw this `INK` alone; may be repeated")
	flags.StringArrayVarP(&out.files, "output", "o", nil, "write to `FILE`, as its ending says: .pdf or .svg; may be repeated")
	flags.BoolVar(&how.worksheet, "worksheet", false, "draw worksheets for learners, with the answers behind them; it takes --press")
	flags.StringArrayVar(&how.curves, "curve", nil, "the `[INK=]CURVE` that a worksheet shows: a file, or a name that curve show knows; the default is the press's; may be repeated")
	how.run.add(c)
	in.add(c)
	in.pdf = &pdfFlags{}
	in.pdf.addTime(c)
	return c
}

func drawSheet(c *cobra.Command, path string, in *inputFlags, out *outputFlags, how *sheetFlags) error {
	if len(out.files) == 0 {
		return usagef("-o is missing; name a file that ends in .pdf or .svg")
	}
	if err := out.check([]string{"pdf", "svg"}, []string{path}); err != nil {
		return err
	}
	if err := how.pageFlags.check(c); err != nil {
		return err
	}
	if err := checkCopies(c, how.copies); err != nil {
		return err
	}
	curves, err := how.checkWorksheet()
	if err != nil {
		return err
	}
	placement, err := in.placement()
	if err != nil {
		return err
	}
	reading, err := in.readingNothing()
	if err != nil {
		return err
	}
	t := job.SheetTicket{
		Reading: reading,
		Preset:  path, Rest: how.run.rest, Press: how.press, Inks: how.inks,
		PageSize: sheet.PageSize(how.size), Copies: how.copies, Outputs: out.files,
		Worksheet: how.worksheet, Curves: curves,
	}
	if in.placed(c) {
		t.Placement = &placement
	}
	var pictures []job.Picture
	err = watched(c, "reading", t.Reading, func(ctx context.Context, r job.Reading) error {
		t.Reading = r
		pictures, err = job.DrawSheets(ctx, t)
		return err
	})
	if err != nil {
		return flagged(err, map[string][]string{job.OfCurve: how.curves})
	}
	return in.warn(c, unpictured(pictures))
}

// checkWorksheet refuses what only worksheets take, and worksheets without a press;
// it reads the curves that they show.
func (f *sheetFlags) checkWorksheet() ([]job.Choice[string], error) {
	switch {
	case f.worksheet && f.press == "":
		return nil, usagef("--worksheet: says how the keys are set, and shows the curve; name the --press")
	case !f.worksheet && len(f.curves) > 0:
		return nil, usagef("--curve %s: only a worksheet shows a curve; add --worksheet, or leave it out", f.curves[0])
	}
	return perInk("--curve", f.curves, asItIs)
}

// unpictured warns of the sheets that have no picture, and says why.
func unpictured(pictures []job.Picture) []zones.Warning {
	var warnings []zones.Warning
	for _, p := range pictures {
		if p.Err != nil {
			text := "the sheet has no picture of the form: " + cures.Cured(p.Err).Error()
			warnings = append(warnings, zones.Warning{Ink: p.Ink, Code: "picture", Text: text})
		}
	}
	return warnings
}

// placed tells whether the command line says how the raster lies.
func (f *inputFlags) placed(c *cobra.Command) bool {
	return slices.ContainsFunc([]string{"lead-edge", "mirrored", "shift", "dpi"}, c.Flags().Changed)
}
