package preset

import (
	"fmt"
	"testing"

	"bladeline/curves"
	"bladeline/zones"
	"bladeline/zones/zonestest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestAlongAgreesWithTheWarnings looks along zones that are warned of: a solid band
// of 20 mm in a zone of 200 mm is its tenth, and a mark of 1 mm wants the bar of 3
// mm that the warning of little image names, at the tail end of what is free.
func TestAlongAgreesWithTheWarnings(t *testing.T) {
	on := fourZones()
	form := lay(t, formOf(40, 200, block{0, 10, 50, 51}, block{10, 20, 100, 120}, block{20, 30, 0, 200}), on, zones.Placement{})
	in := UnitInput{Form: form, Curve: zonestest.LineCurve(t), Sweep: new(45.0)}
	p, err := New("Gull poster", on, []UnitInput{in}, ByKeys)
	require.NoError(t, err)
	along := func(zone int) *Along {
		a, err := AlongZone(on, in, &p.Units[0], zone, 20, ByKeys)
		require.NoError(t, err)
		assert.Len(t, a.BandsPct, 20)
		return a
	}
	uneven := along(2).Uneven
	require.NotNil(t, uneven)
	assert.Contains(t, theWarning(t, p, CodeUneven).Text, fmt.Sprintf("in zone 2 the tenth of the length from %.0f to %.0f mm from the gripper edge is covered %.1f %%", uneven.FromMM, uneven.ToMM, uneven.CoveragePct))
	assert.Equal(t, zones.Band{FromMM: 100, ToMM: 120, CoveragePct: 100}, *uneven)
	assert.Nil(t, along(2).Bar)

	bar := along(1).Bar
	require.NotNil(t, bar)
	assert.Contains(t, theWarning(t, p, CodeLow).Text, "a solid take-off bar 3 mm long")
	assert.InDelta(t, 197, bar.FromMM, 1e-9)
	assert.InDelta(t, 200, bar.ToMM, 1e-9)

	solid, bare := along(3), along(4)
	assert.Nil(t, solid.Uneven)
	assert.Nil(t, solid.Bar)
	assert.InDelta(t, 100, solid.BandsPct[7], 1e-9)
	assert.Nil(t, bare.Bar, "what prints nothing needs none")
	_, err = AlongZone(on, in, &p.Units[0], 5, 20, ByKeys)
	assert.ErrorContains(t, err, "there is no zone 5")
}

// TestAutoSweepOfAGivenUnit: a unit that was given a sweep says which one auto would
// have set, and that is what a unit without one gets.
func TestAutoSweepOfAGivenUnit(t *testing.T) {
	on := fourZones()
	steep := &curves.Curve{Name: "steep", Shape: curves.Straight, Points: []curves.Point{{CoveragePct: 0, OpeningPct: 0}, {CoveragePct: 50, OpeningPct: 100}, {CoveragePct: 100, OpeningPct: 100}}}
	require.NoError(t, steep.Prepare())
	for mm, curve := range map[int]*curves.Curve{5: zonestest.LineCurve(t), 60: zonestest.LineCurve(t), 200: zonestest.LineCurve(t), 2: steep} {
		form := lay(t, formOf(40, 200, block{0, 40, 0, mm}), on, zones.Placement{})
		of := func(sweep *float64) Unit {
			p, err := New("Gull poster", on, []UnitInput{{Form: form, Curve: curve, Sweep: sweep}}, 0)
			require.NoError(t, err)
			return p.Units[0]
		}
		given := of(new(60.0))
		assert.Equal(t, of(nil).Sweep, given.AutoSweep(on, curve), "%d mm", mm)
	}
	assert.Zero(t, (*Unit)(nil).AutoSweep(on, steep))
}
