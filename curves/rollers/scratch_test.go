package rollers

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"
	"time"
)

func TestScratchSolve(t *testing.T) {
	for name, train := range map[string]Train{"sheetfed": sheetfed(), "dup": duplicator()} {
		train.Turns = 4
		f := wide
		if name == "dup" {
			f = narrow
		}
		m := model(t, train, f, Fine)
		r := rand.New(rand.NewPCG(1, 2))
		for try := range 4 {
			cover := make([]float64, f.Zones)
			for i := range cover {
				cover[i] = r.Float64() * 0.6
				if try == 1 {
					cover[i] = 0.05
				}
				if try == 2 && i < 3 {
					cover[i] = 0
				}
				if try == 3 {
					cover[i] = []float64{0.05, 0.4}[i%2]
				}
			}
			if try == 1 {
				cover[f.Zones/2] = 0.6
			}
			now := time.Now()
			sol, err := m.Solve(context.Background(), EvenForm(cover...), Wanted{FilmUM: repeat(1, f.Zones), FloorPct: repeat(0, f.Zones), CeilingPct: repeat(100, f.Zones)})
			if err != nil {
				t.Fatal(err)
			}
			fmt.Println(name, time.Since(now))
			for z := range cover {
				fmt.Printf("%.2f: %.1f/%.1f %.2f  ", cover[z], sol.LinePct[z], sol.Setting.OpeningPct[z], sol.DeviationPct[z])
			}
			fmt.Println()
			k := f.Zones / 2
			for d := range 4 {
				fmt.Printf("%.3f ", sol.Response.Footprint(k)[k+d])
			}
			fmt.Println()
		}
	}
}
