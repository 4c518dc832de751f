package rollers

import "errors"

// OnGrid has the films of a state that another model of the same train and fountain
// made on this model's own grid: each cell takes what lies on it, so that a film's mean
// stays. What is finer than the other grid is not in it; [Model.SteadyNear] works that
// out from there.
func (m *Model) OnGrid(other *Model, s *State) (*State, error) {
	if err := other.owns(s); err != nil {
		return nil, err
	}
	if len(other.rings) != len(m.rings) || other.fountain != m.fountain || other.period != m.period {
		return nil, errors.New("the films are those of another train or fountain")
	}
	to := &State{films: make([]float64, m.cells), sheet: s.sheet, inked: s.inked}
	across := overlays(other.columns, m.columns)
	lay := func(first, slots, from, fromSlots int) {
		for slot, along := range overlays(fromSlots, slots) {
			row := to.films[first+slot*m.columns:]
			for _, y := range along {
				for column, cells := range across {
					for _, x := range cells {
						row[column] += y.share * x.share * s.films[from+y.cell*other.columns+x.cell]
					}
				}
			}
		}
	}
	for i, ring := range m.rings {
		lay(ring.first, ring.slots, other.rings[i].first, other.rings[i].slots)
	}
	lay(m.plate, m.slots, other.plate, other.slots)
	lay(m.blanket, m.slots, other.blanket, other.slots)
	return to, nil
}
