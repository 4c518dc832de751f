package rollers

import (
	"context"
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// anyTrain is a random small train: rollers that each touch one or two of those
// before, none of which would have to turn against the others.
func anyTrain(t *rapid.T) Train {
	float := func(name string, least, most float64) float64 { return rapid.Float64Range(least, most).Draw(t, name) }
	plate := float("plate", 50, 90)
	train := Train{
		PlateMM: plate, ImageMM: float("image", 40, math.Pi*plate), Paper: float("paper", 0.1, 0.7),
		Split: rapid.SampledFrom([]float64{0.5, 0.45, 0.53}).Draw(t, "split"),
		Turns: rapid.SampledFrom([]float64{1, 2, 2.5, 5}).Draw(t, "turns"),
		Ductor: Ductor{
			DiameterMM: float("ductor", 20, 60), Touches: "0",
			EverySheets: rapid.IntRange(1, 3).Draw(t, "every"), Duty: float("duty", 0.2, 0.5),
		},
		Feed: Feed{FilmFullUM: float("film", 20, 300), StripMM: float("strip", 1, 200)},
	}
	var depth []int
	for i := range rapid.IntRange(2, 7).Draw(t, "rollers") {
		r := Roller{Name: fmt.Sprint(i), Kind: Distributor, DiameterMM: float("diameter", 20, 60)}
		d := 0
		if i > 0 {
			to := rapid.IntRange(0, i-1).Draw(t, "touches")
			d = depth[to] + 1
			for _, j := range []int{to, rapid.IntRange(0, i-1).Draw(t, "touches as well")} {
				if depth[j] == d-1 && !slices.Contains(r.Touches, fmt.Sprint(j)) {
					r.Touches = append(r.Touches, fmt.Sprint(j))
				}
			}
		}
		if rapid.Bool().Draw(t, "oscillates") {
			r.Kind, r.StrokeMM = Oscillator, float("stroke", 0, 35)
		}
		train.Rollers, depth = append(train.Rollers, r), append(depth, d)
	}
	// Form rollers are an even number of nips from each other.
	last := depth[len(depth)-1]
	for i := range train.Rollers {
		if r := &train.Rollers[i]; i == len(depth)-1 || (depth[i]+last)%2 == 0 && i%2 == 1 {
			r.Kind, r.StrokeMM = FormRoller, 0
		}
	}
	return train
}

// anyModel is one of a few columns, with a form and a setting.
func anyModel(t *rapid.T, tb testing.TB) (*Model, Form, Setting) {
	train := anyTrain(t)
	f := Fountain{Zones: rapid.IntRange(2, 5).Draw(t, "zones"), ZoneMM: rapid.Float64Range(20, 40).Draw(t, "zone")}
	m, err := New(train, spread(tb, train), f, Grid{SlotMM: 6, Columns: rapid.IntRange(1, 4).Draw(t, "columns")})
	require.NoError(tb, err)
	form := Form{Rows: rapid.IntRange(1, 7).Draw(t, "rows"), Columns: rapid.IntRange(1, 9).Draw(t, "cells")}
	form.Cover = rapid.SliceOfN(rapid.Float64Range(0, 1), form.Rows*form.Columns, form.Rows*form.Columns).Draw(t, "cover")
	keys := rapid.SliceOfN(rapid.Float64Range(0, 100), f.Zones, f.Zones).Draw(t, "keys")
	return m, form, Setting{OpeningPct: keys, StripMM: rapid.SampledFrom([]float64{0, 7.5}).Draw(t, "strip")}
}

// A naive is a train as plain as it can be: films by roller, place and column; at
// each step every surface is moved on by copying it, and the films of a nip are
// worked out pair of columns by pair of columns.
type naive struct {
	m       *Model
	rollers [][][]float64 // at each place; the ductor is the last
	plate   [][]float64   // at each place round it, from the blanket on; the gap as well
	blanket [][]float64
	cover   [][]float64 // at each place round the plate
	feed    []float64
	strip   float64
	turns   int
	paper   []float64
}

func rows(n, columns int) [][]float64 {
	r := make([][]float64, n)
	for i := range r {
		r[i] = make([]float64, columns)
	}
	return r
}

func newNaive(m *Model, cover, feed []float64, strip float64) *naive {
	n := &naive{m: m, feed: feed, strip: strip, plate: rows(m.turn, m.columns), blanket: rows(m.turn, m.columns), cover: rows(m.turn, m.columns)}
	for _, r := range m.rings {
		n.rollers = append(n.rollers, rows(r.slots, m.columns))
	}
	for slot := range m.slots { // slot k comes to the blanket after k steps
		n.cover[(m.turn-slot)%m.turn] = cover[slot*m.columns : (slot+1)*m.columns]
	}
	return n
}

// weight is the overlap of column i of the upper roller with column j of a lower
// one that stands t columns further right, written out from its definition.
func weight(i, j int, t float64, columns int) float64 {
	k := int(math.Floor(-t))
	u := -t - float64(k)
	middle := func(i int) bool {
		return i >= 2 && i+1 < columns && i+k >= 1 && i+k+2 < columns
	}
	off := j - i - k
	if off < -1 || off > 2 {
		return 0
	}
	if !middle(i) && !middle(j-k) {
		return max(0, 1-math.Abs(float64(off)-u))
	}
	w := 1.0 // Lagrange's polynomial
	for node := -1; node <= 2; node++ {
		if node != off {
			w *= (u - float64(node)) / float64(off-node)
		}
	}
	return w
}

func (n *naive) nip(up, down []float64, t float64, oscillate bool) {
	s := n.m.train.Split
	newUp, newDown := slices.Clone(up), slices.Clone(down)
	for i := range up {
		for j := range down {
			w := weight(i, j, t, n.m.columns)
			if !oscillate {
				w = 0
				if i == j {
					w = 1
				}
			}
			both := up[i] + down[j]
			newUp[i] += w * ((1-s)*both - up[i])
			newDown[j] += w * (s*both - down[j])
		}
	}
	copy(up, newUp)
	copy(down, newDown)
}

func (n *naive) turn() (fed float64) {
	m := n.m
	n.paper = nil
	ductor := n.rollers[len(n.rollers)-1]
	every := m.train.Ductor.EverySheets
	if n.turns%every == 0 {
		fed = n.stroke(ductor)
	}
	for step := range m.turn {
		time := float64(n.turns) + float64(step)/float64(m.turn)
		side := make([]float64, len(m.rings))
		oscillators := 0.0
		for r, roller := range m.train.Rollers {
			if roller.StrokeMM > 0 {
				side[r] = roller.StrokeMM / 2 / m.columnMM * math.Sin(2*math.Pi*(time/m.oscillation-m.rings[r].advance))
				oscillators++
			}
		}
		moves := func(r int) bool { return r < len(m.train.Rollers) && m.train.Rollers[r].StrokeMM > 0 }
		nips := slices.Clone(m.nips)
		rides := float64(n.turns%every*m.turn+step) < math.Round(m.train.Ductor.Duty*float64(every*m.turn))
		if rides {
			nips = append(nips, meeting{spot{len(m.rings) - 1, 0}, m.feed})
		}
		for _, p := range nips {
			a, b := p.up.ring, p.down.ring
			n.nip(n.rollers[a][p.up.at], n.rollers[b][p.down.at], side[b]-side[a], moves(a) || moves(b))
		}
		for _, f := range m.forms {
			for j := range m.columns {
				if slot := (step - f.plate + m.turn) % m.turn; slot >= m.slots {
					continue // the gap
				}
				form, plate := &n.rollers[f.ring][f.at][j], &n.plate[f.plate][j]
				half := (*form + *plate) / 2
				*form, *plate = *form+n.cover[f.plate][j]*(half-*form), half
			}
		}
		if step < m.slots {
			for j := range m.columns {
				both := (n.plate[0][j] + n.blanket[0][j]) / 2
				n.paper = append(n.paper, m.train.Paper*both)
				n.plate[0][j], n.blanket[0][j] = both, both*(1-m.train.Paper)
			}
		}
		for r := range n.rollers {
			if r < len(n.rollers)-1 || rides {
				n.rollers[r] = moved(n.rollers[r])
			}
		}
		n.plate, n.blanket, n.cover = moved(n.plate), moved(n.blanket), moved(n.cover)
	}
	n.turns++
	return fed
}

// moved has each place hold what was at the one before.
func moved(r [][]float64) [][]float64 {
	return append([][]float64{r[len(r)-1]}, r[:len(r)-1]...)
}

func (n *naive) stroke(ductor [][]float64) (fed float64) {
	for j := range n.m.columns {
		mean := 0.0
		for _, row := range ductor {
			mean += row[j] / float64(len(ductor))
		}
		for _, row := range ductor {
			row[j] = mean
		}
		left := n.strip / n.m.slotMM
		for at := 0; left > 0; at, left = at+1, left-1 {
			// What comes to the nip next lies before it, and so comes from the far end.
			film := &ductor[(2*len(ductor)-at%len(ductor))%len(ductor)][j]
			takes := min(left, 1) * (n.feed[j] - *film) / 2
			*film += takes
			fed += takes
		}
	}
	return fed
}

func (n *naive) printed() float64 {
	sum := 0.0
	for slot := range n.m.slots {
		for j := range n.m.columns {
			// After a whole turn the cover is where it was.
			sum += n.cover[(n.m.turn-slot)%n.m.turn][j] * n.paper[slot*n.m.columns+j]
		}
	}
	return sum
}

// The films of a loop without ring buffers, on random trains, forms and settings.
func TestTurningAgainstNaiveTwin(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		m, form, setting := anyModel(rt, t)
		fast, err := m.prepare(m.Clean(), form, setting)
		require.NoError(t, err)
		slow := newNaive(m, fast.cover, fast.feed, fast.stripMM)
		fed := 0.0
		for range 4 {
			fast.turn()
			fed += slow.turn()
			assert.InDeltaSlice(t, slow.paper, fast.paper, 1e-12*m.train.Feed.FilmFullUM)
			assert.InDelta(t, slow.printed(), fast.printed(), 1e-12*max(1, slow.printed()))
		}
		assert.InDelta(t, fed, fast.fed, 1e-12*max(1, fed))
		films := make([]float64, m.cells)
		fast.read(films)
		for r, ring := range m.rings {
			for place, row := range slow.rollers[r] {
				at := ring.first + (ring.slots-place)%ring.slots*m.columns
				require.InDeltaSlice(t, row, films[at:at+m.columns], 1e-12*m.train.Feed.FilmFullUM)
			}
		}
	})
}

// All ink that the fountain gives is on the sheets or on the rollers.
func TestInkStays(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		m, form, setting := anyModel(rt, t)
		run, err := m.Run(context.Background(), m.Clean(), form, setting, 6)
		require.NoError(t, err)
		first, err := m.prepare(m.Clean(), form, setting)
		require.NoError(t, err)
		first.runs.impression = false
		first.turn()
		stored, err := m.StoredMM3(run.State, form)
		require.NoError(t, err)
		fed, printed := first.fed*m.cellMM3(), 0.0
		for i := range run.FedMM3 {
			fed += run.FedMM3[i]
			printed += run.PrintedMM3[i]
		}
		require.InDelta(t, fed, stored+printed, 1e-11*fed+1e-12)
	})
}
