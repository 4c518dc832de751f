package preset

import (
	"testing"

	"bladeline/curves"
	"bladeline/zones"
	"bladeline/zones/press"
	"bladeline/zones/zonestest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
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
	for widthMM, warnedOf := range map[int]string{60: "zones 1 to 4 (worst 1)", 58: "zones 2 and 3 (worst 2)"} {
		w := theWarning(t, look(t, formOf(widthMM, 200, block{0, widthMM, 0, 10}), on, zones.Placement{}, 45, 10), CodeLow)
		assert.Contains(t, w.Text, "little image in "+warnedOf+", covered ", "%d mm", widthMM)
	}
}

// A page of text of 2.5 % and more is nothing to warn of, nor a bare zone: their
// keys can be set by. Worked by hand, a curve of one to one at 45 and keys in steps
// of 1 % on a floor of 2 %: what is covered less than 2 % asks for less than the
// floor, and of 0.5 and 1.5 % 1.5 and 0.5 % of 200 mm are missing, 3 mm and 1, for
// which nobody puts on less than 3. At a sweep of 90 2 % is asked for by 4 %, so that 7 mm and 5 are missing, and 3 of 2.5
// %; in steps of 5 % it is 5 % at 45, 9 mm and 7, and 5.
func TestLittleImageByWhatKeysCanBeSetBy(t *testing.T) {
	form := formOf(40, 200, block{0, 10, 50, 51}, block{10, 20, 50, 53}, block{20, 30, 50, 55})
	says := func(sweep, step float64) string {
		on := fourZones()
		on.Keys.Step = step
		return theWarning(t, look(t, form, on, zones.Placement{}, sweep, ByKeys), CodeLow).Text
	}
	assert.Equal(t, "little image in zones 1 and 2 (worst 1), covered 0.5 to 1.5 %, which is less ink than their keys can be set by: "+
		"ink that is not taken off stays on the rollers and takes up water; "+
		"solid take-off bars 3 mm long in the print direction would take up enough", says(45, 1))
	assert.Contains(t, says(90, 1), "zones 1 to 3 (worst 1), covered 0.5 to 2.5 %")
	assert.Contains(t, says(90, 1), "7 mm long in zone 1 down to 3 mm in zone 3, would take up enough")
	assert.Contains(t, says(45, 5), "9 mm long in zone 1 down to 5 mm in zone 3, would take up enough")
	assert.Contains(t, says(23, 1), "little image in zone 1, covered 0.5 %, which is less ink than its key can be set by")
	assert.Contains(t, says(23, 1), "a solid take-off bar 3 mm long in the print direction would take up enough") // 2·23/45 = 1.02 %, 2 mm

	text := formOf(40, 200, block{0, 10, 50, 55}, block{10, 20, 50, 58}, block{20, 30, 50, 60})
	assert.Nil(t, warned(t, look(t, text, fourZones(), zones.Placement{}, 45, ByKeys), CodeLow))
	// A curve that never asks for so much leaves nothing to do.
	flat := &curves.Curve{Name: "flat", Shape: curves.Straight, Points: []curves.Point{{CoveragePct: 0, OpeningPct: 10}, {CoveragePct: 100, OpeningPct: 10}}}
	require.NoError(t, flat.Prepare())
	p, err := New("Gull poster", fourZones(), []UnitInput{{Form: lay(t, form, fourZones(), zones.Placement{}), Curve: flat, Sweep: new(45.0)}}, ByKeys)
	require.NoError(t, err)
	assert.Nil(t, warned(t, p, CodeLow))
}

// A bar is no longer than what is free beside the image: of 200 mm text stands on
// every fourth from 12 to 185, with 12 mm free at the lead edge and at the tail, as
// the cells of 2 mm tell, 14.
func TestBarsFitBesideTheImage(t *testing.T) {
	lines := func(left, right int) (blocks []block) {
		for mm := 12; mm < 188; mm += 4 {
			blocks = append(blocks, block{left, right, mm, mm + 1})
		}
		return blocks
	}
	// 44 mm of 200 are 22 %: to 50 % lack 56 mm.
	w := theWarning(t, look(t, formOf(10, 200, lines(0, 10)...), barPress(), zones.Placement{}, 45, 50), CodeLow)
	assert.Contains(t, w.Text, "; a solid take-off bar 14 mm long in the print direction takes up as much as there is room for")
	// Where the image stands on every row there is no room.
	w = theWarning(t, look(t, formOf(10, 200, block{0, 4, 0, 200}), barPress(), zones.Placement{}, 45, 50), CodeLow)
	assert.Contains(t, w.Text, "; there is no room for a take-off bar: run as little water as keeps the plate clean")
}

// barPress is a press of a zone that is as wide as the form.
func barPress() *press.Press {
	on := zonestest.Press(1, 10)
	on.PrintLengthMM = 200
	return on
}
