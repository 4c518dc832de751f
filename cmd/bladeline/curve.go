package main

import (
	"fmt"
	"io"
	"slices"
	"strconv"

	"bladeline/curves"

	"github.com/spf13/cobra"
)

func newCurve() *cobra.Command {
	c := &cobra.Command{
		Use:   "curve",
		Short: "Look at the curves that turn coverage into openings",
	}
	c.AddCommand(newCurveShow())
	return c
}

func newCurveShow() *cobra.Command {
	return &cobra.Command{
		Use:     "show CURVE",
		Short:   "Show a curve: a plot, and what it gives at its points and at round coverages",
		Long:    "show prints a curve. CURVE is a file, or the name of one that ships with bladeline.",
		Example: "  bladeline curve show coated",
		Args:    just("curve"),
		RunE: func(c *cobra.Command, args []string) error {
			curve, err := loadCurve(args[0])
			if err != nil {
				return err
			}
			return writeCurve(c.OutOrStdout(), curve)
		},
	}
}

func writeCurve(w io.Writer, c *curves.Curve) error {
	reference := "the press's own"
	if c.ReferenceSweep > 0 {
		reference = strconv.FormatFloat(c.ReferenceSweep, 'g', -1, 64)
	}
	fmt.Fprintf(w, "%s\n%s curve through %d points; reference sweep: %s\n", c.Name, c.Shape, len(c.Points), reference)
	if c.Note != "" {
		fmt.Fprintln(w, c.Note)
	}
	fmt.Fprintf(w, "\n%s\n", plotCurve(c))
	t := &table{align: "rr"}
	t.row("coverage %", "opening %")
	for _, coverage := range rounds(c) {
		t.row(strconv.FormatFloat(coverage, 'g', -1, 64), decimal(1, c.At(coverage)))
	}
	return t.write(w)
}

// rounds are the coverages of the curve's points and the tens between them.
func rounds(c *curves.Curve) []float64 {
	var v []float64
	for coverage := 0.0; coverage <= 100; coverage += 10 {
		v = append(v, coverage)
	}
	for _, p := range c.Points {
		v = append(v, p.CoveragePct)
	}
	slices.Sort(v)
	return slices.Compact(v)
}
