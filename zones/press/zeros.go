package press

import "slices"

// Unlearned is the press with the zeros that it had before any were learned.
// What is learned from there does not depend on what was written meanwhile, so
// learning twice from the same jobs finds the same.
func (p *Press) Unlearned() *Press {
	if p == nil {
		return nil
	}
	before := *p
	if len(p.Keys.ZeroByHand) > 0 {
		before.Keys.Zero = p.Keys.ZeroByHand
	}
	before.Units = slices.Clone(p.Units)
	for i := range before.Units {
		if u := &before.Units[i]; len(u.ZeroByHand) > 0 {
			u.Zero = u.ZeroByHand
		}
	}
	return &before
}

// ZerosLearned tells whether the press's zeros are learned ones.
func (p *Press) ZerosLearned() bool {
	return p != nil && len(p.Keys.ZeroByHand) > 0 && !slices.Equal(p.Keys.Zero, p.Keys.ZeroByHand)
}
