package job

import (
	"os"
	"path/filepath"
	"runtime"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A folder that may not be looked into is named, and the others are read. Root may look
// into all: meanwhile the test's own thread is nobody's.
func TestHistoryPassesOverFolders(t *testing.T) {
	folder := t.TempDir()
	require.NoError(t, os.Chmod(filepath.Dir(folder), 0o755))
	require.NoError(t, os.Chmod(folder, 0o755))
	for _, name := range []string{"a", "b", "c"} {
		require.NoError(t, os.Mkdir(filepath.Join(folder, name), 0o755))
	}
	writeText(t, filepath.Join(folder, "a", "first.csv"), "ok")
	writeText(t, filepath.Join(folder, "c", "last.csv"), "ok")
	closed := filepath.Join(folder, "b")
	require.NoError(t, os.Chmod(closed, 0))
	runtime.LockOSThread()
	defer runtime.UnlockOSThread()
	const nobody = 65534
	require.NoError(t, syscall.Setfsuid(nobody))
	defer syscall.Setfsuid(os.Geteuid())
	paths, unlisted, err := csvFiles(folder)
	require.NoError(t, err)
	assert.Equal(t, []string{filepath.Join(folder, "a", "first.csv"), filepath.Join(folder, "c", "last.csv")}, paths)
	require.Len(t, unlisted, 1)
	assert.EqualError(t, unlisted[0], closed+": cannot be listed, and is left out: permission denied; ask its owner for it")
	_, _, err = csvFiles(closed)
	assert.Error(t, err)
}
