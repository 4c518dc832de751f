package zones

import (
	"fmt"
	"strings"
	"testing"

	"bladeline/curves"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Densities go up to 5 and films up to 1000, and films begin above 0.
func TestDensitiesAndFilmsAtTheirBounds(t *testing.T) {
	for density, ok := range map[string]bool{"0": true, "5": true, "5.001": false, "-0.001": false} {
		_, err := ReadDensities("d.csv", strings.NewReader("ink,zone,density\nBlack,2,"+density+"\n"))
		assert.Equal(t, ok, err == nil, density)
	}
	for row, ok := range map[string]bool{"1000,1": true, "1000.001,1": false, "0,1": false, "0.001,1": true, "1,5": true, "1,5.001": false, "1,0.001": true} {
		_, _, err := ReadFilms("f.csv", strings.NewReader("film_um,density\n"+row+"\n"))
		assert.Equal(t, ok, err == nil, row)
	}
}

// A resolution that is stated one way only, or that no plate has one way, tells
// no area.
func TestSolidWithHalfAResolution(t *testing.T) {
	for _, dpi := range [][2]float64{{0, 25.4}, {25.4, 0}} {
		_, err := SolidM2(mapOf(1, dpi[0], dpi[1], []uint64{1}), Placement{})
		assert.ErrorContains(t, err, "states no resolution", "%v", dpi)
	}
	for _, dpi := range [][2]float64{{0.5, 25.4}, {25.4, 0.5}, {100_001, 25.4}, {25.4, 100_001}} {
		_, err := SolidM2(mapOf(1, dpi[0], dpi[1], []uint64{1}), Placement{})
		assert.ErrorContains(t, err, "is no resolution of a plate", "%v", dpi)
	}
	for _, dpi := range [][2]float64{{1, 100_000}, {100_000, 1}} {
		_, err := SolidM2(mapOf(1, dpi[0], dpi[1], []uint64{1}), Placement{})
		assert.NoError(t, err, "%v", dpi)
	}
}

// The length that coverages refer to is a preset's own, or that which is said.
func TestSolidOfALengthThatIsSaid(t *testing.T) {
	u := Unit{Ink: "Black", Keys: []Key{{Zone: 1, CoveragePct: 50, LeftMM: new(0.0), RightMM: new(10.0)}}}
	m2, err := u.SolidM2("p.csv", 1)
	require.NoError(t, err)
	assert.InDelta(t, 5e-6, m2, 1e-18)
	u.LengthMM = new(2.0)
	m2, err = u.SolidM2("p.csv", 1)
	require.NoError(t, err)
	assert.InDelta(t, 10e-6, m2, 1e-18)
}

// Five points of feed are within five, and 5.5 are not; a difference of nothing
// has no sign.
func TestComparedAtTheBounds(t *testing.T) {
	for points, within := range map[float64]float64{4.5: 100, 5: 100, -5: 100, 5.5: 0} {
		in := unitOf(t, "Black", 50)
		in.Sweep = new(45.0)
		a, b := presetOf(t, pressOf(1, 31.75), in), presetOf(t, pressOf(1, 31.75), in)
		b.Units[0].Keys[0].OpeningPct += points
		u := compared(t, a, b, nil).Units[0]
		assert.Equal(t, new(within), u.Within5PointsPct, "%g points", points)
		assert.Equal(t, new(points), u.FeedLargestPoints)
	}
	in := unitOf(t, "Black", 50)
	in.Sweep = new(45.0)
	a, b := presetOf(t, pressOf(1, 31.75), in), presetOf(t, pressOf(1, 31.75), in)
	b.Units[0].Keys[0].Key -= 1e-11
	assert.Equal(t, "0", fmt.Sprint(valueOf(t, compared(t, a, b, nil).Units[0].Keys[0].KeyDifference)))
}

// An ink of which no density was measured is corrected by nothing: its keys and
// what held them stay.
func TestAnInkThatWasNotMeasuredStays(t *testing.T) {
	press := pressOf(3, 31.75)
	given := []UnitInput{unitOf(t, "Black", 10, 40, 20), unitOf(t, "Cyan", 0.5, 40, 20)}
	for i := range given {
		given[i].Sweep = new(45.0)
	}
	p := presetOf(t, press, given...)
	require.Equal(t, curves.Floor, p.Units[1].Keys[0].State)
	c, err := p.Correct("p.json", press, "d.csv", []SolidDensity{{Ink: "Black", Zone: 2, Density: 1.5}}, correctTo(1.5, 2))
	require.NoError(t, err)
	assert.Equal(t, p.Units[1].Keys, c.Preset.Units[1].Keys)
	assert.Equal(t, p.Units[0].Keys, c.Preset.Units[0].Keys, "what was measured is right, and the rest was not")
	for _, k := range c.Units[1].Keys {
		assert.Equal(t, curves.Correction{OpeningPct: press.stood(p.Units[1].Keys[k.Zone-1]), FilmRatio: 1, Note: curves.Unmeasured}, k.Correction)
	}
}
