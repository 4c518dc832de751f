package preset

import (
	"testing"

	"bladeline/coverage"
	"bladeline/curves/rollers"
	"bladeline/zones"
	"bladeline/zones/press"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// trainRun is a run on the small train of a form that is even along the sheet, with a
// coverage for each zone from the left, in %.
func trainRun(t *testing.T, first press.End, fromLeft ...float64) (*TrainRun, *press.Press) {
	on := smallTrain(first)
	train, err := NewTrain(on, rollers.Fine)
	require.NoError(t, err)
	u := &Unit{Ink: "Black", Sweep: on.Sweep.Reference, LengthMM: new(on.PrintLengthMM)}
	row := make([]uint64, len(fromLeft))
	for i, pct := range fromLeft {
		row[i] = uint64(255 * pct / 100)
	}
	u.Keys = make([]Key, len(fromLeft))
	for i := range u.Keys {
		u.Keys[i] = Key{Zone: i + 1, CoveragePct: fromLeft[train.FromLeft(i+1)]}
	}
	m := &coverage.Map{Ink: "Black", Width: len(row), Height: 2, DPIX: 25.4 / 30, DPIY: 25.4 / 150, Full: 255, Columns: make([]uint64, len(row)), Rows: make([]uint64, 2)}
	for i, v := range row {
		m.Columns[i] = 2 * v
		m.Rows[0] += v
		m.Rows[1] += v
	}
	f, err := zones.Lay(cellsOf(m, [][]uint64{row, row}), on, zones.Placement{LeadEdge: zones.Bottom})
	require.NoError(t, err)
	return NewTrainRun(train, u, f), on
}

var stepped = []float64{0, 10, 10, 40, 40, 20, 20, 0}

// inkMean is the mean of films in %, weighted by the coverage of zones from the left.
func inkMean(r *TrainRun, films []float64) float64 {
	ink, cover := 0.0, 0.0
	for i, film := range films {
		c := stepped[r.FromLeft(i+1)]
		ink, cover = ink+c*film, cover+c
	}
	return ink / cover
}

// TestTrainRunLevel: of a train that was not fitted the films are held against the mean
// of all ink, and of one that was against the ink's own.
func TestTrainRunLevel(t *testing.T) {
	r, on := trainRun(t, press.Left, stepped...)
	openings := []float64{5, 20, 20, 50, 50, 30, 30, 5}
	settled, err := r.Settle(t.Context(), openings)
	require.NoError(t, err)
	for _, films := range [][]float64{r.LinePct(openings, openings), settled.FilmsPct()} {
		assert.Equal(t, []float64{0, 0}, []float64{films[0], films[7]}, "bare zones print nothing")
		assert.InDelta(t, 100, inkMean(r, films), 0.3)
	}
	// Held against keys twice as wide all zones run light by half, for films are linear.
	half := make([]float64, len(openings))
	for i, opening := range openings {
		half[i] = opening / 2
	}
	thin, err := r.Settle(t.Context(), half)
	require.NoError(t, err)
	for i, film := range thin.HeldAgainst(settled).FilmsPct() {
		assert.InDelta(t, settled.FilmsPct()[i]/2, film, 0.3)
		assert.InDelta(t, r.LinePct(openings, openings)[i]/2, r.LinePct(half, openings)[i], 0.1)
	}
	on.Train.Feed.FittedFrom = []string{"harbour-fair.csv"}
	fitted, err := r.Settle(t.Context(), openings)
	require.NoError(t, err)
	assert.InDelta(t, settled.FilmsPct()[3], fitted.FilmsPct()[3], 1e-9, "a run keeps what it was made with")
	again := NewTrainRun(r.Train, &Unit{Ink: "Black", Sweep: r.Sweep, LengthMM: new(300.0), Keys: make([]Key, 8)}, nil)
	assert.Equal(t, 1.0, again.filmUM)
}

// TestTrainRunByZone: films are told by zone, whichever end the first is at.
func TestTrainRunByZone(t *testing.T) {
	openings := []float64{5, 10, 20, 30, 40, 30, 20, 10}
	left, _ := trainRun(t, press.Left, stepped...)
	right, _ := trainRun(t, press.Right, stepped...)
	turned := make([]float64, 8)
	for i, o := range openings {
		turned[7-i] = o
	}
	a, err := left.Settle(t.Context(), openings)
	require.NoError(t, err)
	b, err := right.Settle(t.Context(), turned)
	require.NoError(t, err)
	for i, film := range a.FilmsPct() {
		assert.InDelta(t, film, b.FilmsPct()[7-i], 1e-9)
		assert.InDelta(t, left.LinePct(openings, openings)[i], right.LinePct(turned, turned)[7-i], 1e-9)
	}
	for i, zones := range a.RollersPct() {
		assert.InDelta(t, zones[2], b.RollersPct()[i][5], 1e-9)
	}
}

// TestTrainRunPull: what one key does is shared as when it alone is open, for films are
// linear in the openings.
func TestTrainRunPull(t *testing.T) {
	r, _ := trainRun(t, press.Left, stepped...)
	openings := []float64{5, 20, 20, 90, 50, 30, 30, 5}
	settled, err := r.Settle(t.Context(), openings)
	require.NoError(t, err)
	pull, err := settled.Pull(t.Context(), 4)
	require.NoError(t, err)
	assert.InDelta(t, 72, pull.ToPct, 1e-9, "an open key is closed by a fifth")
	fine, err := settled.Pull(t.Context(), 1)
	require.NoError(t, err)
	assert.Equal(t, 7.0, fine.ToPct, "at least by 2 %")
	r.on.Keys.Step = 5
	coarse, err := settled.Pull(t.Context(), 1)
	require.NoError(t, err)
	assert.Equal(t, 10.0, coarse.ToPct, "on a step of the key, if only the next one")
	r.on.Keys.Step = 1
	alone := make([]float64, 8)
	alone[3] = 10
	by, err := r.Settle(t.Context(), alone)
	require.NoError(t, err)
	films, sum := by.filmsUM(), 0.0
	for _, film := range films {
		sum += film
	}
	for i, share := range pull.SharesPct {
		assert.InDelta(t, 100*films[i]/sum, share, 0.6) // each from films within the residual of a steady state
	}
	first, last := pull.Run.FilmsPct[0][3], pull.Run.FilmsPct[len(pull.Run.FilmsPct)-1][3]
	assert.Less(t, last, first-2)
	_, err = settled.Pull(t.Context(), 9)
	assert.ErrorContains(t, err, "no zone 9")
}

// TestTrainRunFromClean: the sheets told of are some of those that the model prints.
func TestTrainRunFromClean(t *testing.T) {
	r, _ := trainRun(t, press.Left, stepped...)
	openings := []float64{5, 20, 20, 50, 50, 30, 30, 5}
	settled, err := r.Settle(t.Context(), openings)
	require.NoError(t, err)
	run, err := settled.FromClean(t.Context())
	require.NoError(t, err)
	whole, err := r.Model.Run(t.Context(), r.Clean(), r.form, r.Setting(openings, r.Sweep), run.Sheets[len(run.Sheets)-1])
	require.NoError(t, err)
	for i, sheet := range run.Sheets {
		assert.InDelta(t, 100*whole.FilmUM[sheet-1][3]/settled.wantedUM, run.FilmsPct[i][3], 0.06)
	}
	targets := make([]float64, 8)
	for i := 1; i < 7; i++ {
		targets[i] = settled.Zones[i].FilmUM
	}
	stands, ok := whole.Within(targets, 0.1)
	require.True(t, ok)
	assert.Equal(t, stands, run.Stands)
	assert.NotZero(t, run.ZoneOff)
}
