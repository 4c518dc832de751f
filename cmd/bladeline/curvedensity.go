package main

import (
	"fmt"
	"io"
	"math"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/curves/ink"
	"bladeline/curves/settings"
	"bladeline/zones/preset"

	"github.com/spf13/cobra"
)

func newCurveDensity() *cobra.Command {
	return &cobra.Command{
		Use:   "density DATA.csv",
		Short: "Find how an ink's density grows with its film, from measured solids",
		Long: `density finds the limit and the rate of an ink's density,

  D = limit x (1 - exp(-rate x film)),

after Tollenaar and Ernst, by least squares in density. DATA.csv has the columns
film_um,density or film_g_m2,density, one row per solid, the densities of the ink
alone: zero the densitometer on the bare paper. At least two distinct films are
needed, better five, from thin to so thick that density hardly grows any more.

What it finds goes into the press's file, under the ink. +- is one standard
error: two times in three the true value lies within it.`,
		Example: "  bladeline curve density black-solids.csv",
		Args:    exactly(1, "one table of films and densities"),
		RunE: func(c *cobra.Command, args []string) error {
			var pairs []ink.FilmDensity
			var unit preset.FilmUnit
			err := job.ReadFile(args[0], func(r io.Reader) (err error) {
				pairs, unit, err = preset.ReadFilms(args[0], r)
				return err
			})
			if err != nil {
				return err
			}
			fit, err := ink.FitDensity(pairs)
			if err != nil {
				return fmt.Errorf("%s: %w", args[0], err)
			}
			return writeDensityFit(c.OutOrStdout(), fit, pairs, unit)
		},
	}
}

func writeDensityFit(w io.Writer, fit *ink.DensityFit, pairs []ink.FilmDensity, unit preset.FilmUnit) error {
	t := &table{align: "lrl"}
	t.row("density_limit", fixed(3, fit.Limit), sureness(fit.LimitError))
	if unit == preset.Micrometre {
		t.row("density_rate_per_um", fixed(4, fit.Rate), sureness(fit.RateError))
	} else {
		t.row("rate per g/m2", fixed(4, fit.Rate), sureness(fit.RateError))
	}
	if err := t.write(w); err != nil {
		return err
	}
	if unit == preset.GramPerSquareM {
		fmt.Fprintln(w, "Times the ink's specific_gravity the rate is density_rate_per_um.")
	}
	fmt.Fprintf(w, "%d solids lie %.4f off the law (root mean square)\n\n", fit.Pairs, fit.RMS)
	t = &table{align: "rrrr"}
	t.row("film "+string(unit), "density", "by the law", "off")
	for _, p := range pairs {
		t.row(settings.Shortest(p.Film), fixed(3, p.Density), fixed(3, fit.At(p.Film)), fmt.Sprintf("%+.3f", p.Density-fit.At(p.Film)))
	}
	return t.write(w)
}

// sureness is a standard error.
func sureness(v float64) string {
	if math.IsNaN(v) {
		return "from only two solids: its error is not known"
	}
	return fmt.Sprintf("+- %.2g", v)
}
