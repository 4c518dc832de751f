package curves

import "math"

// Fed is how what the keys feed at a sweep differs from what the demands ask
// for.
//
// A zone that prints is fed too much or too little, one that does not only too
// much. A bare zone under the sheet is taken to ask for no less than the least
// opening gives it at the sweep begun with: that is what keeps its rollers wet. In
// a zone, 5 % of what it asks for is not seen and does not count; nor is it
// where rounding to steps takes all printing zones together so far.
type Fed struct {
	Sweep float64

	Off float64 // all that counts, in % of all the ink that is asked for
	Cut float64 // in % of its own ink, in the printing zone that is cut most

	// What is seen of it, in % of all the ink that is asked for, by its cause. The
	// ceiling takes away, floor and neighbours add.
	CeilingPct, FloorPct, NeighbourPct float64
	// What rounding adds to the printing zones together, in % of what they ask for;
	// 0 where it is not seen.
	StepsPct float64

	Ceiling, Floor, Neighbour []int // the demands, by index, that are not fed as asked
}

// weighing is one unit's demands and what bounds them.
type weighing struct {
	demands          []Demand
	reference, start float64
	keys             Keys

	asked, printed float64 // ink asked for in all, and in the zones that print

	openings []float64 // of one setting
	offSheet []bool
}

func newWeighing(demands []Demand, reference, start float64, keys Keys) *weighing {
	w := &weighing{demands: demands, reference: reference, start: start, keys: keys}
	w.openings, w.offSheet = make([]float64, len(demands)), make([]bool, len(demands))
	for i, d := range demands {
		w.offSheet[i] = d.OffSheet
		if d.OffSheet {
			continue
		}
		if d.Prints {
			w.printed += w.ask(i)
		}
		w.asked += w.ask(i)
	}
	return w
}

// ask is the ink that a demand asks for, opening × sweep.
func (w *weighing) ask(i int) float64 {
	d := w.demands[i]
	ask := d.OpeningPct * w.reference
	if !d.Prints {
		least, _ := w.reach(i)
		ask = max(ask, least*w.start)
	}
	return ask
}

// reach are the least and the most opening that a key can be set to.
func (w *weighing) reach(i int) (least, most float64) {
	least, most = w.keys.FloorPct, w.keys.CeilingPct
	if w.keys.Range != nil {
		a, b := w.keys.Range(i)
		least, most = max(least, a), min(most, b)
	}
	return least, most
}

// at is what the keys feed at a sweep.
func (w *weighing) at(sweep float64) Fed {
	for i, d := range w.demands {
		w.openings[i] = OpeningAt(d.OpeningPct, w.reference, sweep)
	}
	openings, states := w.keys.Apply(w.openings, w.offSheet)
	f := Fed{Sweep: sweep}
	var off, rounded float64
	for i, d := range w.demands {
		opening := w.within(i, openings[i])
		off += w.part(&f, i, states[i], opening*sweep)
		if d.Prints && !d.OffSheet && w.keys.Set != nil {
			rounded += (w.keys.Set(i, openings[i], states[i]) - opening) * sweep
		}
	}
	if counts := math.Abs(rounded) - seenPct/100*w.printed; counts > 0 {
		f.StepsPct = 100 * rounded / w.printed
		off += counts
	}
	f.Off = 100 * off / w.asked
	return f
}

// within is an opening as far as the key's own steps let it through.
func (w *weighing) within(i int, opening float64) float64 {
	least, most := w.reach(i)
	if w.demands[i].OffSheet || least > most {
		return opening
	}
	return min(max(opening, least), most)
}

// part adds to f what is wrong with a zone that is fed so much, and is what
// counts of that.
func (w *weighing) part(f *Fed, i int, state State, fed float64) float64 {
	d, ask := w.demands[i], w.ask(i)
	if d.OffSheet {
		ask = w.keys.OffSheetPct * f.Sweep
	}
	off := fed - ask
	prints := d.Prints && !d.OffSheet
	if off < 0 && prints && ask > 0 {
		f.Cut = max(f.Cut, -100*off/ask)
	}
	counts := math.Abs(off) - seenPct/100*ask
	if counts <= 0 || off < 0 && !prints {
		return 0
	}
	pct := 100 * math.Abs(off) / w.asked
	switch {
	case off < 0:
		f.CeilingPct += pct
		f.Ceiling = append(f.Ceiling, i)
	case state == Neighbour:
		f.NeighbourPct += pct
		f.Neighbour = append(f.Neighbour, i)
	default:
		f.FloorPct += pct
		f.Floor = append(f.Floor, i)
	}
	return counts
}
