package rollers

// A State is the film on every surface of a train at one moment. It belongs to
// models that are made alike, and does not change.
type State struct {
	films []float64
}

// Clean is the state of washed rollers, with a bare plate and blanket.
func (m *Model) Clean() *State { return nil }

// Even is a film of the given µm on all rollers, with a bare plate and blanket.
func (m *Model) Even(filmUM float64) *State { return nil }

// NewPlate is the state with the films of the rollers, the plate and the blanket
// bare: how one job leaves the train to the next.
func (m *Model) NewPlate(s *State) *State { return nil }

// StoredMM3 is the ink on all surfaces, in mm³; what stands on plate and blanket
// counts where the form takes ink.
func (m *Model) StoredMM3(s *State, f Form) (float64, error) { return 0, errOpen }
