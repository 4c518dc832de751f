package page

import (
	"bytes"
	"image/png"
	"testing"

	"bladeline/coverage"
	"bladeline/zones/zonestest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// onSheet is a form of two solids of 50 × 50 mm on a sheet of 400 × 100 mm, which is
// as wide as the test press.
func onSheet() *coverage.Map {
	solid := zonestest.Solid(50, 50, 25.4)
	return &coverage.Map{Ink: "Black", File: "gulls.form.toml", Page: 1, Channel: 1, Sheet: &coverage.Sheet{WidthMM: 400, LengthMM: 100, Pieces: []coverage.Piece{
		{Number: 1, Map: solid}, {Number: 2, Map: solid, XMM: 325, YMM: 50},
	}}}
}

// A form counts as what it takes: a raster that stands on it often counts once.
func TestFormsCountTheirRastersOnce(t *testing.T) {
	form := onSheet()
	one := (&separation{Map: form}).bytes()
	raster := (&separation{Map: form.Sheet.Pieces[0].Map}).bytes()
	assert.Greater(t, one, raster)
	form.Sheet.Pieces = append(form.Sheet.Pieces, form.Sheet.Pieces...)
	assert.Equal(t, one+2*standingBytes, (&separation{Map: form}).bytes())
}

// A form of several pieces is a separation as any other: it is shown, turned and
// preset whole, and the dots per inch are its pieces' own.
func TestFormsOfPieces(t *testing.T) {
	o := testOptions(t)
	o.Maps = []*coverage.Map{onSheet()}
	c := newClient(t, o)
	start := decoded[startJSON](t, c.fetch("/api/start"))
	sep := start.Separations[0]
	assert.Equal(t, []any{400.0, 100.0, "gulls.form.toml"}, []any{*sep.WidthMM, *sep.HeightMM, sep.File})
	assert.InDelta(t, 12.5, sep.CoveragePct, 1e-9) // 2 × 50 × 50 of 400 × 100 mm²

	a := sent[map[string]any](c, "/api/preset", start.State)
	units := a["preset"].(map[string]any)["units"].([]any)
	var got []float64
	for _, k := range units[0].(map[string]any)["keys"].([]any) {
		got = append(got, k.(map[string]any)["coverage_pct"].(float64))
	}
	assert.InDeltaSlice(t, []float64{25, 25, 0, 0, 0, 0, 0, 50}, got, 1e-9) // zone 1 is at the right

	picture, err := png.Decode(bytes.NewReader(c.fetch("/api/picture?lead_edge=bottom&separation=" + sep.ID).body))
	require.NoError(t, err)
	bounds := picture.Bounds()
	assert.InDelta(t, 4, float64(bounds.Dx())/float64(bounds.Dy()), 0.1)

	state := start.State
	state.Placement.DPIX = new(300.0)
	refusal := refusedWith(t, 422, c.send("/api/preset", state))
	assert.Contains(t, refusal.Error, "none is for all of them; leave the dots per inch empty.")
}
