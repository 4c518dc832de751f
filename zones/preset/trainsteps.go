package preset

import (
	"context"
	"math"
	"slices"

	"bladeline/curves/rollers"
)

// A stepping is a solution that is being put on the keys' own steps: each by itself to
// the nearest would leave more unevenness than need be. The steps of a thumb screw are
// coarse, and zones share the ink of several keys.
type stepping struct {
	*solving
	response *rollers.Response
	keys     []float64 // by zone, as they stand
	off      []float64 // by zone, films off what is wanted, in parts of it
}

// The search for steps.
const (
	roundsOfSteps = 20 // at most; each finds less than the one before
	mostTogether  = 4  // keys side by side that each move their own way: a key's footprint
	corrections   = 2  // by the train, of what its response said
)

// What a zone outside costs beside the square of its film's distance: something for
// being there, so that rather one is outside than two, and the more the further it is,
// so that none pays for all. Films count as outside somewhat before evenPct, by what a
// response and a grid may be wrong by.
const (
	passes      = 0.048
	outsideCost = 0.01
	excessCost  = 1
	beyondCost  = 1e3 // each % of travel that a blade would have to bend too far: where rounding asks for it, it is undone
)

// stepped puts a solution on its keys' steps.
func (s *solving) stepped(ctx context.Context, f *solvedSweep) (*stepping, error) {
	st := &stepping{solving: s, response: f.Response}
	for i, z := range s.in.Zones {
		st.keys = append(st.keys, s.on.Key(z.Number, s.openPct(f, i), z.OffSheet))
		st.off = append(st.off, f.DeviationPct[s.FromLeft(i+1)]/100)
	}
	for i := range st.keys {
		st.shift(i, st.opening(i)-s.openPct(f, i))
	}
	for range corrections {
		before := slices.Clone(st.keys)
		st.search()
		settled, err := s.SteadyNear(ctx, f.Steady.State, s.form, s.Setting(st.openings(), f.sweep))
		if err != nil {
			return nil, err
		}
		for i := range st.off {
			st.off[i] = settled.Zones[s.FromLeft(i+1)].FilmUM/s.filmUM - 1
		}
		if slices.Equal(before, st.keys) {
			break
		}
	}
	return st, nil
}

// opening is how far the i-th key is open where it stands, in % of travel.
func (st *stepping) opening(i int) float64 { return st.on.Keys.OpeningPct(i+1, st.keys[i]) }

func (st *stepping) openings() []float64 {
	var all []float64
	for i := range st.keys {
		all = append(all, st.opening(i))
	}
	return all
}

// shift reckons with the i-th key being further open, in % of travel.
func (st *stepping) shift(i int, byPct float64) {
	from := st.response.UMPerPct[st.FromLeft(i+1)]
	for z := range st.off {
		st.off[z] += byPct * from[st.FromLeft(z+1)] / st.filmUM
	}
}

// level is the mean film by ink, in parts of what is wanted.
func (st *stepping) level() float64 {
	ink, all := 0.0, 0.0
	for i, c := range st.covers {
		if st.prints(i) {
			ink, all = ink+c*(1+st.off[i]), all+c
		}
	}
	return ink / all
}

// deviations are the films off what they are held against, in parts: what is wanted, or
// of a train that was not fitted their own mean; 0 where nothing prints.
func (st *stepping) deviations() []float64 {
	level := 1.0
	if !st.Fitted() {
		level = st.level()
	}
	all := make([]float64, len(st.off))
	for i, off := range st.off {
		if st.prints(i) {
			all[i] = (1+off)/level - 1
		}
	}
	return all
}

// outside is how many zones print a film outside.
func (st *stepping) outside() int {
	n := 0
	for _, off := range st.deviations() {
		if math.Abs(off) > passes {
			n++
		}
	}
	return n
}

// unevenness is what is to be least. The level of a train that was not fitted is the
// curve's, and no more certain: it gives way to evenness, at a price.
func (st *stepping) unevenness() float64 {
	sum, level := 0.0, math.Pow(st.level()-1, 2)
	for i, off := range st.deviations() {
		sum += off * off
		if excess := math.Abs(off) - passes; excess > 0 {
			sum += outsideCost + excessCost*excess
		}
		if st.prints(i) && !st.Fitted() {
			sum += level
		}
		sum += beyondCost * st.beyond(i)
	}
	return sum
}

// search moves keys that stand side by side, each by a step up or down, and longer rows
// all alike, for as long as films come nearer to what is wanted. Keys where nothing prints
// keep their nearest: they say little, each as little as the next, and what is alike on
// both sides of an image stays so.
func (st *stepping) search() {
	var all [][][]float64
	for together := 1; together <= mostTogether; together++ {
		all = append(all, movesOf(together))
	}
	for row := mostTogether + 1; row <= len(st.keys); row++ {
		all = append(all, [][]float64{slices.Repeat([]float64{-1}, row), slices.Repeat([]float64{1}, row)})
	}
	for range roundsOfSteps {
		least := st.unevenness()
		for _, moves := range all {
			for i := 0; i+len(moves[0]) <= len(st.keys); i++ {
				st.improve(i, moves)
			}
		}
		if !(st.unevenness() < least) {
			return
		}
	}
}

// movesOf are all moves of so many keys by a step each, up or down.
func movesOf(keys int) [][]float64 {
	moves := [][]float64{nil}
	for range keys {
		var longer [][]float64
		for _, m := range moves {
			for _, steps := range []float64{-1, 0, 1} {
				longer = append(longer, append(slices.Clone(m), steps))
			}
		}
		moves = longer
	}
	return moves
}

// improve makes the best of moves of the keys from the i-th on.
func (st *stepping) improve(i int, moves [][]float64) {
	for j := range moves[0] {
		if !st.prints(i+j) && st.beyond(i+j) == 0 {
			return
		}
	}
	keys, off := slices.Clone(st.keys), slices.Clone(st.off)
	var best []float64
	least := st.unevenness() - 1e-12
	for _, m := range moves {
		st.move(i, m)
		if now := st.unevenness(); now < least {
			best, least = m, now
		}
		copy(st.keys, keys)
		copy(st.off, off)
	}
	st.move(i, best)
}

// move moves keys from the i-th on by so many steps each, within floor and ceiling.
func (st *stepping) move(i int, steps []float64) {
	stepPct := 100 * st.on.Keys.Step / st.on.Keys.Travel
	for j, n := range steps {
		if n != 0 {
			was := st.opening(i + j)
			st.keys[i+j] = st.on.Key(i+j+1, was+n*stepPct, st.in.Zones[i+j].OffSheet)
			st.shift(i+j, st.opening(i+j)-was)
		}
	}
}

// beyond is how far the i-th key stands from its neighbours beyond what the blade bends,
// in % of travel.
func (st *stepping) beyond(i int) float64 {
	opening, limit, sum := st.opening(i), st.on.Limits.NeighbourPct, 0.0
	for _, j := range []int{i - 1, i + 1} {
		if limit > 0 && j >= 0 && j < len(st.keys) {
			sum += max(0, math.Abs(opening-st.opening(j))-limit-hairPct)
		}
	}
	return sum
}
