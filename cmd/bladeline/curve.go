package main

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/curves"
	"bladeline/curves/settings"

	"github.com/spf13/cobra"
)

func newCurve() *cobra.Command {
	c := &cobra.Command{
		Use:   "curve",
		Short: "Show, edit and learn the curves that turn coverage into openings",
	}
	c.AddCommand(newCurveShow(), newCurveNew(), newCurveSet(), newCurveRemove(), newCurveScale(), newCurveCheck(),
		newCurveImport(), newCurveExport(), newCurveLearn(), newCurveDensity())
	return c
}

func newCurveShow() *cobra.Command {
	return &cobra.Command{
		Use:   "show CURVE [CURVE]",
		Short: "Show a curve, or two together: a plot, and its openings at its points and at every 10 %",
		Long: `show prints a curve, or two in one plot. CURVE is a file, or the name of one that
ships with bladeline.`,
		Example: `  bladeline curve show coated
  bladeline curve show old.curve.toml new.curve.toml`,
		Args: from(1, 2, "curve"),
		RunE: func(c *cobra.Command, args []string) error {
			all, err := loadCurves(args)
			if err != nil {
				return err
			}
			return writeCurves(c.OutOrStdout(), all)
		},
	}
}

func loadCurves(called []string) ([]*curves.Curve, error) {
	var all []*curves.Curve
	for _, name := range called {
		curve, err := job.LoadCurve(name)
		if err != nil {
			return nil, err
		}
		all = append(all, curve)
	}
	return all, nil
}

// curveMarks draw the first and the second curve of a plot: line and points.
var curveMarks = [][2]rune{{'.', 'o'}, {':', 'x'}}

// writeCurves prints one curve or two.
func writeCurves(w io.Writer, all []*curves.Curve) error {
	var p plot
	for i := len(all) - 1; i >= 0; i-- { // the first on top
		p.curve(all[i], curveMarks[i][0], curveMarks[i][1])
	}
	for i, c := range all {
		if len(all) > 1 {
			fmt.Fprintf(w, "%c%c%c  ", curveMarks[i][0], curveMarks[i][1], curveMarks[i][0])
		}
		describe(w, c)
	}
	fmt.Fprintf(w, "\n%s\n", p.String())
	t := &table{align: "rrr"[:1+len(all)]}
	t.row(append([]string{"coverage %"}, openingHeads[:len(all)]...)...)
	for _, coverage := range rounds(all...) {
		cells := []string{settings.Shortest(coverage)}
		for _, c := range all {
			cells = append(cells, fixed(1, c.At(coverage)))
		}
		t.row(cells...)
	}
	return t.write(w)
}

var openingHeads = []string{"opening %", "of the second %"}

// describe prints a curve's name and what is known of it.
func describe(w io.Writer, c *curves.Curve) {
	fmt.Fprintf(w, "%s\n%s curve through %d points; reference sweep: %s\n", settings.Printable(c.Name), c.Shape, len(c.Points), referenceOf(c))
	if c.Note != "" {
		for line := range strings.SplitSeq(c.Note, "\n") { // a note may run over several
			fmt.Fprintln(w, settings.Printable(strings.TrimSuffix(line, "\r")))
		}
	}
	if l := c.Learned; l != nil {
		edited := ""
		if l.Edited {
			edited = "; changed by hand since"
		}
		fmt.Fprintf(w, "learned from %d readings of %s, from %s on%s\n", l.Readings, counted(len(l.Runs), "job"), settings.Printable(l.From), edited)
	}
}

func counted(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

func referenceOf(c *curves.Curve) string {
	if c.ReferenceSweep > 0 {
		return settings.Shortest(c.ReferenceSweep)
	}
	return "the press's own"
}

// rounds are the coverages of the curves' points and the tens between them.
func rounds(all ...*curves.Curve) []float64 {
	var v []float64
	for coverage := 0.0; coverage <= 100; coverage += 10 {
		v = append(v, coverage)
	}
	for _, c := range all {
		for _, p := range c.Points {
			v = append(v, p.CoveragePct)
		}
	}
	slices.Sort(v)
	return slices.Compact(v)
}
