package zones

import (
	"math"
	"testing"

	"bladeline/coverage"
	"bladeline/zones/press"
	"bladeline/zones/zonestest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestSolidOfASeparation(t *testing.T) {
	got, err := solidM2(zonestest.Drawn(25.4, "##..", "...."), Placement{}) // 2 of 4 × 2 mm²
	require.NoError(t, err)
	assert.InDelta(t, 2e-6, got, 1e-18)
	got, err = solidM2(zonestest.Drawn(0, "#"), Placement{DPIX: 25.4, DPIY: 12.7})
	require.NoError(t, err)
	assert.InDelta(t, 2e-6, got, 1e-18)
	_, err = solidM2(zonestest.Drawn(0, "#"), Placement{})
	assert.EqualError(t, err, "gull_K.tif: page 1: ink Black: the raster states no resolution, so its area is not known")
	_, err = solidM2(zonestest.Drawn(1e300, "#"), Placement{})
	assert.ErrorContains(t, err, "is not the resolution of a plate")
	broken := zonestest.Drawn(25.4, "#")
	broken.Full = 0
	_, err = solidM2(broken, Placement{})
	assert.Error(t, err)
}

// A resolution that is stated one way only, or that no plate has one way, tells
// no area.
func TestSolidWithHalfAResolution(t *testing.T) {
	for _, dpi := range [][2]float64{{0, 25.4}, {25.4, 0}} {
		_, err := solidM2(zonestest.MapOf(1, dpi[0], dpi[1], []uint64{1}), Placement{})
		assert.ErrorContains(t, err, "states no resolution", "%v", dpi)
	}
	for _, dpi := range [][2]float64{{0.5, 25.4}, {25.4, 0.5}, {100_001, 25.4}, {25.4, 100_001}} {
		_, err := solidM2(zonestest.MapOf(1, dpi[0], dpi[1], []uint64{1}), Placement{})
		assert.ErrorContains(t, err, "is not the resolution of a plate", "%v", dpi)
	}
	for _, dpi := range [][2]float64{{1, 100_000}, {100_000, 1}} {
		_, err := solidM2(zonestest.MapOf(1, dpi[0], dpi[1], []uint64{1}), Placement{})
		assert.NoError(t, err, "%v", dpi)
	}
}

// A Map, a press or a form that is none is refused, and no question of a place that
// is none ends a program.
func TestLayRefuses(t *testing.T) {
	m := zonestest.Solid(4, 1, 50.8)
	for want, on := range map[string]*press.Press{
		"a fountain cannot have 0 zones; give 1 to 200":                            {},
		"a fountain cannot have -1 zones; give 1 to 200":                           {Fountain: press.Fountain{Zones: -1, ZoneWidthMM: 1, FirstZone: press.Left}},
		"zones cannot be 0 mm wide; give their width":                              {Fountain: press.Fountain{Zones: 1, FirstZone: press.Left}},
		"zones cannot be NaN mm wide; give their width":                            {Fountain: press.Fountain{Zones: 1, ZoneWidthMM: math.NaN(), FirstZone: press.Left}},
		`zone 1 is at the "top" of the fountain; give left or right`:               {Fountain: press.Fountain{Zones: 1, ZoneWidthMM: 1, FirstZone: "top"}},
		"the print length cannot be -1 mm; give it, or 0 where the press has none": {PrintLengthMM: -1, Fountain: press.Fountain{Zones: 1, ZoneWidthMM: 1, FirstZone: press.Left}},
	} {
		_, err := Lay(m, on, Placement{})
		assert.EqualError(t, err, want)
	}
	_, err := Lay(nil, nil, Placement{})
	assert.EqualError(t, err, "there is no separation; measure one")
}

func TestQuestionsThatMeanNothing(t *testing.T) {
	whole := lay(t, zonestest.Solid(20, 10, 25.4), zonestest.Press(2, 10), Placement{})
	unknown := lay(t, zonestest.Solid(20, 10, 0), zonestest.Press(2, 10), Placement{})
	for _, f := range []*Form{whole, unknown, {}} {
		for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), -1e300, 0, 1e300} {
			for _, y := range []float64{math.NaN(), math.Inf(1), 0, 5} {
				assert.False(t, f.InkMM2(x, y) < 0)
				assert.False(t, f.Part(x, y) < 0)
				assert.False(t, f.Fullest(x, y, x).CoveragePct < 0)
			}
		}
	}
	assert.Zero(t, unknown.InkMM2(0, 20))
	assert.InDelta(t, 50, whole.InkMM2(5, 10), 1e-9)

	none := &Form{}
	_, _, err := none.Zones()
	assert.Error(t, err)
	_, err = none.SolidM2()
	assert.Error(t, err)
	_, err = none.Split(2)
	assert.Error(t, err)
	columns, rows := none.Cells().Size()
	assert.Equal(t, []any{0, 0, 0.0, true, Outline{}}, []any{columns, rows, none.CoveragePct(), none.Blank(), none.Outline()})
	assert.Empty(t, none.Doubts())
	assert.Equal(t, Source{}, none.Source())
	assert.False(t, none.LiesOn(nil))
	assert.Zero(t, whole.Cells().Ink(-1, 0))
	assert.Zero(t, none.Cells().Ink(0, 0))
	columns, rows = Cells{}.Size()
	assert.Equal(t, []int{0, 0}, []int{columns, rows})
	assert.Error(t, Distinct([]*coverage.Map{nil}))
}

// A form that was not laid has no ink and lies nowhere.
func TestQuestionsOfNoForm(t *testing.T) {
	for _, f := range []*Form{nil, {}} {
		_, _, err := f.Zones()
		assert.EqualError(t, err, "there is no separation; measure one")
		_, err = f.Split(2)
		assert.EqualError(t, err, "there is no separation; measure one")
		_, err = f.SolidM2()
		assert.EqualError(t, err, "there is no separation; measure one")
		assert.True(t, f.Blank())
		assert.Nil(t, f.Placement())
		assert.Empty(t, f.Doubts())
		assert.Equal(t, []any{"", Source{}, Outline{}, Band{}}, []any{f.Ink(), f.Source(), f.Outline(), f.Fullest(0, 1, 1)})
		assert.Equal(t, []float64{0, 0, 0, 0}, []float64{f.CoveragePct(), f.ReferenceMM(), f.InkMM2(0, 1), f.Part(0, 1)})
		columns, rows := f.Cells().Size()
		assert.Equal(t, []int{0, 0}, []int{columns, rows})
		assert.True(t, math.IsNaN(f.Cells().Left(0)) && math.IsNaN(f.Cells().Top(-1)))
		assert.False(t, f.LiesOn(zonestest.Press(1, 1)))
	}
}
