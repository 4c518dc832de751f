package rollers

// A Ghost is a step of the film on the sheet that a form roller brings back from
// a step of coverage, one or more of its turns earlier.
type Ghost struct {
	Roller          string
	CircumferenceMM float64
	Turns           int     // of the roller, from cause to ghost
	CauseMM, AtMM   float64 // from the gripper edge; AtMM is on the next sheet's image where it lies before CauseMM
	LeftMM, RightMM float64 // from the fountain's left end
	StepUM          float64 // what the film rises by, towards the tail; falls are negative
	StepPct         float64 // of the film there
}

// Ghosts are the steps of at least leastPct of the film, largest first.
func (s *Steady) Ghosts(leastPct float64) []Ghost { return nil }

// A carried is the film that a form roller brought to each cell of the image.
type carried struct {
	roller int
	film   []float64
}

// carried has room for the films of all form rollers.
func (m *Model) carried() []carried {
	forms := make([]carried, len(m.forms))
	for i, f := range m.forms {
		forms[i] = carried{f.ring, make([]float64, m.slots*m.columns)}
	}
	return forms
}

// carry keeps what form rollers bring at a step, as a mean over the period.
func (t *turning) carry(forms []carried, step int) {
	m := t.m
	for i, f := range m.forms {
		if slot := (step - f.plate + m.turn) % m.turn; slot < m.slots {
			add(forms[i].film[slot*m.columns:(slot+1)*m.columns], 1/float64(m.period), t.row(f.spot))
		}
	}
}
