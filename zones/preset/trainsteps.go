package preset

import (
	"math"
	"slices"

	"bladeline/curves/rollers"
)

// A stepping is a solution that is being put on the keys' own steps: each key takes the
// step above or below, whichever goes best with the others'.
type stepping struct {
	*solving
	response *rollers.Response
	keys     []float64    // by zone, as they stand
	choices  [][2]float64 // by zone, the steps below and above
	off      []float64    // by zone, films off what is wanted, in parts of it
}

// roundsOfSteps bound the search; each finds less than the one before.
const roundsOfSteps = 20

// stepped are the keys of a solution on their steps. Each by itself to the nearest would
// leave more unevenness than need be: the steps of a thumb screw are coarse, and zones
// share the ink of several keys.
func (s *solving) stepped(f *solvedSweep) []float64 {
	st := &stepping{solving: s, response: f.Response}
	for i, z := range s.in.Zones {
		at := s.FromLeft(i + 1)
		opening := f.Setting.OpeningPct[at]
		step := 100 * s.on.Keys.Step / s.on.Keys.Travel
		key := s.on.Key(z.Number, opening, z.OffSheet)
		other := s.on.Key(z.Number, s.on.Keys.Opening(z.Number, key)+math.Copysign(step, opening-s.on.Keys.Opening(z.Number, key)), z.OffSheet)
		st.keys = append(st.keys, key)
		st.choices = append(st.choices, [2]float64{key, other})
		st.off = append(st.off, f.DeviationPct[at]/100)
	}
	for i := range st.keys {
		st.shift(i, s.on.Keys.OpeningPct(i+1, st.keys[i])-f.Setting.OpeningPct[s.FromLeft(i+1)])
	}
	for range roundsOfSteps {
		if !st.improve() {
			break
		}
	}
	return st.keys
}

// shift reckons with the i-th key being further open, in % of travel.
func (st *stepping) shift(i int, byPct float64) {
	from := st.response.UMPerPct[st.FromLeft(i+1)]
	for z := range st.off {
		st.off[z] += byPct * from[st.FromLeft(z+1)] / st.filmUM
	}
}

// improve moves every key, and every two that are neighbours or next to those, to their
// other steps where films come nearer to what is wanted, and tells whether any did. Keys
// where nothing prints keep their nearest: they say little, each as little as the next,
// and what is alike on both sides of an image stays so.
func (st *stepping) improve() bool {
	moved := false
	for i := range st.keys {
		for j := i; j < min(i+3, len(st.keys)); j++ {
			if !st.prints(i) || !st.prints(j) {
				continue
			}
			before := st.squares()
			st.turn(i, j)
			if !(st.bends(i) && st.bends(j) && st.squares() < before-1e-12) {
				st.turn(i, j)
				continue
			}
			moved = true
		}
	}
	return moved
}

// turn moves a key, or two, to the other step of each.
func (st *stepping) turn(i, j int) {
	for _, k := range slices.Compact([]int{i, j}) {
		other := st.choices[k][0]
		if st.keys[k] == other {
			other = st.choices[k][1]
		}
		st.move(k, other)
	}
}

func (st *stepping) move(i int, key float64) {
	st.shift(i, st.on.Keys.OpeningPct(i+1, key)-st.on.Keys.OpeningPct(i+1, st.keys[i]))
	st.keys[i] = key
}

// squares are those of all films that print, off what is wanted.
func (st *stepping) squares() float64 {
	sum := 0.0
	for z, off := range st.off {
		if st.prints(z) {
			sum += off * off
		}
	}
	return sum
}

// bends tells whether the blade goes from the i-th key to its neighbours.
func (st *stepping) bends(i int) bool {
	limit := st.on.Limits.NeighbourPct
	for _, j := range []int{i - 1, i + 1} {
		if limit > 0 && j >= 0 && j < len(st.keys) &&
			math.Abs(st.on.Keys.OpeningPct(i+1, st.keys[i])-st.on.Keys.OpeningPct(j+1, st.keys[j])) > limit+hairPct {
			return false
		}
	}
	return true
}
