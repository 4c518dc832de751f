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
	assert.Equal(t, "the ceiling cuts 7 % off zone 2, the floor feeds less than 1 % more ink than the form takes, in zones 1 to 3, "+
		"the bend of the blade feeds 48 % more ink than the form takes, in zones 1 and 3, the keys' steps feed all zones together 19 % too little", faults(f, u, false))
	assert.Equal(t, "the ceiling would cut 7 % off zone 2, the floor would feed less than 1 % more ink than the form takes, in zones 1 to 3, "+
		"the bend of the blade would feed 48 % more ink than the form takes, in zones 1 and 3, the keys' steps would feed all zones together 19 % too little", faults(f, u, true))
	f = &curves.Fed{Cut: 20, Ceiling: []int{1, 3}, StepsPct: 19.05}
	assert.Equal(t, "the ceiling cuts up to 20 % off zones 2 and 4, the keys' steps feed all zones together 19 % too much", faults(f, u, false))
	assert.Empty(t, faults(&curves.Fed{Cut: 4, Off: 0.5}, u, false))
}

// What is left of one fault is its figure; of several, or another, each says what it is.
func TestWhatIsLeft(t *testing.T) {
	bends := curves.Fed{NeighbourPct: 75, Neighbour: []int{0}}
	c := chosenSweep{Choice: curves.Choice{Fed: curves.Fed{NeighbourPct: 48, Neighbour: []int{0}}, AtStart: bends}}
	assert.Equal(t, "it is 48 %", c.left())
	c.StepsPct, c.Cut, c.Ceiling = -7, 12, []int{1}
	assert.Equal(t, "it is 12 % cut by the ceiling, 48 % too much by the bend of the blade and 7 % too little by the keys' steps", c.left())
	c.Fed = curves.Fed{FloorPct: 3, Floor: []int{1}}
	assert.Equal(t, "it is 3 % too much by the floor", c.left())
	c.Fed = curves.Fed{}
	assert.Empty(t, c.left())
}
