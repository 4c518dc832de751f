package job

import (
	"context"
	"errors"
	"os"
	"testing"

	"bladeline/curves"
	"bladeline/zones/press"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestEditCurve has a file with comments edited, and one that ships refused.
func TestEditCurve(t *testing.T) {
	t.Chdir(t.TempDir())
	require.NoError(t, NewCurve("Hall", "coated", "hall.curve.toml"))
	assert.EqualError(t, NewCurve("Hall", "coated", "hall.curve.toml"), "hall.curve.toml: already exists and is not overwritten; choose another name")
	_, asked := errors.AsType[*AskedError](NewCurve("Hall\a", "coated", "new.curve.toml"))
	assert.True(t, asked, "the name is wrong, not the file")

	before, err := LoadCurve("hall.curve.toml")
	require.NoError(t, err)
	halve := func(file string, data []byte) ([]byte, error) { return curves.ScalePoints(file, data, 0.5) }
	e, err := EditCurve("hall.curve.toml", halve)
	require.NoError(t, err)
	assert.Equal(t, before.At(50), e.Before.At(50))
	assert.InDelta(t, before.At(50)/2, e.After.At(50), 1e-6)
	written, err := LoadCurve("hall.curve.toml")
	require.NoError(t, err)
	assert.Equal(t, e.After.Points, written.Points)

	_, err = EditCurve("coated", halve)
	shipped, is := errors.AsType[*ShippedError](err)
	require.True(t, is)
	assert.Equal(t, CodeShippedCurve, shipped.Code())
}

// TestNewPress writes a press and the curve it names, and where one of the two
// cannot be, neither.
func TestNewPress(t *testing.T) {
	t.Chdir(t.TempDir())
	n := NewPress{Name: "Hall", From: "two-colour", Path: "hall.press.toml", Zones: new(28), ZoneWidthMM: new(32.5), FirstZone: new(press.End("left"))}
	paths, _, err := n.Write()
	require.NoError(t, err)
	require.Len(t, paths, 3, "with the curves of its papers")
	assert.Equal(t, "hall.press.toml", paths[0])
	on, file, err := LoadPress("hall.press.toml")
	require.NoError(t, err)
	assert.Equal(t, "Hall", on.Name)
	assert.Equal(t, "hall", on.ID, "an id of its own")
	assert.Equal(t, 28, on.Fountain.Zones)
	assert.Equal(t, 32.5, on.Fountain.ZoneWidthMM)
	assert.Equal(t, press.End("left"), on.Fountain.FirstZone)
	_, err = CurveOf("Black", "", "", on, file)
	require.NoError(t, err)

	n.Path, n.Zones = "wrong.press.toml", new(0)
	_, _, err = n.Write()
	_, asked := errors.AsType[*AskedError](err)
	assert.True(t, asked, "%v", err)
	assert.NoFileExists(t, "wrong.press.toml")
}

// TestDrawSheetsOfSomeInks draws those that are named; the others get no file, and
// no picture is looked for.
func TestDrawSheetsOfSomeInks(t *testing.T) {
	ticket := harbourFair(t)
	ticket.Outputs = []Output{{Path: "a.json"}}
	p, err := Run(t.Context(), ticket)
	require.NoError(t, err)
	pictures, err := DrawSheets(t.Context(), SheetTicket{Preset: "a.json", Inks: []string{"BLACK"}, Copies: 5000, Outputs: []string{"a.svg"}})
	require.NoError(t, err)
	require.Len(t, pictures, 1)
	assert.Equal(t, "Black", pictures[0].Ink)
	require.NoError(t, pictures[0].Err)
	data, err := os.ReadFile("a.svg")
	require.NoError(t, err)
	assert.Contains(t, string(data), " g for 5000 sheets (")
	assert.NotContains(t, string(data), p.Units[1].Ink)

	_, err = DrawSheets(t.Context(), SheetTicket{Preset: "a.json", Inks: []string{"Gold"}, Outputs: []string{"b.svg"}})
	assert.EqualError(t, err, "a.json: has no ink Gold; name one of these: Black, Cyan")
	assert.NoFileExists(t, "b.svg")
}

// TestLessonStops reads nothing more once its context has ended.
func TestLessonStops(t *testing.T) {
	t.Chdir(t.TempDir())
	require.NoError(t, os.WriteFile("ok.csv", []byte("none that can be read"), 0o600))
	ctx, cancel := context.WithCancelCause(t.Context())
	gone := errors.New("the hall is closed")
	cancel(gone)
	_, err := Learning{Press: "two-colour", Ink: "Black", OKFiles: []string{"ok.csv"}}.Lesson(ctx)
	assert.ErrorIs(t, err, gone)
}
