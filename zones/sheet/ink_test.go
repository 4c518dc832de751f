package sheet

import (
	"testing"

	"bladeline/zones/preset"

	"github.com/stretchr/testify/assert"
)

// TestInkLines has masses with as many digits as an estimate is worth: by hand,
// 0.04 m2 of solid under 1.2 g/m2 are 0.048 g a sheet, 240 g for 5000 and 48 g for
// 1000; 0.0001 m2 of it 0.6 g and 0.12 g. Low is 0.7 g/m2, ISO 2846-1's 0.7 um, high
// the trade's pound (453.59 g) to 375,000 square inches (241.94 m2), 1.8749 g/m2.
func TestInkLines(t *testing.T) {
	e := preset.NewEstimate(5000, 0, []preset.InkInput{
		{Ink: "Black", SolidM2: 0.04, FilmGM2: 1.2, SpecificGravity: 1},
		{Ink: "Gold", SolidM2: 0.0001, FilmGM2: 1.2, SpecificGravity: 1},
	})
	lines := InkLines(e)
	assert.Len(t, lines, 2)
	assert.Equal(t, []string{"240 g for 5000 sheets (140 to 375 g)", "48.0 g for each further 1000"}, lines["Black"])
	assert.Equal(t, []string{"0.60 g for 5000 sheets (0.35 to 0.94 g)", "0.12 g for each further 1000"}, lines["Gold"])
}
