package zones

import (
	"fmt"
	"strings"
	"testing"

	"bladeline/coverage"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A raster that enters with its bottom edge lies as one of which nothing is
// said.
func TestBottomEdgeIsTheUsual(t *testing.T) {
	m := drawn(50.8, "##..", "#...")
	press := pressOf(2, 1)
	assert.Equal(t, placed(t, m, press, Placement{}), placed(t, m, press, Placement{LeadEdge: Bottom}))
}

// What is no number, below 0, or no raster, has no place.
func TestPlacementsThatAreNone(t *testing.T) {
	m := drawn(50.8, "#")
	for _, v := range notFinite {
		assert.False(t, finite(v))
		_, err := Placement{ShiftMM: v}.View(m)
		assert.ErrorContains(t, err, "the shift is no number of mm")
	}
	for _, p := range []Placement{{DPIX: -0.5}, {DPIY: -0.5}} {
		_, err := p.View(m)
		assert.ErrorContains(t, err, "the resolution is no number of pixels an inch")
	}
	for what, change := range map[string]func(m *coverage.Map){
		"no columns":         func(m *coverage.Map) { m.Width, m.Columns = 0, nil },
		"no rows":            func(m *coverage.Map) { m.Height, m.Rows = 0, nil },
		"no full value":      func(m *coverage.Map) { m.Full = 0 },
		"more columns":       func(m *coverage.Map) { m.Columns = append(m.Columns, 1) },
		"more rows":          func(m *coverage.Map) { m.Rows = append(m.Rows, 1) },
		"neither its length": func(m *coverage.Map) { m.Columns, m.Rows = append(m.Columns, 1), append(m.Rows, 1) },
	} {
		broken := drawn(50.8, "#")
		change(broken)
		_, err := Placement{}.View(broken)
		assert.ErrorContains(t, err, "its sums do not fit its size", what)
	}
}

// Where a page is not known, none is named; the first of a file is.
func TestWhereASeparationStands(t *testing.T) {
	assert.EqualError(t, &SeparationError{File: "a.tif", Page: 0, Ink: "Black", What: "so"}, "a.tif: ink Black: so")
	assert.EqualError(t, &SeparationError{File: "a.tif", Page: 1, Ink: "Black", What: "so"}, "a.tif: page 1: ink Black: so")
}

// Two separations of one ink are told apart by file, and by page from the
// second on.
func TestTwoOfAnInk(t *testing.T) {
	of := func(file string, page int, ink string) *coverage.Map {
		return &coverage.Map{File: file, Page: page, Ink: ink}
	}
	assert.NoError(t, Distinct([]*coverage.Map{of("a.tif", 1, "Black"), of("a.tif", 2, "Cyan")}))
	assert.EqualError(t, Distinct([]*coverage.Map{of("a.tif", 1, "Black"), of("b.tif", 2, "BLACK")}),
		"b.tif: page 2: is the ink BLACK, and so is a.tif; name them apart as INK=FILE")
}

// A form is preset as a whole, inspected, and refused where one of its
// separations cannot be laid or preset.
func TestPresetForm(t *testing.T) {
	press := fourZones()
	m := formOf(40, 200, block{0, 40, 0, 10})
	p, err := PresetForm("job", press, Placement{}, []Wanted{{Map: m, Curve: lineCurve(t), Sweep: new(45.0)}}, LowPct)
	require.NoError(t, err)
	assert.Equal(t, 5.0, p.Units[0].Keys[0].OpeningPct)
	assert.NotNil(t, theWarning(t, p, CodeLow))
	p, err = PresetForm("job", press, Placement{ShiftMM: 10}, []Wanted{{Map: m, Curve: lineCurve(t)}}, LowPct)
	assert.Nil(t, p)
	assert.ErrorContains(t, err, "ink stands 10 mm beyond the fountain's right end")
	p, err = PresetForm("job", press, Placement{}, []Wanted{{Map: m, Curve: lineCurve(t), Sweep: new(9.0)}}, LowPct)
	assert.Nil(t, p)
	assert.ErrorContains(t, err, "a sweep of 9 cannot be set")
}

// Zones go up to 200, and a file up to 16 MiB.
func TestLargestZoneAndFile(t *testing.T) {
	for zone, ok := range map[int]bool{1: true, 200: true, 0: false, 201: false} {
		_, err := ReadDensities("d.csv", strings.NewReader(fmt.Sprintf("ink,zone,density\nBlack,%d,1\n", zone)))
		assert.Equal(t, ok, err == nil, "%d", zone)
	}
	_, err := ReadJSON("p.json", strings.NewReader(strings.Repeat(" ", maxFile)))
	require.Error(t, err)
	assert.NotContains(t, err.Error(), "too many")
	_, err = ReadJSON("p.json", strings.NewReader(strings.Repeat(" ", maxFile+1)))
	assert.ErrorContains(t, err, "more than 16 MiB are too many")
}

// A key's text that is none, or another key's, is written anew; one that is the
// key's stays as it is.
func TestKeyTextsOfACSV(t *testing.T) {
	text := csvOf(t, gull(t))
	require.Contains(t, text, ",1.375,1 3/8,")
	for written, read := range map[string]string{"1 3/8": "1 3/8", "1.375": "1.375", "11/8": "11/8", "wide": "1 3/8", "1 1/2": "1 3/8", "": "1 3/8"} {
		p, err := ReadCSV("gull.csv", strings.NewReader(strings.Replace(text, ",1.375,1 3/8,", ",1.375,"+written+",", 1)))
		require.NoError(t, err, written)
		var texts []string
		for _, k := range p.Units[0].Keys {
			texts = append(texts, k.KeyText)
		}
		assert.Contains(t, texts, read, written)
	}
}

// What is wrong with a whole CSV is said of its column.
func TestColumnsOfAWholeCSV(t *testing.T) {
	text := csvOf(t, gull(t))
	_, err := ReadCSV("gull.csv", strings.NewReader(strings.ReplaceAll(text, ",Duplicator,", ", ,")))
	assert.ErrorContains(t, err, "gull.csv: column press: ")
}
