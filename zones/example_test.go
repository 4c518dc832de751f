package zones_test

import (
	"fmt"
	"log"

	"bladeline/coverage"
	"bladeline/zones"
	"bladeline/zones/press"
)

// A raster of 4 × 2 pixels, 1 mm each, whose left half is inked, lies on a fountain
// of two zones of 2 mm.
func ExampleLay() {
	m := &coverage.Map{
		Ink: "Black", File: "gull_K.tif", Page: 1, Channel: 1, Width: 4, Height: 2, DPIX: 25.4, DPIY: 25.4,
		Full: 1, Columns: []uint64{2, 2, 0, 0}, Rows: []uint64{2, 2},
		Cells: coverage.Cells{X: []int{0, 4}, Y: []int{0, 2}, Ink: []uint32{4}},
	}
	on := &press.Press{Fountain: press.Fountain{Zones: 2, ZoneWidthMM: 2, FirstZone: press.Left}}
	form, err := zones.Lay(m, on, zones.Placement{})
	if err != nil {
		log.Fatal(err)
	}
	covered, _, err := form.Zones()
	if err != nil {
		log.Fatal(err)
	}
	for _, z := range covered {
		fmt.Printf("zone %d, from %g to %g mm: %g %%\n", z.Number, *z.LeftMM, *z.RightMM, z.CoveragePct)
	}
	fmt.Printf("%g mm2 of ink between 1 and 3 mm\n", form.InkMM2(1, 3))
	// Output:
	// zone 1, from 0 to 2 mm: 100 %
	// zone 2, from 2 to 4 mm: 0 %
	// 2 mm2 of ink between 1 and 3 mm
}
