package rollers

import (
	"context"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// bar is a form with a bar from 30 to 91.5 mm on a tint, over all columns or over
// some; its end lies within a slot.
func bar(m *Model, tint float64, from, to int) Form {
	f := Form{Rows: m.Slots(), Columns: m.Columns(), Cover: repeat(tint, m.Slots()*m.Columns())}
	for slot := 10; slot <= 30; slot++ {
		for j := from; j < to; j++ {
			f.Cover[slot*m.Columns()+j] = 1
			if slot == 30 {
				f.Cover[slot*m.Columns()+j] = tint + (1-tint)/2
			}
		}
	}
	return f
}

// What is printed is the sum of what the form rollers bring, whatever the form.
func TestFormRollersMakeTheFilm(t *testing.T) {
	for _, train := range []Train{sheetfed(), duplicator()} {
		train.Paper = 0.4
		m := model(t, train, Fountain{3, 31.75}, Fine)
		s, err := m.prepare(m.Clean(), bar(m, 0.1, 2, 7), Setting{OpeningPct: []float64{20, 30, 10}})
		require.NoError(t, err)
		st, err := m.steady(context.Background(), s, nil, 1e-9)
		require.NoError(t, err)
		sum := make([]float64, len(st.Sheet.FilmUM))
		for _, f := range st.forms {
			add(sum, f.weight, f.film)
		}
		assert.InDeltaSlice(t, st.Sheet.FilmUM, sum, 1e-7)
	}
}

// A step at y comes back at y + kπd, a fall for a rise. Form rollers of different
// diameters share it, the last one's part being the largest. A handbook has a
// ghost one turn of the roller behind its cause; second hand.
func TestGhostsLieTurnsBehindTheirCause(t *testing.T) {
	train := sheetfed()
	m := model(t, outOfStep(train), Fountain{3, 31.75}, Fine)
	st, err := m.Steady(context.Background(), bar(m, 0.1, 0, 12), Setting{OpeningPct: repeat(30, 3)})
	require.NoError(t, err)
	ghosts := st.Ghosts(0.4)
	largest := map[string]float64{}
	for _, g := range ghosts {
		if g.Turns == 1 && math.Abs(g.CauseMM-30) < 1e-9 {
			largest[g.Roller] = g.StepUM
			assert.InDelta(t, 30+g.CircumferenceMM, g.AtMM, 1e-9)
			assert.Negative(t, g.StepUM, "the bar begins")
			assert.Equal(t, []float64{0, 95.25}, []float64{g.LeftMM, g.RightMM}, "over the whole width")
		}
		if g.Turns == 1 && math.Abs(g.CauseMM-91.5) < 1e-9 {
			assert.Positive(t, g.StepUM, "the bar ends, within a slot")
			slot := int(g.AtMM / m.SlotMM())
			film := func(slot int) float64 { return st.Sheet.FilmUM[slot*m.Columns()+5] }
			assert.Greater(t, film(slot+2), film(slot-2), "the film on the sheet steps as well")
		}
	}
	assert.True(t, slices.ContainsFunc(ghosts, func(g Ghost) bool { return g.AtMM < g.CauseMM }), "some are on the next sheet")
	require.Len(t, largest, 4)
	assert.Less(t, largest["form 4"], largest["form 1"])
	assert.Equal(t, "form 4", ghosts[0].Roller)
	for i, g := range ghosts {
		way := g.AtMM - g.CauseMM
		if way < 0 {
			way += math.Pi * train.PlateMM // on the next sheet
		}
		assert.InDelta(t, float64(g.Turns)*g.CircumferenceMM, way, 1e-9)
		assert.True(t, g.AtMM >= 0 && g.AtMM <= train.ImageMM, "%g", g.AtMM)
		assert.GreaterOrEqual(t, math.Abs(g.StepPct), 0.4)
		if i > 0 {
			assert.LessOrEqual(t, math.Abs(g.StepPct), math.Abs(ghosts[i-1].StepPct))
		}
	}
	assert.Empty(t, st.Ghosts(50))
	even, err := m.Steady(context.Background(), EvenForm(0.3, 0.3, 0.3), Setting{OpeningPct: repeat(30, 3)})
	require.NoError(t, err)
	for _, g := range even.Ghosts(0.1) {
		assert.True(t, g.CauseMM == 0 || math.Abs(g.CauseMM-train.ImageMM) < 1e-9, "the ends of the image alone")
	}
}

// Form rollers of one diameter make one step where different ones make several
// smaller ones. Oscillation does nothing for a bar across the sheet.
func TestFormRollersOfOneDiameter(t *testing.T) {
	worst := func(train Train) float64 {
		m := model(t, outOfStep(train), Fountain{3, 31.75}, Fine)
		st, err := m.Steady(context.Background(), bar(m, 0.1, 0, 12), Setting{OpeningPct: repeat(30, 3)})
		require.NoError(t, err)
		most := 0.0
		for slot := 32; slot < m.Slots(); slot++ {
			at := slot*m.Columns() + 5
			most = max(most, math.Abs(st.Sheet.FilmUM[at]/st.Sheet.FilmUM[at-m.Columns()]-1))
		}
		return most
	}
	differ, alike, still := sheetfed(), sheetfed(), sheetfed()
	for i := range alike.Rollers {
		if alike.Rollers[i].Kind == FormRoller {
			alike.Rollers[i].DiameterMM = 72
		}
		still.Rollers[i].StrokeMM = 0
	}
	assert.Greater(t, worst(alike), 1.5*worst(differ))
	assert.InEpsilon(t, worst(still), worst(differ), 0.15)
}

// Along a bar half a zone wide, which takes more than its key's share, oscillation
// brings ink from beside it.
func TestOscillationFeedsANarrowBar(t *testing.T) {
	film := func(train Train) float64 {
		m := model(t, outOfStep(train), Fountain{3, 31.75}, Coarse)
		f := Form{Rows: 1, Columns: 12, Cover: repeat(0.1, 12)}
		f.Cover[5], f.Cover[6] = 0.6, 0.6
		keys := []float64{m.line.FeedUM(1, 0.1, 0), m.line.FeedUM(1, 0.35, 0), m.line.FeedUM(1, 0.1, 0)}
		st, err := m.Steady(context.Background(), f, Setting{OpeningPct: keys})
		require.NoError(t, err)
		return st.Sheet.FilmUM[5]
	}
	still := sheetfed()
	for i := range still.Rollers {
		still.Rollers[i].StrokeMM = 0
	}
	assert.Less(t, film(still), 0.7)
	assert.Greater(t, film(sheetfed()), film(still)+0.1)
}
