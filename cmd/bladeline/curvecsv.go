package main

import (
	"io"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/curves"
	"bladeline/zones/preset"

	"github.com/spf13/cobra"
)

func newCurveImport() *cobra.Command {
	var out, name, shape string
	c := &cobra.Command{
		Use:   "import FILE.csv -o FILE.curve.toml",
		Short: "Make a curve's file from a table of points",
		Long: `import reads a CSV of the columns coverage_pct and opening_pct, one row per point,
from any spreadsheet: commas, semicolons or tabs between the cells, decimal
points or, where no comma separates the cells, decimal commas.`,
		Example: "  bladeline curve import hall.csv -o hall.curve.toml",
		Args:    exactly(1, "one table of points"),
		RunE: func(c *cobra.Command, args []string) error {
			if out == "" {
				return usagef("-o is missing; name the curve file to write")
			}
			if shape != string(curves.Smooth) && shape != string(curves.Straight) {
				return usagef("--shape %s: not a shape; give smooth or straight", shape)
			}
			if err := job.ImportCurve(args[0], name, curves.Shape(shape), out); err != nil {
				return err
			}
			return wrote(c, out)
		},
	}
	c.Flags().StringVarP(&out, "output", "o", "", "the `FILE` to write")
	c.Flags().StringVar(&name, "name", "", "`NAME` of the curve; the default is the table's file name")
	c.Flags().StringVar(&shape, "shape", string(curves.Smooth), "`SHAPE` between the points: smooth or straight")
	return c
}

func newCurveExport() *cobra.Command {
	var out string
	c := &cobra.Command{
		Use:   "export CURVE",
		Short: "Write a curve's points as a table for a spreadsheet",
		Long: `export writes the points of a curve as CSV, with the columns coverage_pct and
opening_pct. CURVE is a file, or the name of one that ships with bladeline.`,
		Example: "  bladeline curve export coated -o coated.csv",
		Args:    exactly(1, "one curve"),
		RunE: func(c *cobra.Command, args []string) error {
			if out != "" && job.FormatOf(out) != "csv" && !unformatted(out) {
				return usagef("-o %s: the ending is not known here; use .csv", out)
			}
			curve, err := job.LoadCurve(args[0])
			if err != nil {
				return err
			}
			points := func(w io.Writer) error { return preset.WritePoints(w, curve.Points) }
			if out == "" {
				return points(c.OutOrStdout())
			}
			if err := job.NotAnInput(out, args); err != nil {
				return err
			}
			return job.WriteFiles([]job.File{{Path: out, Write: points}})
		},
	}
	c.Flags().StringVarP(&out, "output", "o", "", "the `FILE` to write, instead of printing")
	return c
}
