package main

import (
	"fmt"
	"io"
	"strings"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/curves/settings"
	"bladeline/zones/preset/rollerchart"
	"bladeline/zones/sheet"

	"github.com/spf13/cobra"
)

// rollerFlags are the flags of press rollers alone.
type rollerFlags struct {
	worksheet bool
	measured  string
	size      string
}

func newPressRollers() *cobra.Command {
	var (
		out outputFlags
		how rollerFlags
	)
	c := &cobra.Command{
		Use:   "rollers PRESS",
		Short: "Chart a press's rollers, and hold measured ones against it",
		Long: `rollers shows the roller train that a press's file describes: every roller with its
surface, movement, diameter, circumference and stripe; where its marks come back
along plate and sheet, a circumference further on each time; and, in a PDF or SVG,
the side view to scale. PRESS is a file, or a name that press list shows.

What lies on a sheet again and again, so many mm apart, comes from the roller whose
circumference that is. A plate with lines at these places shows which.

--worksheet draws the same with boxes to be filled in with a caliper, and the
answers on a page of their own; as .csv, a row for every roller and for every stripe
of one. Fill the cells in, in any spreadsheet, and give the file to --measured: it
says which stripes are not 3 to 5 mm wide, even and parallel, which rollers have
swollen ends, a crown or a taper, which run out, and what to do. These bounds are
common practice; those of the press's manual come before them. left and right are
as in bench view, the pulled sheet face up, gripper edge (lead edge) nearest you.

An SVG is one page: each gets a file of its own, FILE-PART.svg.

` + rollerCaution,
		Example: `  bladeline press rollers duplicator
  bladeline press rollers two-colour -o rollers.pdf
  bladeline press rollers two-colour --worksheet -o measure.pdf -o measured.csv
  bladeline press rollers two-colour --measured measured.csv`,
		Args: exactly(1, "one press"),
		RunE: func(c *cobra.Command, args []string) error { return chartRollers(c, args[0], &out, &how) },
	}
	flags := c.Flags()
	flags.BoolVar(&how.worksheet, "worksheet", false, "boxes to fill in with a caliper, the answers on a page of their own")
	flags.StringVar(&how.measured, "measured", "", "hold the rollers that were measured in `FILE.csv` against the chart")
	addPageSize(c, &how.size, "the chart's pages")
	out.add(c, ".csv, .json, .pdf or .svg")
	return c
}

// rollerCaution is what stands in the help; the chart has its own.
const rollerCaution = `Caution: nothing is measured, set or touched on a moving press: nips catch hands and
cloths. Stop it and make it safe as its manual and local rules say. The stripes and
limits of the press's manual, and staff trained on it, come first.`

func chartRollers(c *cobra.Command, called string, out *outputFlags, how *rollerFlags) error {
	if err := how.check(called, out); err != nil {
		return err
	}
	chart, err := job.RollerChart(called, how.measured)
	if err != nil {
		return err
	}
	formats := map[string]format{
		"table": func(w io.Writer) error { return writeRollers(w, chart) },
		"csv":   chart.WriteCSV,
		"json":  chart.WriteJSON,
	}
	if how.worksheet {
		formats = map[string]format{"csv": chart.WriteWorksheet}
	}
	return out.writeSheets(c, formats, func(path string) ([]job.File, error) {
		return job.RollerFiles(path, chart, sheet.RollerOptions{PageSize: sheet.PageSize(how.size), Worksheet: how.worksheet})
	})
}

// check refuses wrong flags before anything is read.
func (how *rollerFlags) check(called string, out *outputFlags) error {
	if err := checkPageSize(how.size); err != nil {
		return err
	}
	inputs := []string{called}
	if how.measured != "" {
		inputs = append(inputs, how.measured)
	}
	if !how.worksheet {
		return out.check([]string{"csv", "json", "pdf", "svg"}, inputs)
	}
	switch {
	case how.measured != "":
		return usagef("--worksheet --measured: one is for measuring, the other for what was measured; leave one out")
	case out.format != "" && out.format != "csv", out.format == "" && len(out.files) == 0:
		return usagef("--worksheet is paper, or a table to fill in; name it with -o, as measure.pdf or measured.csv")
	}
	if err := out.check([]string{"csv", "pdf", "svg"}, inputs); err != nil {
		return err
	}
	for _, path := range out.files {
		if job.FormatOf(path) != "csv" {
			continue
		}
		if err := job.KeepsWorksheet(path); err != nil {
			return err
		}
	}
	return nil
}

// writeRollers prints the chart, where marks come back, and what was found.
func writeRollers(w io.Writer, c *rollerchart.Chart) error {
	fmt.Fprintf(w, "%s: plate %s mm, image %s mm\n\n", settings.Printable(c.Press), settings.Plain(c.PlateMM), settings.Plain(c.ImageMM))
	t := &table{align: "lllrrrll"}
	t.row("roller", "kind", "surface", "mm", "round, mm", "stripe, mm", "turns", "touches")
	for i := range c.Rollers {
		r := &c.Rollers[i]
		surface, stripe := "", ""
		if r.Surface != nil {
			surface = *r.Surface
		}
		if r.StripeMM != nil {
			stripe = settings.Plain(*r.StripeMM)
		}
		t.row(r.Name, r.Kind, surface, settings.Plain(r.DiameterMM), fixed(1, r.CircumferenceMM), stripe, r.Movement(), strings.Join(r.Touches, ", "))
	}
	if err := t.write(w); err != nil {
		return err
	}
	if err := writeMarks(w, c); err != nil {
		return err
	}
	if doubt := c.Doubt(); doubt != "" {
		fmt.Fprintf(w, "\n%s\n", folded(sentence(doubt)))
	}
	if c.Measured {
		writeMeasured(w, c)
	}
	fmt.Fprintf(w, "\n%s\n", rollerchart.Caution)
	return nil
}

// writeMarks prints where the marks of each roller come back.
func writeMarks(w io.Writer, c *rollerchart.Chart) error {
	fmt.Fprintln(w, "\nmarks come back on plate and sheet, mm from the first:")
	t := &table{align: "lrl"}
	t.row("roller", "every", "at")
	for i := range c.Rollers {
		r := &c.Rollers[i]
		if r.Kind == rollerchart.Ductor {
			continue
		}
		var places []string
		for _, mm := range r.RepeatsMM {
			places = append(places, fixed(1, mm))
		}
		if len(places) == 0 {
			places = []string{"not within the image"}
		}
		t.row(r.Name, fixed(1, r.CircumferenceMM), strings.Join(places, ", "))
	}
	return t.write(w)
}

func writeMeasured(w io.Writer, c *rollerchart.Chart) {
	fmt.Fprintln(w, "\nmeasured:")
	for _, f := range c.Findings {
		fmt.Fprintf(w, "%s; %s\n", settings.Printable(f.Text), f.Do)
	}
	if len(c.Findings) == 0 {
		fmt.Fprintln(w, "all is as it should be, as far as common practice has it")
	}
}
