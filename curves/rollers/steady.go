package rollers

import (
	"context"
	"fmt"
	"math"
	"slices"
)

// A Steady is what a train prints once it has settled.
type Steady struct {
	Sheet      Sheet
	Zones      []ZoneFilm
	RollersUM  [][]float64 // mean film of each roller, as in the train, zone by zone; the ductor comes last
	FedMM3     float64     // ink that the fountain gives for a sheet
	PrintedMM3 float64     // ink on a sheet: what is fed, within the residual
	Residual   float64     // what a period still changes, in parts of what clean rollers take up in one
	State      *State

	forms   []carried
	turn    int // slots round the plate
	plateMM float64
}

// steadyResidual leaves the films of zones within 0.06 % of what they settle at.
const steadyResidual = 1e-4

// mostPeriods bounds the search for a steady state.
const mostPeriods = 400

// Steady finds the films that a period of ductor and oscillators brings back, for
// a form and a setting. In a frame that does not turn a period is always the same
// affine map, whatever the circumferences are; it begins at what the line says
// and solves for the map's fixed point.
func (m *Model) Steady(ctx context.Context, f Form, s Setting) (*Steady, error) {
	t, err := m.prepare(m.Clean(), f, s)
	if err != nil {
		return nil, err
	}
	return m.steady(ctx, t, nil, steadyResidual)
}

// SteadyNear is Steady where a state is known that is near, as that before a key
// was moved a little: it takes less time.
func (m *Model) SteadyNear(ctx context.Context, near *State, f Form, s Setting) (*Steady, error) {
	if err := m.owns(near); err != nil {
		return nil, err
	}
	t, err := m.prepare(m.Clean(), f, s)
	if err != nil {
		return nil, err
	}
	return m.steady(ctx, t, near.films, steadyResidual)
}

// basis is how many states the search for a steady one keeps.
func (m *Model) basis() int { return max(10, min(80, basisBytes/m.StateBytes())) }

// StateBytes is what a state takes.
func (m *Model) StateBytes() int { return 8 * m.cells }

// SteadyBytes is what [Model.Steady] and [Model.SteadyNear] take at the most beside
// their results: the basis, and what turns.
func (m *Model) SteadyBytes() int { return (m.basis() + 8) * m.StateBytes() }

// prepare has a train in a state ready to print a form.
func (m *Model) prepare(from *State, f Form, s Setting) (*turning, error) {
	if err := m.owns(from); err != nil {
		return nil, err
	}
	cover, err := m.cover(f)
	if err != nil {
		return nil, err
	}
	feed, err := m.feeds(s)
	if err != nil {
		return nil, err
	}
	strip, err := m.strip(s.StripMM)
	if err != nil {
		return nil, err
	}
	return m.start(from, cover, feed, strip), nil
}

// steady begins at films that are near, or at nil, what the line says.
func (m *Model) steady(ctx context.Context, t *turning, near []float64, residual float64) (*Steady, error) {
	films, left, err := m.settle(ctx, t, near, residual)
	if err != nil {
		return nil, err
	}
	t.write(films)
	st, err := m.record(ctx, t)
	if err != nil {
		return nil, err
	}
	st.Residual = left
	return st, nil
}

// settle finds the films at the begin of a period, and the residual there.
func (m *Model) settle(ctx context.Context, t *turning, near []float64, residual float64) ([]float64, float64, error) {
	t.stop = func() bool { return ctx.Err() != nil }
	fed := make([]float64, m.cells)
	t.period(fed, make([]float64, m.cells))
	takenUp := math.Sqrt(dot(fed, fed))
	if takenUp == 0 && !t.stop() {
		return make([]float64, m.cells), 0, nil
	}
	films := slices.Clone(near)
	if near == nil {
		films = m.guess(t)
	}
	left := fed // no longer needed
	t.period(left, films)
	add(left, -1, films)

	feed := t.feed
	t.feed = make([]float64, m.columns)
	solver := gmres{apply: t.period, full: m.basis(), most: mostPeriods}
	err := solver.solve(ctx, films, left, residual*takenUp)
	t.feed = feed
	if err == nil {
		err = ctx.Err()
	}
	if err != nil {
		return nil, 0, err
	}
	rest := math.Sqrt(dot(left, left)) / takenUp
	if !(rest <= 10*residual) {
		return nil, 0, fmt.Errorf("the rollers do not settle: after %d sheets a period still changes their films by %.2g %% of what it brings", mostPeriods*m.period, 100*rest)
	}
	return films, rest, nil
}

// period is what a period makes of films; what it makes is of no use once it is to
// stop.
func (t *turning) period(to, films []float64) {
	t.write(films)
	for range t.m.period {
		if t.stop() {
			break
		}
		t.turn()
	}
	t.read(to)
}

// guess is what the line says of each column by itself.
func (m *Model) guess(t *turning) []float64 {
	films := make([]float64, m.cells)
	empty, errEmpty := m.mean.solve(0)
	full, errFull := m.mean.solve(1)
	if errEmpty != nil || errFull != nil {
		return films
	}
	for j := range m.columns {
		cover := 0.0
		for slot := range m.slots {
			cover += t.cover[slot*m.columns+j]
		}
		cover /= float64(m.slots)
		film := m.line.FilmUM(t.feed[j], cover, t.stripMM)
		m.guessColumn(films[j:], film*(1-cover), empty, film*cover, full)
	}
	return films
}

// guessColumn mixes the mean films at no and at full coverage in one column.
func (m *Model) guessColumn(films []float64, a float64, empty *meanFilms, b float64, full *meanFilms) {
	mix := func(film int) float64 { return a*empty.film[film] + b*full.film[film] }
	for r, on := range m.mean.arcs {
		ring := m.rings[r]
		for _, arc := range on {
			from := m.spot(contact{r, arc.at}).at
			for i := range int(math.Round(arc.turns * float64(ring.slots))) {
				slot := (2*ring.slots - from - 1 - i) % ring.slots
				films[ring.first+slot*m.columns] = mix(arc.film)
			}
		}
	}
	ductor := m.rings[len(m.rings)-1]
	for slot := range ductor.slots {
		films[ductor.first+slot*m.columns] = mix(m.mean.at(m.mean.wires.feed).before)
	}
	blanket := (1 - m.train.Paper) / m.train.Paper
	for slot := range m.slots {
		films[m.plate+slot*m.columns] = mix(m.mean.plate(len(m.forms) - 1))
		films[m.blanket+slot*m.columns] = (a + b) * blanket
	}
}

// record prints a period and keeps its means.
func (m *Model) record(ctx context.Context, t *turning) (*Steady, error) {
	st := &Steady{Sheet: m.sheet(t), forms: m.carried(), turn: m.turn, plateMM: math.Pi * m.train.PlateMM}
	t.watch = func(step int) { t.carry(st.forms, step) }
	most, least := make([]float64, m.fountain.Zones), make([]float64, m.fountain.Zones)
	t.fed = 0
	for sheet := range m.period {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		t.turn()
		add(st.Sheet.FilmUM, 1/float64(m.period), t.paper)
		st.PrintedMM3 += t.printed() * m.cellMM3() / float64(m.period)
		for z, film := range m.zoneFilms(t.cover, t.paper) {
			if sheet == 0 {
				most[z], least[z] = film, film
			}
			most[z], least[z] = max(most[z], film), min(least[z], film)
		}
	}
	t.watch = nil
	st.FedMM3 = t.fed * m.cellMM3() / float64(m.period)
	st.State = t.state()
	st.RollersUM, _ = m.RollersUM(st.State) // it is its own
	st.Zones = m.zonesOf(st.Sheet, most, least)
	return st, nil
}
