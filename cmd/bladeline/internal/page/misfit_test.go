package page

import (
	"testing"

	"bladeline/coverage"
	"bladeline/zones"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestCompositeIsLeftOut brings what programs that separate write beside the
// separations, in either order: it is named as the composite, and the cure is the
// command's. Inks that somebody names apart are none.
func TestCompositeIsLeftOut(t *testing.T) {
	for name, order := range map[string][]int{"last": {0, 1, 2, 3}, "first": {2, 3, 0, 1}} {
		o := testOptions(t)
		all := []*coverage.Map{mapOf(t, "Cyan", half), mapOf(t, "Black", half), mapOf(t, "Cyan", half), mapOf(t, "Black", half)}
		for i, m := range all {
			m.File = []string{"poster_C.png", "poster_K.png", "poster.tif", "poster.tif"}[i]
		}
		for _, i := range order {
			o.Maps = append(o.Maps, all[i])
		}
		c := newClient(t, o)
		state := decoded[startJSON](t, c.fetch("/api/start")).State
		state.Units[2].Ink, state.Units[3].Ink = state.Units[2].Ink+" 2", state.Units[3].Ink+" 2" // as the page tells them apart
		p := sent[computed](c, "/api/preset", state)
		p.requireKeys(t, 2, 8)
		require.Len(t, p.Misfits, 2, name)
		for k, m := range p.Misfits {
			assert.Equal(t, "poster.tif", o.Maps[m.Unit].File, name)
			assert.Equal(t, zones.CodeComposite, p.Misfits[k].Code)
			assert.Contains(t, m.Error, "is the composite, which holds the inks together")
			assert.Contains(t, m.Error, "leave the composite out.")
		}
		state.Units[2].Ink, state.Units[3].Ink = "Back Cyan", "Back Black"
		assert.Empty(t, sent[computed](c, "/api/preset", state).Misfits, "named apart")
	}
}

// TestOneMisfitLeavesTheRest lays an ink that is wider than the fountain beside one
// that fits: that one's keys are as without it, and by hand, 500 mm on the 400 mm of
// the test press stand 50 mm beyond either end.
func TestOneMisfitLeavesTheRest(t *testing.T) {
	c := newClient(t, testOptions(t))
	wide := plateOf("Cyan", shape{0, 0, 1, 1, 100})
	wide.WidthMM = 500
	fits, over := sent[separationJSON](c, "/api/draw", plateOf("Black", half)), sent[separationJSON](c, "/api/draw", wide)
	alone := sent[computed](c, "/api/preset", stateOf(t, fits))
	both := sent[computed](c, "/api/preset", stateOf(t, over, fits))
	both.requireKeys(t, 1, 8)
	assert.Equal(t, alone.Preset.Units[0].Keys, both.Preset.Units[0].Keys)
	want := misfitJSON{
		Unit: 0, Place: "press.base", Code: zones.CodeInkBeyond, LeftMM: 50, RightMM: 50, Outline: &outlineJSON{-50, 500, 200}, CurvePct: alone.Units[0].CurvePct, ReferenceSweep: alone.Units[0].ReferenceSweep,
		Error: "Ink Cyan: ink stands beyond the fountain's ends, 50 mm at the left and 50 mm at the right: the form is wider than the 400 mm that it inks; take another press, or correct the zones or the dots per inch.",
	}
	assert.Equal(t, []misfitJSON{want}, both.Misfits)

	nameless := stateOf(t, over)
	nameless.Job = ""
	assert.Equal(t, "drawn", decoded[refusalJSON](t, c.send("/api/preset", nameless)).Computed.Job, "its name stays")
	a := c.send("/api/preset", stateOf(t, over))
	assert.Equal(t, said{want.Error, want.Place}, refusedWith(t, 422, a))
	none := decoded[refusalJSON](t, a).Computed
	require.NotNil(t, none, "what is drawn all the same")
	assert.Equal(t, []misfitJSON{want}, none.Misfits)
	assert.Equal(t, 400.0, none.FountainMM)
	assert.Equal(t, new(200.0), none.LengthMM)
	require.Len(t, none.Zones, 8)
	assert.Equal(t, zoneJSON{1, new(350.0), new(400.0)}, none.Zones[0])
	refusedWith(t, 422, c.send("/api/save?as=json", stateOf(t, fits, over)))
}

// TestFormsOfPiecesSpeakOfNoDots lays a form of several pieces beside the fountain:
// their resolutions are their own.
func TestFormsOfPiecesSpeakOfNoDots(t *testing.T) {
	o := testOptions(t)
	o.Maps = []*coverage.Map{onSheet()}
	c := newClient(t, o)
	state := decoded[startJSON](t, c.fetch("/api/start")).State
	state.Placement.ShiftMM = 100
	refusal := refusedWith(t, 422, c.send("/api/preset", state))
	assert.Contains(t, refusal.Error, "shift it to the left, or correct the zones or the form's file.")
	assert.NotContains(t, refusal.Error, "dots")
}
