package zones

import (
	"testing"

	"bladeline/curves"

	"github.com/stretchr/testify/assert"
)

// A zone that asks for nothing is right with nothing, and has no share of it.
func TestJudgedByNothing(t *testing.T) {
	for _, c := range []struct {
		demand, supply float64
		says           string
		off            *float64
	}{{0, 0, TrialRight, nil}, {0, 0.5, TooMuch, nil}, {0.5, 0.5, TrialRight, new(0.0)}, {0.5, 1, TooMuch, new(100.0)}, {0.5, 0, TooLittle, new(-100.0)}} {
		z := TrialZone{Demand: c.demand, Supply: c.supply}
		z.judge()
		assert.Equal(t, c.says, z.Says, "%+v", c)
		assert.Equal(t, c.off, z.OffPct, "%+v", c)
	}
}

func TestOneOfASettingOrANotch(t *testing.T) {
	assert.Equal(t, "1 notch", Amount(1, string(Notch)))
	assert.Equal(t, "2 notches", Amount(2, string(Notch)))
	assert.Equal(t, "1 %", Amount(1, "%"))
	press := pressOf(2, 31.75)
	assert.Contains(t, reasonFor(curves.Choice{Sweep: 45, Settings: 81, Equals: 1}, press, []int{1}), ", 1 keeps every printing key")
	assert.Contains(t, reasonFor(curves.Choice{Sweep: 45, Settings: 81, Equals: 2}, press, []int{1}), ", 2 keep every printing key")
	assert.Equal(t, "0.1 %", sharePct(0.1))
	assert.Equal(t, "less than 0.1 %", sharePct(0.0999))
}

// A zone is judged by the part of it that the form covers from half of it on:
// of zones of 20 mm the outer ones lie 10 or 9 mm under forms of 60 and 58 mm.
func TestTakeOffOfHalfAZone(t *testing.T) {
	press := pressOf(4, 20)
	press.PrintLengthMM = 200
	for widthMM, zones := range map[int]string{60: "zones 1 to 4", 58: "zones 2 and 3"} {
		w := theWarning(t, look(t, formOf(widthMM, 200, block{0, widthMM, 0, 10}), press, Placement{}, 45, LowPct), CodeLow)
		assert.Contains(t, w.Text, "low take-off: "+zones+", covered ", "%d mm", widthMM)
	}
}
