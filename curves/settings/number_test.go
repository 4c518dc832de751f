package settings

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestPlain(t *testing.T) {
	for v, want := range map[float64]string{
		0: "0", 45.5: "45.5", -3: "-3", 1e9: "1000000000", 1e-9: "0.000000001",
		1e-12: "0.000000000001", 9.9e-13: "9.9e-13", 999_999_999_999_999: "999999999999999", 1e15: "1e+15", -1e15: "-1e+15",
		1e300: "1e+300", -1e300: "-1e+300", 1e-300: "1e-300", math.Inf(1): "+Inf",
	} {
		assert.Equal(t, want, Plain(v))
	}
}

func TestNumbersForAFile(t *testing.T) {
	assert.Equal(t, "12.1", Number(11*1.1))
	assert.Equal(t, "1000000000000000000000", Decimal(1e21))
	assert.Equal(t, "0.0000000000001", Decimal(1e-13))
	assert.Equal(t, "1, 2.5", Numbers([]float64{1, 2.5}))
}
