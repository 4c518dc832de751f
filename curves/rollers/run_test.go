package rollers

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// A steady state is what printing comes to from any start, and what it stays at.
func TestSteadyIsWhereRunsEnd(t *testing.T) {
	m := model(t, outOfStep(duplicator()), Fountain{4, 19.05}, Grid{6, 4})
	form, set := EvenForm(0.1, 0.5, 0, 0.3), Setting{OpeningPct: []float64{10, 40, 5, 25}}
	st, err := m.Steady(context.Background(), form, set)
	require.NoError(t, err)
	for _, start := range []*State{m.Clean(), m.Even(20), m.NewPlate(st.State)} {
		run, err := m.Run(context.Background(), start, form, set, 600)
		require.NoError(t, err)
		last := make([]float64, 4)
		for _, films := range run.FilmUM[600-m.Period():] {
			add(last, 1/float64(m.Period()), films)
		}
		assert.InEpsilonSlice(t, st.films(), last, 1e-3)
		from, ok := run.Within(st.films(), 0.10)
		assert.True(t, ok && from > 0)
	}
	set.OpeningPct[1] = 42
	moved, err := m.SteadyNear(context.Background(), st.State, form, set)
	require.NoError(t, err)
	afresh, err := m.Steady(context.Background(), form, set)
	require.NoError(t, err)
	assert.InEpsilonSlice(t, afresh.films(), moved.films(), 1e-3)
	_, err = m.SteadyNear(context.Background(), nil, form, set)
	assert.Error(t, err)
	set.OpeningPct[1] = 40
	run, err := m.Run(context.Background(), st.State, form, set, 2*m.Period())
	require.NoError(t, err)
	most, least := append([]float64(nil), run.FilmUM[0]...), append([]float64(nil), run.FilmUM[0]...)
	for _, films := range run.FilmUM {
		for z, film := range films {
			most[z], least[z] = max(most[z], film), min(least[z], film)
		}
	}
	for z, zone := range st.Zones {
		assert.InDelta(t, zone.SwingUM, most[z]-least[z], 2e-4)
		assert.True(t, least[z] <= zone.FilmUM && zone.FilmUM <= most[z])
	}
}

// A zone's film is the mean over its ink, and of patches where it has none; thirds
// are those of the sheet. Each is added up here cell by cell.
func TestZonesOfASheet(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		m, form, set := anyModel(rt, t)
		form.Cover[0] = 0
		st, err := m.Steady(context.Background(), form, set)
		require.NoError(t, err)
		per := m.Columns() / len(st.Zones)
		film := func(zone, from, to int) float64 {
			var covers, ink, patches float64
			for slot := from; slot < to; slot++ {
				for j := zone * per; j < (zone+1)*per; j++ {
					at := slot*m.Columns() + j
					covers += st.Sheet.Cover[at]
					ink += st.Sheet.Cover[at] * st.Sheet.FilmUM[at]
					patches += st.Sheet.FilmUM[at] / float64((to-from)*per)
				}
			}
			if covers == 0 {
				return patches
			}
			return ink / covers
		}
		n := m.Slots()
		for z, zone := range st.Zones {
			want := []float64{film(z, 0, n), film(z, 0, n/3), film(z, n/3, 2*n/3), film(z, 2*n/3, n)}
			got := []float64{zone.FilmUM, zone.LeadUM, zone.MiddleUM, zone.TailUM}
			require.InDeltaSlice(t, want, got, 1e-9*m.train.Feed.FilmFullUM)
		}
	})
}

// A new plate finds the rollers, and ductor and oscillators, as the last job left
// them.
func TestNewPlate(t *testing.T) {
	m := model(t, outOfStep(duplicator()), Fountain{3, 19.05}, Coarse)
	run, err := m.Run(context.Background(), m.Clean(), EvenForm(0.1, 0.2, 0.3), Setting{OpeningPct: repeat(30, 3)}, 6)
	require.NoError(t, err)
	bare := m.NewPlate(run.State)
	assert.Equal(t, 3, bare.sheet, "an inking turn and six sheets, of a period of four")
	assert.False(t, bare.inked)
	assert.Equal(t, run.State.films[:m.plate], bare.films[:m.plate])
	assert.Equal(t, make([]float64, m.cells-m.plate), bare.films[m.plate:])
	assert.NotEqual(t, 0.0, run.State.films[m.plate])
}

// A form's ink is that of its cells, however the model's grid lies.
func TestFormKeepsItsInk(t *testing.T) {
	m := model(t, duplicator(), Fountain{3, 19.05}, Fine)
	for _, f := range []Form{EvenForm(0.2, 0.4, 0.9), {2, 5, []float64{1, 0, 0.3, 1, 0, 0, 0.2, 0, 0.7, 1}}, {1000, 1, repeat(0.25, 1000)}} {
		cover, err := m.cover(f)
		require.NoError(t, err)
		assert.Len(t, cover, m.Slots()*m.Columns())
		assert.InEpsilon(t, mean(f.Cover), mean(cover), 1e-12)
	}
	same := Form{m.Slots(), m.Columns(), repeat(0.5, m.Slots()*m.Columns())}
	cover, err := m.cover(same)
	require.NoError(t, err)
	assert.Equal(t, same.Cover, cover)
}

func TestWithin(t *testing.T) {
	run := &Startup{FilmUM: [][]float64{{0.5, 9}, {0.95, 9}, {0.8, 9}, {0.92, 9}, {1.09, 9}}}
	for share, want := range map[float64]int{0.1: 3, 0.25: 1, 0.6: 0, 0.05: 5} {
		sheets, ok := run.Within([]float64{1, 0}, share)
		assert.Equal(t, want, sheets, "%g", share)
		assert.Equal(t, want < 5, ok)
	}
}

// The charge of rollers rules how many sheets are lost: from clean rollers some
// hundred, after the right charge a few. Idling with the ductor off costs a few,
// with it on as many as from clean.
func TestChargeSavesSheets(t *testing.T) {
	for _, p := range []struct {
		train Train
		f     Fountain
	}{{sheetfed(), Fountain{7, 31.75}}, {duplicator(), Fountain{7, 19.05}}} {
		m := model(t, outOfStep(p.train), p.f, Grid{6, 4})
		form := EvenForm(0.1, 0.3, 0.25, 0.15, 0.4, 0.3, 0.2)
		solved, err := m.Solve(context.Background(), form, free(7))
		require.NoError(t, err)
		st, set := solved.Steady, solved.Setting
		sheets := func(from *State) int {
			run, err := m.Run(context.Background(), from, form, set, 600)
			require.NoError(t, err)
			n, ok := run.Within(st.targets(), 0.10)
			require.True(t, ok)
			return n
		}
		c, err := m.Charge(context.Background(), st, form, set, nil)
		require.NoError(t, err)
		assert.LessOrEqual(t, c.Sheets, 10)
		assert.LessOrEqual(t, c.Turns, 80, "turns cost as well")
		clean := sheets(m.Clean())
		assert.Greater(t, clean, 50)
		idle := func(ductor bool) int {
			s, err := m.Idle(context.Background(), st.State, set, 200, ductor)
			require.NoError(t, err)
			return sheets(s)
		}
		assert.LessOrEqual(t, idle(false), 5)
		assert.Greater(t, idle(true), 50)

		given, err := m.Charge(context.Background(), st, form, set, nil, 20, 30)
		require.NoError(t, err)
		assert.Contains(t, []float64{20, 30}, given.OpeningPct)
		_, err = m.Charge(context.Background(), st, form, set, nil, 0.1)
		assert.ErrorContains(t, err, "no opening that is offered")
		_, err = m.Charge(context.Background(), st, form, set, nil, math.NaN())
		assert.Error(t, err)
	}
}

// Whatever takes long ends when it is no longer wanted.
func TestCancelled(t *testing.T) {
	m := model(t, sheetfed(), wide, Fine)
	form, set := EvenForm(repeat(0.2, 21)...), Setting{OpeningPct: repeat(20, 21)}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err := m.Steady(ctx, form, set)
	assert.ErrorIs(t, err, context.Canceled)
	_, err = m.Run(ctx, m.Clean(), form, set, MostSheets)
	assert.ErrorIs(t, err, context.Canceled)
	_, err = m.Idle(ctx, m.Clean(), set, MostTurns, true)
	assert.ErrorIs(t, err, context.Canceled)
	_, err = m.Respond(ctx, form, 0)
	assert.ErrorIs(t, err, context.Canceled)
	_, err = m.Solve(ctx, form, free(21))
	assert.ErrorIs(t, err, context.Canceled)
	_, err = m.Charge(ctx, &Steady{Zones: make([]ZoneFilm, 21)}, form, set, nil)
	assert.ErrorIs(t, err, context.Canceled)
}

func TestRunsRefused(t *testing.T) {
	m := model(t, duplicator(), Fountain{3, 19.05}, Coarse)
	other := model(t, duplicator(), Fountain{4, 19.05}, Coarse)
	form, set := EvenForm(0.1, 0.2, 0.3), Setting{OpeningPct: repeat(20, 3)}
	run := func(s *State, f Form, set Setting, sheets int) error {
		_, err := m.Run(context.Background(), s, f, set, sheets)
		return err
	}
	assert.NoError(t, run(m.Clean(), form, set, 0))
	assert.ErrorContains(t, run(other.Clean(), form, set, 1), "those of another train")
	assert.ErrorContains(t, run(nil, form, set, 1), "those of another train")
	assert.ErrorContains(t, run(m.Clean(), Form{2, 2, repeat(0.1, 3)}, set, 1), "has 3 coverages")
	assert.ErrorContains(t, run(m.Clean(), Form{math.MaxInt, math.MaxInt, nil}, set, 1), "has 0 coverages")
	assert.ErrorContains(t, run(m.Clean(), EvenForm(0.1, math.NaN(), 0), set, 1), "cell 2 of row 1 has the coverage NaN")
	assert.ErrorContains(t, run(m.Clean(), form, Setting{OpeningPct: repeat(1, 2)}, 1), "2 openings for 3 keys")
	assert.ErrorContains(t, run(m.Clean(), form, Setting{OpeningPct: repeat(math.Inf(1), 3)}, 1), "key 1 from the left is opened by +Inf %")
	assert.ErrorContains(t, run(m.Clean(), form, Setting{set.OpeningPct, math.NaN()}, 1), "a strip of NaN mm")
	assert.ErrorContains(t, run(m.Clean(), form, set, MostSheets+1), "a run of 20001 sheets")
	assert.ErrorContains(t, run(m.Clean(), form, set, -1), "a run of -1 sheets")
	_, err := m.Idle(context.Background(), m.Clean(), set, -1, true)
	assert.ErrorContains(t, err, "-1 turns")
	_, err = m.StoredMM3(other.Clean(), form)
	assert.Error(t, err)
	_, err = m.RollersUM(other.Clean())
	assert.Error(t, err)
}
