package rollers

import (
	"context"
	"fmt"
	"math"
	"runtime"
	"slices"
	"sync"

	"gonum.org/v1/gonum/mat"
)

// A Response is what each key does to the film of each zone, for one form and
// strip.
type Response struct {
	UMPerPct [][]float64 // key by key, zone by zone: µm per % of opening
}

// responseResidual leaves a response within 3 % of what a key does to its own zone,
// enough for what is then corrected.
const responseResidual = 5e-3

// Respond works out the response to every key on a rough grid. Keys are
// independent, so that all cores share them.
func (m *Model) Respond(ctx context.Context, f Form, stripMM float64) (*Response, error) {
	cover, err := m.cover(f)
	if err != nil {
		return nil, err
	}
	coarse, err := m.withSlots(Rough.SlotMM)
	if err != nil {
		return nil, err
	}
	form := Form{m.slots, m.columns, cover}
	r := &Response{make([][]float64, m.fountain.Zones)}
	errs := make([]error, m.fountain.Zones)
	keys := make(chan int)
	var workers sync.WaitGroup
	for range min(m.fountain.Zones, runtime.GOMAXPROCS(0)) {
		workers.Go(func() {
			for k := range keys {
				r.UMPerPct[k], errs[k] = coarse.respond(ctx, form, stripMM, k)
			}
		})
	}
	for k := range m.fountain.Zones {
		keys <- k
	}
	close(keys)
	workers.Wait()
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	return r, nil
}

// withSlots is the model with slots of so many mm or longer; columns stay, on which
// responses depend.
func (m *Model) withSlots(mm float64) (*Model, error) {
	if m.grid.SlotMM >= mm {
		return m, nil
	}
	return New(m.train, m.laid, m.fountain, Grid{mm, m.grid.Columns})
}

// respond is the response to one key.
func (m *Model) respond(ctx context.Context, f Form, stripMM float64, key int) ([]float64, error) {
	one := make([]float64, m.fountain.Zones)
	one[key] = 1
	t, err := m.prepare(m.Clean(), f, Setting{one, stripMM})
	if err != nil {
		return nil, err
	}
	st, err := m.steady(ctx, t, nil, responseResidual)
	if err != nil {
		return nil, err
	}
	return st.films(), nil
}

func (s *Steady) films() []float64 {
	films := make([]float64, len(s.Zones))
	for z, f := range s.Zones {
		films[z] = f.FilmUM
	}
	return films
}

// Footprint is the share of each zone in what a key does to the films of all.
func (r *Response) Footprint(key int) []float64 {
	shares, sum := make([]float64, len(r.UMPerPct[key])), 0.0
	for _, film := range r.UMPerPct[key] {
		sum += film
	}
	for z, film := range r.UMPerPct[key] {
		shares[z] = film / sum
	}
	return shares
}

// A Wanted is what keys are solved for.
type Wanted struct {
	FilmUM               []float64 // by zone; 0 in zones without image: as the mean of the others
	StripMM              float64   // 0: the train's own
	FloorPct, CeilingPct []float64 // by key; a key with both alike stays there
	NeighbourPct         float64   // most that neighbouring keys may differ; 0: any
}

// A Solution is the setting that comes nearest to the films that are wanted.
type Solution struct {
	Setting      Setting
	LinePct      []float64 // by key, what the line asks for, unbounded
	Steady       *Steady   // what the setting prints
	DeviationPct []float64 // by zone, film off what is wanted; 0 where there is no image
	Response     *Response
}

// lineWeight is that of the squares of keys' distances from where they are drawn to, in
// parts of what the line asks, against the squares of films' distances, in parts of what is
// wanted. Keys that alternate act on films with 2 % of what they do together; it
// keeps them from doing so for next to nothing.
const lineWeight = 1e-3

// corrections by the model's own grid, of what the coarse one said.
const corrections = 2

// Solve solves all keys together for even films: least squares over the zones
// with image, near the line, within bounds. Keys beside the image are solved as
// well.
func (m *Model) Solve(ctx context.Context, f Form, w Wanted) (*Solution, error) {
	q, err := m.question(f, w)
	if err != nil {
		return nil, err
	}
	s := &Solution{LinePct: q.line, Setting: Setting{StripMM: w.StripMM}}
	if s.Response, err = m.Respond(ctx, q.form, w.StripMM); err != nil {
		return nil, err
	}
	keys := make([]float64, m.fountain.Zones)
	films := make([]float64, m.fountain.Zones)
	var near []float64
	for range corrections + 1 {
		if keys, err = q.solve(ctx, s.Response, keys, films); err != nil {
			return nil, err
		}
		s.Setting.OpeningPct = keys
		t, err := m.prepare(m.Clean(), q.form, s.Setting)
		if err != nil {
			return nil, err
		}
		if s.Steady, err = m.steady(ctx, t, near, steadyResidual); err != nil {
			return nil, err
		}
		films, near = s.Steady.films(), s.Steady.State.films
	}
	s.DeviationPct = q.deviations(films)
	return s, nil
}

// A question is what is wanted of one form, checked and completed.
type question struct {
	Wanted
	form   Form
	prints []bool // by zone
	line   []float64
}

func (m *Model) question(f Form, w Wanted) (*question, error) {
	n := m.fountain.Zones
	if len(w.FilmUM) != n || len(w.FloorPct) != n || len(w.CeilingPct) != n {
		return nil, fmt.Errorf("films for %d zones, floors for %d and ceilings for %d keys; there are %d", len(w.FilmUM), len(w.FloorPct), len(w.CeilingPct), n)
	}
	cover, err := m.cover(f)
	if err != nil {
		return nil, err
	}
	if _, err := m.strip(w.StripMM); err != nil {
		return nil, err
	}
	if err := w.check(); err != nil {
		return nil, err
	}
	q := &question{Wanted: w, form: Form{m.slots, m.columns, cover}, prints: make([]bool, n), line: make([]float64, n)}
	q.FilmUM = filled(w.FilmUM)
	for z, c := range m.zoneCovers(cover) {
		q.prints[z] = c > 0
		q.line[z] = 100 * m.line.FeedUM(q.FilmUM[z], c, w.StripMM) / m.train.Feed.FilmFullUM
	}
	return q, nil
}

// check refuses films and bounds that are none, and bounds that no blade holds
// together.
func (w Wanted) check() error {
	for z, film := range w.FilmUM {
		if !(film >= 0 && film <= 1000) {
			return fmt.Errorf("a film of %g µm is wanted of zone %d from the left", film, z+1)
		}
	}
	if filled(w.FilmUM) == nil {
		return fmt.Errorf("no film is wanted of any zone")
	}
	if !(w.NeighbourPct >= 0) {
		return fmt.Errorf("neighbouring keys may differ by %g %%", w.NeighbourPct)
	}
	for k, floor := range w.FloorPct {
		if !(floor >= 0 && floor <= w.CeilingPct[k] && w.CeilingPct[k] <= 1000) {
			return fmt.Errorf("key %d from the left is to stand between %g and %g %%", k+1, floor, w.CeilingPct[k])
		}
		for j, ceiling := range w.CeilingPct {
			if most := ceiling + w.NeighbourPct*math.Abs(float64(k-j)); w.NeighbourPct > 0 && floor > most {
				return fmt.Errorf("keys %d and %d from the left cannot stand at %g %% or more and at %g %% or less on one blade that gives %g %% from key to key", k+1, j+1, floor, ceiling, w.NeighbourPct)
			}
		}
	}
	return nil
}

// filled puts the mean of the films that are wanted where none is; it is nil
// where none is anywhere.
func filled(films []float64) []float64 {
	sum, n := 0.0, 0
	for _, film := range films {
		if film > 0 {
			sum += film
			n++
		}
	}
	if n == 0 {
		return nil
	}
	all := make([]float64, len(films))
	for z, film := range films {
		if all[z] = film; film == 0 {
			all[z] = sum / float64(n)
		}
	}
	return all
}

// solve finds the keys whose films come nearest to what is wanted; films are those
// that other keys printed, from where the response says how they change. Keys are
// reckoned in a unit that makes them numbers near 1.
func (q *question) solve(ctx context.Context, r *Response, keys, films []float64) ([]float64, error) {
	n := len(keys)
	unit, draws := slices.Min(q.line), q.draws(r)
	p := program{h: mat.NewSymDense(n, nil), g: make([]float64, n)}
	start := make([]float64, n)
	for k, line := range q.line {
		p.h.SetSym(k, k, lineWeight*(unit/line)*(unit/line))
		p.g[k] = lineWeight * unit / line * draws[k] / line
		start[k] = max(q.FloorPct[k], min(q.CeilingPct[k], line)) / unit
	}
	for z, prints := range q.prints {
		if !prints {
			continue
		}
		row, wanted := make([]float64, n), 1-films[z]/q.FilmUM[z]
		for k := range n {
			row[k] = r.UMPerPct[k][z] * unit / q.FilmUM[z]
			wanted += row[k] * keys[k] / unit
		}
		p.h.SymRankOne(p.h, 1, mat.NewVecDense(n, row))
		add(p.g, wanted, row)
	}
	p.limits = q.limits(unit)
	solved, err := p.solve(ctx, start)
	if err != nil {
		return nil, err
	}
	for k := range solved {
		solved[k] = max(q.FloorPct[k], min(q.CeilingPct[k], solved[k]*unit))
	}
	return solved, nil
}

// reachPart is which part of a bare zone's ink must reach an image for its key to stand as
// the line has it.
const reachPart = 0.1

// draws are where keys are drawn to: the line, and in zones without image so much less of
// it as less of their ink reaches one: beyond the footprint it serves nobody.
func (q *question) draws(r *Response) []float64 {
	draws := slices.Clone(q.line)
	for k, prints := range q.prints {
		if prints {
			continue
		}
		reaching := 0.0
		for z, share := range r.Footprint(k) {
			if q.prints[z] {
				reaching += share
			}
		}
		draws[k] = max(q.FloorPct[k], min(q.CeilingPct[k], draws[k]*min(1, reaching/reachPart)))
	}
	return draws
}

// limits are the bounds of keys and of their differences.
func (q *question) limits(unit float64) []limit {
	var limits []limit
	for k := range q.line {
		limits = append(limits, limit{k, -1, 1, q.CeilingPct[k] / unit}, limit{k, -1, -1, -q.FloorPct[k] / unit})
		if k > 0 && q.NeighbourPct > 0 {
			most := q.NeighbourPct / unit
			limits = append(limits, limit{k, k - 1, 1, most}, limit{k, k - 1, -1, most})
		}
	}
	return limits
}

// deviations are films off what is wanted, in %.
func (q *question) deviations(films []float64) []float64 {
	off := make([]float64, len(films))
	for z, film := range films {
		if q.prints[z] {
			off[z] = 100 * (film/q.FilmUM[z] - 1)
		}
	}
	return off
}
