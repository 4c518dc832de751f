package preset

import (
	"testing"

	"bladeline/zones"
	"bladeline/zones/press"
	"bladeline/zones/zonestest"

	"github.com/stretchr/testify/assert"
)

// longPress prints 2000 mm of two zones of 10 mm, so that a millimetre of solid
// is half a part in a thousand of a zone, and half a percent of a band.
func longPress() *press.Press {
	on := zonestest.Press(2, 10)
	on.PrintLengthMM = 2000
	return on
}

// A band is a tenth of the length, 200 mm. It is warned of where it is covered
// at least 50 %: 100 mm of its 200, and not 99.
func TestBandsLeastCoverage(t *testing.T) {
	uneven := func(mm int) *zones.Warning {
		return warned(t, look(t, formOf(20, 2000, block{0, 10, 400, 400 + mm}), longPress(), zones.Placement{}, 45, 0), CodeUneven)
	}
	assert.NotNil(t, uneven(100))
	assert.Nil(t, uneven(99))
}

// And where it is covered at least three times as much as its zone. The band
// is solid: a zone of 666 mm of solid, 33.3 %, has a third of it, and one of 667
// mm, 33.35 %, more.
func TestBandsLeastRatio(t *testing.T) {
	uneven := func(mm int) *zones.Warning {
		return warned(t, look(t, formOf(20, 2000, block{0, 10, 400, 400 + mm}), longPress(), zones.Placement{}, 45, 0), CodeUneven)
	}
	assert.NotNil(t, uneven(666))
	assert.Nil(t, uneven(667))
}

// A band is 200 mm long: two blocks of 50 mm that end 200 mm apart cover half
// of it, and half of nothing that is longer or shorter.
func TestBandsLength(t *testing.T) {
	form := formOf(20, 2000, block{0, 10, 400, 450}, block{0, 10, 550, 600})
	w := theWarning(t, look(t, form, longPress(), zones.Placement{}, 45, 0), CodeUneven)
	assert.Contains(t, w.Text, "in zone 1 the tenth of the length from 400 to 600 mm from the gripper edge is covered 50.0 %, 10.0 times the zone's 5.0 %")
}

// bandOf is where the fullest band of zone 1 lies.
func bandOf(t *testing.T, on *press.Press, lengthMM int, blocks ...block) string {
	return theWarning(t, look(t, formOf(20, lengthMM, blocks...), on, zones.Placement{}, 45, 0), CodeUneven).Text
}

// Of bands as full the first is named, and none reaches beyond the form's tail.
func TestWhereTheFullestBandLies(t *testing.T) {
	assert.Contains(t, bandOf(t, longPress(), 2000, block{0, 10, 400, 700}), "from 400 to 600 mm")
	assert.Contains(t, bandOf(t, longPress(), 2000, block{0, 10, 1880, 2000}), "from 1800 to 2000 mm")
	assert.Contains(t, bandOf(t, longPress(), 2000, block{0, 10, 0, 120}), "from 0 to 200 mm")
}

// A band may end on a border of cells and begin on none: cells are 2 mm long,
// and a band of 200.7 mm that ends with the solid begins at 399.3 mm, one that
// ends with the form at 1799.3.
func TestABandThatEndsOnABorder(t *testing.T) {
	on := longPress()
	on.PrintLengthMM = 2007
	assert.Contains(t, bandOf(t, on, 2000, block{0, 5, 300, 600}, block{0, 10, 560, 600}), "from 399 to 600 mm")
	assert.Contains(t, bandOf(t, on, 2000, block{0, 10, 1880, 2000}), "from 1799 to 2000 mm")
}

// A form that is shorter than a band lies in one that begins at the lead edge.
func TestAFormShorterThanABand(t *testing.T) {
	assert.Contains(t, bandOf(t, longPress(), 150, block{0, 10, 10, 130}), "from 0 to 200 mm")
}
