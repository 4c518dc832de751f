package zones

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// A setting is written as a fraction where it is one within a millionth of a
// part, and where its parts can be counted.
func TestFractionsAtTheirBounds(t *testing.T) {
	for _, c := range []struct {
		v, den float64
		want   string
	}{
		{1 + 0.95e-6, 1, "1"}, {1 + 1.05e-6, 1, "1.00000105"}, {-1e-9, 8, "0"}, {-0.125, 8, "-1/8"}, {0, 8, "0"},
		{124_999_999_999_999.875, 8, "124999999999999 7/8"}, {125_000_000_000_000.125, 8, "125000000000000.12"},
	} {
		assert.Equal(t, c.want, fraction(c.v, c.den), "%v in parts of %g", c.v, c.den)
	}
}

// Where the step is not known, sixty-fourths are the finest looked for, and a
// thousandth of a millionth is no part.
func TestKeyTextAtItsBounds(t *testing.T) {
	for v, want := range map[float64]string{
		1.0 / 64: "1/64", 1.0 / 65: "0.015384615384615385", 1 + 0.95e-9: "1", 1 + 1.05e-9: "1.00000000105",
	} {
		assert.Equal(t, want, KeyText(Turn, v))
	}
}

// A step is a part of one where it is so within a millionth.
func TestStepsThatArePartsOfOne(t *testing.T) {
	for step, den := range map[float64]float64{0.125: 8, 1: 1, 1 / (8 + 7.6e-6): 8, 1 / (8 + 8.4e-6): 0, 0.3: 0} {
		assert.Equal(t, den, KeyScale{Step: step}.denominator(), "%v", step)
	}
}
