package preset

import (
	"context"
	"testing"

	"bladeline/coverage"
	"bladeline/curves/rollers"
	"bladeline/zones"
	"bladeline/zones/press"
	"bladeline/zones/zonestest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// smallTrain is a press of 8 zones of 30 mm with a ductor, three rollers and a
// form roller, its first zone at an end.
func smallTrain(first press.End) *press.Press {
	on := zonestest.Press(8, 30)
	on.Fountain.FirstZone = first
	on.PrintLengthMM = 300
	on.Train = &rollers.Train{
		PlateMM: 120, ImageMM: 300, Paper: 0.5, Split: 0.5, Turns: 3,
		Ductor: rollers.Ductor{DiameterMM: 40, Touches: "top", EverySheets: 2, Duty: 0.4},
		Rollers: []rollers.Roller{
			{Name: "form", Kind: rollers.FormRoller, Surface: rollers.Rubber, DiameterMM: 50},
			{Name: "middle", Kind: rollers.Oscillator, Surface: rollers.Hard, DiameterMM: 54, Touches: []string{"form"}, StrokeMM: 12},
			{Name: "top", Kind: rollers.Distributor, Surface: rollers.Rubber, DiameterMM: 46, Touches: []string{"middle"}},
		},
		Feed: rollers.Feed{FilmFullUM: 80, StripMM: 24},
	}
	return on
}

// cellsOf gives a Map a cell for every pixel.
func cellsOf(m *coverage.Map, rows [][]uint64) *coverage.Map {
	m.Cells = coverage.Cells{}
	for x := range m.Width + 1 {
		m.Cells.X = append(m.Cells.X, x)
	}
	for y := range m.Height + 1 {
		m.Cells.Y = append(m.Cells.Y, y)
	}
	for _, row := range rows {
		for _, v := range row {
			m.Cells.Ink = append(m.Cells.Ink, uint32(v))
		}
	}
	return m
}

// TestTrainFormKeepsInk: what the plate takes ink for is what the separation
// carries, zone by zone, wherever its pixels lie on the model's grid.
func TestTrainFormKeepsInk(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		on := smallTrain(rapid.SampledFrom([]press.End{press.Left, press.Right}).Draw(t, "first zone"))
		width, height := rapid.IntRange(1, 30).Draw(t, "width"), rapid.IntRange(1, 20).Draw(t, "height")
		rows := make([][]uint64, height)
		for y := range rows {
			rows[y] = rapid.SliceOfN(rapid.Uint64Range(0, 255), width, width).Draw(t, "row")
		}
		dpi := 25.4 / rapid.Float64Range(0.5, min(20, 200.0/float64(width), 299.0/float64(height))).Draw(t, "mm")
		form, err := zones.Lay(cellsOf(zonestest.MapOf(255, dpi, dpi, rows...), rows), on, zones.Placement{ShiftMM: rapid.Float64Range(-15, 15).Draw(t, "shift")})
		require.NoError(t, err)
		train, err := NewTrain(on, rollers.Fine)
		require.NoError(t, err)

		laid := train.Form(form)
		zoned, _, err := form.Zones()
		require.NoError(t, err)
		perZone := laid.Columns / len(zoned)
		for _, z := range zoned {
			sum := 0.0
			for at, c := range laid.Cover {
				if at%laid.Columns/perZone == train.FromLeft(z.Number) {
					sum += c
				}
			}
			assert.InDelta(t, z.CoveragePct, 100*sum/float64(perZone*laid.Rows), 1e-9, "zone %d", z.Number)
		}
	})
}

// TestTrainFormRunsFromGripperEdge: a bar at the gripper edge, the raster's
// bottom, takes the first slots: 15 mm are five of 3 mm.
func TestTrainFormRunsFromGripperEdge(t *testing.T) {
	rows := [][]uint64{{0}, {0}, {0}, {0}, {1}}
	on := smallTrain(press.Left)
	form, err := zones.Lay(cellsOf(zonestest.MapOf(1, 25.4/15, 25.4/15, rows...), rows), on, zones.Placement{})
	require.NoError(t, err)
	train, err := NewTrain(on, rollers.Fine)
	require.NoError(t, err)
	laid := train.Form(form)
	middle := laid.Columns / 2
	for slot := range laid.Rows {
		want := 0.0
		if slot < 5 {
			want = 1
		}
		assert.InDelta(t, want, laid.Cover[slot*laid.Columns+middle], 1e-9, "slot %d", slot)
	}
}

// TestTrainPrintsEvenlyOnItsLine: an even form with keys on the train's line
// carries the film that they were worked out for, whichever end zone 1 is at.
func TestTrainPrintsEvenlyOnItsLine(t *testing.T) {
	on := smallTrain(press.Right)
	train, err := NewTrain(on, rollers.Fine)
	require.NoError(t, err)
	const film, pct, sweep = 1.0, 25.0, 30.0
	openings, covers := make([]float64, 8), make([]float64, 8)
	for i := range openings {
		openings[i] = 100 * train.Line().FeedUM(film, pct/100, train.StripMM(sweep)) / on.Train.Feed.FilmFullUM
		covers[i] = pct
	}
	st, err := train.Steady(context.Background(), train.EvenForm(covers), train.Setting(openings, sweep))
	require.NoError(t, err)
	for _, z := range st.Zones {
		assert.InDelta(t, film, z.FilmUM, 0.01)
	}
}

// TestNoTrain: what lacks is said, and what to do.
func TestNoTrain(t *testing.T) {
	on := smallTrain(press.Left)
	on.Train.Feed = rollers.Feed{}
	_, err := NewTrain(on, rollers.Fine)
	assert.EqualError(t, err, `train.feed: film_full_um and strip_mm are not known of press "Two-colour 26-inch"; fit them with press fit, or state a film and a strip to see how it would print`)
	on.Train = nil
	_, err = NewTrain(on, rollers.Fine)
	assert.ErrorIs(t, err, ErrNoTrain)
}
