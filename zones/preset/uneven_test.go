package preset

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestWhichZonesMayBeUneven: all ink of a zone covered 5 % covers a tenth of it
// 50 %, and three times 33.3 % is solid; beyond both, by more than the margin of a
// hundredth, no band can be.
func TestWhichZonesMayBeUneven(t *testing.T) {
	for pct, may := range map[float64]bool{0: false, 4.9: false, 5: true, 20: true, 100.0 / 3: true, 33.7: false, 100: false} {
		assert.Equal(t, may, mayBeUneven(pct), "%g", pct)
	}
}
