package ink_test

import (
	"fmt"
	"math"

	"bladeline/curves/ink"
)

// Solids of known film, in g/m², and the density measured of each.
func ExampleFitDensity() {
	fit, err := ink.FitDensity([]ink.FilmDensity{{Film: 0.6, Density: 0.82}, {Film: 0.9, Density: 1.06}, {Film: 1.2, Density: 1.24}, {Film: 1.6, Density: 1.39}})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("no film is denser than %.2f; 1.0 g/m² has %.2f\n", fit.Limit, fit.At(1))
	fmt.Printf("from 1.10 to 1.20 takes %.2f times the film\n", ink.FilmRatio(1.10, 1.20, fit.Limit))
	// Output:
	// no film is denser than 1.66; 1.0 g/m² has 1.13
	// from 1.10 to 1.20 takes 1.18 times the film
}

// Densities measured over four keys; the third was not measured.
func ExampleCorrect() {
	corrections, err := ink.Correct([]float64{20, 30, 40, 50}, []float64{1.20, 1.05, math.NaN(), 1.40}, ink.CorrectOptions{Target: 1.20, Limit: 1.70})
	if err != nil {
		fmt.Println(err)
		return
	}
	for i, c := range corrections {
		fmt.Printf("zone %d: open %.1f %%, note %q\n", i+1, c.OpeningPct, c.Note)
	}
	// Output:
	// zone 1: open 20.0 %, note ""
	// zone 2: open 34.1 %, note ""
	// zone 3: open 40.0 %, note "not measured"
	// zone 4: open 42.6 %, note ""
}

// The black of 5000 sheets of which 0.12 m² each are solid.
func ExampleGrams() {
	film := ink.EstimatedFilm("Black", 1.05, 0)
	fmt.Printf("%.0f g, between %.0f and %.0f\n", ink.Grams(film.UsualGM2, 0.12, 5000), ink.Grams(film.LowGM2, 0.12, 5000), ink.Grams(film.HighGM2, 0.12, 5000))
	// Output:
	// 630 g, between 441 and 1125
}
