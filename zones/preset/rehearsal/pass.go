package rehearsal

import "bladeline/zones/preset"

// A makeready is what one ink takes from washed rollers.
type makeready struct {
	washed int     // sheets; more than are followed where it never comes right
	charge *Charge // nil: none helps
	least  int     // sheets that a charge must save
}

// makeready is that of a charge, or without one of so many sheets; nil: more than were followed.
func (s *stage) makeready(c *Charge, washed *int, never bool) makeready {
	m := makeready{mostSheets + 1, nil, seenSheets}
	if s.byHand() {
		m.least = handSheets
	}
	switch {
	case never:
	case c != nil && c.SavesSheets != nil:
		m.washed, m.charge = c.Sheets+*c.SavesSheets, c
	case c != nil:
		m.charge = c
	case washed != nil:
		m.washed = *washed
	}
	return m
}

// charged are the sheets that it takes with the better of both.
func (m makeready) charged() int {
	if m.charge == nil {
		return m.washed
	}
	return min(m.washed, m.charge.Sheets)
}

// worth tells of every ink whether its charge saves its pass sheets: the inks of a pass
// run together, and the slowest decides. An ink that is there before the slowest, washed
// as it is, needs none.
func worth(units []preset.Unit, all []makeready) []bool {
	worth := make([]bool, len(all))
	for i, m := range all {
		washed, left := 0, 0
		for j, other := range all {
			if i == j || units[i].Pass != nil && units[j].Pass != nil && *units[i].Pass == *units[j].Pass {
				washed, left = max(washed, other.washed), max(left, other.charged())
			}
		}
		worth[i] = m.charge != nil && washed-left >= m.least && m.washed > left
	}
	return worth
}
