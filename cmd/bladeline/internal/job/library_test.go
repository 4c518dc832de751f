package job

import (
	"errors"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestErrorsKeepTheirCause: errors.Is finds why a file was not read.
func TestErrorsKeepTheirCause(t *testing.T) {
	t.Chdir(t.TempDir())
	for what, err := range map[string]error{
		"preset": func() error { _, err := LoadPreset("nothere.json"); return err }(),
		"press":  func() error { _, _, err := LoadPress("nothere.press.toml"); return err }(),
		"named":  func() error { _, _, err := LoadPress("nothere"); return err }(),
		"curve":  func() error { _, err := LoadCurve("./nothere"); return err }(),
		"beside": func() error { _, err := Settings{Name: "six.press.toml"}.Beside("nothere.toml"); return err }(),
		"table":  ReadFile("nothere.csv", nil),
	} {
		assert.ErrorIs(t, err, os.ErrNotExist, what)
		assert.False(t, errors.Is(err, os.ErrPermission), what)
	}
}

// TestCurvesOfAPress finds each where the press's file names it.
func TestCurvesOfAPress(t *testing.T) {
	t.Chdir(t.TempDir())
	curve := func(name string) []byte {
		return []byte("name = \"" + name + "\"\nshape = \"straight\"\npoints = [[0, 0], [100, 90]]\n")
	}
	require.NoError(t, os.MkdirAll("hall/curves", 0o777))
	require.NoError(t, os.WriteFile("hall/curves/k.curve.toml", curve("K"), 0o600))
	require.NoError(t, os.WriteFile("hall/hall.press.toml", append(bare(t), "[curves]\nBlack = \"curves/k.curve.toml\"\n"...), 0o600))
	press, file, err := LoadPress("hall/hall.press.toml")
	require.NoError(t, err)
	otherwise, err := LoadCurve("coated")
	require.NoError(t, err)
	usual, byInk, err := CurvesOf(press, file, otherwise)
	require.NoError(t, err)
	assert.Same(t, otherwise, usual)
	require.Len(t, byInk, 1)
	assert.Equal(t, "K", byInk["Black"].Name)
	require.NoError(t, os.Remove("hall/curves/k.curve.toml"))
	_, _, err = CurvesOf(press, file, otherwise)
	assert.ErrorIs(t, err, os.ErrNotExist)
}
