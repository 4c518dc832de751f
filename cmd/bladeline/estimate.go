package main

import (
	"fmt"
	"io"
	"slices"
	"strconv"

	"bladeline/coverage"
	"bladeline/curves"
	"bladeline/zones"

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
		Long: `estimate reckons the ink of a run: g = g/m2 of film x m2 of solid x copies. It is
an estimate; paper, ink and colour decide.

The solid is a separation's area times its coverage, over the whole raster. Of a
preset it is the sum of coverage x width x reference length over the zones. A
CSV does not state that length: name the --press, whose print_length_mm it is,
or say --length where that press takes each form's own.

low is the least film of ISO 2846-1, 0.7 um. usual is the film that is stated, by
a flag or under [inks] in the press's file, or 1 um. high is the trade's rule of
a pound to 375,000 square inches, 1.87 g/m2, or the most of ISO 2846-1, 1.1 um
and for black 1.3 um, where that is more; inks that are not of the standard are
taken as cyan. A film that is stated beyond these widens them. Uncoated paper takes
more, by another rule of the trade 3.4 g/m2: state it. The specific
gravity is 1 g/cm3 where nothing is stated.`,
		Example: `  bladeline estimate --copies 5000 job_*.tif
  bladeline estimate --copies 5000 --press two-colour --film-um Black=1.2 job.json`,
		Args: files,
		RunE: func(c *cobra.Command, args []string) error { return estimate(c, args, &in, &out, &how) },
	}
	flags := c.Flags()
	flags.IntVar(&how.copies, "copies", 0, "`N` sheets that are printed")
	flags.StringVar(&how.press, "press", "", "the `PRESS` whose [inks] and print length are taken: a file, or a name that press list shows")
	flags.Float64Var(&how.lengthMM, "length", 0, "the length in `MM` that a preset's coverages refer to, where it states none")
	flags.StringArrayVar(&how.filmUM, "film-um", nil, "`[INK=]UM`: film of a solid on the sheet, in um; may be repeated")
	flags.StringArrayVar(&how.filmGM2, "film-g", nil, "`[INK=]G`: the same in g/m2; may be repeated")
	flags.StringArrayVar(&how.gravity, "gravity", nil, "`[INK=]G`: specific gravity of the ink, in g/cm3; may be repeated")
	flags.Float64Var(&how.trainG, "train", 0, "add `GRAMS` of each ink that fountain and rollers must hold")
	in.addReading(c)
	out.add(c, ".csv or .json")
	return c
}

func estimate(c *cobra.Command, args []string, in *inputFlags, out *outputFlags, how *estimateFlags) error {
	if err := how.check(); err != nil {
		return err
	}
	placement, err := in.placement()
	if err != nil {
		return err
	}
	if err := out.check([]string{"csv", "json"}, paths(args)); err != nil {
		return err
	}
	var press *zones.Press
	if c.Flags().Changed("press") {
		if press, _, err = loadPress(how.press); err != nil {
			return err
		}
	}
	if err := how.idle(c, args); err != nil {
		return err
	}
	var maps []*coverage.Map
	var inks []zones.InkInput
	if slices.ContainsFunc(args, isPreset) {
		inks, err = how.fromPreset(args, press)
	} else if maps, err = in.read(c, args); err == nil {
		inks, err = fromSeparations(maps, placement)
	}
	if err == nil {
		err = how.films(inks, press)
	}
	if err != nil {
		return err
	}
	e := zones.NewEstimate(how.copies, how.trainG, inks)
	for _, m := range maps {
		e.AddSeparation(m)
	}
	cureWarnings(e.Warnings)
	if err := out.write(c, map[string]form{"table": func(w io.Writer) error { return writeEstimate(w, e) }, "csv": e.WriteCSV, "json": e.WriteJSON}); err != nil {
		return err
	}
	return in.warn(c, e.Warnings)
}

// maxCopies and maxTrainG are more than any run takes.
const (
	maxCopies   = 1_000_000_000
	maxTrainG   = 1e6
	maxLengthMM = 10_000
)

func (how *estimateFlags) check() error {
	switch {
	case how.copies == 0:
		return usagef("--copies is missing; say how many sheets are printed")
	case how.copies < 1 || how.copies > maxCopies:
		return usagef("--copies %d: is no number of sheets; say how many are printed, 1 to %d", how.copies, maxCopies)
	case !(how.trainG >= 0 && how.trainG <= maxTrainG):
		return usagef("--train %s: is no mass of ink; say grams, up to %s", curves.Plain(how.trainG), curves.Plain(maxTrainG))
	case !(how.lengthMM >= 0 && how.lengthMM <= maxLengthMM):
		return usagef("--length %s: is no length of a print; say mm, up to %d", curves.Plain(how.lengthMM), maxLengthMM)
	}
	return nil
}

// idle refuses flags that would change nothing.
func (how *estimateFlags) idle(c *cobra.Command, args []string) error {
	if !slices.ContainsFunc(args, isPreset) {
		if c.Flags().Changed("length") {
			return usagef("--length: is for a preset that states no length; of separations, say --dpi")
		}
		return nil
	}
	for _, flag := range []string{"dpi", "ink-is"} {
		if c.Flags().Changed(flag) {
			return usagef("--%s: a preset is measured already; leave it out, or name the separations", flag)
		}
	}
	return nil
}

// isPreset tells presets from separations, by the file's ending.
func isPreset(arg string) bool { return formOf(arg) == "json" || formOf(arg) == "csv" }

func fromSeparations(maps []*coverage.Map, p zones.Placement) ([]zones.InkInput, error) {
	if err := zones.Distinct(maps); err != nil {
		return nil, err
	}
	var inks []zones.InkInput
	for _, m := range maps {
		solid, err := zones.SolidM2(m, p)
		if err != nil {
			return nil, err
		}
		inks = append(inks, zones.InkInput{Ink: m.Ink, File: m.File, SolidM2: solid})
	}
	return inks, nil
}

func (how *estimateFlags) fromPreset(args []string, press *zones.Press) ([]zones.InkInput, error) {
	if len(args) > 1 {
		return nil, usagef("%s: one preset is taken, and nothing beside it; name it alone, or the separations", args[slices.IndexFunc(args, isPreset)])
	}
	file := args[0]
	p, err := loadPreset(file)
	if err != nil {
		return nil, err
	}
	if press != nil {
		if err := press.IsOf(zones.Compared{File: file, Preset: p}); err != nil {
			return nil, err
		}
	}
	if how.lengthMM > 0 && !slices.ContainsFunc(p.Units, func(u zones.Unit) bool { return u.LengthMM == nil }) {
		return nil, usagef("--length %s: %s states the length that its coverages refer to; leave it out", curves.Plain(how.lengthMM), file)
	}
	return presetInks(p, file, press, how.lengthMM)
}

// presetInks are the inks of a preset. Where it states no length that its
// coverages refer to, lengthMM says it, or the press.
func presetInks(p *zones.Preset, file string, press *zones.Press, lengthMM float64) ([]zones.InkInput, error) {
	if lengthMM == 0 && press != nil {
		lengthMM = press.PrintLengthMM
	}
	var inks []zones.InkInput
	for i := range p.Units {
		u := &p.Units[i]
		solid, err := u.SolidM2(file, lengthMM)
		if err != nil {
			return nil, err
		}
		inks = append(inks, zones.InkInput{Ink: u.Ink, File: file, SolidM2: solid})
	}
	return inks, nil
}

// films fills what is known of the inks: from flags, else from the press.
func (how *estimateFlags) films(inks []zones.InkInput, press *zones.Press) error {
	var names []string
	for _, i := range inks {
		names = append(names, i.Ink)
	}
	um, err := perInk("--film-um", how.filmUM, names)
	if err != nil {
		return err
	}
	gM2, err := perInk("--film-g", how.filmGM2, names)
	if err != nil {
		return err
	}
	gravity, err := perInk("--gravity", how.gravity, names)
	if err != nil {
		return err
	}
	for i := range inks {
		if err := fillInk(&inks[i], um, gM2, gravity, press); err != nil {
			return err
		}
	}
	return nil
}

func fillInk(in *zones.InkInput, um, gM2, gravity map[string]string, press *zones.Press) error {
	var known zones.Ink
	if press != nil {
		known, _ = press.Ink(in.Ink)
	}
	if forInk(in.Ink, um) != "" && forInk(in.Ink, gM2) != "" {
		return usagef("--film-um and --film-g: both say how thick the film of %s is; leave one out", in.Ink)
	}
	filmUM, err := inkNumber("--film-um", in.Ink, um, known.FilmUM, 100)
	if err != nil {
		return err
	}
	in.SpecificGravity, err = inkNumber("--gravity", in.Ink, gravity, known.SpecificGravity, 20)
	if err != nil {
		return err
	}
	if in.SpecificGravity == 0 {
		in.SpecificGravity = zones.AssumedGravity
	}
	in.FilmGM2, err = inkNumber("--film-g", in.Ink, gM2, curves.FilmGM2(filmUM, in.SpecificGravity), 100)
	return err
}

// inkNumber is what a flag says of an ink; where it says nothing, what is
// known.
func inkNumber(flag, ink string, byInk map[string]string, known, most float64) (float64, error) {
	text := forInk(ink, byInk)
	if text == "" {
		return known, nil
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || !(v > 0 && v <= most) {
		return 0, usagef("%s %s: is not what an ink has; say a number above 0, up to %s", flag, text, curves.Plain(most))
	}
	return v, nil
}

// writeEstimate prints a table, a row an ink.
func writeEstimate(w io.Writer, e *zones.Estimate) error {
	fmt.Fprintf(w, "An estimate of the ink for %d copies, in g. low: the least film of ISO 2846-1;\nusual: the film stated, or 1 um; high: the trade's pound to 375,000 square inches;\na film stated beyond these widens them.\n", e.Copies)
	if e.TrainG > 0 {
		fmt.Fprintf(w, "needed: the run, and %s g of each ink in fountain and rollers.\n", grams(e.TrainG))
	}
	t := &table{align: "lrrrrrrrrrr"}
	headings := []string{"ink", "solid cm2", "film g/m2", "1,000: low", "usual", "high", "run: low", "usual", "high"}
	if e.TrainG > 0 {
		t.align += "rrr"
		headings = append(headings, "needed: low", "usual", "high")
	}
	t.align = t.align[:len(headings)]
	t.row(headings...)
	for _, i := range e.Inks {
		cells := []string{i.Ink, decimal(1, i.SolidM2*1e4), fmt.Sprintf("%.2f-%.2f", i.FilmGM2.Low, i.FilmGM2.High)}
		ranges := []zones.Range{i.Per1000G, i.RunG, i.NeedG}
		if e.TrainG == 0 {
			ranges = ranges[:2]
		}
		for _, r := range ranges {
			cells = append(cells, grams(r.Low), grams(r.Usual), grams(r.High))
		}
		t.row(cells...)
	}
	fmt.Fprintln(w)
	return t.write(w)
}

// grams prints no more digits than an estimate is worth.
func grams(g float64) string {
	switch {
	case g < 10:
		return decimal(2, g)
	case g < 100:
		return decimal(1, g)
	}
	return decimal(0, g)
}

// inkLines are what a key sheet says of the ink for a run, by ink.
func inkLines(p *zones.Preset, file string, press *zones.Press, copies int) (map[string][]string, error) {
	if copies == 0 {
		return nil, nil
	}
	inks, err := presetInks(p, file, press, 0)
	if err == nil {
		err = new(estimateFlags).films(inks, press)
	}
	if err != nil {
		return nil, err
	}
	lines := map[string][]string{}
	for _, i := range zones.NewEstimate(copies, 0, inks).Inks {
		lines[i.Ink] = []string{
			fmt.Sprintf("%s g for %d sheets (%s to %s g)", grams(i.RunG.Usual), copies, grams(i.RunG.Low), grams(i.RunG.High)),
			fmt.Sprintf("%s g for each further 1000", grams(i.Per1000G.Usual)),
		}
	}
	return lines, nil
}
