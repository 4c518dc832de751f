package zones

import (
	"math"
	"testing"

	"bladeline/curves"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestSplitAtItsBounds(t *testing.T) {
	m := solid(4, 1, 1)
	for n, ok := range map[int]bool{1: true, 200: true, 0: false, 201: false} {
		_, err := Split(m, n, Placement{})
		assert.Equal(t, ok, err == nil, "%d", n)
	}
	split, err := Split(m, 2, Placement{})
	require.NoError(t, err)
	assert.Equal(t, new(2*25.4), split[1].LeftMM, "1 px an inch is a resolution")
}

// A resolution that is stated one way only, or that no plate has one way, gives
// no place; 1 px an inch does.
func TestPlacedByHalfAResolution(t *testing.T) {
	press := pressOf(2, 25.4)
	for dpi, says := range map[[2]float64]string{
		{0, 25.4}: "states no resolution", {25.4, 0}: "states no resolution",
		{0.5, 25.4}: "is no resolution of a plate", {25.4, 0.5}: "is no resolution of a plate",
	} {
		_, _, err := Place(mapOf(1, dpi[0], dpi[1], []uint64{1, 1}), press, Placement{})
		assert.ErrorContains(t, err, says, "%v", dpi)
	}
	assert.Equal(t, []float64{100, 100}, coverages(placed(t, mapOf(1, 1, 1, []uint64{1, 1}), press, Placement{})))
}

// A solid that is a pixel longer than the print fills it; two are too many.
// The print is 100 px long.
func TestSolidLongerThanThePrint(t *testing.T) {
	press := pressOf(1, 10)
	press.PrintLengthMM = 100
	for rows, ok := range map[int]bool{100: true, 101: true, 102: false} {
		zones, _, err := Place(solid(10, rows, 25.4), press, Placement{})
		require.Equal(t, ok, err == nil, "%d rows", rows)
		if ok {
			assert.Equal(t, []float64{100}, coverages(zones))
		}
	}
}

// Ink may reach over an end of the fountain by a pixel: by 1.5 it is beyond,
// and by 0.5 it is not. Pixels are a millimetre.
func TestInkAPixelBeyondTheFountain(t *testing.T) {
	press := pressOf(2, 5)
	for _, c := range []struct {
		width   int
		shiftMM float64
		says    string
	}{
		{13, 0, "ink stands beyond the fountain's ends, 1.5 mm at the left and 1.5 mm at the right"},
		{12, 0.5, "ink stands 1.5 mm beyond the fountain's right end"},
		{12, -0.5, "ink stands 1.5 mm beyond the fountain's left end"},
	} {
		_, _, err := Place(solid(c.width, 1, 25.4), press, Placement{ShiftMM: c.shiftMM})
		assert.ErrorContains(t, err, c.says)
	}
	_, warnings, err := Place(solid(11, 1, 25.4), press, Placement{})
	require.NoError(t, err)
	require.Len(t, warnings, 1)
	assert.Contains(t, warnings[0].Text, "by 0.5 mm on the left and 0.5 mm on the right")
}

// Of the end that a raster does not reach over, none is said.
func TestBlankBeyondOneEnd(t *testing.T) {
	for shift, says := range map[float64]string{2: "by 0 mm on the left and 2 mm on the right", -2: "by 2 mm on the left and 0 mm on the right"} {
		_, warnings, err := Place(drawn(25.4, "...####..."), pressOf(2, 5), Placement{ShiftMM: shift})
		require.NoError(t, err)
		require.Len(t, warnings, 1)
		assert.Contains(t, warnings[0].Text, says)
	}
}

// A print of a millimetre is one, and a single pixel of ink beyond it is ink.
func TestInkBeyondAShortPrint(t *testing.T) {
	press := pressOf(1, 10)
	press.PrintLengthMM = 1
	code := func(lines ...string) string {
		_, warnings, err := Place(drawn(25.4, lines...), press, Placement{})
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

// A press of one key has zeros, learned and by hand, as any other; a zone that
// it does not have tells none, and a zero of nothing has no sign.
func TestZerosOfOneKey(t *testing.T) {
	press := pressOf(1, 31.75)
	press.Keys.Zero, press.Keys.ZeroByHand = []float64{1}, []float64{2}
	assert.Equal(t, []float64{2}, press.Unlearned().Keys.Zero)
	assert.True(t, press.ZerosLearned())
	press.Keys.Zero = []float64{0}
	assert.Equal(t, []float64{50}, press.ZerosWith([]curves.Offset{{Zone: 1, ShiftPct: 50, Readings: 1}, {Zone: 2, ShiftPct: 3, Readings: 1}}))
	nothing := press.ZerosWith([]curves.Offset{{Zone: 1, ShiftPct: -0.001, Readings: 1}})
	assert.False(t, math.Signbit(nothing[0]))
}
