package rollers

import (
	"cmp"
	"math"
	"slices"
)

// A Ghost is a step of the film on the sheet that a form roller brings back from
// a step of coverage, one or more of its turns after it.
type Ghost struct {
	Roller          string
	CircumferenceMM float64
	Turns           int     // of the roller, from cause to ghost
	CauseMM, AtMM   float64 // from the gripper edge; a ghost that lies before its cause is on the next sheet
	LeftMM, RightMM float64 // from the fountain's left end
	StepUM          float64 // what the film rises by, towards the tail; falls are negative
	StepPct         float64 // of the film there
}

// A carried is what a form roller brought to each cell of the image.
type carried struct {
	name    string
	roundMM float64
	round   int       // slots
	weight  float64   // of its film in the printed one
	film    []float64 // µm
}

// carried has room for the films of all form rollers. With p the film on the plate
// and x what is printed, each form roller halves the difference of p to its own
// film; the blanket leaves x/τ and wants (1+τ)x/τ. So x is a sum of what the form
// rollers bring to each cell, and what the last brings weighs most.
func (m *Model) carried() []carried {
	forms := make([]carried, len(m.forms))
	sum := 1 + m.train.Paper - math.Exp2(-float64(len(forms)))
	for i, f := range m.forms {
		forms[i] = carried{
			name:    m.train.Rollers[f.ring].Name,
			roundMM: math.Pi * m.train.Rollers[f.ring].DiameterMM,
			round:   m.rings[f.ring].slots,
			weight:  m.train.Paper * math.Exp2(float64(i-len(forms))) / sum,
			film:    make([]float64, m.slots*m.columns),
		}
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

// What is looked at for ghosts. Common practice, no source.
const (
	seenCover = 0.02 // a ghost is seen where there is this much image on both of its sides
	causeStep = 0.05 // of coverage that is a cause
)

// Ghosts are the steps of at least leastPct of the film that form rollers bring
// back from edges of coverage, within a turn of the plate, largest first.
func (s *Steady) Ghosts(leastPct float64) []Ghost {
	var found []Ghost
	for _, form := range s.forms {
		var open []Ghost // those that reach the column before
		for column := range s.Sheet.Columns {
			var next []Ghost
			for _, g := range s.steps(form, column, leastPct) {
				next = append(next, g.joined(&open, s.Sheet.SlotMM))
			}
			found = append(found, open...)
			open = next
		}
		found = append(found, open...)
	}
	slices.SortStableFunc(found, func(a, b Ghost) int {
		return cmp.Or(cmp.Compare(math.Abs(b.StepPct), math.Abs(a.StepPct)), cmp.Compare(a.AtMM, b.AtMM), cmp.Compare(a.LeftMM, b.LeftMM))
	})
	return found
}

// joined is a ghost with the one in the column to its left that has the same
// cause, which is taken off the list.
func (g Ghost) joined(open *[]Ghost, slotMM float64) Ghost {
	i := slices.IndexFunc(*open, func(o Ghost) bool {
		return o.Turns == g.Turns && math.Abs(o.CauseMM-g.CauseMM) < 1.5*slotMM && (o.StepUM > 0) == (g.StepUM > 0)
	})
	if i < 0 {
		return g
	}
	left, right := (*open)[i].LeftMM, g.RightMM
	if math.Abs((*open)[i].StepPct) > math.Abs(g.StepPct) {
		g = (*open)[i]
	}
	g.LeftMM, g.RightMM = left, right
	*open = slices.Delete(*open, i, i+1)
	return g
}

// An edge is where coverage rises or falls along a column: from slot from − 1 to
// slot to.
type edge struct {
	from, to int
	at       float64 // its middle, in slots: where it lies within one, exactly
	rise     float64
}

// edges are those of a column once round the plate, the ends of the image
// included. What goes on rising or falling is one edge.
func (s *Steady) edges(column int) []edge {
	var edges []edge
	var e edge
	for slot := range s.Sheet.Slots + 1 {
		rise := s.cover(slot, column) - s.cover(slot-1, column)
		if rise*e.rise <= 0 {
			edges = append(edges, e)
			e = edge{from: slot}
		}
		if rise != 0 {
			e.to, e.rise, e.at = slot, e.rise+rise, e.at+rise*float64(slot)
		}
	}
	edges = slices.DeleteFunc(append(edges, e), func(e edge) bool { return math.Abs(e.rise) < causeStep })
	for i := range edges {
		edges[i].at /= edges[i].rise
	}
	return edges
}

// cover is the coverage at a slot of a turn of the plate; the gap has none.
func (s *Steady) cover(slot, column int) float64 {
	if slot = (slot + s.turn) % s.turn; slot < s.Sheet.Slots {
		return s.Sheet.Cover[slot*s.Sheet.Columns+column]
	}
	return 0
}

// steps finds one form roller's ghosts in one column. Where two edges would make
// the same step it is laid to the one that weighs more, each turn halving it.
func (s *Steady) steps(form carried, column int, leastPct float64) []Ghost {
	var found []Ghost
	var weights []float64
	for _, e := range s.edges(column) {
		for k := 1; k*form.round < s.turn; k++ {
			g, is := s.ghost(form, column, e, k)
			if !is || math.Abs(g.StepPct) < leastPct {
				continue
			}
			weight := math.Abs(e.rise) * math.Exp2(-float64(k))
			same := slices.IndexFunc(found, func(o Ghost) bool {
				return math.Abs(o.AtMM-g.AtMM) < 2*s.Sheet.SlotMM && (o.StepUM > 0) == (g.StepUM > 0)
			})
			switch {
			case same < 0:
				found, weights = append(found, g), append(weights, weight)
			case weights[same] < weight:
				found[same], weights[same] = g, weight
			}
		}
	}
	return found
}

// ghost is what an edge leaves k turns of a form roller later, and whether it does:
// more coverage makes a fall of film. Films move round the rollers without being
// smeared, so that edge and ghost are as sharp as each other.
func (s *Steady) ghost(form carried, column int, e edge, k int) (g Ghost, is bool) {
	sh := s.Sheet
	before, behind := (e.from-1+k*form.round)%s.turn, (e.to+k*form.round)%s.turn
	if before >= sh.Slots || behind >= sh.Slots || behind < before {
		return g, false
	}
	a, b := before*sh.Columns+column, behind*sh.Columns+column
	step := form.weight * (form.film[b] - form.film[a])
	if min(sh.Cover[a], sh.Cover[b]) < seenCover || step*e.rise >= 0 {
		return g, false
	}
	g = Ghost{
		Roller: form.name, CircumferenceMM: form.roundMM, Turns: k, CauseMM: e.at * sh.SlotMM,
		LeftMM: float64(column) * sh.ColumnMM, RightMM: float64(column+1) * sh.ColumnMM,
		StepUM: step, StepPct: 100 * step / sh.FilmUM[a],
	}
	g.AtMM = g.CauseMM + float64(k)*form.roundMM
	if e.to+k*form.round >= s.turn {
		g.AtMM -= s.plateMM
	}
	return g, true
}
