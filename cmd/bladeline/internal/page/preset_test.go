package page

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"net/http"
	"strings"
	"sync"
	"testing"
	"time"

	"bladeline/curves"
	"bladeline/zones"
	"bladeline/zones/press"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// drawnHalf is a client whose server holds a plate whose left half is solid.
func drawnHalf(t testing.TB) (*client, separationJSON) {
	c := newClient(t, testOptions(t))
	return c, sent[separationJSON](c, "/api/draw", plateOf("Black", half))
}

func TestStart(t *testing.T) {
	o := testOptions(t)
	o.Placement = zones.Placement{LeadEdge: zones.Top, ShiftMM: 3, DPIX: 50, DPIY: 50}
	black := *o.Curves[0]
	black.Name = "Black's own"
	o.Presses[0].ByInk["Black"] = &black
	c, _ := manyInks(t, 0, 8)
	require.Empty(t, decoded[startJSON](t, c.fetch("/api/start")).Separations)
	for _, ink := range []string{"black", "Cyan"} {
		o.Maps = append(o.Maps, mapOf(t, ink, half))
	}
	c = newClient(t, o)
	a := c.fetch("/api/start")
	start := decoded[startJSON](t, a)
	assert.Equal(t, "Take care.", start.Cautions)
	require.Len(t, start.Separations, 2)
	require.Len(t, start.State.Units, 2)
	require.Len(t, start.Presses, 1)
	require.True(t, start.Separations[0].WidthMM != nil && start.State.Placement.DPIX != nil)
	assert.Equal(t, []string{"black", "Cyan"}, []string{start.Separations[0].Ink, start.Separations[1].Ink})
	assert.Equal(t, 400.0, *start.Separations[0].WidthMM)
	assert.InDelta(t, 50, start.Separations[0].CoveragePct, 1e-9)
	assert.Equal(t, "Black's own", start.State.Units[0].Curve.Name)
	assert.Equal(t, "Line", start.State.Units[1].Curve.Name)
	assert.Equal(t, zones.Top, start.State.Placement.LeadEdge)
	assert.Equal(t, 50.0, *start.State.Placement.DPIX)
	first := start.Presses[0]
	assert.Equal(t, []any{"test", 8, 50.0, press.Right, 1.0, 100.0}, []any{first.Base, first.Zones, first.ZoneWidthMM, first.FirstZone, first.KeyStep, first.KeyTravel})
	assert.Len(t, first.Sweep.Settings, 81)
	assert.Nil(t, first.PrintLengthMM)
	assert.Len(t, start.Forms, 4)
	var raw map[string]any
	require.NoError(t, json.Unmarshal(a.body, &raw))
	presses, _ := raw["presses"].([]any)
	require.Len(t, presses, 1)
	assert.Contains(t, presses[0], "print_length_mm", "not known is null, not absent")

	p := sent[computed](c, "/api/preset", start.State) // the page may send it back as it is
	require.Len(t, p.Units, 2)
}

// requireKeys wants an answer of so many units, each of so many keys.
func (c computed) requireKeys(t testing.TB, units, keys int) {
	t.Helper()
	require.NotNil(t, c.Preset)
	require.Len(t, c.Preset.Units, units)
	require.Len(t, c.Units, units)
	require.Len(t, c.Zones, keys)
	for i, u := range c.Units {
		require.Len(t, c.Preset.Units[i].Keys, keys)
		for _, list := range [][]float64{u.WantedPct, u.Demand, u.Supply} {
			require.Len(t, list, keys)
		}
	}
}

// TestPresetByHand works a preset out by hand: the solid half of a plate of 400
// mm lies over four zones of 50 mm, which want the line's 100 % at the sweep of
// 45, and so 50 % at 90. Zone 1 is at the right.
func TestPresetByHand(t *testing.T) {
	c, sep := drawnHalf(t)
	state := stateOf(t, sep)
	state.Units[0].Sweep = new(90.0)
	p := sent[computed](c, "/api/preset", state)
	p.requireKeys(t, 1, 8)
	assert.Equal(t, 400.0, p.FountainMM)
	assert.Equal(t, new(200.0), p.LengthMM)
	require.Len(t, p.Units[0].CurvePct, 101)
	assert.InDelta(t, 37, p.Units[0].CurvePct[37], 1e-9)
	assert.Equal(t, 45.0, p.Units[0].ReferenceSweep)
	for i, z := range p.Zones {
		want := 0.0
		if i >= 4 {
			want = 100
		}
		assert.Equal(t, i+1, z.Zone)
		require.NotNil(t, z.LeftMM)
		assert.InDelta(t, 350-50*float64(i), *z.LeftMM, 1e-9)
		assert.InDelta(t, want, p.Preset.Units[0].Keys[i].CoveragePct, 1e-9)
		assert.InDelta(t, want/2, p.Units[0].WantedPct[i], 1e-9)
		assert.InDelta(t, want*45, p.Units[0].Demand[i], 1e-9)
		assert.InDelta(t, want*45, p.Units[0].Supply[i], 1e-9)
	}
}

// TestOutlineByHand lays a plate of 400 × 200 mm on a fountain of 500 mm: its
// middle is the fountain's, moved by the shift.
func TestOutlineByHand(t *testing.T) {
	c, sep := drawnHalf(t)
	for _, laid := range []struct {
		edge zones.Edge
		want outlineJSON
	}{
		{zones.Bottom, outlineJSON{LeftMM: 50 + 12.5, WidthMM: 400, LengthMM: 200}},
		{zones.Left, outlineJSON{LeftMM: 150 + 12.5, WidthMM: 200, LengthMM: 400}},
	} {
		state := stateOf(t, sep)
		state.Press.Zones = new(10)
		state.Placement.LeadEdge, state.Placement.ShiftMM = laid.edge, 12.5
		p := sent[computed](c, "/api/preset", state)
		p.requireKeys(t, 1, 10)
		assert.InDeltaMapValues(t, laid.want.byName(), p.Units[0].Outline.byName(), 1e-9)
	}
}

func (o outlineJSON) byName() map[string]float64 {
	return map[string]float64{"left": o.LeftMM, "width": o.WidthMM, "length": o.LengthMM}
}

// TestPressIsTriedOtherwise changes the press in the state alone.
func TestPressIsTriedOtherwise(t *testing.T) {
	c, sep := drawnHalf(t)
	state := stateOf(t, sep)
	state.Press.Zones, state.Press.ZoneWidthMM = new(20), new(25.0)
	state.Press.FirstZone, state.Press.Blade, state.Press.NeighbourLimitPct = new(press.Left), new(press.OnePiece), new(30.0)
	state.Units[0].Sweep = new(45.0)
	p := sent[computed](c, "/api/preset", state)
	p.requireKeys(t, 1, 20)
	keys := p.Preset.Units[0].Keys
	assert.Equal(t, 500.0, p.FountainMM)
	assert.Equal(t, curves.OffSheet, keys[19].State)
	assert.InDelta(t, 100, keys[9].OpeningPct, 1e-9)
	assert.InDelta(t, 70, keys[10].OpeningPct, 1e-9, "held by its neighbour: one piece, 30 % at most")
	assert.Equal(t, curves.Neighbour, keys[10].State)
}

// TestRefusedStates sends states with one thing wrong: the answer names its
// place, and the server lives on.
func TestRefusedStates(t *testing.T) {
	c, sep := drawnHalf(t)
	cyan := sent[separationJSON](c, "/api/draw", plateOf("Cyan", half))
	for _, wrong := range []struct {
		place  string
		status int
		change func(*State)
	}{
		{"units", 422, func(s *State) { s.Units = nil }},
		{"units", 422, func(s *State) { s.Units = make([]unit, 40) }},
		{"units[1].separation", 410, func(s *State) { s.Units[1].Separation = "unknown" }},
		{"units[0].separation", 410, func(s *State) { s.Units[0].Separation = "../../etc/passwd" }},
		{"units[1].ink", 422, func(s *State) { s.Units[1].Ink = "BLACK" }},
		{"units[0].ink", 422, func(s *State) { s.Units[0].Ink = strings.Repeat("x", 300) }},
		{"units[0].ink", 422, func(s *State) { s.Units[0].Ink = "two\nlines" }},
		{"job", 422, func(s *State) { s.Job = strings.Repeat("x", 300) }},
		{"job", 422, func(s *State) { s.Job = "two\nlines" }},
		{"units[0].sweep", 422, func(s *State) { s.Units[0].Sweep = new(45.5) }},
		{"units[0].sweep", 422, func(s *State) { s.Units[0].Sweep = new(-1e300) }},
		{"units[1].curve.points[2]", 422, func(s *State) { s.Units[1].Curve.Points = [][]float64{{0, 0}, {50, 60}, {100, 40}} }},
		{"units[0].curve.points[1]", 422, func(s *State) { s.Units[0].Curve.Points = [][]float64{{0, 0}, {50, 101}} }},
		{"units[0].curve.points", 422, func(s *State) { s.Units[0].Curve.Points = [][]float64{{0, 0}, {50}} }},
		{"units[0].curve.points", 422, func(s *State) { s.Units[0].Curve.Points = nil }},
		{"units[0].curve.points", 422, func(s *State) { s.Units[0].Curve.Points = make([][]float64, 300) }},
		{"units[0].curve.shape", 422, func(s *State) { s.Units[0].Curve.Shape = "wavy" }},
		{"units[0].curve.name", 422, func(s *State) { s.Units[0].Curve.Name = " " }},
		{"units[0].curve.reference_sweep", 422, func(s *State) { s.Units[0].Curve.ReferenceSweep = new(0.0) }},
		{"units[0].curve.reference_sweep", 422, func(s *State) { s.Units[0].Curve.ReferenceSweep = new(-3.0) }},
		{"press.base", 422, func(s *State) { s.Press.Base = "/etc/passwd" }},
		{"press.zones", 422, func(s *State) { s.Press.Zones = new(10_000) }},
		{"press.zones", 422, func(s *State) { s.Press.Zones = new(0) }},
		{"press.zone_width_mm", 422, func(s *State) { s.Press.ZoneWidthMM = new(-1.0) }},
		{"press.first_zone", 422, func(s *State) { s.Press.FirstZone = new(press.End(string(zones.Top))) }},
		{"press.blade", 422, func(s *State) { s.Press.Blade = new(press.Blade("butter")) }},
		{"press.neighbour_limit_pct", 422, func(s *State) { s.Press.NeighbourLimitPct = new(1e9) }},
		{"placement.lead_edge", 422, func(s *State) { s.Placement.LeadEdge = "inside" }},
		{"placement.shift_mm", 422, func(s *State) { s.Placement.ShiftMM = 1e300 }},
		{"placement.dpi_x", 422, func(s *State) { s.Placement.DPIX = new(0.0) }},
		{"placement.dpi_y", 422, func(s *State) { s.Placement.DPIY = new(1e300) }},
		{"placement.shift_mm", 422, func(s *State) { s.Placement.ShiftMM = -30 }},
		{"units[0].curve.reference_sweep", 422, func(s *State) { s.Units[0].Curve.ReferenceSweep = new(1e9) }},
		{"units[1].curve.reference_sweep", 422, func(s *State) { s.Units[1].Curve.ReferenceSweep = new(1e-9) }},
	} {
		state := stateOf(t, sep, cyan)
		wrong.change(&state)
		for _, path := range []string{"/api/preset", "/api/save?as=json"} {
			got := refusedWith(t, wrong.status, c.send(path, state))
			assert.Equal(t, wrong.place, got.Place, "%s: %s", path, got.Error)
			assert.NotContains(t, got.Error, "--", "a flag of the command line")
		}
	}
	sent[computed](c, "/api/preset", stateOf(t, sep, cyan))
}

// TestRefusedJSON sends bodies that are no state at all.
func TestRefusedJSON(t *testing.T) {
	c, sep := drawnHalf(t)
	good, err := json.Marshal(stateOf(t, sep))
	require.NoError(t, err)
	for _, path := range []string{"/api/preset", "/api/draw", "/api/score", "/api/save?as=csv"} {
		for _, body := range []string{
			"", "null", "[]", "{", `{"job": 1}`, `{"width_mm": NaN}`, `{"job": "a", "more": 1}`, `{"units": [{"sweep": 1e999}]}`,
			`{"units": {}}`, "\x00\xff", string(good) + "{}", strings.Repeat("[", 100_000),
			`{"sweep": "45"}`, `{"shapes": [[1]]}`,
		} {
			a := c.ask("POST", path, strings.NewReader(body))
			assert.Contains(t, []int{400, 422}, a.status, "%s %.40s", path, body)
			refusedWith(t, a.status, a)
		}
		refusedWith(t, http.StatusRequestEntityTooLarge, c.ask("POST", path, strings.NewReader("{}"+strings.Repeat(" ", maxBody))))
		large := `{"job": "` + strings.Repeat("x", maxBody) + `"}`
		refusedWith(t, http.StatusRequestEntityTooLarge, c.ask("POST", path, strings.NewReader(large)))
	}
	wrong := refusedWith(t, 400, c.ask("POST", "/api/preset", strings.NewReader(`{"units": [{"sweep": "much"}]}`)))
	assert.Equal(t, "units.sweep", wrong.Place)
	wrong = refusedWith(t, 400, c.ask("POST", "/api/preset", strings.NewReader(`{"press": {"zones": 1.5}}`)))
	assert.Equal(t, said{"The request is not what the page sends: what stands in press.zones is of another kind, number 1.5; load the page again.", "press.zones"}, wrong)
}

// TestTabsDoNotDisturbEachOther has many tabs compute, draw and upload at once.
func TestTabsDoNotDisturbEachOther(t *testing.T) {
	c, sep := drawnHalf(t)
	want := map[float64]string{}
	for sweep := 20.0; sweep < 28; sweep++ {
		state := stateOf(t, sep)
		state.Units[0].Sweep = &sweep
		want[sweep] = string(c.send("/api/preset", state).body)
	}
	var wait sync.WaitGroup
	for sweep, body := range want {
		wait.Go(func() {
			for i := range 8 {
				state := stateOf(t, sep)
				state.Units[0].Sweep = &sweep
				assert.Equal(t, body, string(c.send("/api/preset", state).body))
				assert.Equal(t, 200, c.send("/api/draw", plateOf("Cyan", shape{0, 0, 1, 1, sweep + float64(i)})).status)
				assert.Equal(t, 200, c.upload([3]string{"file", "x.png", rasterOf(half)}).status)
			}
		})
	}
	wait.Wait()
}

// TestStoreDropsTheOldest shows that what is used stays, that drawing does not
// push out what was brought, and that what is gone is said to be.
func TestStoreDropsTheOldest(t *testing.T) {
	c := newClient(t, testOptions(t))
	first := c.brings("x.png", rasterOf(half))
	oldest := sent[separationJSON](c, "/api/draw", plateOf("Black"))
	used := sent[separationJSON](c, "/api/draw", plateOf("Black", half))
	for i := range maxHeld + 5 {
		sent[separationJSON](c, "/api/draw", plateOf("Black", shape{0, 0, float64(i+1) / 200, 1, 50}))
		sent[computed](c, "/api/preset", stateOf(t, used))
	}
	refusedWith(t, http.StatusGone, c.send("/api/preset", stateOf(t, oldest)))
	refusedWith(t, http.StatusGone, c.ask("GET", "/api/picture?separation="+oldest.ID, nil))
	sent[computed](c, "/api/preset", stateOf(t, first))
	again := sent[separationJSON](c, "/api/draw", plateOf("Black"))
	assert.Equal(t, oldest.ID, again.ID, "the same form is the same separation")
	assert.Len(t, c.server.store.held, maxHeld+1)
}

// TestPresetIsFast holds the best of some runs, as other programs share the
// machine, below the 50 ms from a drag to the redrawn blade line.
func TestPresetIsFast(t *testing.T) {
	c, state := manyInks(t, 8, 64)
	body, err := json.Marshal(state)
	require.NoError(t, err)
	best := time.Duration(math.MaxInt64)
	for range 20 {
		begin := time.Now()
		a := c.ask("POST", "/api/preset", bytes.NewReader(body))
		best = min(best, time.Since(begin))
		require.Equal(t, 200, a.status, string(a.body))
	}
	t.Logf("8 inks, 64 zones: %v", best)
	assert.Less(t, best, slowed*50*time.Millisecond)
}

func BenchmarkPreset(b *testing.B) {
	for _, size := range []struct{ inks, zones int }{{1, 21}, {8, 64}} {
		b.Run(fmt.Sprintf("%d inks, %d zones", size.inks, size.zones), func(b *testing.B) {
			c, state := manyInks(b, size.inks, size.zones)
			body, err := json.Marshal(state)
			require.NoError(b, err)
			for b.Loop() {
				if a := c.ask("POST", "/api/preset", bytes.NewReader(body)); a.status != 200 {
					b.Fatal(string(a.body))
				}
			}
		})
	}
}
