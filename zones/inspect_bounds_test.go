package zones

import (
	"testing"

	"bladeline/curves"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A key is worth a word that stands half a point off, and not one that stands
// 0.4 off: on 2000 mm, 1 mm of solid is 0.05 %.
func TestHeldKeysWorthAWord(t *testing.T) {
	press := longPress()
	press.Limits = curves.Limits{FloorPct: 2, CeilingPct: 90}
	warnedOf := func(code string, mm int) bool {
		return warned(t, look(t, formOf(20, 2000, block{0, 10, 0, mm}, block{10, 20, 0, 1000}), press, Placement{}, 45, 0), code) != nil
	}
	assert.True(t, warnedOf(CodeCeiling, 1812), "90.6 %")
	assert.False(t, warnedOf(CodeCeiling, 1808), "90.4 %")
	assert.True(t, warnedOf(CodeFloor, 28), "1.4 %")
	assert.False(t, warnedOf(CodeFloor, 32), "1.6 %")
}

func TestHowMuchTooMuch(t *testing.T) {
	for _, c := range []struct {
		opening, asked float64
		want           string
	}{{2, 0.5, "300 %"}, {1000, 1, "99900 %"}, {1000.5, 1, "far"}, {2, 0, "far"}, {0, 0, "far"}} {
		assert.Equal(t, c.want, excess(c.opening, c.asked), "%g for %g", c.opening, c.asked)
	}
}

// A zone prints from 0.2 % on: 4 mm of 2000.
func TestAZoneThatJustPrints(t *testing.T) {
	for mm, prints := range map[int]bool{4: true, 3: false} {
		press := longPress()
		press.Limits.FloorPct = 0
		p := look(t, formOf(20, 2000, block{0, 10, 0, mm}, block{10, 20, 0, 1000}), press, Placement{}, 45, 10)
		assert.Equal(t, prints, warned(t, p, CodeLow) != nil, "%d mm", mm)
		assert.Equal(t, []bool{prints, true}, p.Units[0].Feed(press, lineCurve(t)).Prints, "%d mm", mm)
	}
}

// A separation whose place or resolution is not known, in whole or in part, is
// not inspected.
func TestNotInspectedWithoutItsPlace(t *testing.T) {
	press := fourZones()
	m := formOf(40, 200, block{0, 40, 0, 10})
	split, err := Split(m, 4, Placement{})
	require.NoError(t, err)
	for what, change := range map[string]func(in *UnitInput){
		"no placement":                func(in *UnitInput) { in.Placement = nil },
		"no resolution across":        func(in *UnitInput) { v := *m; v.DPIX = 0; in.plate = &v },
		"no resolution along":         func(in *UnitInput) { v := *m; v.DPIY = 0; in.plate = &v },
		"no plate, as of a test form": func(in *UnitInput) { in.plate = nil },
	} {
		in := NewUnitInput(m, split, nil)
		in.Curve, in.Placement = lineCurve(t), &Placement{}
		p := presetOf(t, press, in)
		change(&in)
		require.NoError(t, p.Inspect(press, []UnitInput{in}, 50), what)
		assert.Empty(t, p.Warnings, what)
	}
}

// Of keys that are alike the first is named.
func TestExtremesOfEquals(t *testing.T) {
	least, greatest := extremes([]Key{{Zone: 1, CoveragePct: 5}, {Zone: 2, CoveragePct: 9}, {Zone: 3, CoveragePct: 5}, {Zone: 4, CoveragePct: 9}}, covered)
	assert.Equal(t, []int{1, 2}, []int{least.Zone, greatest.Zone})
	least, greatest = extremes([]Key{{Zone: 1, CoveragePct: 9}, {Zone: 2, CoveragePct: 5}, {Zone: 3, CoveragePct: 9}, {Zone: 4, CoveragePct: 5}}, covered)
	assert.Equal(t, []int{2, 1}, []int{least.Zone, greatest.Zone})
}
