package main

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/zones"
	"bladeline/zones/preset"
	"bladeline/zones/press"
	"bladeline/zones/sheet"

	"github.com/spf13/cobra"
)

// sheetFlags are the flags of sheet alone.
type sheetFlags struct {
	paper, press string
	inks         []string
	copies       int
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

A PDF has a page per ink. An SVG is one page: with several inks, each gets a file
of its own, FILE-INK.svg.

The picture of the form is drawn from the separations that the preset names,
where they are still there, in the folder they were in or beside the preset.
They are laid on the fountain as the preset states, or as flags say instead. A
CSV names no separations, and its sheet has no picture. Nor does it state how
the blade is made: name the --press.

What the preset warns of stands on the sheet. --strict is about what sheet itself
warns of: a picture that it had to leave out. Letters that the sheet's font lacks
are drawn as empty boxes.

` + cautions,
		Example: `  bladeline sheet job.json -o job.pdf
  bladeline sheet job.json --press duplicator --paper letter -o job.svg`,
		Args: exactly(1, "one preset"),
		RunE: func(c *cobra.Command, args []string) error { return drawSheet(c, args[0], &in, &out, &how) },
	}
	flags := c.Flags()
	flags.StringVar(&how.paper, "paper", string(sheet.A4), "`SIZE` of the paper: a4 or letter")
	flags.IntVar(&how.copies, "copies", 0, "write how much ink `N` sheets take, as estimate reckons it")
	flags.StringVar(&how.press, "press", "", "the `PRESS` that the preset is for, whose blade and [inks] are taken: a file, or a name that press list shows")
	flags.StringArrayVar(&how.inks, "ink", nil, "draw this `INK` alone; may be repeated")
	flags.StringArrayVarP(&out.files, "output", "o", nil, "write to `FILE`, as its ending says: .pdf or .svg; may be repeated")
	in.add(c)
	return c
}

func drawSheet(c *cobra.Command, path string, in *inputFlags, out *outputFlags, how *sheetFlags) error {
	if len(out.files) == 0 {
		return usagef("-o is missing; name a file that ends in .pdf or .svg")
	}
	if err := out.check([]string{"pdf", "svg"}, []string{path}); err != nil {
		return err
	}
	if err := checkPaper(how.paper); err != nil {
		return err
	}
	if err := checkSheetCopies(how.copies); err != nil {
		return err
	}
	placement, err := in.placement()
	if err != nil {
		return err
	}
	p, err := job.LoadPreset(path)
	if err != nil {
		return err
	}
	if err := only(p, path, how.inks); err != nil {
		return err
	}
	lies := &placement
	if !in.placed(c) {
		lies = p.Placement.Placement()
	}
	press, err := pressOf(how.press, p, path)
	if err != nil {
		return err
	}
	o := sheet.Options{Paper: sheet.Paper(how.paper)}
	if o.Inks, err = job.InkLines(p, path, press, how.copies); err != nil {
		return err
	}
	var warnings []zones.Warning
	if o.Forms, warnings, err = in.forms(c, p, path, lies); err != nil {
		return err
	}
	pages, err := sheet.Pages(p, o)
	if err != nil {
		return fmt.Errorf("%s: %w", path, err)
	}
	var files []job.File
	for _, name := range out.files {
		files = append(files, job.SheetFiles(name, p, pages)...)
	}
	if err := job.WriteFiles(files); err != nil {
		return err
	}
	return in.warn(c, warnings)
}

// placed tells whether the command line says how the raster lies.
func (f *inputFlags) placed(c *cobra.Command) bool {
	return slices.ContainsFunc([]string{"lead-edge", "mirrored", "shift", "dpi"}, c.Flags().Changed)
}

func checkPaper(paper string) error {
	if paper != string(sheet.A4) && paper != string(sheet.Letter) {
		return usagef("--paper %s: not known; give a4 or letter", paper)
	}
	return nil
}

// checkSheetCopies refuses what is no number of copies; 0 asks for no estimate.
func checkSheetCopies(copies int) error {
	if copies < 0 || copies > maxCopies {
		return usagef("--copies %d: not a number of sheets; give at most %d", copies, maxCopies)
	}
	return nil
}

// only leaves the units of some inks in a preset; of all where none is named.
func only(p *preset.Preset, path string, inks []string) error {
	if len(inks) == 0 {
		return nil
	}
	var known []string
	for _, u := range p.Units {
		known = append(known, u.Ink)
	}
	for _, ink := range inks {
		if p.Unit(ink) == nil {
			return fmt.Errorf("%s: has no ink %s; name one of these: %s", path, ink, strings.Join(known, ", "))
		}
	}
	p.Units = slices.DeleteFunc(p.Units, func(u preset.Unit) bool {
		return !slices.ContainsFunc(inks, func(ink string) bool { return strings.EqualFold(ink, u.Ink) })
	})
	return nil
}

// pressOf is the press that is named, nil where none is. A preset that does not
// state its blade gets that of the press.
func pressOf(called string, p *preset.Preset, path string) (*press.Press, error) {
	if called == "" {
		return nil, nil
	}
	press, _, err := job.LoadPress(called)
	if err != nil {
		return nil, err
	}
	if err := p.IsFor(press, path); err != nil {
		return nil, err
	}
	if p.Press.Blade == nil {
		p.Press.Blade = &press.Fountain.Blade
	}
	return press, nil
}

// forms reads the separations of a preset again. Of what cannot be shown a
// warning says why, and its sheet has no picture.
func (f *inputFlags) forms(c *cobra.Command, p *preset.Preset, path string, lies *zones.Placement) (map[string]*zones.Form, []zones.Warning, error) {
	var pictures []job.Picture
	err := watched(c, job.Reading{InkIsLight: f.inkIs == "light"}, func(ctx context.Context, r job.Reading) (err error) {
		pictures, err = r.Pictures(ctx, p, path, lies)
		return err
	})
	forms := map[string]*zones.Form{}
	var warnings []zones.Warning
	for _, picture := range pictures {
		if picture.Err == nil {
			forms[picture.Ink] = picture.Form
			continue
		}
		text := "the sheet has no picture of the form: " + cured(picture.Err).Error()
		warnings = append(warnings, zones.Warning{Ink: picture.Ink, Code: "picture", Text: text})
	}
	return forms, warnings, err
}
