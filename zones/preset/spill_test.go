package preset

import (
	"testing"

	"bladeline/curves"
	"bladeline/zones"
	"bladeline/zones/press"

	"github.com/stretchr/testify/assert"
)

// Worked by hand: a solid of 80 % over the second of four zones on a blade that
// gives 30 % holds the bare ones at 50, 50 and 20 %: of 200 that is 60 %. At 76 it
// asks for 47.4 %, and the blade holds them at 17.4 and 17.4 and the floor at 2: of
// keys on whole points, 47, 17, 17 and 2, 34 of 83 are 41 %, and no less at 77, the
// end of the working range.
func TestSpill(t *testing.T) {
	on := fourZones()
	on.Fountain.Blade, on.Limits.NeighbourPct = press.OnePiece, 30
	solid := formOf(40, 200, block{10, 20, 0, 160})
	w := theWarning(t, look(t, solid, on, zones.Placement{}, 45, 0), CodeSpill)
	assert.Equal(t, zones.Warning{
		Ink: "Black", Zone: new(1), Code: CodeSpill,
		Text: "spilled ink: 60 % of the ink goes to zones 1, 3 and 4, where nothing prints, as the blade bends by at most 30 % of travel from key to key: " +
			"it stays on the rollers, and darkens the image beside; a sweep of 76 % makes that 41 %; " +
			"a take-off bar in those under the sheet takes it up, or turn or re-impose the form; bend the blade further only as far as its manual allows",
	}, *w)
	// At 77 no sweep lessens it.
	w = theWarning(t, look(t, solid, on, zones.Placement{}, 77, 0), CodeSpill)
	assert.Contains(t, w.Text, "spilled ink: 41 % of the ink goes to zones 1 and 3, where")
	assert.NotContains(t, w.Text, "a sweep of")
	// Off the sheet as well: the form is 10 mm wide, over half of two zones each.
	w = theWarning(t, look(t, formOf(20, 200, block{0, 20, 0, 160}), on, zones.Placement{}, 45, 0), CodeSpill)
	assert.Contains(t, w.Text, "goes to zones 1 and 4, where nothing prints")

	// 24 and 80 % in turn: the blade holds the lower ones at 50, but they print.
	striped := formOf(40, 200, block{0, 10, 0, 48}, block{10, 20, 0, 160}, block{20, 30, 0, 48}, block{30, 40, 0, 160})
	assert.Nil(t, warned(t, look(t, striped, on, zones.Placement{}, 45, 0), CodeSpill))
	// A segmented blade spills nothing.
	assert.Nil(t, warned(t, look(t, solid, fourZones(), zones.Placement{}, 45, 0), CodeSpill))
}

// From a tenth of the ink on: beside 80, 72 and 72 % a bare zone is held at 72
// less the limit.
func TestSpillFromATenth(t *testing.T) {
	on := fourZones()
	on.Limits = curves.Limits{FloorPct: 2, CeilingPct: 100}
	on.Fountain.Blade = press.OnePiece
	form := formOf(40, 200, block{0, 10, 0, 160}, block{10, 30, 0, 144})
	for limit, spills := range map[float64]bool{47: true, 48: false} { // 25 of 249, 24 of 248
		on.Limits.NeighbourPct = limit
		assert.Equal(t, spills, warned(t, look(t, form, on, zones.Placement{}, 45, 0), CodeSpill) != nil, "%g", limit)
	}
}
