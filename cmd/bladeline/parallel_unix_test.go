//go:build unix

package main

import (
	"io"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestParallelExample runs the example for GNU parallel, which is Debian's: what comes
// out is what one process makes of all jobs, and what was done is not done again.
func TestParallelExample(t *testing.T) {
	script, err := filepath.Abs("../../examples/parallel.sh")
	require.NoError(t, err)
	watchFolder(t)
	t.Setenv("SOURCE_DATE_EPOCH", today)
	for _, name := range []string{"in/first", "in/its \"second\" job", "in/-third"} {
		require.NoError(t, os.Mkdir(name, 0o777))
		require.NoError(t, writePlate(filepath.Join(name, "fair_C.tif"), "60x40", "10", "10,60"))
		require.NoError(t, writePlate(filepath.Join(name, "fair_K.tif"), "60x40", "10", "20"))
	}
	require.Equal(t, statusDone, run([]string{"preset", "--press", "six.press.toml", "--out", "one", "in"}, nil, io.Discard, io.Discard))
	for range 2 {
		out, err := exec.Command("sh", script, "in", "six.press.toml", "many").CombinedOutput()
		require.NoError(t, err, "%s", out)
	}
	joblog, err := os.ReadFile("many/joblog")
	require.NoError(t, err)
	assert.Regexp(t, `^Seq.*\n(.*\n){3}$`, string(joblog))
	files := func(folder string) map[string]string {
		found := map[string]string{}
		require.NoError(t, filepath.WalkDir(folder, func(path string, e os.DirEntry, err error) error {
			if err == nil && !e.IsDir() && e.Name() != "joblog" {
				data, err := os.ReadFile(path)
				require.NoError(t, err)
				found[filepath.Base(filepath.Dir(path))+"/"+e.Name()] = string(data)
			}
			return err
		}))
		return found
	}
	one := files("one")
	assert.Len(t, one, 9)
	assert.True(t, maps.Equal(one, files("many")))
}
