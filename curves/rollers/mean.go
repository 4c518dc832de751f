package rollers

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// A meanSystem is a train in the mean over time, by millimetre of width. All that
// happens to a film at a nip is linear with constant coefficients where coverage
// is even, the donor steady and the plate without a gap; so the mean films on the
// arcs between nips obey the same equations, whatever the diameters are. With a
// gap or a ductor it is near.
type meanSystem struct {
	train Train
	wires *wiring
	arcs  [][]arc
	size  int // arcs, plate films behind each form roller, and the feed
}

// An arc is the surface of a roller from a nip to the next.
type arc struct {
	at     float64 // of the nip where it begins
	turns  float64 // its length
	film   int     // index of its film
	before int     // of the film that enters the nip
}

func newMeanSystem(t Train, w *wiring) *meanSystem {
	m := &meanSystem{train: t, wires: w, arcs: make([][]arc, len(t.Rollers))}
	for _, c := range w.contacts() {
		m.arcs[c.roller] = append(m.arcs[c.roller], arc{at: c.at})
	}
	for _, on := range m.arcs {
		slices.SortFunc(on, func(a, b arc) int { return cmp.Compare(a.at, b.at) })
		for i := range on {
			next := on[(i+1)%len(on)].at - on[i].at
			if next <= 0 {
				next++
			}
			on[i].turns, on[i].film, on[i].before = next, m.size+i, m.size+(i+len(on)-1)%len(on)
		}
		m.size += len(on)
	}
	m.size += len(w.forms) + 1
	return m
}

// at is the arc that begins at a nip.
func (m *meanSystem) at(c contact) arc {
	on := m.arcs[c.roller]
	return on[slices.IndexFunc(on, func(a arc) bool { return a.at == c.at })]
}

// meanFilms are the films of a mean system where 1 µm is printed.
type meanFilms struct {
	of   *meanSystem
	film []float64
}

// solve finds the mean films that print 1 µm at a coverage.
func (m *meanSystem) solve(cover float64) (*meanFilms, error) {
	lhs, rhs := mat.NewDense(m.size, m.size, nil), mat.NewVecDense(m.size, nil)
	equation := 0
	// is states that a film is a sum of others, each times a weight.
	is := func(film int, terms ...term) {
		lhs.Set(equation, film, 1)
		for _, t := range terms {
			lhs.Set(equation, t.film, lhs.At(equation, t.film)-t.weight)
		}
		equation++
	}
	keeps, passes := 1-m.train.Split, m.train.Split
	for _, n := range m.wires.nips {
		up, down := m.at(n.up), m.at(n.down)
		is(up.film, term{up.before, keeps}, term{down.before, keeps})
		is(down.film, term{up.before, passes}, term{down.before, passes})
	}
	feed, fed := m.at(m.wires.feed), m.size-1
	is(feed.film, term{feed.before, 1}, term{fed, 1})

	takes := cover * m.train.ImageMM / (math.Pi * m.train.PlateMM) // the gap takes nothing
	tau := m.train.Paper
	for i, f := range m.wires.forms {
		form, plate := m.at(f.contact), m.plate(i)
		is(form.film, term{form.before, 1 - takes}, term{plate, takes})
		if i == 0 {
			// The blanket leaves as much as it has itself, 1/τ.
			rhs.SetVec(equation, 1/(2*tau))
			is(plate, term{form.before, 0.5})
		} else {
			is(plate, term{form.before, 0.5}, term{plate - 1, 0.5})
		}
	}
	// Plate and blanket split to 1/τ each, of which the paper takes τ.
	rhs.SetVec(equation, (1+tau)/tau)
	is(m.plate(len(m.wires.forms) - 1))

	var films mat.VecDense
	if err := films.SolveVec(lhs, rhs); err != nil {
		return nil, fmt.Errorf("the mean films of the train: %w", err)
	}
	return &meanFilms{m, films.RawVector().Data}, nil
}

// A term of an equation.
type term struct {
	film   int
	weight float64
}

// plate is the index of the film on the plate behind a form roller.
func (m *meanSystem) plate(form int) int { return m.size - 1 - len(m.wires.forms) + form }

// fed is the film that the feeding nip adds to its roller.
func (f *meanFilms) fed() float64 { return f.film[f.of.size-1] }

// share is the part of each form roller in what the plate takes.
func (f *meanFilms) shares() []float64 {
	shares, sum := make([]float64, len(f.of.wires.forms)), 0.0
	before := 1 / f.of.train.Paper
	for i := range shares {
		after := f.film[f.of.plate(i)]
		shares[i] = after - before
		sum += shares[i]
		before = after
	}
	for i := range shares {
		shares[i] /= sum
	}
	return shares
}

// stored is the ink on the rollers, and on plate and blanket as far as the plate
// is covered, in µm·mm.
func (f *meanFilms) stored(cover float64) float64 {
	t, ink := f.of.train, 0.0
	for r, on := range f.of.arcs {
		for _, a := range on {
			ink += f.film[a.film] * a.turns * math.Pi * t.Rollers[r].DiameterMM
		}
	}
	at, film, plate := 0.0, 1/t.Paper, 0.0
	for i, n := range f.of.wires.forms {
		plate += film * (n.plate - at)
		at, film = n.plate, f.film[f.of.plate(i)]
	}
	plate += film * (1 - at)
	return ink + cover*t.ImageMM*(plate+(1-t.Paper)/t.Paper)
}

// ductor is the film on the ductor when it goes to fetch ink, and that on the
// fountain roller, for a strip. At each turn on its roller the ductor comes half
// way to the film that it meets; the strip goes first.
func (f *meanFilms) ductor(stripMM float64) (returns, feed float64) {
	t := f.of.train
	strokes := float64(t.Ductor.EverySheets) * math.Pi * t.PlateMM // roller surface from stroke to stroke
	brings := f.fed() * strokes
	round := math.Pi * t.Ductor.DiameterMM
	whole, part := math.Modf(t.Ductor.Duty * strokes / round)
	rest := math.Exp2(-whole)
	restOfAll := rest * (1 - part/2)
	restOfStrip := rest * (1 - min(1, part*round/stripMM)/2)
	returns = f.film[f.of.at(f.of.wires.feed).before] + restOfStrip/(1-restOfAll)*brings/round
	return returns, returns + 2*brings/stripMM
}
