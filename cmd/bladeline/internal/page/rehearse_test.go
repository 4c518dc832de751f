package page

import (
	"bytes"
	"context"
	"encoding/json"
	"math"
	"net/http"
	"slices"
	"strings"
	"testing"
	"time"

	"bladeline/zones"
	"bladeline/zones/preset/rehearsal"
	"bladeline/zones/press"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// rehearsing is a client of a server with the presses that ship, the smallest of which
// knows its black's density, and a question about a plate of such shapes on that.
func rehearsing(t *testing.T, shapes ...shape) (*client, rehearseQuestion) {
	o := options(t)
	on := *o.Presses[2].Press
	on.Inks = map[string]press.Ink{"Black": {DensityLimit: 2.1, DensityRatePerUM: 1.3}}
	o.Presses[2].Press = &on
	c := newClient(t, o)
	sep := sent[separationJSON](c, "/api/draw", plate{WidthMM: 270, HeightMM: 380, Ink: "Black", Shapes: shapes})
	state := stateOf(t, sep)
	state.Press.Base = "duplicator"
	return c, rehearseQuestion{State: state, Zone: 8}
}

// printing are the films that are none of a bare zone.
func printing(films []float64) (all []float64) {
	for _, film := range films {
		if film > 0 {
			all = append(all, film)
		}
	}
	return all
}

// An even tint has keys that stand alike, but at its ends: the train prints it evenly.
func TestRehearseEvenTint(t *testing.T) {
	c, q := rehearsing(t, shape{X: 0, Y: 0, W: 1, H: 1, Tint: 30})
	line := sent[lineJSON](c, "/api/rehearse/line", q)
	assert.False(t, line.Measured, "no press that ships was fitted")
	assert.Equal(t, "ductor", line.Train.Rollers[0].Name)
	settled := sent[settledJSON](c, "/api/rehearse/settled", q)
	require.Len(t, settled.RollersPct, len(line.Train.Rollers))
	require.Len(t, settled.Sheet.FilmPct, settled.Sheet.Rows*settled.Sheet.Columns)
	for _, films := range [][]float64{line.Inks[0].Preset.Pct, settled.Preset.Pct} {
		require.Len(t, films, 15)
		for _, film := range films[2:13] {
			assert.InDelta(t, films[7], film, 3)
			assert.InDelta(t, 100, film, 8, "what the curve asks for, to a step of the key")
		}
	}
	last := len(line.Train.Rollers) - 1
	for i := 0; i < last; i++ {
		assert.Greater(t, settled.RollersPct[i][7], 100.0, "ink goes from thick films to thin ones: %s", line.Train.Rollers[i].Name)
	}
}

// A sweep that is too low shows as light in what the line says and in all that follows:
// on a train that nobody fitted films are held against what the curve asks for.
func TestRehearseLowSweep(t *testing.T) {
	c, q := rehearsing(t, shape{X: 0, Y: 0, W: 0.5, H: 1, Tint: 90}, shape{X: 0.5, Y: 0, W: 0.5, H: 1, Tint: 30})
	q.State.Units[0].Sweep = new(2.0)
	line := sent[lineJSON](c, "/api/rehearse/line", q)
	settled := sent[settledJSON](c, "/api/rehearse/settled", q)
	start := sent[startUpJSON](c, "/api/rehearse/clean", q)
	for _, films := range [][]float64{line.Inks[0].Preset.Pct, settled.Preset.Pct, start.Run.Films[len(start.Run.Films)-1].Pct} {
		assert.Less(t, films[3], 80.0, "held by the ceiling")
	}
	assert.Regexp(t, `^Zones 1 to \d+ (and \d+ )?never come to stay within 10 % of the target`, start.Sentences[1])
	for _, asked := range [][]float64{line.Inks[0].Curve.Pct, settled.Curve.Pct} {
		assert.InDelta(t, 100, asked[3], 8, "the curve holds at its own sweep")
	}
	solved := sent[solvedJSON](c, "/api/rehearse/solved", q)
	assert.Less(t, solved.Films.Pct[3], 95.0, "no key opens further than fully at that sweep: %v", solved)
}

// From washed rollers the films rise to what they settle at, and stay there.
func TestRehearseCleanStart(t *testing.T) {
	c, q := rehearsing(t, shape{X: 0.1, Y: 0.1, W: 0.8, H: 0.8, Tint: 40})
	settled := sent[settledJSON](c, "/api/rehearse/settled", q)
	start := sent[startUpJSON](c, "/api/rehearse/clean", q)
	run := start.Run
	require.Len(t, run.Films, len(run.Sheets))
	for _, film := range printing(run.Films[0].Pct) {
		assert.Less(t, film, 50.0)
	}
	assert.InDeltaSlice(t, settled.Preset.Pct, run.Films[len(run.Films)-1].Pct, 8) // each within 5 %, and swinging with the ductor
	require.NotNil(t, start.Stands)
	assert.Less(t, *start.Stands, run.Sheets[len(run.Sheets)-1])
}

// TestRehearseAsTheCommandDoes: of the same preset, press and start the page has the
// numbers of the command's JSON, film and density, zone by zone.
func TestRehearseAsTheCommandDoes(t *testing.T) {
	c, q := rehearsing(t, shape{X: 0.05, Y: 0, W: 0.4, H: 1, Tint: 80}, shape{X: 0.45, Y: 0.3, W: 0.5, H: 0.6, Tint: 15})
	q.State.Units[0].Sweep = new(5.0)
	settled := sent[settledJSON](c, "/api/rehearse/settled", q)
	start := sent[startUpJSON](c, "/api/rehearse/clean", q)

	work, err := c.server.resolve(q.State)
	require.NoError(t, err)
	p, err := work.Preset()
	require.NoError(t, err)
	in := work.rehearsalOf(p)
	in.Forms = map[string]*zones.Form{"Black": work.Units[0].Form}
	command, err := rehearsal.Of(t.Context(), in)
	require.NoError(t, err)
	ink := command.Inks[0]
	require.Equal(t, rehearsal.ByCurve, ink.Level)
	for i, z := range ink.Zones {
		if !z.Prints {
			assert.Zero(t, settled.Preset.Pct[i])
			continue
		}
		assert.InDelta(t, 100+z.DeviationPct, settled.Preset.Pct[i], 0.06, "to a tenth")
		assert.Equal(t, *z.Density, settled.Preset.Density[i])
	}
	assert.Equal(t, ink.StartUp.Near.Sheets, start.Stands)
	said := sent[saidJSON](c, "/api/rehearse/said", q).Sentences
	for _, sentences := range [][]string{settled.Sentences, start.Sentences} { // one after the other among all
		at := slices.Index(said, sentences[0])
		require.GreaterOrEqual(t, at, 0, "%v", said)
		assert.Equal(t, sentences, said[at:at+len(sentences)])
	}
	require.Len(t, start.Run.Sheets, len(ink.StartUp.Samples))
	last := len(start.Run.Sheets) - 1
	for i, z := range ink.Zones {
		if z.Prints {
			assert.Equal(t, ink.StartUp.Samples[last].Density[i], start.Run.Films[last].Density[i])
		}
	}
}

// TestRehearseAllInks: the line answers for all inks at once, each in its own numbers;
// the whole train for the one that is asked about.
func TestRehearseAllInks(t *testing.T) {
	c, q := rehearsing(t, shape{X: 0, Y: 0, W: 1, H: 1, Tint: 30})
	sep := sent[separationJSON](c, "/api/draw", plate{WidthMM: 270, HeightMM: 380, Ink: "Red", Shapes: []shape{{X: 0, Y: 0, W: 0.5, H: 1, Tint: 60}}})
	q.State.Units = append(q.State.Units, stateOf(t, sep).Units[0])
	line := sent[lineJSON](c, "/api/rehearse/line", q)
	require.Len(t, line.Inks, 2)
	assert.Equal(t, []string{"Black", "Red"}, []string{line.Inks[0].Ink, line.Inks[1].Ink})
	assert.Len(t, printing(line.Inks[0].Preset.Pct), 15)
	assert.Len(t, printing(line.Inks[1].Preset.Pct), 8)
	q.Unit = 1
	red := sent[settledJSON](c, "/api/rehearse/settled", q)
	assert.Len(t, printing(red.Preset.Pct), 8)
	assert.Empty(t, red.Preset.Density, "the press does not know this ink's law")
	assert.Len(t, line.Inks[0].Preset.Density, 15)
	assert.Empty(t, line.Inks[1].Band)
	q.Unit = 2
	assert.Contains(t, refusedWith(t, 422, c.send("/api/rehearse/line", q)).Error, "There is no ink 3")
}

// A key that is pulled acts on its own zone most, on neighbours alike, and first after
// a few sheets.
func TestRehearsePulledKey(t *testing.T) {
	c, q := rehearsing(t, shape{X: 0, Y: 0, W: 1, H: 1, Tint: 30})
	pull := sent[pullJSON](c, "/api/rehearse/pulled", q)
	assert.Equal(t, 8, pull.Zone)
	assert.InDelta(t, 1.2*pull.FromPct, pull.ToPct, 6.25, "by a fifth, on a step of the key")
	sum := 0.0
	for i, share := range pull.SharesPct {
		sum += share
		if i != 7 {
			assert.Less(t, share, pull.SharesPct[7])
		}
	}
	assert.InDelta(t, 100, sum, 1) // each rounded to a tenth
	assert.InDelta(t, pull.SharesPct[6], pull.SharesPct[8], 3)
	films := func(i int) float64 { return pull.Run.Films[i].Pct[7] }
	assert.InDelta(t, films(0), 100, 8)
	assert.Greater(t, films(len(pull.Run.Sheets)-1), films(0)+3)

	q.Zone = 16
	assert.Contains(t, refusedWith(t, 422, c.send("/api/rehearse/pulled", q)).Error, "There is no zone 16; the press has 15")
}

func TestRehearseRefuses(t *testing.T) {
	c, sep := drawnHalf(t)
	q := rehearseQuestion{State: stateOf(t, sep)}
	for _, path := range []string{"line", "settled", "clean", "pulled"} {
		refusal := refusedWith(t, 422, c.send("/api/rehearse/"+path, q))
		assert.Equal(t, "press.base", refusal.Place)
		assert.Contains(t, refusal.Error, `"Test press" describes no roller train; add a [train]`)
	}
}

// A run that nobody waits for is followed no longer, and leaves its place to the next.
func TestRehearseEndsWithItsRequest(t *testing.T) {
	c, q := rehearsing(t, shape{X: 0, Y: 0, W: 1, H: 1, Tint: 5})
	ctx, cancel := context.WithCancel(t.Context())
	data, err := json.Marshal(q)
	require.NoError(t, err)
	r, err := http.NewRequestWithContext(ctx, http.MethodPost, c.url+"/api/rehearse/clean", bytes.NewReader(data))
	require.NoError(t, err)
	r.Header.Set(TokenHeader, c.server.token)
	time.AfterFunc(30*time.Millisecond, cancel)
	_, err = http.DefaultClient.Do(r)
	require.ErrorIs(t, err, context.Canceled)
	for end := time.Now().Add(10 * time.Second); len(c.server.rehearsing) > 0; time.Sleep(10 * time.Millisecond) {
		require.True(t, time.Now().Before(end), "it is followed still")
	}
}

// TestLineIsQuick: the line answers within 50 ms, also on the press of the most zones.
// Other work on the machine only adds to that, so the best of many is held.
func TestLineIsQuick(t *testing.T) {
	c, q := rehearsing(t, shape{X: 0.1, Y: 0.1, W: 0.8, H: 0.8, Tint: 40})
	q.State.Press.Base = "four-colour"
	best := time.Hour
	for i := range 20 {
		q.State.Units[0].Sweep = new(float64(30 + i)) // another state each time, as while it is pulled
		start := time.Now()
		line := sent[lineJSON](c, "/api/rehearse/line", q)
		best = min(best, time.Since(start))
		require.Len(t, line.Inks[0].Preset.Pct, 32)
	}
	t.Logf("best of 20: %v", best)
	assert.Less(t, best, slowed*50*time.Millisecond)
}

// TestPreparedBandsGhost rehearses the form that is offered as one that ghosts, on every
// press that ships: over its whole width, by a turn of a form roller.
func TestPreparedBandsGhost(t *testing.T) {
	at := slices.IndexFunc(preparedForms, func(f preparedForm) bool { return f.ID == "band" })
	for _, on := range options(t).Presses {
		t.Run(on.Called, func(t *testing.T) {
			c := newClient(t, options(t))
			width := math.Floor(on.Press.Fountain.WidthMM() * 0.96) // as the page draws it
			sep := sent[separationJSON](c, "/api/draw", plate{WidthMM: width, HeightMM: on.Press.PrintLengthMM, Ink: "Black", Shapes: preparedForms[at].Shapes})
			state := stateOf(t, sep)
			state.Press.Base = on.Called
			q := rehearseQuestion{State: state, Zone: 8}
			said := strings.Join(sent[saidJSON](c, "/api/rehearse/said", q).Sentences, "\n")
			m := ghostSays.FindStringSubmatch(said)
			require.NotNil(t, m, said)
			rings := sent[lineJSON](c, "/api/rehearse/line", q).Train.Rollers
			roller := slices.IndexFunc(rings, func(r rollerJSON) bool { return r.Name == "form "+m[1] })
			require.GreaterOrEqual(t, roller, 0)
			assert.Equal(t, "form", rings[roller].Kind)
			assert.InDelta(t, rings[roller].CircumferenceMM, parsed(t, m[3])-parsed(t, m[2]), 1)
			assert.Regexp(t, ", zones [1-3] to (1[3-5]|2[0-1]|3[0-2]), ", m[0], "over its whole width")
		})
	}
}
