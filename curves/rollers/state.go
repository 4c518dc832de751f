package rollers

import (
	"errors"
	"slices"
)

// A State is the film on every surface of a train between two turns of the
// plate. It belongs to models of the same train, fountain and grid, and does not
// change.
type State struct {
	films []float64 // of all rings, each from its first slot on, of plate and blanket
	sheet int       // of the period
	inked bool      // the plate and the blanket; otherwise they are bare
}

// Clean is the state of washed rollers, plate and blanket bare.
func (m *Model) Clean() *State { return m.Even(0) }

// Even is a film of so many µm on all rollers, plate and blanket bare.
func (m *Model) Even(filmUM float64) *State {
	s := &State{films: make([]float64, m.cells)}
	for i := range s.films[:m.plate] {
		s.films[i] = filmUM
	}
	return s
}

// NewPlate is a state's films on the rollers with plate and blanket bare: how one
// job leaves the train to the next.
func (m *Model) NewPlate(s *State) *State {
	bare := &State{films: slices.Clone(s.films), sheet: s.sheet}
	clear(bare.films[min(m.plate, len(bare.films)):])
	return bare
}

// StoredMM3 is the ink on all surfaces, in mm³; plate and blanket count where the
// form takes ink.
func (m *Model) StoredMM3(s *State, f Form) (float64, error) {
	cover, err := m.cover(f)
	if err != nil {
		return 0, err
	}
	if err := m.owns(s); err != nil {
		return 0, err
	}
	sum := 0.0
	for _, film := range s.films[:m.plate] {
		sum += film
	}
	for i, c := range cover {
		sum += c * (s.films[m.plate+i] + s.films[m.blanket+i])
	}
	return sum * m.cellMM3(), nil
}

// cellMM3 is the ink of 1 µm on one cell.
func (m *Model) cellMM3() float64 { return m.slotMM * m.columnMM / 1000 }

func (m *Model) owns(s *State) error {
	if s == nil || len(s.films) != m.cells || s.sheet < 0 || s.sheet >= m.period {
		return errors.New("the films are those of another train, fountain or grid")
	}
	return nil
}

// RollersUM is the mean film of each roller, as in the train, zone by zone; the
// ductor comes last.
func (m *Model) RollersUM(s *State) ([][]float64, error) {
	if err := m.owns(s); err != nil {
		return nil, err
	}
	films := make([][]float64, len(m.rings))
	for r, ring := range m.rings {
		films[r] = make([]float64, m.fountain.Zones)
		for row := range ring.slots {
			at := ring.first + row*m.columns
			m.zoneSums(films[r], s.films[at:at+m.columns])
		}
		for z := range films[r] {
			films[r][z] /= float64(ring.slots * m.grid.Columns)
		}
	}
	return films, nil
}
