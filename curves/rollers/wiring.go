package rollers

import (
	"cmp"
	"math"
	"slices"
)

// A wiring is a train as the ink sees it: which surfaces meet, where on each, and
// which of two rollers the ink reaches first.
type wiring struct {
	nips  []nip     // of two rollers
	forms []formNip // in the plate's way, from the blanket on
	feed  contact   // where the ductor rides
}

// A contact is a place on a roller: in turns of it, the way its surface moves.
type contact struct {
	roller int
	at     float64
}

// A nip has the roller that the ink reaches first as its upper one.
type nip struct{ up, down contact }

// A formNip is where a form roller meets the plate.
type formNip struct {
	contact
	plate float64 // place on the plate, in turns of it, from the blanket on
}

// blanketDeg is where the plate meets the blanket: a sheet that runs to the right
// below has them one below the other.
const blanketDeg = 270

// turns is the place of an angle on a surface: in turns from where the blanket
// lies on the plate, the way it moves.
func turns(deg float64, clockwise bool) float64 {
	t := (deg - blanketDeg) / 360
	if clockwise {
		t = -t
	}
	t -= math.Floor(t)
	if t == 1 { // rounding, just short of a turn
		return 0
	}
	return t
}

// wire sees a laid train as the ink does. The train has been checked.
func wire(t Train, laid *Laid) (*wiring, error) {
	if laid == nil || len(laid.Rollers) != len(t.Rollers) {
		return nil, &TrainError{What: "is not as it was laid: it has other rollers"}
	}
	w := &wiring{feed: contact{roller: -1}}
	for _, n := range laid.Nips {
		if err := w.add(t, laid, n); err != nil {
			return nil, err
		}
	}
	if w.feed.roller < 0 {
		return nil, &TrainError{What: "has a ductor that feeds no roller"}
	}
	if len(w.forms) == 0 {
		return nil, &TrainError{What: "has no form roller on the plate"}
	}
	slices.SortStableFunc(w.forms, func(a, b formNip) int { return cmp.Compare(a.plate, b.plate) })
	taken := map[contact]bool{}
	for _, c := range w.contacts() {
		if taken[c] {
			return nil, &TrainError{t.Rollers[c.roller].Name, "has two nips at one place"}
		}
		taken[c] = true
	}
	return w, w.orient(t)
}

// contacts are the places of all nips on the train's rollers.
func (w *wiring) contacts() []contact {
	all := []contact{w.feed}
	for _, n := range w.nips {
		all = append(all, n.up, n.down)
	}
	for _, f := range w.forms {
		all = append(all, f.contact)
	}
	return all
}

// add takes one nip, whichever of its surfaces stands first.
func (w *wiring) add(t Train, laid *Laid, n Nip) error {
	if n.A < n.B {
		n.A, n.B, n.ADeg, n.BDeg = n.B, n.A, n.BDeg, n.ADeg
	}
	if n.A < 0 || n.A >= len(t.Rollers) || n.B < DuctorSurface || n.A == n.B {
		return &TrainError{What: "is not as it was laid: it has a nip of other rollers"}
	}
	a := contact{n.A, turns(n.ADeg, laid.Rollers[n.A].Clockwise)}
	switch n.B {
	case DuctorSurface:
		if w.feed.roller >= 0 {
			return &TrainError{What: "is not as it was laid: it has two places of the ductor"}
		}
		w.feed = a
	case PlateSurface:
		w.forms = append(w.forms, formNip{a, turns(n.BDeg, laid.Plate.Clockwise)})
	default:
		w.nips = append(w.nips, nip{a, contact{n.B, turns(n.BDeg, laid.Rollers[n.B].Clockwise)}})
	}
	return nil
}

// orient turns nips the ink's way, which is that of the fewest nips from the
// ductor. Rollers that touch differ by one of these, or would turn against each
// other.
func (w *wiring) orient(t Train) error {
	depth := make([]int, len(t.Rollers))
	for i := range depth {
		depth[i] = -1
	}
	depth[w.feed.roller] = 0
	for reached := []int{w.feed.roller}; len(reached) > 0; reached = reached[1:] {
		for _, n := range w.nips {
			for _, to := range [2][2]int{{n.up.roller, n.down.roller}, {n.down.roller, n.up.roller}} {
				if to[0] == reached[0] && depth[to[1]] < 0 {
					depth[to[1]] = depth[to[0]] + 1
					reached = append(reached, to[1])
				}
			}
		}
	}
	if i := slices.Index(depth, -1); i >= 0 {
		return &TrainError{t.Rollers[i].Name, "gets no ink: no way leads to it from the ductor"}
	}
	for i, n := range w.nips {
		switch depth[n.down.roller] - depth[n.up.roller] {
		case -1:
			w.nips[i] = nip{n.down, n.up}
		case 0:
			return &TrainError{t.Rollers[n.up.roller].Name, "would have to turn against " + t.Rollers[n.down.roller].Name}
		}
	}
	return nil
}
