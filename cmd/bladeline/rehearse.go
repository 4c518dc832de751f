package main

import (
	"context"
	"fmt"
	"io"
	"runtime/debug"
	"slices"
	"strings"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/curves/settings"
	"bladeline/zones/preset/rehearsal"
	"bladeline/zones/press"
	"bladeline/zones/sheet"

	"github.com/spf13/cobra"
)

// rehearseFlags are the flags of rehearse alone.
type rehearseFlags struct {
	press  string
	inks   []string
	curves []string
	start  string
	tries  []string
	size   string
}

func newRehearse() *cobra.Command {
	var (
		out outputFlags
		in  inputFlags
		how rehearseFlags
	)
	c := &cobra.Command{
		Use:   "rehearse PRESET [FILE…] --press PRESS",
		Short: "Rehearse a preset on the press's own roller train",
		Long: `rehearse computes what a preset is going to print: the ink goes from the fountain
through the rollers that the press's file describes to plate, blanket and paper, nip
by nip. It says which zones run light or heavy, how many sheets it takes until the
films stand, how the rollers are best charged first, and which ghosts no key cures.

PRESET is JSON or CSV; of an OK file, what was run is rehearsed. The form is read
from the separations that the preset names, or from FILE, where they are named. Where
there are none it is rehearsed from the coverages of zones: then nothing is known of
ghosts, nor of what changes along the sheet.

Films are held against the target: with a fitted train the ink's film_um, 1 um where
the press's file states none. Until a train was fitted to its press (fitted_from in its
file), results are a trend, not measured on this press. How even the film is can then be
told, and how thick it is cannot: the target is what the curve asks for, on the whole
and at the curve's own sweep, held by no limit, so that a sweep which is too low shows
as light. That is the curve that the press's file names, or --curve. Where the preset
was made by another, and of an OK file, whose run was passed as right, it is the mean of
all ink. Left out are water, tack, temperature and slip.

The table has, zone by zone, the film once all has settled, in um of a fitted train,
else in % of the target; off, how far that is from the target; what lead, middle and
tail of the sheet carry; swing, from the fattest to the leanest sheet, as the ductor
strokes; density, where the press states the ink's law; the sheet after which it stands;
and that after which it is on target, within 10 % of it, or never; ? is later than was
followed, 1,500 sheets at the most. Lead, middle and tail are of zones that print in the
first third of the sheet and in the last. Zones that print less than 2 % are not waited
for. Of what is tried, lead-tail is what the film loses from lead
to tail, and ghost the largest step that a form roller brings back.

--start says what the rollers carry before the first sheet: clean (washed), charged
(by the charge that rehearse finds), even (an even film), or the preset or OK file of
the job that ran before. A zone stands once it stays within 10 % of the film at which
it settles: about 0.07 of density.

--try holds a change against the preset as it is, and may be repeated:

  sweep=N            another sweep, with the keys where they stand; what keys that go
                     with it print, preset --sweep and another rehearsal say
  ductor=SHEETS      a stroke of the ductor every so many sheets; the sweep follows
  turned             the form the other way round, tail edge first, keys with it
  bar=MM             a take-off bar behind the form; keys follow the train's line
  oscillator=ROLLER  a distributor or rider that moves from side to side as well

Changes with commas between are tried together: --try sweep=60,turned.

-o rehearsal.pdf or .svg draws a page an ink: the zones' films against a band of
10 %, the sheet, the first sheets, and the train with its films as rings. -o film.png
draws the map of the sheet. For the map, which JSON holds as well, the train is followed
in cells of about 2 mm both ways, as fine as the separations are kept; a sheet of 640 x
480 mm takes half a second an ink more. All else is worked out in cells 3 mm long, four
to a zone; the films of zones are within 1 % of each other on both. On a sheet of that
size an ink takes some eight seconds of one core, inks side by side.

` + cautions,
		Example: `  bladeline rehearse job.json --press two-colour
  bladeline rehearse job.json --press two-colour --start charged -o rehearsal.pdf -o rehearsal.json
  bladeline rehearse job.csv Black=job_K.tif --ink Black --press my.press.toml
  bladeline rehearse job.json --press duplicator --try sweep=8 --try turned,bar=12`,
		Args: from(1, 1000, "preset"),
		RunE: matched(func(c *cobra.Command, args []string) error { return rehearse(c, args, &in, &out, &how) }),
	}
	flags := c.Flags()
	flags.StringVar(&how.press, "press", "", "the `PRESS` of the preset, whose file describes a [train]: a file, or a name that press list shows")
	flags.StringArrayVar(&how.inks, "ink", nil, "rehearse this `INK` alone; may be repeated")
	flags.StringArrayVar(&how.curves, "curve", nil, "`[INK=]CURVE` that the preset was made by: a file, or the name of one that ships, where it is not the press's own; may be repeated")
	flags.StringVar(&how.start, "start", rehearsal.Clean, "what the rollers carry first: clean, charged, even, or the `PRESET` that ran before")
	flags.StringArrayVar(&how.tries, "try", nil, "hold a `CHANGE` against the preset as it is; may be repeated")
	addPageSize(c, &how.size, "the pages of a PDF or SVG")
	in.add(c)
	in.pdf = &pdfFlags{}
	in.pdf.addTime(c)
	out.add(c, ".csv, .json, .pdf, .svg, or .png for the map of the sheet")
	return c
}

func rehearse(c *cobra.Command, args []string, in *inputFlags, out *outputFlags, how *rehearseFlags) error {
	t, err := how.ticket(c, args, in, out)
	if err != nil {
		return err
	}
	defer debug.SetMemoryLimit(debug.SetMemoryLimit(rehearsal.MostMemory))
	var r *rehearsal.Rehearsal
	err = watched(c, "rehearsing", t.Reading, func(ctx context.Context, reading job.Reading) (err error) {
		t.Reading = reading
		r, err = job.Rehearse(ctx, t)
		return err
	})
	if err != nil {
		return flagged(err, map[string][]string{job.OfCurve: how.curves})
	}
	if err := out.writeSheets(c, map[string]format{
		"table": func(w io.Writer) error { return writeRehearsal(w, r) },
		"csv":   r.WriteCSV,
		"json":  r.WriteJSON,
	}, func(path string) ([]job.File, error) {
		return job.RehearsalFiles(path, r, sheet.PageSize(how.size))
	}); err != nil {
		return err
	}
	return in.warn(c, nil)
}

// ticket is what the flags ask for.
func (how *rehearseFlags) ticket(c *cobra.Command, args []string, in *inputFlags, out *outputFlags) (t job.RehearsalTicket, err error) {
	if how.press == "" {
		return t, pressMissing()
	}
	if how.start == "" {
		return t, usagef("--start is empty; give clean, charged, even, or the file of the job that ran before")
	}
	if err := checkPageSize(how.size); err != nil {
		return t, err
	}
	if err := out.check([]string{"csv", "json", "pdf", "svg", "png"}, append(allPaths(args), how.start)); err != nil {
		return t, err
	}
	t = job.RehearsalTicket{Preset: args[0], Press: how.press, Inks: how.inks, Start: how.start, FineMap: out.wants("json", "pdf", "svg", "png")}
	if t.Curves, err = perInk("--curve", how.curves, asItIs); err != nil {
		return t, err
	}
	for _, text := range how.tries {
		try, err := rehearsal.ParseTry(text)
		if err != nil {
			return t, usagef("--try %s: %v", text, err)
		}
		t.Tries = append(t.Tries, try)
	}
	placement, err := in.placement()
	if err != nil {
		return t, err
	}
	if in.placed(c) {
		t.Placement = &placement
	}
	if len(args) > 1 {
		t.Reading, err = in.reading(args[1:])
	} else {
		t.Reading, err = in.readingNothing()
	}
	return t, err
}

// writeRehearsal prints what there is to see and to do, then the figures, ink by ink.
func writeRehearsal(w io.Writer, r *rehearsal.Rehearsal) error {
	run := ""
	if r.WasRun {
		run = ", as it was run"
	}
	fmt.Fprintf(w, "job    %s%s\npress  %s\nstart  rollers %s\n", settings.Printable(r.Job), run, settings.Printable(r.Press), settings.Printable(r.Start))
	if r.Trend != nil {
		fmt.Fprintln(w, sentence(*r.Trend))
	}
	for i := range r.Inks {
		if err := writeRehearsedInk(w, r, &r.Inks[i]); err != nil {
			return err
		}
	}
	return nil
}

func writeRehearsedInk(w io.Writer, r *rehearsal.Rehearsal, ink *rehearsal.Ink) error {
	name := ink.Ink
	if ink.Unit != nil {
		name += ", unit " + *ink.Unit
	}
	fmt.Fprintf(w, "\n%s: sweep %s\n", settings.Printable(name), press.Amount(ink.Sweep, r.SweepUnit))
	for _, text := range ink.Sentences {
		fmt.Fprintln(w, folded(settings.Printable(sentence(text))))
	}
	if err := writeFilms(w, ink); err != nil {
		return err
	}
	if err := writeGhosts(w, ink); err != nil {
		return err
	}
	return writeTries(w, ink)
}

// writeFilms prints the zones that print.
func writeFilms(w io.Writer, ink *rehearsal.Ink) error {
	if !slices.ContainsFunc(ink.Zones, func(z rehearsal.Zone) bool { return z.Prints }) {
		return nil
	}
	fmt.Fprintln(w)
	unit, film := "film um", func(um float64) string { return fixed(2, um) }
	if ink.Level != rehearsal.Measured { // how thick it is cannot be told
		unit, film = "film %", func(um float64) string { return fixed(0, 100*um/ink.TargetUM) }
	}
	head := []string{"zone", "coverage %", "key", unit, "off %", "lead", "middle", "tail", "swing %"}
	if ink.TargetDensity != nil {
		head = append(head, "density")
	}
	head = append(head, "settled after", "on target")
	t := &table{align: strings.Repeat("r", len(head))}
	t.row(head...)
	for _, z := range ink.Zones {
		if !z.Prints {
			continue
		}
		after, onTarget := "?", "?"
		if z.NearAfter != nil {
			after = fmt.Sprint(*z.NearAfter)
		}
		switch {
		case z.Never:
			onTarget = "never"
		case z.NearTarget != nil:
			onTarget = fmt.Sprint(*z.NearTarget)
		}
		row := []string{fmt.Sprint(z.Zone), fixed(2, z.CoveragePct), z.KeyText, film(z.FilmUM), fmt.Sprintf("%+.1f", z.DeviationPct)}
		thirds := []string{"", "", ""}
		if z.Through {
			thirds = []string{film(z.LeadUM), film(z.MiddleUM), film(z.TailUM)}
		}
		row = append(append(row, thirds...), fixed(1, z.SwingPct))
		if z.Density != nil {
			row = append(row, fixed(2, *z.Density))
		}
		t.row(append(row, after, onTarget)...)
	}
	return t.write(w)
}

// mostGhostRows is as many ghosts as the table has; the JSON has more.
const mostGhostRows = 6

func writeGhosts(w io.Writer, ink *rehearsal.Ink) error {
	if len(ink.Ghosts) == 0 {
		return nil
	}
	fmt.Fprintln(w, "\nghosts, mm from the gripper edge:")
	t := &table{align: "lrrrrrl"}
	t.row("roller", "round", "of", "at", "film %", "density", "zones")
	for _, g := range ink.Ghosts[:min(len(ink.Ghosts), mostGhostRows)] {
		density := "?"
		if g.StepDensity != nil {
			density = fmt.Sprintf("%+.2f", *g.StepDensity)
		}
		t.row(g.Roller, fixed(1, g.CircumferenceMM), fixed(0, g.CauseMM), fixed(0, g.AtMM), fmt.Sprintf("%+.1f", g.StepPct), density, zoneSpan(g.Zones))
	}
	return t.write(w)
}

// zoneSpan is "3-7", or one zone.
func zoneSpan(zones []int) string {
	if len(zones) < 2 {
		return strings.Trim(fmt.Sprint(zones), "[]")
	}
	return fmt.Sprintf("%d-%d", zones[0], zones[len(zones)-1])
}

// writeTries prints the variants side by side.
func writeTries(w io.Writer, ink *rehearsal.Ink) error {
	if len(ink.Tries) == 0 {
		return nil
	}
	fmt.Fprintln(w, "\ntried, from washed rollers; off is each from its own mean:")
	t := &table{align: "lrrrrrrrrl"}
	t.row("", "mean %", "off, rms %", "worst %", "sheets to 10 %", "to 5 %", "swing %", "lead-tail %", "ghost %", "")
	for _, o := range ink.Tries {
		t.row(o.Try, fmt.Sprintf("%+.1f", o.MeanPct), fixed(1, o.RMSPct), fmt.Sprintf("%+.1f", o.WorstPct), orMore(o.Near.Sheets), orMore(o.Good.Sheets), fixed(1, o.SwingPct), orUnknown(1, o.FallOff), orUnknown(1, o.GhostPct), o.Words)
	}
	return t.write(w)
}

// orMore is a number of sheets, "more" where it is beyond what was followed.
func orMore(n *int) string {
	if n == nil {
		return "more"
	}
	return fmt.Sprint(*n)
}
