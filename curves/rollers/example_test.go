package rollers_test

import (
	"context"
	"fmt"

	"bladeline/curves/rollers"
)

// small is an invented train of a small press.
func small() rollers.Train {
	form := func(name string, mm float64) rollers.Roller {
		return rollers.Roller{Name: name, Kind: rollers.FormRoller, Surface: rollers.Rubber, DiameterMM: mm}
	}
	oscillator := func(name string, mm float64, touches ...string) rollers.Roller {
		return rollers.Roller{Name: name, Kind: rollers.Oscillator, Surface: rollers.Hard, DiameterMM: mm, Touches: touches, StrokeMM: 12}
	}
	return rollers.Train{
		PlateMM: 158, ImageMM: 420, Paper: 0.5, Split: 0.5, Turns: 4,
		Ductor: rollers.Ductor{DiameterMM: 40, Touches: "upper", EverySheets: 2, Duty: 0.4},
		Feed:   rollers.Feed{FilmFullUM: 85, StripMM: 24},
		Rollers: []rollers.Roller{
			form("first form", 44), form("second form", 48),
			oscillator("lower", 52, "first form", "second form"),
			{Name: "bridge", Kind: rollers.Distributor, Surface: rollers.Rubber, DiameterMM: 46, Touches: []string{"lower"}},
			oscillator("upper", 54, "bridge"),
		},
	}
}

// Keys for 1 µm of ink on a form that is full in its middle: what the line of the
// train asks of each zone by itself, and all keys solved together.
func ExampleModel_Solve() {
	laid, err := rollers.Lay(small())
	if err != nil {
		fmt.Println(err)
		return
	}
	m, err := rollers.New(small(), laid, rollers.Fountain{Zones: 5, ZoneMM: 19.05}, rollers.Fine)
	if err != nil {
		fmt.Println(err)
		return
	}
	form := rollers.EvenForm(0.1, 0.1, 0.5, 0.1, 0)
	s, err := m.Solve(context.Background(), form, rollers.Wanted{
		FilmUM:   []float64{1, 1, 1, 1, 0},
		FloorPct: []float64{0, 0, 0, 0, 0}, CeilingPct: []float64{100, 100, 100, 100, 100},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("line   %4.1f %%\n", s.LinePct)
	fmt.Printf("solved %4.1f %%\n", s.Setting.OpeningPct)

	run, err := m.Run(context.Background(), m.Clean(), form, s.Setting, 200)
	if err != nil {
		fmt.Println(err)
		return
	}
	sheets, _ := run.Within([]float64{1, 1, 1, 1, 0}, 0.10)
	fmt.Printf("from clean rollers all zones stand within 10 %% after %d sheets\n", sheets)
	// Output:
	// line   [12.4 12.4 46.2 12.4  3.9] %
	// solved [13.0 10.8 48.9 11.4  3.8] %
	// from clean rollers all zones stand within 10 % after 127 sheets
}
