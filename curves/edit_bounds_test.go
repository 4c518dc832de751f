package curves

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// bareEdits are edits of a list that is the last of its file, written as
// closely as TOML allows or with comments where they are in the way.
var bareEdits = map[string]struct {
	before string
	edit   func([]byte) ([]byte, error)
	after  string
}{
	"closely, an opening":          {"points=[[0,2],[100,80]]", set(Point{100, 81}), "points=[[0,2],[100,81]]"},
	"closely, the middle less":     {"points=[[0,2],[50,52],[100,80]]", remove(50), "points=[[0,2],[100,80]]"},
	"the last line less":           {"points = [\n[0, 2],\n[50, 52],\n[100, 80]]", remove(100), "points = [\n[0, 2],\n[50, 52]]"},
	"behind an empty comment":      {"points = [[0, 2], [50, 52],#\n[100, 80]]", remove(100), "points = [[0, 2], [50, 52],#\n]"},
	"between two on a line of two": {"points = [\n\t[0, 2], [50, 52],\n\t[100, 80]]", set(Point{75, 70}), "points = [\n\t[0, 2], [50, 52], [75, 70],\n\t[100, 80]]"},
	"the first two of none":        {"points = []", set(Point{0, 2}, Point{100, 80}), "points = [[0, 2], [100, 80]]"},
	"a second beside the only one": {"points = [[0, 2]]", set(Point{100, 80}), "points = [[0, 2], [100, 80]]"},
}

func TestEditAtTheEndOfAFile(t *testing.T) {
	const name = "name = \"Harbour\"\nshape = \"straight\"\n"
	for what, c := range bareEdits {
		after, err := c.edit([]byte(name + c.before))
		require.NoError(t, err, what)
		assert.Equal(t, name+c.after, string(after), what)
	}
	for _, left := range []struct {
		edit func([]byte) ([]byte, error)
		want string
	}{{remove(0, 100), "not 0"}, {remove(100, 0), "not 0"}, {remove(100), "not 1"}} {
		_, err := left.edit([]byte(name + "points = [[0, 2], [100, 80]]"))
		assert.ErrorContains(t, err, "a curve takes at least two, "+left.want)
	}
}

// Numbers take each other's places, however they are written.
func TestNumbersInTheirPlaces(t *testing.T) {
	for before, want := range map[string]string{
		"zero = [1, 2]":           "zero = [3, 4]",
		"zero=[1,2]":              "zero=[3,4]",
		"zero = [1# 5\n,2 # 6\n]": "zero = [3# 5\n,4 # 6\n]",
		"zero = [1, 2, 3]":        "zero = [3, 4]",
		"zero = []":               "zero = [3, 4]",
	} {
		after, err := SetNumbers("p.toml", []byte(before), []float64{3, 4}, "zero")
		require.NoError(t, err, before)
		assert.Equal(t, want, string(after))
	}
}

// A table whose header ends the file has no line below it.
func TestNoLineBelowAHeader(t *testing.T) {
	_, err := SetValue("p.toml", []byte("name = \"p\"\n[keys]"), "1", "keys", "step")
	assert.EqualError(t, err, "p.toml: keys.step: has no line of its own; write one: step = …")
	after, err := SetValue("p.toml", []byte("name = \"p\"\n[keys]\n"), "1", "keys", "step")
	require.NoError(t, err)
	assert.Equal(t, "name = \"p\"\n[keys]\nstep = 1\n", string(after))
}
