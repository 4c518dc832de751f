package rollers

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What one grid settles at is near to what a finer one does, which has the same means on
// its rollers when the films are laid on it, and sharper edges where a form has them.
func TestOnGrid(t *testing.T) {
	f := Fountain{3, 19.05}
	coarse, fine := model(t, duplicator(), f, Grid{6, 4}), model(t, duplicator(), f, Grid{2, 10})
	form := Form{Rows: 210, Columns: 30, Cover: make([]float64, 210*30)}
	for i := range form.Cover {
		if row := i / 30; row >= 60 && row < 90 {
			form.Cover[i] = 1
		} else if i%30 > 4 {
			form.Cover[i] = 0.2
		}
	}
	set := Setting{OpeningPct: []float64{20, 30, 25}}
	near, err := coarse.Steady(context.Background(), form, set)
	require.NoError(t, err)
	laid, err := fine.OnGrid(coarse, near.State)
	require.NoError(t, err)
	before, err := coarse.RollersUM(near.State)
	require.NoError(t, err)
	laidUM, err := fine.RollersUM(laid)
	require.NoError(t, err)
	for r := range before {
		assert.InEpsilonSlice(t, before[r], laidUM[r], 1e-9)
	}
	st, err := fine.SteadyNear(context.Background(), laid, form, set)
	require.NoError(t, err)
	afresh, err := fine.Steady(context.Background(), form, set)
	require.NoError(t, err)
	assert.InEpsilonSlice(t, afresh.films(), st.films(), 1e-3)
	assert.InEpsilonSlice(t, near.films(), st.films(), 0.02)
	for i, film := range afresh.Sheet.FilmUM {
		assert.InDelta(t, film, st.Sheet.FilmUM[i], 0.01*film+1e-3)
	}

	after, err := fine.SteadyAfter(context.Background(), laid, form, set, 12)
	require.NoError(t, err)
	assert.Less(t, after.Residual, 0.02)
	assert.InEpsilonSlice(t, afresh.films(), after.films(), 0.005)
	for i, film := range afresh.Sheet.FilmUM {
		assert.InDelta(t, film, after.Sheet.FilmUM[i], 0.01*film+1e-3)
	}
	_, err = fine.SteadyAfter(context.Background(), laid, form, set, 0)
	assert.ErrorContains(t, err, "a run of 0 sheets")
	_, err = fine.SteadyAfter(context.Background(), near.State, form, set, 12)
	assert.Error(t, err)

	_, err = fine.OnGrid(coarse, laid)
	assert.ErrorContains(t, err, "another train, fountain or grid")
	_, err = fine.OnGrid(model(t, sheetfed(), f, Grid{6, 4}), near.State)
	assert.Error(t, err)
}
