package preset

import (
	"fmt"
	"testing"

	"bladeline/zones"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Whatever is stated in mm goes up to a kilometre, and no further; so does what
// lies to the left of where one measures from.
func TestLargestMM(t *testing.T) {
	for place, state := range map[string]func(p *Preset, mm float64){
		"press.zone_width_mm":      func(p *Preset, mm float64) { p.Press.ZoneWidthMM = &mm },
		"units[0].length_mm":       func(p *Preset, mm float64) { p.Units[0].LengthMM = &mm },
		"units[0].keys[0].left_mm": func(p *Preset, mm float64) { p.Units[0].Keys[0].LeftMM, p.Units[0].Keys[0].RightMM = new(0.0), &mm },
		"units[0].keys[1].left_mm": func(p *Preset, mm float64) {
			p.Units[0].Keys[1].LeftMM, p.Units[0].Keys[1].RightMM = new(-mm), new(0.0)
		},
		"placement.shift_mm": func(p *Preset, mm float64) { p.Placement = &StatedPlacement{LeadEdge: zones.Bottom, ShiftMM: mm} },
	} {
		p := gull(t)
		state(p, 1e6)
		require.Nil(t, p.validate(), place)
		state(p, 1e6+0.001)
		require.NotNil(t, p.validate(), place)
		assert.Equal(t, place, p.validate().path())
	}
	for _, way := range []float64{-1, 1} {
		at := StatedPlacement{LeadEdge: zones.Bottom, ShiftMM: way * 1e6}
		require.NoError(t, at.Validate())
		at.ShiftMM += way * 0.001
		assert.ErrorContains(t, at.Validate(), "is not a distance to move a form")
	}
}

// A key goes up to a hundred million, either way, which in eighths still has
// all its digits.
func TestLargestKey(t *testing.T) {
	for _, way := range []float64{-1, 1} {
		p := gull(t)
		k := &p.Units[0].Keys[0]
		set := func(key float64) { k.Key, k.KeyText = key, fmt.Sprintf("%.3f", key) }
		set(way * 1e8)
		require.Nil(t, p.validate())
		set(way * (1e8 + 0.125))
		require.NotNil(t, p.validate())
		assert.Equal(t, "units[0].keys[0].key", p.validate().path())
		assert.Contains(t, p.validate().what, "is on no key's scale")
	}
}
