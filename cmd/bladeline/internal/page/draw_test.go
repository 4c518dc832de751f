package page

import (
	"bytes"
	"fmt"
	"image/color"
	"image/png"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"bladeline/coverage"
	"bladeline/zones"
	"bladeline/zones/preset"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestDrawnIsItsRaster measures the raster that the page hands out as the
// command does: the same numbers, pixel column by pixel column.
func TestDrawnIsItsRaster(t *testing.T) {
	c := newClient(t, testOptions(t))
	for _, form := range preparedForms {
		sep := sent[separationJSON](c, "/api/draw", plateOf("Warm Red", form.Shapes...))
		a := c.fetch("/api/drawn?separation=" + sep.ID)
		assert.Equal(t, `attachment; filename="drawn(Warm Red).png"; filename*=UTF-8''drawn%28Warm%20Red%29.png`, a.header.Get("Content-Disposition"))
		path := filepath.Join(t.TempDir(), "drawn(Warm Red).png")
		require.NoError(t, os.WriteFile(path, a.body, 0o600))
		maps, err := coverage.MeasureFiles(t.Context(), []coverage.Input{{Path: path}}, coverage.Options{})
		require.NoError(t, err)
		held, err := c.server.store.find(sep.ID)
		require.NoError(t, err)
		require.Len(t, maps, 1)
		assert.Equal(t, "Warm Red", maps[0].Ink, "its name is in the file's")
		assert.Equal(t, maps[0].Columns, held.Columns)
		assert.Equal(t, maps[0].Rows, held.Rows)
		assert.Equal(t, maps[0].CoveragePct(), sep.CoveragePct)
	}
}

// TestDrawnByHand works a drawing out by hand: a solid over the left half, a
// 40 % tint over the lead half that paints over it, on 400 × 200 px of 1 mm.
// 0.5 × 0.5 × 100 % + 0.5 × 40 % = 45 %; 40 % of 255 is 102, exactly.
func TestDrawnByHand(t *testing.T) {
	c := newClient(t, testOptions(t))
	sep := sent[separationJSON](c, "/api/draw", plateOf("Black", half, shape{X: 0, Y: 0, W: 1, H: 0.5, Tint: 40}))
	assert.InDelta(t, 45, sep.CoveragePct, 1e-9)
	require.True(t, sep.DPIX != nil && sep.WidthMM != nil && sep.HeightMM != nil)
	assert.Equal(t, []any{400, 200, 25.4, 400.0, 200.0}, []any{sep.WidthPX, sep.HeightPX, *sep.DPIX, *sep.WidthMM, *sep.HeightMM})
	picture, err := png.Decode(bytes.NewReader(c.fetch("/api/drawn?separation=" + sep.ID).body))
	require.NoError(t, err)
	for at, want := range map[[2]int]uint8{{10, 10}: 0, {390, 10}: 255, {10, 190}: 153, {390, 190}: 153} {
		assert.Equal(t, color.Gray{Y: want}, picture.At(at[0], at[1]), "the lead edge is at the bottom: %v", at)
	}
}

// TestShapesAreCutAtTheEdge lets through what rounding adds to a shape.
func TestShapesAreCutAtTheEdge(t *testing.T) {
	c := newClient(t, testOptions(t))
	over := sent[separationJSON](c, "/api/draw", plateOf("Black", shape{X: 0.5, Y: 0.5, W: 0.501, H: 0.6, Tint: 100}))
	exact := sent[separationJSON](c, "/api/draw", plateOf("Black", shape{X: 0.5, Y: 0.5, W: 0.5, H: 0.5, Tint: 100}))
	assert.Equal(t, exact.ID, over.ID)
	assert.InDelta(t, 25, exact.CoveragePct, 1e-9)
}

// TestDoubtsAreSaid warns of a plate that may be inverted, in words that help on
// the page, and in a saved preset in those of the command.
func TestDoubtsAreSaid(t *testing.T) {
	o := testOptions(t)
	o.Cure = func(warnings []zones.Warning) { warnings[0].Text += "; cured" }
	c := newClient(t, o)
	sep := sent[separationJSON](c, "/api/draw", plateOf("Black", shape{X: 0, Y: 0, W: 1, H: 1, Tint: 100}))
	require.Len(t, sep.Warnings, 1)
	said := "100.0 % of the raster is ink, so it may be inverted; "
	assert.Equal(t, said+"look at the file, and if its light part is the ink, start bladeline serve with --ink-is light", sep.Warnings[0])
	state := stateOf(t, sep)
	assert.Equal(t, sep.Warnings[0], sent[computed](c, "/api/preset", state).Preset.Warnings[0].Text)
	assert.Equal(t, said+"cured", decodedPreset(t, c.saveAs("json", state)).Warnings[0].Text)
}

func TestRefusedDrawings(t *testing.T) {
	c := newClient(t, testOptions(t))
	for _, wrong := range []struct {
		place  string
		change func(*plate)
	}{
		{"width_mm", func(p *plate) { p.WidthMM = 0 }},
		{"width_mm", func(p *plate) { p.WidthMM = 1e9 }},
		{"height_mm", func(p *plate) { p.HeightMM = -5 }},
		{"ink", func(p *plate) { p.Ink = "" }},
		{"ink", func(p *plate) { p.Ink = "a\nb" }},
		{"ink", func(p *plate) { p.Ink = string(bytes.Repeat([]byte("x"), 300)) }},
		{"shapes", func(p *plate) { p.Shapes = make([]shape, 10_000) }},
		{"shapes[1]", func(p *plate) { p.Shapes = []shape{half, {X: -0.1, W: 1, H: 1}} }},
		{"shapes[0]", func(p *plate) { p.Shapes[0].W = 1e300 }},
		{"shapes[0]", func(p *plate) { p.Shapes[0].Tint = 101 }},
	} {
		p := plateOf("Black", half)
		wrong.change(&p)
		assert.Equal(t, wrong.place, refusedWith(t, 422, c.send("/api/draw", p)).Place)
	}
	up := c.brings("x.png", rasterOf(half))
	refusedWith(t, http.StatusNotFound, c.ask("GET", "/api/drawn?separation="+up.ID, nil))
	refusedWith(t, http.StatusGone, c.ask("GET", "/api/drawn?separation=x", nil))
}

// TestPreparedForms holds the forms to what they say of themselves, on a press
// that takes their plate.
func TestPreparedForms(t *testing.T) {
	c := newClient(t, testOptions(t))
	codes := map[string]bool{}
	for _, form := range preparedForms {
		require.NotEmpty(t, form.Title+form.Says)
		sep := sent[separationJSON](c, "/api/draw", plateOf("Black", form.Shapes...))
		p := sent[computed](c, "/api/preset", stateOf(t, sep)).Preset
		for _, w := range p.Warnings {
			codes[form.ID+" "+w.Code] = true
		}
		require.Len(t, p.Units, 1)
		keys := p.Units[0].Keys
		require.Len(t, keys, 8)
		switch form.ID {
		case "tint":
			assert.InDelta(t, keys[2].OpeningPct, keys[5].OpeningPct, 1e-9, "an even tint wants even keys")
		case "heavy-side":
			assert.Greater(t, keys[1].OpeningPct, 4*keys[6].OpeningPct, "zone 1 is at the right")
		}
	}
	assert.True(t, codes["band "+preset.CodeUneven], "bands that invite ghosting are warned of")
	assert.False(t, codes["tint "+preset.CodeUneven])
}

// TestDrawingMuchIsBounded paints the largest plate all over, as often as can be
// asked: many seconds, if each shape were painted pixel by pixel.
func TestDrawingMuchIsBounded(t *testing.T) {
	c := newClient(t, testOptions(t))
	p := plate{WidthMM: maxPlateMM, HeightMM: maxPlateMM, Ink: "a/b", Shapes: slices.Repeat([]shape{{0, 0, 1, 1, 50}}, maxShapes)}
	begin := time.Now()
	sep := sent[separationJSON](c, "/api/draw", p)
	assert.Less(t, time.Since(begin), slowed*2*time.Second)
	assert.Equal(t, "drawn(a_b).png", sep.File)
}

// TestDrawingIsFast holds the best of some drawings, each another, below a
// frame and a half of a screen.
func TestDrawingIsFast(t *testing.T) {
	c := newClient(t, testOptions(t))
	best := time.Hour
	for i := range 20 {
		p := plate{WidthMM: 640, HeightMM: 457, Ink: "Black", Shapes: []shape{half, {0.1, 0.1, float64(i+1) / 50, 0.5, 37}}}
		begin := time.Now()
		sent[separationJSON](c, "/api/draw", p)
		best = min(best, time.Since(begin))
	}
	t.Logf("640 × 457 mm: %v", best)
	assert.Less(t, best, slowed*25*time.Millisecond)
}

// TestScore sets keys by eye over a solid half, which zones 5 to 8 want 4500 for: fed
// 4500, 4860, 3960 and 2700, the middle is 0.94 of that.
func TestScore(t *testing.T) {
	c, sep := drawnHalf(t)
	state := stateOf(t, sep)
	state.Units[0].Sweep = new(10.0) // at which no key opens far enough: it is none of the trial's
	answer := sent[preset.Trial](c, "/api/score", trial{State: state, Keys: []float64{0, 0, 0, 30, 50, 54, 44, 30}, Sweep: 90})
	assert.InDelta(t, -6, answer.LevelOffPct, 1e-9)
	assert.InDelta(t, 40, answer.ProfilePct, 1e-9, "2 of 4, and one stands open for nothing")
	assert.Equal(t, []int{3, 4}, []int{answer.Wrong, answer.UntouchedWrong}, "a quarter open, the bare half is fed")
	assert.InDelta(t, 25, answer.Score, 1e-9)
	assert.NotEmpty(t, answer.Definition)
	require.Len(t, answer.Zones, 8)
	for i, want := range []string{"", "", "", "wide open", "right", "too much", "right", "too little"} {
		assert.Equal(t, want, answer.Zones[i].Says, "zone %d", i+1)
	}
	for _, wrong := range []func(*trial){
		func(t *trial) { t.Unit = 1 }, func(t *trial) { t.Unit = -1 }, func(t *trial) { t.Keys = nil },
		func(t *trial) { t.Keys = make([]float64, 10_000) }, func(t *trial) { t.Keys[2] = 101 }, func(t *trial) { t.Keys[7] = -1 }, func(t *trial) { t.Keys[6] = 4.5 },
		func(t *trial) { t.Sweep = 0 }, func(t *trial) { t.Sweep = 45.5 }, func(t *trial) { t.State.Units = nil },
	} {
		of := trial{State: stateOf(t, sep), Keys: make([]float64, 8), Sweep: 45}
		wrong(&of)
		refusedWith(t, 422, c.send("/api/score", of))
	}
	blank := sent[separationJSON](c, "/api/draw", plateOf("Black"))
	refusedWith(t, 422, c.send("/api/score", trial{State: stateOf(t, blank), Keys: make([]float64, 8), Sweep: 45}))
}

// FuzzState sends any bytes wherever JSON is taken: an answer or a refusal with
// a sentence, never a failure.
func FuzzState(f *testing.F) {
	server, err := New(testOptions(f))
	require.NoError(f, err)
	sep := server.store.keep(&separation{Map: mapOf(f, "Black", half), id: "black", kind: given})
	paths := []string{"/api/preset", "/api/draw", "/api/score", "/api/save?as=pdf", "/api/save?as=curve&unit=0", "/api/save?as=csv", "/api/row"}
	state := stateOf(f, sep.json())
	for i, v := range []any{state, plateOf("Black", half), trial{State: state, Keys: make([]float64, 8), Sweep: 45}, state, state, state, rowQuestion{"harbour"}} {
		f.Add(uint8(i), marshalled(f, v))
	}
	f.Add(uint8(0), []byte(`{"press":{"base":"test","zones":200,"zone_width_mm":1e-300}}`))
	f.Fuzz(func(t *testing.T, path uint8, body []byte) {
		a := direct(t, server, paths[int(path)%len(paths)], body)
		if a.status != http.StatusOK {
			require.Contains(t, []int{400, 410, 413, 422}, a.status, fmt.Sprintf("%s: %s", body, a.body))
			refusedWith(t, a.status, a)
		}
	})
}
