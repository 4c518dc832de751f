package rollers

import (
	"context"
	"math"
	"runtime/metrics"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What printers and teachers say of the same things. Where it is a forum's word it
// is said so; what could not be read in the original is second hand.

// usual is the setting that prints 1 µm on a form of a usual coverage.
func usual(t *testing.T, train Train) (*Model, Form, *Steady, Setting) {
	m := model(t, outOfStep(train), Fountain{5, 31.75}, Fine)
	form := EvenForm(repeat(0.25, 5)...)
	set := Setting{OpeningPct: repeat(100*m.line.FeedUM(1, 0.25, 0)/train.Feed.FilmFullUM, 5)}
	st, err := m.Steady(context.Background(), form, set)
	require.NoError(t, err)
	return m, form, st, set
}

// About 1 µm on the print, up to 2 on the blanket, 1 to 5 on the rollers, and
// splitting most nearly in half (trade forum offsetdrucker.net, thread 7491). A
// film of process ink of 0.7 to 1.1 µm is right, of black up to 1.3 (ISO 2846-1;
// second hand): the rollers near the form that print it carry 2 to 4 µm.
func TestFilmsAreThoseOfThePressroom(t *testing.T) {
	for _, train := range []Train{sheetfed(), duplicator()} {
		_, _, st, _ := usual(t, train)
		assert.InDelta(t, 1, st.Zones[2].FilmUM, 0.02)
		blanket := 1 / train.Paper // before the paper takes its half
		assert.LessOrEqual(t, blanket*st.Zones[2].FilmUM, 2.05)
		for i, r := range train.Rollers {
			film := st.RollersUM[i][2]
			if r.Kind == FormRoller {
				assert.True(t, film > 1 && film < 5, "%s: %g µm", r.Name, film)
			}
			assert.True(t, film > 1 && film < 8, "%s: %g µm", r.Name, film)
		}
	}
	assert.True(t, BaseFilm(4, 0.5)*0.7 > 2 && BaseFilm(4, 0.5)*1.3 < 4.1)
}

// 4 µm that are split twice give 1 µm on the paper, within 0.1 µm
// (the-print-guide.blogspot.com, January 2012): a form roller, a plate and a
// blanket that bring nothing, and a paper that takes half.
func TestFourMicronsSplitTwice(t *testing.T) {
	form, plate, blanket, paper := []float64{4}, []float64{0}, []float64{0}, []float64{0}
	ink(form, plate, []float64{1})
	assert.Equal(t, 2.0, plate[0])
	print(plate, blanket, paper, 1)
	assert.InDelta(t, 1, paper[0], 0.1)
	assert.InDelta(t, 4, BaseFilm(1, 0.5)*1, 1e-12, "one form roller carries four times the print")
}

// Films in forward roll coating part as the speeds' ratio to the power of 0.65 (J.
// Fluid Mech.; the abstract): at equal speeds in half.
func TestEqualSpeedsHalve(t *testing.T) {
	up, down := []float64{3}, []float64{1}
	exchange(up, down, 0.5, 0.5)
	assert.InDelta(t, math.Pow(1, 0.65), up[0]/down[0], 1e-15)
}

// The fall-off along the sheet is less with more form rollers, and moves with the
// ductor's timing (printing.org, 13 September 2018). Turning the inker round the
// plate changes when a stroke comes to the sheet.
func TestFallOffAlongTheSheet(t *testing.T) {
	fall := func(forms int, deg float64) float64 {
		train := outOfStep(sheetfed())
		train.Ductor.EverySheets, train.Turns = 1, 2.5
		train.Rollers = append(train.Rollers[:13], train.Rollers[17-forms:]...)
		laid := spread(t, train)
		for i := range laid.Nips {
			if laid.Nips[i].B == PlateSurface {
				laid.Nips[i].BDeg += deg
			}
		}
		m, err := New(train, laid, Fountain{2, 31.75}, Grid{3, 1})
		require.NoError(t, err)
		st, err := m.Steady(context.Background(), EvenForm(0.5, 0.5), Setting{OpeningPct: repeat(40, 2)})
		require.NoError(t, err)
		z := st.Zones[0]
		return (z.LeadUM - z.TailUM) / z.FilmUM
	}
	assert.Greater(t, math.Abs(fall(2, 0)), math.Abs(fall(4, 0)))
	assert.Greater(t, math.Abs(fall(4, 0)-fall(4, 90)), 1e-3)
}

// A change shows some hundred sheets later, and is stable within 150 (cnprint.org,
// post 956021; a forum's word).
func TestAChangeShowsSomeHundredSheetsLater(t *testing.T) {
	m, form, st, set := usual(t, sheetfed())
	more := Setting{OpeningPct: repeat(1.2*set.OpeningPct[0], 5)}
	run, err := m.Run(context.Background(), st.State, form, more, 400)
	require.NoError(t, err)
	targets := []float64{0, 0, 1.2 * st.Zones[2].FilmUM, 0, 0}
	seen, _ := run.Within(targets, 0.05) // of the film: about 0.03 in density
	assert.True(t, seen > 50 && seen < 150, "%d", seen)
	assert.InDelta(t, st.Zones[2].FilmUM, run.FilmUM[2][2], 0.005, "not at once")
}

// The ductor moves mostly every other turn (printplanet.com, thread 290043): a
// stroke's ink then still comes to all sheets, within 2 %.
func TestEveryOtherTurnHardlyShows(t *testing.T) {
	_, _, st, _ := usual(t, sheetfed())
	for _, z := range st.Zones {
		assert.Less(t, z.SwingUM, 0.02*z.FilmUM)
	}
}

// The first two of four form rollers bring about 80 % of the ink (teaching books,
// from memory).
func TestFirstTwoFormRollersBringMost(t *testing.T) {
	s := Supply(4)
	assert.InDelta(t, 0.8, s[0]+s[1], 1e-12)
	l, err := NewLine(sheetfed(), spread(t, sheetfed()))
	require.NoError(t, err)
	assert.InDelta(t, 0.8, l.Shares[0]+l.Shares[1], 1e-9)
}

// What is solved for the widest press in use stays within 200 MiB.
func TestMemoryOfASolution(t *testing.T) {
	m := model(t, outOfStep(sheetfed()), Fountain{32, 31.75}, Fine)
	live := []metrics.Sample{{Name: "/memory/classes/heap/objects:bytes"}}
	most, done, stopped := uint64(0), make(chan bool), make(chan bool)
	go func() {
		defer close(stopped)
		for {
			metrics.Read(live)
			most = max(most, live[0].Value.Uint64())
			select {
			case <-done:
				return
			case <-time.After(time.Millisecond):
			}
		}
	}()
	_, err := m.Solve(context.Background(), EvenForm(repeat(0.3, 32)...), free(32))
	close(done)
	<-stopped
	require.NoError(t, err)
	t.Logf("%d MiB", most>>20)
	assert.Less(t, most, uint64(200<<20))
}
