package press

import (
	"testing"

	"bladeline/curves"
	"bladeline/curves/settings"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// segmentedPress has three keys with zeros of their own.
func segmentedPress() *Press {
	return &Press{
		Name:     "Trial",
		Fountain: Fountain{Zones: 3, ZoneWidthMM: 30, FirstZone: Left, Blade: Segmented},
		Keys:     KeyScale{Unit: Percent, Travel: 100, Step: 1, Zero: []float64{1, 2, 3}},
		Limits:   curves.Limits{FloorPct: 2, CeilingPct: 90, OffSheetPct: 1},
	}
}

func TestPressWithChange(t *testing.T) {
	p := segmentedPress()
	same, err := p.With(Change{})
	require.NoError(t, err)
	assert.Equal(t, p, same)

	changed, err := p.With(Change{Zones: new(2), ZoneWidthMM: new(40.0), FirstZone: new(Right), Blade: new(OnePiece)})
	require.NoError(t, err)
	assert.Equal(t, Fountain{Zones: 2, ZoneWidthMM: 40, FirstZone: Right, Blade: OnePiece}, changed.Fountain)
	assert.Equal(t, curves.Limits{FloorPct: 2, CeilingPct: 90, OffSheetPct: 1, NeighbourPct: AssumedNeighbourPct}, changed.Limits)
	assert.Equal(t, []float64{1, 2}, changed.Keys.Zero)
	assert.Equal(t, segmentedPress(), p, "the press itself stays")

	stiff, err := changed.With(Change{NeighbourLimitPct: new(5.0)})
	require.NoError(t, err)
	assert.Equal(t, 5.0, stiff.Limits.NeighbourPct)
	cut, err := stiff.With(Change{Blade: new(Segmented)})
	require.NoError(t, err)
	assert.Zero(t, cut.Limits.NeighbourPct)
}

func TestPressWithImpossibleChange(t *testing.T) {
	for place, change := range map[string]Change{
		"fountain.zones":               {Zones: new(201)},
		"fountain.zone_width_mm":       {ZoneWidthMM: new(0.0)},
		"fountain.first_zone":          {FirstZone: new(End("bottom"))},
		"fountain.blade":               {Blade: new(Blade("felt"))},
		"fountain.neighbour_limit_pct": {Blade: new(OnePiece), NeighbourLimitPct: new(-1.0)},
	} {
		_, err := segmentedPress().With(change)
		var wrong *settings.FileError
		require.ErrorAs(t, err, &wrong, place)
		assert.Equal(t, place, wrong.Place)
	}
}

// A neighbour limit or a reference sweep below 1 is one.
func TestSmallLimitsAndSweeps(t *testing.T) {
	p := segmentedPress()
	p.Limits.NeighbourPct, p.Sweep.Reference = 0.5, 45
	assert.Equal(t, 0.5, p.NeighbourPct())
	assert.Equal(t, 20.0, segmentedPress().NeighbourPct(), "assumed where it is not stated")
	assert.Equal(t, 0.5, p.ReferenceSweep(&curves.Curve{ReferenceSweep: 0.5}))
	assert.Equal(t, 45.0, p.ReferenceSweep(&curves.Curve{}))
}
