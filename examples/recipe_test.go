package examples_test

import (
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"bladeline/coverage"

	"github.com/stretchr/testify/require"
)

// TestRecipe makes the separations anew, as the recipe says, and compares them
// with the ones that ship. The same version of Ghostscript gives the same
// bytes; between versions screens and fonts may move a pixel here and there.
func TestRecipe(t *testing.T) {
	made := t.TempDir()
	out, err := exec.Command("sh", "separate.sh", made).CombinedOutput()
	require.NoError(t, err, "%s", out)
	files, err := filepath.Glob("harbour-fair*[gf]")
	require.NoError(t, err)
	require.Len(t, files, 5)
	for _, file := range files {
		shipped, anew := measure(t, file), measure(t, filepath.Join(made, file))
		require.Equal(t, shipped.Width, anew.Width, file)
		require.Equal(t, shipped.Height, anew.Height, file)
		const points = 0.1 // % of the raster; a missing picture or font moves it by more
		require.InDelta(t, shipped.CoveragePct(), anew.CoveragePct(), points, file)
	}
}

func measure(t *testing.T, path string) *coverage.Map {
	t.Helper()
	require.FileExists(t, path)
	f, err := coverage.Open(path)
	require.NoError(t, err)
	defer f.Close()
	maps, err := f.Measure(t.Context(), coverage.Options{})
	require.NoError(t, err)
	require.Len(t, maps, 1)
	return maps[0]
}

// TestNothingElseShips holds the folder against its README: every file is
// named there.
func TestNothingElseShips(t *testing.T) {
	readme, err := os.ReadFile("README.md")
	require.NoError(t, err)
	entries, err := os.ReadDir(".")
	require.NoError(t, err)
	for _, e := range entries {
		if name := e.Name(); filepath.Ext(name) != ".go" && name != "README.md" {
			require.Contains(t, string(readme), name)
		}
	}
}
