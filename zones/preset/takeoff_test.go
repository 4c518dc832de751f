package preset

import (
	"testing"

	"bladeline/zones"
	"bladeline/zones/zonestest"

	"github.com/stretchr/testify/assert"
)

// A zone prints from 0.2 % on: 4 mm of 2000.
func TestAZoneThatJustPrints(t *testing.T) {
	for mm, prints := range map[int]bool{4: true, 3: false} {
		on := longPress()
		on.Limits.FloorPct = 0
		p := look(t, formOf(20, 2000, block{0, 10, 0, mm}, block{10, 20, 0, 1000}), on, zones.Placement{}, 45, 10)
		assert.Equal(t, prints, warned(t, p, CodeLow) != nil, "%d mm", mm)
		assert.Equal(t, []bool{prints, true}, p.Units[0].Feed(on, zonestest.LineCurve(t)).Prints, "%d mm", mm)
	}
}

// Of keys that are alike the first is named.
func TestExtremesOfEquals(t *testing.T) {
	least, greatest := extremes([]Key{{Zone: 1, CoveragePct: 5}, {Zone: 2, CoveragePct: 9}, {Zone: 3, CoveragePct: 5}, {Zone: 4, CoveragePct: 9}}, covered)
	assert.Equal(t, []int{1, 2}, []int{least.Zone, greatest.Zone})
	least, greatest = extremes([]Key{{Zone: 1, CoveragePct: 9}, {Zone: 2, CoveragePct: 5}, {Zone: 3, CoveragePct: 9}, {Zone: 4, CoveragePct: 5}}, covered)
	assert.Equal(t, []int{2, 1}, []int{least.Zone, greatest.Zone})
}

// A zone is judged by the part of it that the form covers from half of it on:
// of zones of 20 mm the outer ones lie 10 or 9 mm under forms of 60 and 58 mm.
func TestTakeOffOfHalfAZone(t *testing.T) {
	on := zonestest.Press(4, 20)
	on.PrintLengthMM = 200
	for widthMM, warnedOf := range map[int]string{60: "zones 1 to 4", 58: "zones 2 and 3"} {
		w := theWarning(t, look(t, formOf(widthMM, 200, block{0, widthMM, 0, 10}), on, zones.Placement{}, 45, LowPct), CodeLow)
		assert.Contains(t, w.Text, "low take-off: "+warnedOf+", covered ", "%d mm", widthMM)
	}
}
