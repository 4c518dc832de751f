package job

import (
	"os"
	"testing"

	"bladeline/coverage"
	"bladeline/curves"
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
	assert.Same(t, l.Curves[0], curveOn(hall, "", "Cyan"), "its file names none")
	assert.Equal(t, "K", curveOn(hall, "", "BLACK").Name)
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

func curveOn(p Press, paper, ink string) *curves.Curve {
	c, _ := p.CurveOn(paper, ink)
	return c
}

// TestCurvesByPaper holds a press's curves, read once, against those that its file
// is asked for ink by ink, as preset --paper does.
func TestCurvesByPaper(t *testing.T) {
	t.Chdir(t.TempDir())
	for _, name := range []string{"all", "k", "art", "art-k", "news-k"} {
		require.NoError(t, os.WriteFile(name+".curve.toml", []byte("name = \""+name+"\"\nshape = \"straight\"\npoints = [[0, 0], [100, 90]]\n"), 0o600))
	}
	const named = `[curves]
default = "all.curve.toml"
Black = "k.curve.toml"
[curves."Matt art"]
default = "art.curve.toml"
Black = "art-k.curve.toml"
[curves.news]
Black = "news-k.curve.toml"
`
	require.NoError(t, os.WriteFile("hall.press.toml", append(bare(t), named...), 0o600))
	l, err := LoadLibrary("hall.press.toml")
	require.NoError(t, err)
	on, file, err := LoadPress("hall.press.toml")
	require.NoError(t, err)
	for _, paper := range []string{"", "MATT ART", "news", "board"} {
		for _, ink := range []string{"black", "Cyan"} {
			want, err := CurveOf(ink, "", paper, on, file)
			require.NoError(t, err)
			_, known := on.CurveFileOn(paper, ink)
			got, is := l.Presses[0].CurveOn(paper, ink)
			assert.Equal(t, []any{want.Name, known}, []any{got.Name, is}, "%s on %q", ink, paper)
		}
	}
	assert.Equal(t, "news-k", curveOn(l.Presses[0], "news", "Black").Name)
}

// TestPutFirst has the narrowest press first whose fountain is wide enough for the form:
// the duplicator's is not, and of 640 mm the 26-inch one leaves less bare than the 40-inch.
func TestPutFirst(t *testing.T) {
	ticket := harbourFair(t)
	maps, err := ticket.Maps(t.Context())
	require.NoError(t, err)
	l, err := LoadLibrary("duplicator")
	require.NoError(t, err)
	require.False(t, Takes(l.Presses[0].Press, maps, ticket.Placement))
	l.PutFirst(maps, ticket.Placement)
	assert.Equal(t, "two-colour", l.Presses[0].Called)
	assert.Len(t, l.Presses, len(Shipped(PressKind)))
	before := l.Presses[0].Called
	l.PutFirst([]*coverage.Map{{Ink: "Black"}}, zones.Placement{LeadEdge: zones.Bottom})
	assert.Equal(t, before, l.Presses[0].Called, "no press takes what states no resolution")
}
