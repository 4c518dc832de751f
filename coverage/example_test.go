package coverage_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"log"

	"bladeline/coverage"
)

// A plate is read once; what it holds of ink is then at hand, column by column.
func ExampleMeasureFiles() {
	plate := coverage.Input{Path: "../examples/harbour-fair(Black).tif"}
	maps, err := coverage.MeasureFiles(context.Background(), []coverage.Input{plate}, coverage.Options{})
	if err != nil {
		log.Fatal(err)
	}
	m := maps[0]
	fmt.Printf("%s: %.2f %% of %d x %d px, %.1f x %.1f mm\n", m.Ink, m.CoveragePct(), m.Width, m.Height, m.WidthMM(), m.HeightMM())

	var left uint64
	for _, ink := range m.Columns[:m.Width/2] {
		left += ink
	}
	fmt.Printf("%.0f %% of the ink stands in the left half\n", 100*float64(left)/float64(m.Total()))
	// Output:
	// Black: 16.98 % of 15120 x 10800 px, 640.1 x 457.2 mm
	// 35 % of the ink stands in the left half
}

// Saved Maps are opened and measured like the raster, and in its place.
func ExampleSave() {
	ctx := context.Background()
	plate := coverage.Input{Path: "../examples/harbour-fair_C.tif", Inks: []string{"Process Cyan"}}
	maps, err := coverage.MeasureFiles(ctx, []coverage.Input{plate}, coverage.Options{})
	if err != nil {
		log.Fatal(err)
	}
	var saved bytes.Buffer // or a file
	if err := coverage.Save(&saved, maps); err != nil {
		log.Fatal(err)
	}

	f, err := coverage.OpenReader("job.cover", bytes.NewReader(saved.Bytes()), int64(saved.Len()))
	if err != nil {
		log.Fatal(err)
	}
	defer f.Close()
	again, err := f.Measure(ctx, coverage.Options{})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%s of %s: %.2f %%\n", again[0].Ink, again[0].File, again[0].CoveragePct())
	// Output: Process Cyan of ../examples/harbour-fair_C.tif: 9.89 %
}

// An error says what is wrong and what to do, and is found by its kind.
func ExampleOpen() {
	_, err := coverage.Open("job_K.tif")
	fmt.Println(err)
	fmt.Println(errors.Is(err, fs.ErrNotExist))
	// Output:
	// job_K.tif: there is no such file; check the name and the folder
	// true
}
