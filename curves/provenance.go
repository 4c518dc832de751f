package curves

// A Provenance says what a curve was learned from.
type Provenance struct {
	From       string   // name of the curve that it started from
	FromPoints []Point  // of that curve
	FromShape  Shape    // of that curve
	Runs       []string // names of the runs, sorted
	Readings   int      `json:"Pairs"` // that were used; Pairs is what tabs and files know them by
	LeftOut    int      // zones that were not
	ReadingPct float64  // how well a key was taken to be read
	Edited     bool     // the points were changed since
}

// Origin is the curve that was started from, to refer to a sweep; it is not
// prepared.
func (p *Provenance) Origin(referenceSweep float64) *Curve {
	if p == nil {
		return nil
	}
	return &Curve{Name: p.From, Shape: p.FromShape, ReferenceSweep: referenceSweep, Points: p.FromPoints}
}
