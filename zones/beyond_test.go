package zones

import (
	"testing"

	"bladeline/zones/zonestest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Ink may reach over an end of the fountain by a pixel: by 1.5 it is beyond,
// and by 0.5 it is not. Pixels are a millimetre.
func TestInkAPixelBeyondTheFountain(t *testing.T) {
	on := zonestest.Press(2, 5)
	for _, c := range []struct {
		width   int
		shiftMM float64
		says    string
	}{
		{13, 0, "ink stands beyond the fountain's ends, 1.5 mm at the left and 1.5 mm at the right"},
		{12, 0.5, "ink stands 1.5 mm beyond the fountain's right end"},
		{12, -0.5, "ink stands 1.5 mm beyond the fountain's left end"},
	} {
		_, _, err := zonesOf(zonestest.Solid(c.width, 1, 25.4), on, Placement{ShiftMM: c.shiftMM})
		assert.ErrorContains(t, err, c.says)
	}
	_, warnings, err := zonesOf(zonestest.Solid(11, 1, 25.4), on, Placement{})
	require.NoError(t, err)
	require.Len(t, warnings, 1)
	assert.Contains(t, warnings[0].Text, "by 0.5 mm on the left and 0.5 mm on the right")
}

// Of the end that a raster does not reach over, none is said.
func TestBlankBeyondOneEnd(t *testing.T) {
	for shift, says := range map[float64]string{2: "by 0 mm on the left and 2 mm on the right", -2: "by 2 mm on the left and 0 mm on the right"} {
		_, warnings, err := zonesOf(zonestest.Drawn(25.4, "...####..."), zonestest.Press(2, 5), Placement{ShiftMM: shift})
		require.NoError(t, err)
		require.Len(t, warnings, 1)
		assert.Contains(t, warnings[0].Text, says)
	}
}

// A print of a millimetre is one, and a single pixel of ink beyond it is ink.
func TestInkBeyondAShortPrint(t *testing.T) {
	on := zonestest.Press(1, 10)
	on.PrintLengthMM = 1
	code := func(lines ...string) string {
		_, warnings, err := zonesOf(zonestest.Drawn(25.4, lines...), on, Placement{})
		require.NoError(t, err)
		require.Len(t, warnings, 1)
		return warnings[0].Code
	}
	assert.Equal(t, CodeLength, code("..........", "..........", "#........."))
	assert.Equal(t, CodeOutside, code("#.........", "..........", ".........."))
}

func TestMillimetresOfMessages(t *testing.T) {
	for mm, want := range map[float64]string{0: "0", 0.0005: "less than 0.001", 0.00095: "less than 0.001", 0.001: "0.001", 0.00105: "0.001", 1.23456: "1.235"} {
		assert.Equal(t, want, mmText(mm), "%g", mm)
	}
}
