package curves

// A State says what limits a key where it stands.
type State string

// The states of a key.
const (
	Set       State = "set"       // nothing: it stands where the curve asks
	Floor     State = "floor"     // the least opening
	Ceiling   State = "ceiling"   // the most opening
	Neighbour State = "neighbour" // a neighbour on the same blade
	OffSheet  State = "off-sheet" // there is no sheet over its zone
)

// Limits of the keys of one fountain, in % of travel.
type Limits struct {
	FloorPct, CeilingPct float64
	OffSheetPct          float64 // where keys stand that have no sheet over them
	NeighbourPct         float64 // most that neighbours on one blade may differ; 0: any
}

// Apply holds the openings asked for within the limits. Both slices run along
// the fountain; offSheet marks the zones that ask for nothing, and where it ends
// sooner there is sheet. It returns the openings and what limits each.
func (l Limits) Apply(askedPct []float64, offSheet []bool) ([]float64, []State) {
	openings, states := make([]float64, len(askedPct)), make([]State, len(askedPct))
	for i, asked := range askedPct {
		openings[i], states[i] = l.clamp(asked, i < len(offSheet) && offSheet[i])
	}
	if l.NeighbourPct > 0 {
		l.raise(openings, states)
	}
	return openings, states
}

func (l Limits) clamp(asked float64, offSheet bool) (float64, State) {
	clamped := min(max(asked, l.FloorPct), l.CeilingPct)
	switch {
	case offSheet:
		return l.OffSheetPct, OffSheet
	case asked < l.FloorPct-tiny:
		return clamped, Floor
	case asked > l.CeilingPct+tiny:
		return clamped, Ceiling
	}
	return clamped, Set
}

// raise lifts keys that one blade cannot hold so far below their neighbours:
// o'_k = max_j(o_j − limit·|j−k|). Lifting the lower of two never starves a
// zone. Once along the fountain and once back gives the same as all pairs.
func (l Limits) raise(openings []float64, states []State) {
	lift := func(k, from int) {
		if o := openings[from] - l.NeighbourPct; o > openings[k]+tiny {
			openings[k], states[k] = o, Neighbour
		}
	}
	for k := 1; k < len(openings); k++ {
		lift(k, k-1)
	}
	for k := len(openings) - 2; k >= 0; k-- {
		lift(k, k+1)
	}
}
