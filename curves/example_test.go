package curves_test

import (
	"fmt"

	"bladeline/curves"
)

// A preset of four zones of one ink by hand: the curve's openings, a sweep, and
// what the keys can be set to.
func Example() {
	curve, err := curves.ParseCurve("coated.curve.toml", []byte(`
name = "Coated"
shape = "straight"
points = [[0, 2], [10, 18], [40, 46], [100, 80]]
`))
	if err != nil {
		fmt.Println(err)
		return
	}
	scale := curves.SweepScale{Unit: "%", From: 10, To: 90, Step: 5, Reference: 45}
	limits := curves.Limits{FloorPct: 4, CeilingPct: 100}
	coverages := []float64{0, 10, 25, 100}

	var demands []curves.Demand
	for _, c := range coverages {
		demands = append(demands, curves.Demand{OpeningPct: curve.At(c), Prints: c > 0})
	}
	choice := curves.ChooseSweep(demands, scale, scale.Reference, curves.Keys{Limits: limits})
	var asked []float64
	for _, d := range demands {
		asked = append(asked, curves.OpeningAt(d.OpeningPct, scale.Reference, choice.Sweep))
	}
	openings, states := limits.Apply(asked, nil)
	fmt.Printf("sweep %g %s\n", choice.Sweep, scale.Unit)
	for i, c := range coverages {
		fmt.Printf("%3.0f %% coverage: open %4.1f %% (%s)\n", c, openings[i], states[i])
	}
	// Output:
	// sweep 45 %
	//   0 % coverage: open  4.0 % (floor)
	//  10 % coverage: open 18.0 % (set)
	//  25 % coverage: open 32.0 % (set)
	// 100 % coverage: open 80.0 % (set)
}

// What is wrong with a file says where.
func ExampleParseCurve() {
	_, err := curves.ParseCurve("hall.curve.toml", []byte("name = \"Hall\"\nshape = \"smooth\"\npoints = [[0, 2], [50, 40], [100, 30]]\n"))
	fmt.Println(err)
	// Output:
	// hall.curve.toml: points: point 3 [100, 30]: the opening falls from 40 to 30; more coverage never needs less ink: raise this opening or lower those before it
}

// An edit keeps the file as it was written.
func ExampleSetPoints() {
	file := []byte(`name = "Hall" # of the quay
shape = "smooth"
points = [
  [0, 2],   # paper white
  [100, 80] # the rack's solids
]
`)
	after, err := curves.SetPoints("hall.curve.toml", file, curves.Point{CoveragePct: 50, OpeningPct: 47.5})
	fmt.Printf("%s%v", after, err)
	// Output:
	// name = "Hall" # of the quay
	// shape = "smooth"
	// points = [
	//   [0, 2],   # paper white
	//   [50, 47.5],
	//   [100, 80] # the rack's solids
	// ]
	// <nil>
}
