package main

import (
	"context"
	"strconv"

	"bladeline/cmd/bladeline/internal/job"

	"github.com/spf13/cobra"
)

func newSeparate() *cobra.Command {
	var (
		pdf     pdfFlags
		folder  string
		dpi     string
		contone bool
		strict  bool
	)
	c := &cobra.Command{
		Use:   "separate JOB.pdf",
		Short: "Make the separations of a PDF or PostScript file, through Ghostscript",
		Long: `separate has Ghostscript draw the pages of a PDF, PostScript or EPS file, and
writes a TIFF for every ink of every page: JOB(Cyan).tif and so on, of a file of
several pages JOB-p2(Cyan).tif. Spot inks keep their names, also where the
system takes them in no file name: what it does not take stands there as %2F,
and the name itself inside the file. Cyan, magenta, yellow and black are written
also where a page has none of them. Separations that are there already are not
overwritten: choose another folder with -o, or move them away.

Without --contone the separations are screened to one bit, as a plate is, with a
screen of 256 tints and 45 degrees, 106 lines an inch at 600 dpi; with it they
are 8 bits a pixel, tints as the file states them. preset and measure take the PDF
itself and read it so, since the plate's own screen changes no coverage and
a coarse one rounds it.

Ghostscript must be installed. Objects that overprint do so as they say. RGB
becomes inks by Ghostscript's own profiles: have the file converted before, by
those that the plates are made with. A page is its whole media box; an EPS its bounding box.
The file can read no other, and one that is locked, damaged or in need of mending is
refused rather than half drawn.

What the platesetter's own workflow does to a job stands in no PDF: see
"From a PDF" in the README.`,
		Example: `  bladeline separate fair.pdf
  bladeline separate fair.pdf -o plates --dpi 1200 --pages 1-2
  bladeline separate fair.pdf --contone && bladeline preset --press two-colour fair\(*.tif`,
		Args: exactly(1, "one PDF"),
		RunE: func(c *cobra.Command, args []string) error {
			dpiX, dpiY, err := parseDPIs(dpi)
			if err != nil {
				return err
			}
			s, err := pdf.separating(dpiX, dpiY)
			if err != nil {
				return err
			}
			if folder == "" {
				return usagef(`-o "": the name of the folder is empty; leave it out for this folder`)
			}
			if err := separate(c, *s, args[0], folder, contone); err != nil {
				return err
			}
			if pdf.show(c) && strict {
				return errWarnings
			}
			return nil
		},
	}
	flags := c.Flags()
	flags.StringVarP(&folder, "output", "o", ".", "write to this `FOLDER`, which is made where it is missing")
	flags.StringVar(&dpi, "dpi", strconv.Itoa(job.SeparationDPI), "resolution of the separations, `N` or XxY")
	flags.BoolVar(&contone, "contone", false, "8 bits a pixel, unscreened")
	flags.BoolVar(&strict, "strict", false, "exit with status 3 if there are warnings")
	pdf.add(c, "the `PAGES` to separate, as 1 or 1-2,5; the default is all")
	return c
}

func separate(c *cobra.Command, s job.Separating, file, folder string, contone bool) error {
	bar := progress(c, "separating")
	var paths []string
	err := interruptible(c, func(ctx context.Context) (err error) {
		paths, err = s.WriteSeparations(ctx, file, folder, contone, func(done float64) { bar.Set(int(100 * done)) })
		return err
	})
	bar.Finish()
	if err != nil {
		return err
	}
	return wrote(c, paths...)
}
