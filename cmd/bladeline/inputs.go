package main

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/coverage"
	"bladeline/curves/settings"
	"bladeline/zones"

	"github.com/spf13/cobra"
)

// inputFlags are the flags of commands that read separations.
type inputFlags struct {
	leadEdge string
	mirrored bool
	shiftMM  float64
	dpi      string
	inkIs    string
	strict   bool
	lays     layFlags

	pdf *pdfFlags // of commands that take a PDF
}

func (f *inputFlags) add(c *cobra.Command) {
	f.addPlacing(c)
	f.addReading(c)
}

// addPlacing adds those flags alone that say how a raster lies.
func (f *inputFlags) addPlacing(c *cobra.Command) {
	flags := c.Flags()
	flags.StringVar(&f.leadEdge, "lead-edge", "bottom", "`EDGE` of the raster that is its gripper edge (lead edge) and enters the press first: bottom, top, left or right")
	flags.BoolVar(&f.mirrored, "mirrored", false, "the raster is wrong-reading: left and right are swapped")
	decimalVar(flags, &f.shiftMM, "shift", 0, "move the form by `MM` to the right, gripper edge nearest you; negative to the left")
}

// addReading adds those flags alone that say how a raster is read, and what
// to make of doubts.
func (f *inputFlags) addReading(c *cobra.Command) {
	f.addRaster(c)
	c.Flags().BoolVar(&f.strict, "strict", false, "exit with status 3 if there are warnings")
}

// addPDF adds those flags alone that say how a PDF becomes separations: of all its
// pages, or, for one form, of one.
func (f *inputFlags) addPDF(c *cobra.Command, oneForm bool) {
	f.pdf = &pdfFlags{onePage: oneForm}
	pages := "of a PDF, the `PAGES` to measure, as 1 or 1-2,5; the default is all"
	if oneForm {
		pages = "of a PDF of several pages, the `PAGE` that is the form"
	}
	f.pdf.add(c, pages)
}

// addRaster adds those flags alone that say what a raster is.
func (f *inputFlags) addRaster(c *cobra.Command) {
	flags := c.Flags()
	flags.StringVar(&f.dpi, "dpi", "", "resolution of the raster, `N` or XxY, instead of the one it states")
	flags.StringVar(&f.inkIs, "ink-is", "dark", "which `SHADE` of the raster is ink: dark or light")
}

// maxShiftMM is wider than any press.
const maxShiftMM = 10_000

// placement reads the flags that say how the raster lies on the fountain.
func (f *inputFlags) placement() (zones.Placement, error) {
	p := zones.Placement{LeadEdge: zones.Edge(f.leadEdge), Mirrored: f.mirrored, ShiftMM: f.shiftMM}
	switch p.LeadEdge {
	case zones.Bottom, zones.Top, zones.Left, zones.Right:
	default:
		return p, usagef("--lead-edge %s: not an edge; give bottom, top, left or right", f.leadEdge)
	}
	if f.inkIs != "dark" && f.inkIs != "light" {
		return p, usagef("--ink-is %s: not known; give dark or light", f.inkIs)
	}
	if !(math.Abs(f.shiftMM) <= maxShiftMM) {
		return p, usagef("--shift %s: not a distance; give mm, up to %d either way", settings.Plain(f.shiftMM), maxShiftMM)
	}
	dpiX, dpiY, err := parseDPIs(f.dpi)
	if err == nil && !f.lays.used() { // or it is each piece's
		p.DPIX, p.DPIY = dpiX, dpiY
	}
	return p, err
}

// parseDPIs reads N or XxY; no text is 0, not known.
func parseDPIs(s string) (x, y float64, err error) {
	if s == "" {
		return 0, 0, nil
	}
	across, down, both := strings.Cut(s, "x")
	if !both {
		down = across
	}
	if x, err = parseDPI(across); err == nil {
		y, err = parseDPI(down)
	}
	if err != nil {
		return 0, 0, usagef("--dpi %s: not a resolution; give pixels per inch, as 2540 or 2540x1270", s)
	}
	return x, y, nil
}

// maxDPI is far above any platesetter's.
const maxDPI = 100_000

func parseDPI(s string) (float64, error) {
	v, err := strconv.ParseFloat(settings.Pointed(s), 64)
	if err == nil && !(v >= 1 && v <= maxDPI) {
		err = strconv.ErrRange
	}
	return v, err
}

// reading is what the arguments and flags say of the separations.
func (f *inputFlags) reading(args []string) (job.Reading, error) {
	inputs, err := inputsOf(args)
	if err != nil {
		return job.Reading{}, err
	}
	if f.pdf != nil && f.pdf.pages != "" && !slices.ContainsFunc(allPaths(args), mayHavePages) {
		return job.Reading{}, usagef("--pages %s: is of a PDF or PostScript file, and none is named; leave it out", f.pdf.pages)
	}
	return f.readingOf(inputs)
}

// readingOf is what the flags say of these separations.
func (f *inputFlags) readingOf(inputs []coverage.Input) (job.Reading, error) {
	r, err := f.readingNothing()
	if err != nil {
		return r, err
	}
	r.Inputs = inputs
	if !f.lays.used() {
		return r, nil
	}
	dpiX, dpiY, err := parseDPIs(f.dpi)
	if err == nil {
		r.Form, err = f.lays.form(inputs, dpiX, dpiY)
	}
	return r, err
}

// readingNothing is what the flags alone say of separations.
func (f *inputFlags) readingNothing() (job.Reading, error) {
	r := job.Reading{InkIsLight: f.inkIs == "light"}
	if f.pdf == nil {
		return r, nil
	}
	dpiX, dpiY, err := parseDPIs(f.dpi)
	if err == nil {
		r.Separating, err = f.pdf.separating(dpiX, dpiY)
	}
	return r, err
}

// read measures all files.
func (f *inputFlags) read(c *cobra.Command, args []string) (maps []*coverage.Map, err error) {
	r, err := f.reading(args)
	if err != nil {
		return nil, err
	}
	err = watched(c, "reading", r, func(ctx context.Context, r job.Reading) error {
		maps, err = r.Maps(ctx)
		return err
	})
	return maps, err
}

// laid reads separations and lays them on no press.
func (f *inputFlags) laid(c *cobra.Command, args []string, placement zones.Placement) ([]*zones.Form, error) {
	maps, err := f.read(c, args)
	if err != nil {
		return nil, err
	}
	return job.Lay(maps, nil, placement)
}

// warn prints warnings, and is the command's end where --strict makes them
// matter.
func (f *inputFlags) warn(c *cobra.Command, warnings []zones.Warning) error {
	if f.sayWarnings(c, "", warnings) && f.strict {
		return errWarnings
	}
	return nil
}

// sayWarnings prints warnings, of a job where there are several, and tells whether
// there were any.
func (f *inputFlags) sayWarnings(c *cobra.Command, job string, warnings []zones.Warning) (warned bool) {
	warned = f.pdf != nil && f.pdf.show(c)
	for _, w := range warnings {
		text := warningText(w)
		if job != "" {
			text = job + ": " + text
		}
		fmt.Fprintf(c.ErrOrStderr(), "bladeline: warning: %s\n", settings.Printable(text))
	}
	return warned || len(warnings) > 0
}

// warningText is a warning with its ink and zone; without an ink it is about the
// whole form.
func warningText(w zones.Warning) string {
	text := w.Text
	if w.Zone != nil {
		text = fmt.Sprintf("zone %d: %s", *w.Zone, text)
	}
	if w.Ink != "" {
		text = w.Ink + ": " + text
	}
	return text
}
