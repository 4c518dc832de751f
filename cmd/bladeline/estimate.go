package main

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/curves/settings"
	"bladeline/zones"
	"bladeline/zones/preset"
	"bladeline/zones/press"

	"github.com/spf13/cobra"
)

// estimateFlags are the flags of estimate alone.
type estimateFlags struct {
	copies                   int
	trainG, lengthMM         float64
	press                    string
	filmUM, filmGM2, gravity []string
}

func newEstimate() *cobra.Command {
	var (
		in  = inputFlags{leadEdge: string(zones.Bottom)} // any: an area stays as it is
		out outputFlags
		how estimateFlags
	)
	c := &cobra.Command{
		Use:   "estimate [INK=]FILE...|PRESET --copies N",
		Short: "Estimate how much of each ink a run takes",
		Long: `estimate works out the ink for a run: g = g/m2 of film x m2 of solid x copies. It is
an estimate; paper, ink and colour decide.

The solid is a separation's area times its coverage, over the whole raster. For a
preset it is the sum of coverage x width x reference length over the zones. A
CSV does not state that length: name the --press, whose print_length_mm it is,
or give --length where that press takes each form's own.

low is the least film of ISO 2846-1, 0.7 um. usual is the film that is stated, by
a flag or under [inks] in the press's file, or 1 um. high is the trade's rule of
a pound to 375,000 square inches, 1.87 g/m2, or the greatest of ISO 2846-1, 1.1 um
and for black 1.3 um, where that is more; inks that the standard does not know
count as cyan. A film that is stated beyond these widens them. Uncoated paper
takes more, by another rule of the trade 3.4 g/m2: state it. The specific
gravity is 1 g/cm3 where none is stated.`,
		Example: `  bladeline estimate --copies 5000 job_*.tif
  bladeline estimate --copies 5000 --press two-colour --film-um Black=1.2 job.json`,
		Args: files,
		RunE: matched(func(c *cobra.Command, args []string) error { return estimate(c, args, &in, &out, &how) }),
	}
	flags := c.Flags()
	wholeVar(flags, &how.copies, "copies", 0, "`N` sheets to print")
	flags.StringVar(&how.press, "press", "", "the `PRESS` whose [inks] and print length are taken: a file, or a name that press list shows")
	decimalVar(flags, &how.lengthMM, "length", 0, "the length in `MM` that a preset's coverages refer to, where it states none")
	flags.StringArrayVar(&how.filmUM, "film-um", nil, "`[INK=]UM`: film of a solid on the sheet, in um; may be repeated")
	flags.StringArrayVar(&how.filmGM2, "film-g", nil, "`[INK=]G`: film of a solid on the sheet, in g/m2; may be repeated")
	flags.StringArrayVar(&how.gravity, "gravity", nil, "`[INK=]G`: specific gravity of the ink, in g/cm3; may be repeated")
	decimalVar(flags, &how.trainG, "train", 0, "add `GRAMS` of each ink that fountain and rollers must hold")
	in.addReading(c)
	in.addPDF(c, true)
	out.add(c, ".csv or .json")
	return c
}

func estimate(c *cobra.Command, args []string, in *inputFlags, out *outputFlags, how *estimateFlags) error {
	if err := how.check(c); err != nil {
		return err
	}
	placement, err := in.placement()
	if err != nil {
		return err
	}
	if err := out.check([]string{"csv", "json"}, allPaths(args)); err != nil {
		return err
	}
	var press *press.Press
	if c.Flags().Changed("press") {
		if press, _, err = job.LoadPress(how.press); err != nil {
			return err
		}
	}
	if err := how.rejectUnused(c, args); err != nil {
		return err
	}
	films, err := how.films()
	if err != nil {
		return err
	}
	var forms []*zones.Form
	var inks []preset.InkInput
	if slices.ContainsFunc(args, isPreset) {
		inks, err = how.fromPreset(args, press)
	} else if forms, err = in.laid(c, args, placement); err == nil {
		inks, err = job.FormInks(forms)
	}
	if err == nil {
		err = films.Fill(inks, press)
	}
	if err != nil {
		return flagged(err, map[string][]string{job.OfFilmUM: how.filmUM, job.OfFilmGM2: how.filmGM2, job.OfGravity: how.gravity})
	}
	e := preset.NewEstimate(how.copies, how.trainG, inks)
	for _, f := range forms {
		e.AddForm(f)
	}
	cureWarnings(e.Warnings)
	if err := out.write(c, map[string]format{"table": func(w io.Writer) error { return writeEstimate(w, e) }, "csv": e.WriteCSV, "json": e.WriteJSON}); err != nil {
		return err
	}
	return in.warn(c, e.Warnings)
}

// What is more than any run takes, and than any press prints.
const (
	maxCopies   = 1_000_000_000
	maxTrainG   = 1e6
	maxLengthMM = 10_000
)

// checkCopies refuses what is no number of sheets, where one is given.
func checkCopies(c *cobra.Command, copies int) error {
	if c.Flags().Changed("copies") && !(copies >= 1 && copies <= maxCopies) {
		return usagef("--copies %d: not a number of sheets; give 1 to %d", copies, maxCopies)
	}
	return nil
}

func (how *estimateFlags) check(c *cobra.Command) error {
	switch {
	case !c.Flags().Changed("copies"):
		return usagef("--copies is missing; give the number of sheets")
	case !(how.trainG >= 0 && how.trainG <= maxTrainG):
		return usagef("--train %s: not a mass of ink; give grams, up to %s", settings.Plain(how.trainG), settings.Plain(maxTrainG))
	case !(how.lengthMM >= 0 && how.lengthMM <= maxLengthMM):
		return usagef("--length %s: not a print length; give mm, up to %d", settings.Plain(how.lengthMM), maxLengthMM)
	}
	return checkCopies(c, how.copies)
}

// rejectUnused refuses flags that would change nothing.
func (how *estimateFlags) rejectUnused(c *cobra.Command, args []string) error {
	if !slices.ContainsFunc(args, isPreset) {
		if c.Flags().Changed("length") {
			return usagef("--length: is for a preset that states no length; for separations, give --dpi")
		}
		return nil
	}
	for _, flag := range []string{"dpi", "ink-is", "pages"} {
		if c.Flags().Changed(flag) {
			return usagef("--%s: a preset has been measured already; leave the flag out, or name the separations", flag)
		}
	}
	return nil
}

// isPreset tells presets from separations, by the file's ending.
func isPreset(arg string) bool { return job.FormatOf(arg) == "json" || job.FormatOf(arg) == "csv" }

func (how *estimateFlags) fromPreset(args []string, press *press.Press) ([]preset.InkInput, error) {
	if len(args) > 1 {
		return nil, usagef("%s: a preset is estimated by itself; name it alone, or name the separations", args[slices.IndexFunc(args, isPreset)])
	}
	file := args[0]
	p, err := job.LoadPreset(file)
	if err != nil {
		return nil, err
	}
	if press != nil {
		if err := p.IsFor(press, file); err != nil {
			return nil, err
		}
	}
	if how.lengthMM > 0 && !slices.ContainsFunc(p.Units, func(u preset.Unit) bool { return u.LengthMM == nil }) {
		return nil, usagef("--length %s: %s states the length that its coverages refer to; leave it out", settings.Plain(how.lengthMM), file)
	}
	return job.PresetInks(p, file, press, how.lengthMM)
}

// films are what the flags say of the inks.
func (how *estimateFlags) films() (f job.Films, err error) {
	const notOfInk = "not a value for an ink"
	if f.UM, err = perInk("--film-um", how.filmUM, upTo(100, notOfInk)); err != nil {
		return f, err
	}
	if f.GM2, err = perInk("--film-g", how.filmGM2, upTo(100, notOfInk)); err != nil {
		return f, err
	}
	f.Gravity, err = perInk("--gravity", how.gravity, upTo(20, notOfInk))
	return f, err
}

// writeEstimate prints a table, a row an ink.
func writeEstimate(w io.Writer, e *preset.Estimate) error {
	fmt.Fprintf(w, "An estimate of the ink for %d copies, in g. low: the least film of ISO 2846-1;\nusual: the film stated, or 1 um; high: the trade's pound to 375,000 square inches;\na film stated beyond these widens them.\n", e.Copies)
	if e.TrainG > 0 {
		fmt.Fprintf(w, "needed: the run, and %s g of each ink in fountain and rollers.\n", preset.Grams(e.TrainG))
	}
	headings := []string{"ink", "solid cm2", "film g/m2", "1,000: low", "usual", "high", "run: low", "usual", "high"}
	if e.TrainG > 0 {
		headings = append(headings, "needed: low", "usual", "high")
	}
	t := &table{align: "l" + strings.Repeat("r", len(headings)-1)}
	t.row(headings...)
	for _, i := range e.Inks {
		cells := []string{i.Ink, fixed(1, i.SolidM2*1e4), fmt.Sprintf("%.2f-%.2f", i.FilmGM2.Low, i.FilmGM2.High)}
		ranges := []preset.Range{i.Per1000G, i.RunG, i.NeedG}
		if e.TrainG == 0 {
			ranges = ranges[:2]
		}
		for _, r := range ranges {
			cells = append(cells, preset.Grams(r.Low), preset.Grams(r.Usual), preset.Grams(r.High))
		}
		t.row(cells...)
	}
	fmt.Fprintln(w)
	return t.write(w)
}
