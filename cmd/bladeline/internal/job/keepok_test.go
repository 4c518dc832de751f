package job

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const okCSV = "job,press,ink,zone,ok_key,ok_sweep\nGull,Duplicator,Black,1,5/8,\n"

// What was run is overwritten by nothing, under no name of its, and nothing else is
// written then.
func TestOKFilesAreKept(t *testing.T) {
	folder := t.TempDir()
	ok, link, other := filepath.Join(folder, "ok.csv"), filepath.Join(folder, "link.json"), filepath.Join(folder, "other.csv")
	require.NoError(t, os.WriteFile(ok, []byte(okCSV), 0o666))
	require.NoError(t, os.Symlink(ok, link))
	for _, path := range []string{ok, link} {
		err := WriteFiles([]File{Bytes(other, []byte("new")), Bytes(path, []byte("new"))})
		assert.EqualError(t, err, path+": says what was finally run and is not overwritten; choose another name, or move this file away")
		assert.NoFileExists(t, other)
		data, err := os.ReadFile(ok)
		require.NoError(t, err)
		assert.Equal(t, okCSV, string(data))
	}
	require.NoError(t, rewriteOK(Bytes(ok, []byte("job,ok_key,ok_sweep\nGull,,\n"))))
	assert.NoError(t, WriteFiles([]File{Bytes(ok, []byte("new"))}), "nothing is filled in")
}
