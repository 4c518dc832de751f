package main

import (
	"fmt"
	"io"

	"bladeline/cmd/bladeline/internal/ghostscript"
	"bladeline/cmd/bladeline/internal/job"
	"bladeline/coverage"
	"bladeline/zones/preset"
	"bladeline/zones/press"

	"github.com/spf13/cobra"
)

func newMeasure() *cobra.Command {
	var (
		in       inputFlags
		out      outputFlags
		inZones  int
		pressArg string
	)
	c := &cobra.Command{
		Use:   "measure [INK=]FILE...",
		Short: "Measure how much of each separation, and of each zone, is covered",
		Long: `measure reads separations and prints the share of each that carries ink, over
the whole raster and, with --zones or --press, in every ink-key zone.

With --zones N the raster's width is cut into N equal zones, which needs no
resolution. With --press the raster is laid on that press's fountain, its
centre on the fountain's centre. Left and right are the pulled sheet's: face up,
gripper edge (lead edge) nearest you.

A PDF or PostScript file is separated first, through Ghostscript, unscreened, at
--dpi (600 where none is given); bladeline separate --help says how.

Several inks in one file are named in their order: INK,INK=FILE.

A form file (.form.toml) lays several pieces on one sheet; bladeline form --help says
how. For the commonest forms --at and --repeat do.

-o job.cover saves what was measured; it can be used later in place of the
separations, and is read in no time.`,
		Example: `  bladeline measure job_C.tif job_M.tif job_Y.tif job_K.tif
  bladeline measure --zones 21 "Harbour Red=spot.tif"
  bladeline measure --zones 21 --repeat 5x2+2 card_*.tif
  bladeline measure --zones 21 --pages 1 job.pdf
  bladeline measure --press two-colour -o job.cover -o job.csv job_*.tif`,
		Args: files,
		RunE: matched(func(c *cobra.Command, args []string) error {
			return measure(c, args, &in, &out, inZones, pressArg)
		}),
	}
	in.add(c)
	in.lays.add(c)
	in.addPDF(c, false)
	out.add(c, ".csv, .json or .cover")
	wholeVar(c.Flags(), &inZones, "zones", 0, "cut the raster's width into `N` equal zones")
	c.Flags().StringVar(&pressArg, "press", "", "the zones of this `PRESS`: a file, or a name that press list shows")
	return c
}

func measure(c *cobra.Command, args []string, in *inputFlags, out *outputFlags, inZones int, pressArg string) error {
	placement, err := in.placement()
	if err != nil {
		return err
	}
	if err := out.check([]string{"csv", "json", "cover"}, allPaths(args)); err != nil {
		return err
	}
	byZones, byPress := c.Flags().Changed("zones"), c.Flags().Changed("press")
	switch {
	case byZones && byPress:
		return usagef("--zones and --press: both define the zones; leave one out")
	case byZones && inZones < 1:
		return usagef("--zones %d: not a number of zones; give the number of keys", inZones)
	}
	var press *press.Press
	if byPress {
		if press, _, err = job.LoadPress(pressArg); err != nil {
			return err
		}
	}
	maps, err := in.read(c, args)
	if err != nil {
		return err
	}
	report, err := job.Report(maps, press, inZones, placement)
	if err != nil {
		return err
	}
	cureWarnings(report.Warnings)
	formats := map[string]format{
		"table": func(w io.Writer) error { return writeReport(w, report) },
		"csv":   report.WriteCSV,
		"json":  report.WriteJSON,
		"cover": func(w io.Writer) error { return coverage.Save(w, maps) },
	}
	if err := out.write(c, formats); err != nil {
		return err
	}
	return in.warn(c, report.Warnings)
}

// writeReport prints the separations and below them their zones side by side.
func writeReport(w io.Writer, r *preset.Report) error {
	head := &table{align: "lrrrrl"}
	head.row("ink", "coverage %", "mm", "px", "dpi", "file")
	for _, s := range r.Separations {
		head.row(s.Ink, fixed(2, s.CoveragePct),
			orUnknown(1, s.WidthMM)+" x "+orUnknown(1, s.HeightMM),
			pixels(s.WidthPX)+" x "+pixels(s.HeightPX),
			orUnknown(0, s.DPIX), s.File+pageOf(s))
	}
	if err := head.write(w); err != nil {
		return err
	}
	if len(r.Separations[0].Zones) == 0 {
		return nil
	}
	fmt.Fprintln(w, "\ncoverage of each zone, %")
	return zoneTable(r.Separations).write(w)
}

// pixels are those of a raster's side; a form of several pieces has none.
func pixels(n *int) string {
	if n == nil {
		return "-"
	}
	return fmt.Sprint(*n)
}

// pageOf names the page of a PDF beside its name, where it is not the first.
func pageOf(s preset.Separation) string {
	if s.Page == 1 || !ghostscript.IsJob(s.File) {
		return ""
	}
	return fmt.Sprintf(", page %d", s.Page)
}

func zoneTable(separations []preset.Separation) *table {
	t := &table{align: "rr"}
	heading := []string{"zone", "mm"}
	for _, s := range separations {
		t.align += "r"
		heading = append(heading, s.Ink)
	}
	t.row(heading...)
	for i, z := range separations[0].Zones {
		cells := []string{fmt.Sprint(z.Zone), orUnknown(1, z.LeftMM) + "-" + orUnknown(1, z.RightMM)}
		for _, s := range separations {
			cells = append(cells, fixed(2, s.Zones[i].CoveragePct))
		}
		t.row(cells...)
	}
	return t
}
