package preset

import (
	"testing"

	"bladeline/curves"

	"github.com/stretchr/testify/assert"
)

// What is wrong, as it is and as it would be.
func TestFaults(t *testing.T) {
	u := &Unit{Keys: []Key{{Zone: 1}, {Zone: 2}, {Zone: 3}, {Zone: 4}}}
	f := &curves.Fed{
		Cut: 6.6, Ceiling: []int{1}, FloorPct: 0.4, Floor: []int{0, 1, 2}, NeighbourPct: 48.2, Neighbour: []int{0, 2}, StepsPct: -19.05,
	}
	assert.Equal(t, "the ceiling cuts 7 % off zone 2, the floor adds less than 1 % to the ink, in zones 1 to 3, "+
		"neighbours on the blade add 48 % to the ink, in zones 1 and 3, the keys' steps feed all zones together 19 % too little", faults(f, u, false))
	assert.Equal(t, "the ceiling would cut 7 % off zone 2, the floor would add less than 1 % to the ink, in zones 1 to 3, "+
		"neighbours on the blade would add 48 % to the ink, in zones 1 and 3, the keys' steps would feed all zones together 19 % too little", faults(f, u, true))
	f = &curves.Fed{Cut: 20, Ceiling: []int{1, 3}, StepsPct: 19.05}
	assert.Equal(t, "the ceiling cuts up to 20 % off zones 2 and 4, the keys' steps feed all zones together 19 % too much", faults(f, u, false))
	assert.Empty(t, faults(&curves.Fed{Cut: 4, Off: 0.5}, u, false))
}
