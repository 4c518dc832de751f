package rollers

import (
	"context"
	"math"
	"math/rand/v2"
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// outOfStep is an invented train whose oscillators are not in step with the
// ductor.
func outOfStep(train Train) Train {
	train.Turns = 4
	return train
}

func free(n int) Wanted {
	return Wanted{FilmUM: repeat(1, n), FloorPct: repeat(0, n), CeilingPct: repeat(100, n)}
}

// rms is the root of the mean of squares, in the unit of v.
func rms(v []float64) float64 { return math.Sqrt(dot(v, v) / float64(len(v))) }

// lineOff is by how much films stand off 1 µm when keys follow the line, in %.
func lineOff(t *testing.T, m *Model, f Form, keys []float64) []float64 {
	st, err := m.Steady(context.Background(), f, Setting{OpeningPct: keys})
	require.NoError(t, err)
	films := st.films()
	for z := range films {
		films[z] = 100 * (films[z] - 1)
	}
	return films
}

// On random forms, each zone by itself, keys that are solved together print films
// within 0.5 %, several times as even as the line's.
func TestSolvedKeysOfRandomForms(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 8))
	for _, p := range []struct {
		train Train
		f     Fountain
	}{{sheetfed(), Fountain{9, 31.75}}, {duplicator(), narrow}} {
		m := model(t, outOfStep(p.train), p.f, Grid{6, 4})
		for range 3 {
			cover := make([]float64, p.f.Zones)
			for z := range cover {
				cover[z] = 0.1 + 0.5*r.Float64()
			}
			s, err := m.Solve(context.Background(), EvenForm(cover...), free(p.f.Zones))
			require.NoError(t, err)
			assert.Less(t, rms(s.DeviationPct), 0.5)
			assert.Greater(t, rms(lineOff(t, m, EvenForm(cover...), s.LinePct)), 3*rms(s.DeviationPct))
		}
	}
}

// The corrections by the model's own grid come nearer to the least squares.
func TestCorrectionsComeNearer(t *testing.T) {
	m := model(t, outOfStep(sheetfed()), Fountain{7, 31.75}, Grid{4, 4})
	form := EvenForm(0.1, 0.4, 0.05, 0.5, 0.3, 0.1, 0.6)
	q, err := m.question(form, free(7))
	require.NoError(t, err)
	s, err := m.Solve(context.Background(), form, free(7))
	require.NoError(t, err)
	first, err := q.solve(context.Background(), s.Response, make([]float64, 7), make([]float64, 7))
	require.NoError(t, err)
	squares := func(keys []float64) float64 {
		off := lineOff(t, m, form, keys)
		sum := dot(off, off) / 1e4
		for k := range keys {
			sum += lineWeight * math.Pow(keys[k]/q.line[k]-1, 2)
		}
		return sum
	}
	assert.Less(t, squares(s.Setting.OpeningPct), squares(first))
}

// Zones of 5 and 40 % in turn: keys alone hardly even them, and are kept from going
// far for little.
func TestAlternatingZonesKeepNearTheLine(t *testing.T) {
	m := model(t, outOfStep(sheetfed()), Fountain{10, 31.75}, Coarse)
	cover := make([]float64, 10)
	for z := range cover {
		cover[z] = []float64{0.05, 0.40}[z%2]
	}
	s, err := m.Solve(context.Background(), EvenForm(cover...), free(10))
	require.NoError(t, err)
	for k, o := range s.Setting.OpeningPct {
		assert.Greater(t, o, 0.1*s.LinePct[k])
	}
	assert.Less(t, rms(s.DeviationPct), 2.0)
}

// A zone of 60 % among zones of 5 %: no key prints it within 0.5 %, but its
// neighbours are closed for what it gives them, and all films are within 2 %.
func TestSolvedKeysRoundAFullZone(t *testing.T) {
	m := model(t, outOfStep(sheetfed()), Fountain{11, 31.75}, Grid{6, 4})
	cover := repeat(0.05, 11)
	cover[5] = 0.60
	s, err := m.Solve(context.Background(), EvenForm(cover...), free(11))
	require.NoError(t, err)
	assert.Less(t, s.Setting.OpeningPct[4], 0.7*s.LinePct[4])
	assert.Less(t, s.Setting.OpeningPct[6], 0.7*s.LinePct[6])
	assert.Greater(t, s.Setting.OpeningPct[5], s.LinePct[5])
	for z, off := range s.DeviationPct {
		assert.Less(t, math.Abs(off), 2.0, "zone %d", z)
	}
}

// Keys beside the image are opened so that they take no ink from it: by what the
// line asks at no coverage. Shut, they starve the first zone.
func TestSolvedKeysBesideTheImage(t *testing.T) {
	m := model(t, outOfStep(sheetfed()), Fountain{9, 31.75}, Grid{6, 4})
	form := EvenForm(0, 0, 0.3, 0.3, 0.3, 0.3, 0.3, 0, 0)
	w := free(9)
	for _, z := range []int{0, 1, 7, 8} {
		w.FilmUM[z] = 0
	}
	s, err := m.Solve(context.Background(), form, w)
	require.NoError(t, err)
	assert.InEpsilon(t, 100*m.line.A/m.train.Feed.FilmFullUM, s.LinePct[0], 1e-12)
	for _, k := range []int{0, 1, 7, 8} {
		assert.InDelta(t, s.LinePct[k], s.Setting.OpeningPct[k], 0.4*s.LinePct[k])
		assert.Zero(t, s.DeviationPct[k])
		w.CeilingPct[k] = 0
	}
	assert.Less(t, rms(s.DeviationPct), 0.3)
	shut, err := m.Solve(context.Background(), form, w)
	require.NoError(t, err)
	assert.Zero(t, shut.Setting.OpeningPct[0])
	assert.Greater(t, shut.Setting.OpeningPct[2], 1.1*s.Setting.OpeningPct[2], "the next key makes up for it")
	keys := append([]float64{0, 0}, s.Setting.OpeningPct[2:]...)
	assert.Less(t, lineOff(t, m, form, keys)[2], -10.0)
}

// Bounds and the blade are kept; a key whose bounds are alike stays.
func TestSolvedKeysKeepTheirBounds(t *testing.T) {
	m := model(t, outOfStep(duplicator()), Fountain{6, 19.05}, Grid{6, 4})
	w := free(6)
	w.NeighbourPct = 8
	w.FloorPct, w.CeilingPct = repeat(4, 6), repeat(30, 6)
	w.FloorPct[1], w.CeilingPct[1] = 12, 12
	s, err := m.Solve(context.Background(), EvenForm(0.05, 0.3, 0.02, 0.9, 0.1, 0.4), w)
	require.NoError(t, err)
	for k, o := range s.Setting.OpeningPct {
		assert.True(t, o >= w.FloorPct[k] && o <= w.CeilingPct[k], "key %d: %g", k, o)
		if k > 0 {
			assert.LessOrEqual(t, math.Abs(o-s.Setting.OpeningPct[k-1]), 8+1e-6)
		}
	}
	assert.Equal(t, 12.0, s.Setting.OpeningPct[1])
	assert.Less(t, s.DeviationPct[3], -10.0, "no key cures it")
}

// TestFormWithoutImage: keys that no image needs stay shut, all of them here.
func TestFormWithoutImage(t *testing.T) {
	m := model(t, duplicator(), Fountain{4, 19.05}, Coarse)
	s, err := m.Solve(context.Background(), EvenForm(0, 0, 0, 0), free(4))
	require.NoError(t, err)
	assert.InDeltaSlice(t, repeat(0, 4), s.Setting.OpeningPct, 1e-2, "% of opening")
	assert.Equal(t, repeat(0, 4), s.DeviationPct)
}

func TestWantedRefused(t *testing.T) {
	m := model(t, duplicator(), Fountain{3, 19.05}, Coarse)
	for want, change := range map[string]func(w *Wanted){
		"films for 2 zones":                                                     func(w *Wanted) { w.FilmUM = repeat(1, 2) },
		"film of -1 µm is wanted of zone 2":                                     func(w *Wanted) { w.FilmUM[1] = -1 },
		"film of NaN µm is wanted of zone 1":                                    func(w *Wanted) { w.FilmUM[0] = math.NaN() },
		"no film is wanted":                                                     func(w *Wanted) { w.FilmUM = repeat(0, 3) },
		"key 3 from the left is to stand between 50 and 40 %":                   func(w *Wanted) { w.FloorPct[2], w.CeilingPct[2] = 50, 40 },
		"key 1 from the left is to stand between NaN":                           func(w *Wanted) { w.FloorPct[0] = math.NaN() },
		"keys 1 and 3 from the left cannot stand at 50 % or more and at 10 % o": func(w *Wanted) { w.FloorPct[0], w.CeilingPct[2], w.NeighbourPct = 50, 10, 15 },
		"differ by -1 %":                                                        func(w *Wanted) { w.NeighbourPct = -1 },
		"a strip of -2 mm":                                                      func(w *Wanted) { w.StripMM = -2 },
	} {
		w := free(3)
		change(&w)
		_, err := m.Solve(context.Background(), EvenForm(0.1, 0.2, 0.3), w)
		assert.ErrorContains(t, err, want)
	}
}

// A key gives most to its own zone, less to each further one, and evenly to both
// sides where the oscillators are not in step; more widely where little is taken.
func TestFootprint(t *testing.T) {
	m := model(t, outOfStep(sheetfed()), Fountain{11, 31.75}, Coarse)
	var own []float64
	for _, cover := range []float64{0.05, 0.2, 0.6} {
		r, err := m.Respond(context.Background(), EvenForm(repeat(cover, 11)...), 0)
		require.NoError(t, err)
		p := r.Footprint(5)
		assert.InDelta(t, 1, mean(p)*11, 1e-12)
		for d := range 3 {
			assert.Greater(t, p[5+d], p[6+d])
			assert.InDelta(t, p[5+d], p[5-d], 0.01)
		}
		own = append(own, p[5])
	}
	assert.IsIncreasing(t, own)
}

// The same on any number of cores, to the last bit.
func TestSameOnAnyCores(t *testing.T) {
	m := model(t, duplicator(), Fountain{5, 19.05}, Grid{6, 4})
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	var first *Solution
	for _, cores := range []int{1, 2, 5} {
		runtime.GOMAXPROCS(cores)
		s, err := m.Solve(context.Background(), EvenForm(0.1, 0.6, 0, 0.2, 0.9), free(5))
		require.NoError(t, err)
		if first == nil {
			first = s
		}
		assert.Equal(t, first.Setting, s.Setting)
		assert.Equal(t, first.Response, s.Response)
		assert.Equal(t, first.Steady.State, s.Steady.State)
	}
}
