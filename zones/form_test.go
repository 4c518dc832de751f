package zones

import (
	"testing"

	"bladeline/zones/zonestest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestSolidOfASeparation(t *testing.T) {
	got, err := SolidM2(zonestest.Drawn(25.4, "##..", "...."), Placement{}) // 2 of 4 × 2 mm²
	require.NoError(t, err)
	assert.InDelta(t, 2e-6, got, 1e-18)
	got, err = SolidM2(zonestest.Drawn(0, "#"), Placement{DPIX: 25.4, DPIY: 12.7})
	require.NoError(t, err)
	assert.InDelta(t, 2e-6, got, 1e-18)
	_, err = SolidM2(zonestest.Drawn(0, "#"), Placement{})
	assert.EqualError(t, err, "gull_K.tif: page 1: ink Black: the raster states no resolution, so its area is not known")
	_, err = SolidM2(zonestest.Drawn(1e300, "#"), Placement{})
	assert.ErrorContains(t, err, "is no resolution of a plate")
	broken := zonestest.Drawn(25.4, "#")
	broken.Full = 0
	_, err = SolidM2(broken, Placement{})
	assert.Error(t, err)
}

// A resolution that is stated one way only, or that no plate has one way, tells
// no area.
func TestSolidWithHalfAResolution(t *testing.T) {
	for _, dpi := range [][2]float64{{0, 25.4}, {25.4, 0}} {
		_, err := SolidM2(zonestest.MapOf(1, dpi[0], dpi[1], []uint64{1}), Placement{})
		assert.ErrorContains(t, err, "states no resolution", "%v", dpi)
	}
	for _, dpi := range [][2]float64{{0.5, 25.4}, {25.4, 0.5}, {100_001, 25.4}, {25.4, 100_001}} {
		_, err := SolidM2(zonestest.MapOf(1, dpi[0], dpi[1], []uint64{1}), Placement{})
		assert.ErrorContains(t, err, "is no resolution of a plate", "%v", dpi)
	}
	for _, dpi := range [][2]float64{{1, 100_000}, {100_000, 1}} {
		_, err := SolidM2(zonestest.MapOf(1, dpi[0], dpi[1], []uint64{1}), Placement{})
		assert.NoError(t, err, "%v", dpi)
	}
}
