package learn_test

import (
	"fmt"

	"bladeline/curves"
	"bladeline/curves/learn"
)

// Three jobs on which every key was finally 4 points further open than the old
// curve asks; the last key of each stood at the end of its range.
func ExampleFit() {
	old := &curves.Curve{Name: "Coated", Shape: curves.Straight, Points: []curves.Point{{CoveragePct: 0, OpeningPct: 2}, {CoveragePct: 100, OpeningPct: 92}}}
	var runs []learn.Run
	for _, name := range []string{"fair.csv", "calendar.csv", "poster.csv"} {
		run := learn.Run{Name: name, Sweep: 45}
		for zone := 1; zone <= 8; zone++ {
			coverage := float64(zone)*10 + float64(len(name))
			run.Readings = append(run.Readings, learn.Reading{Zone: zone, CoveragePct: coverage, OpeningPct: old.At(coverage) + 4})
		}
		run.Readings = append(run.Readings, learn.Reading{Zone: 9, CoveragePct: 100, OpeningPct: 95, Censoring: learn.RightCensored})
		runs = append(runs, run)
	}

	result, err := learn.Fit(old, runs, learn.Options{ReferenceSweep: 45})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%d readings, %.1f points off the old curve and %.1f off the new\n", result.Before.Readings, result.Before.RMSPct, result.After.RMSPct)
	for _, coverage := range []float64{20, 50, 80} {
		fmt.Printf("%.0f %%: %.1f, was %.1f\n", coverage, result.Curve.At(coverage), old.At(coverage))
	}
	fmt.Println(len(result.Warnings), "doubts")
	// Output:
	// 24 readings, 4.0 points off the old curve and 0.0 off the new
	// 20 %: 24.0, was 20.0
	// 50 %: 51.0, was 47.0
	// 80 %: 78.0, was 74.0
	// 0 doubts
}
