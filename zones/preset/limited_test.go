package preset

import (
	"testing"

	"bladeline/curves"
	"bladeline/zones"

	"github.com/stretchr/testify/assert"
)

// A key is worth a word that stands half a point off, and not one that stands
// 0.4 off: on 2000 mm, 1 mm of solid is 0.05 %.
func TestHeldKeysWorthAWord(t *testing.T) {
	on := longPress()
	on.Limits = curves.Limits{FloorPct: 2, CeilingPct: 90}
	warnedOf := func(code string, mm int) bool {
		return warned(t, look(t, formOf(20, 2000, block{0, 10, 0, mm}, block{10, 20, 0, 1000}), on, zones.Placement{}, 45, 0), code) != nil
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
