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
