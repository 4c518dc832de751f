package settings

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestPlain(t *testing.T) {
	for v, want := range map[float64]string{
		0: "0", 45.5: "45.5", -3: "-3", 1e9: "1000000000", 1e-9: "0.000000001",
		1e300: "1e+300", -1e300: "-1e+300", 1e-300: "1e-300", math.Inf(1): "+Inf",
	} {
		assert.Equal(t, want, Plain(v))
	}
}
