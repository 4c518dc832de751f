package job

import (
	"os"
	"testing"

	"bladeline/coverage"
	"bladeline/zones"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestLibrary has the press that is called for first, with the curves that its
// file names, and behind it all that ship.
func TestLibrary(t *testing.T) {
	t.Chdir(t.TempDir())
	require.NoError(t, os.MkdirAll("hall/curves", 0o777))
	require.NoError(t, os.WriteFile("hall/curves/k.curve.toml", []byte("name = \"K\"\nshape = \"straight\"\npoints = [[0, 0], [100, 90]]\n"), 0o600))
	require.NoError(t, os.WriteFile("hall/hall.press.toml", append(bare(t), "[curves]\nBlack = \"curves/k.curve.toml\"\n"...), 0o600))
	l, err := LoadLibrary("hall/hall.press.toml")
	require.NoError(t, err)
	require.Len(t, l.Presses, 1+len(Shipped(PressKind)))
	require.Len(t, l.Curves, len(Shipped(CurveKind)))
	hall := l.Presses[0]
	assert.Equal(t, "hall/hall.press.toml", hall.Called)
	assert.Same(t, l.Curves[0], hall.CurveOf("Cyan"), "its file names none")
	assert.Equal(t, "K", hall.CurveOf("BLACK").Name)
	assert.Contains(t, l.AllCurves(), hall.ByInk["Black"])

	require.NoError(t, os.Remove("hall/curves/k.curve.toml"))
	_, err = LoadLibrary("hall/hall.press.toml")
	assert.ErrorIs(t, err, os.ErrNotExist)

	l, err = LoadLibrary("duplicator")
	require.NoError(t, err)
	assert.Len(t, l.Presses, len(Shipped(PressKind)), "each once")
	assert.Equal(t, "duplicator", l.Presses[0].Called)
	_, found := l.Find("two-colour")
	assert.True(t, found)
	_, found = l.Find("one-colour")
	assert.False(t, found)
}

// TestPutFirst has a press first whose fountain is wide enough for the form: the
// duplicator's is not.
func TestPutFirst(t *testing.T) {
	ticket := harbourFair(t)
	maps, err := ticket.Maps(t.Context())
	require.NoError(t, err)
	l, err := LoadLibrary("duplicator")
	require.NoError(t, err)
	require.False(t, Takes(l.Presses[0].Press, maps, ticket.Placement))
	l.PutFirst(maps, ticket.Placement)
	assert.True(t, Takes(l.Presses[0].Press, maps, ticket.Placement))
	assert.Len(t, l.Presses, len(Shipped(PressKind)))
	before := l.Presses[0].Called
	l.PutFirst([]*coverage.Map{{Ink: "Black"}}, zones.Placement{LeadEdge: zones.Bottom})
	assert.Equal(t, before, l.Presses[0].Called, "no press takes what states no resolution")
}
