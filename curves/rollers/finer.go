package rollers

import (
	"context"
	"errors"
	"fmt"
	"math"
)

// OnGrid has the films of a state that another model of the same train and fountain
// made on this model's own grid: each cell takes what lies on it, so that a film's mean
// stays. What is finer than the other grid is not in it; [Model.SteadyNear] and
// [Model.SteadyAfter] work that out from there.
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

// SteadyAfter is what is printed once a train has turned for so many sheets, and up to a
// whole period, from a state that lies near, as one does that another grid settled at:
// what is finer than that has then settled as well. It holds a few states in memory where
// [Model.SteadyNear] holds a basis of them.
func (m *Model) SteadyAfter(ctx context.Context, near *State, f Form, s Setting, sheets int) (*Steady, error) {
	t, err := m.prepare(near, f, s)
	if err != nil {
		return nil, err
	}
	if sheets < 1 || sheets > MostSheets {
		return nil, fmt.Errorf("a run of %d sheets; from 1 to %d are followed", sheets, MostSheets)
	}
	t.stop = func() bool { return ctx.Err() != nil }
	before, films := make([]float64, m.cells), make([]float64, m.cells)
	t.period(before, films)
	takenUp := math.Sqrt(dot(before, before))
	copy(films, near.films)
	for done := 0; done < sheets; done += m.period {
		before, films = films, before
		t.period(films, before)
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	add(before, -1, films)
	st, err := m.record(ctx, t)
	if err == nil && takenUp > 0 {
		st.Residual = math.Sqrt(dot(before, before)) / takenUp
	}
	return st, err
}
