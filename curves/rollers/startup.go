package rollers

import "context"

// A Startup is what a train prints sheet by sheet.
type Startup struct {
	FilmUM     [][]float64 // sheet by sheet, zone by zone, as ZoneFilm.FilmUM
	FedMM3     []float64   // sheet by sheet
	PrintedMM3 []float64
	State      *State // after the last sheet
}

// Run prints sheets from a state. A plate that is bare is inked for one turn
// before the first sheet.
func (m *Model) Run(ctx context.Context, from *State, f Form, s Setting, sheets int) (*Startup, error) {
	return nil, errOpen
}

// Within is the number of sheets after which all zones stay within a share of
// their targets, as 0.1 for 10 %, and whether they do so within the run. Zones
// whose target is 0 are not looked at.
func (s *Startup) Within(targetsUM []float64, share float64) (sheets int, ok bool) { return 0, false }

// Idle turns the rollers, with the form rollers off the plate, so many turns of
// the plate, with the ductor feeding or not.
func (m *Model) Idle(ctx context.Context, from *State, s Setting, turns int, ductor bool) (*State, error) {
	return nil, errOpen
}
