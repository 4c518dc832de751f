package rehearsal

import (
	"context"
	"math"
	"testing"

	"bladeline/zones/press"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// checked is a tint of 20 % with solid squares of 4 mm, 12 mm apart: finer than a column
// of a zone that is 30 mm wide and has four.
func checked(xMM, yMM float64) float64 {
	if math.Mod(xMM, 12) < 4 && math.Mod(yMM, 12) < 4 {
		return 1
	}
	return 0.2
}

// TestFineMap: the map that is asked for has cells of about 2 mm, is worked out on them,
// so that the films of its zones are those of the rest, and changes nothing else.
func TestFineMap(t *testing.T) {
	in := inputOf(t, smallPress(press.Left, "spring.csv"), checked)
	plain := rehearsed(t, in)
	in.FineMap = true
	fine := rehearsed(t, in)
	assert.InDelta(t, 3, plain.Map.CellLengthMM, 0.1)
	assert.InDelta(t, 7.5, plain.Map.CellWidthMM, 1e-9)
	assert.InDelta(t, 2, fine.Map.CellLengthMM, 0.1)
	assert.InDelta(t, 2, fine.Map.CellWidthMM, 0.1)
	require.Len(t, fine.Map.FilmUM, 150)
	require.Len(t, fine.Map.FilmUM[0], 90)

	// A cell's film counts by what of it prints.
	ink, cover := make([]float64, 6), make([]float64, 6)
	within := func(x, y float64) float64 { // of the separation's own cells of 3 mm
		at := func(v float64) float64 { return 3*math.Floor(v/3) + 1.5 }
		return checked(at(x), at(y))
	}
	for row, films := range fine.Map.FilmUM {
		for column, film := range films {
			c := within((float64(column)+0.5)*2, (float64(row)+0.5)*2)
			require.NotNil(t, film)
			ink[column/15] += c * *film
			cover[column/15] += c
		}
	}
	for i, z := range fine.Zones {
		assert.InEpsilon(t, z.FilmUM, ink[i]/cover[i], 0.01)
	}
	plain.Map = fine.Map
	assert.Equal(t, plain, fine)
}

// TestFineMapWithoutLayout: where it is not known how the image lies there is none.
func TestFineMapWithoutLayout(t *testing.T) {
	in := inputOf(t, smallPress(press.Left), even(0.3))
	in.Forms, in.FineMap = nil, true
	assert.Empty(t, rehearsed(t, in).Map.FilmUM)
	in = inputOf(t, smallPress(press.Left), even(0.3))
	s, err := newStage(in, &in.Preset.Units[0])
	require.NoError(t, err)
	require.NoError(t, s.settle(context.Background()))
	gone, stop := context.WithCancel(context.Background())
	stop()
	_, err = s.finely(gone)
	assert.ErrorIs(t, err, context.Canceled)
}
