package preset

import (
	"testing"

	"bladeline/curves"
	"bladeline/zones/zonestest"

	"github.com/stretchr/testify/assert"
)

func TestOneOfASetting(t *testing.T) {
	on := zonestest.Press(2, 31.75)
	assert.Contains(t, reasonFor(curves.Choice{Sweep: 45, Settings: 81, Equals: 1}, on, []int{1}), ", 1 keeps every printing key")
	assert.Contains(t, reasonFor(curves.Choice{Sweep: 45, Settings: 81, Equals: 2}, on, []int{1}), ", 2 keep every printing key")
	assert.Equal(t, "0.1 %", sharePct(0.1))
	assert.Equal(t, "less than 0.1 %", sharePct(0.0999))
}
