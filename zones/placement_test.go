package zones

import (
	"errors"
	"testing"

	"bladeline/coverage"
	"bladeline/zones/zonestest"

	"github.com/stretchr/testify/assert"
)

// A raster that enters with its bottom edge lies as one of which nothing is
// said.
func TestBottomEdgeIsTheUsual(t *testing.T) {
	m := zonestest.Drawn(50.8, "##..", "#...")
	on := zonestest.Press(2, 1)
	assert.Equal(t, placed(t, m, on, Placement{}), placed(t, m, on, Placement{LeadEdge: Bottom}))
}

// What is no number, below 0, or no raster, has no place.
func TestPlacementsThatAreNone(t *testing.T) {
	m := zonestest.Drawn(50.8, "#")
	for _, v := range notFinite {
		assert.False(t, finite(v))
		_, err := Lay(m, nil, Placement{ShiftMM: v})
		assert.ErrorContains(t, err, "the shift is not a number of mm")
	}
	for _, p := range []Placement{{DPIX: -0.5}, {DPIY: -0.5}} {
		_, err := Lay(m, nil, p)
		assert.ErrorContains(t, err, "the resolution is not a number of pixels per inch")
	}
	for what, change := range map[string]func(m *coverage.Map){
		"no columns":         func(m *coverage.Map) { m.Width, m.Columns = 0, nil },
		"no rows":            func(m *coverage.Map) { m.Height, m.Rows = 0, nil },
		"no full value":      func(m *coverage.Map) { m.Full = 0 },
		"more columns":       func(m *coverage.Map) { m.Columns = append(m.Columns, 1) },
		"more rows":          func(m *coverage.Map) { m.Rows = append(m.Rows, 1) },
		"neither its length": func(m *coverage.Map) { m.Columns, m.Rows = append(m.Columns, 1), append(m.Rows, 1) },
	} {
		broken := zonestest.Drawn(50.8, "#")
		change(broken)
		_, err := Lay(broken, nil, Placement{})
		assert.ErrorContains(t, err, "its sums do not fit its size", what)
	}
}

// Where a page is not known, none is named; the first of a file is.
func TestWhereASeparationStands(t *testing.T) {
	assert.EqualError(t, &SeparationError{File: "a.tif", Page: 0, Ink: "Black", Err: errors.New("so")}, "a.tif: ink Black: so")
	assert.EqualError(t, &SeparationError{File: "a.tif", Page: 1, Ink: "Black", Err: errors.New("so")}, "a.tif: page 1: ink Black: so")
}

// Two separations of one ink are told apart by file, and by page from the
// second on.
func TestTwoOfAnInk(t *testing.T) {
	of := func(file string, page int, ink string) *coverage.Map {
		return &coverage.Map{File: file, Page: page, Ink: ink}
	}
	assert.NoError(t, Distinct([]*coverage.Map{of("a.tif", 1, "Black"), of("a.tif", 2, "Cyan")}))
	assert.EqualError(t, Distinct([]*coverage.Map{of("a.tif", 1, "Black"), of("b.tif", 2, "BLACK")}),
		"b.tif: page 2: is the ink BLACK, and so is a.tif")
}
