package hotfolder

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestFolderName(t *testing.T) {
	long := strings.Repeat("é", 200)
	for name, want := range map[string]string{
		"Harbour fair": "Harbour fair", "a/b": "a%2Fb", ".": "%2E", "..": "%2E%2E", "a.": "a%2E", "a ": "a%20", ".a": "%2Ea", "100%": "100%25", "a:b?": "a%3Ab%3F", "-o": "-o", "Café": "Café",
	} {
		assert.Equal(t, want, folderName(name))
	}
	assert.Regexp(t, `^é{81}-[0-9a-f]{16}$`, folderName(long))
	assert.NotEqual(t, folderName(long), folderName(long+"a"), "other names, other folders")
	rapid.Check(t, func(t *rapid.T) {
		name := folderName(rapid.StringN(1, 300, -1).Draw(t, "name"))
		require.NotContains(t, name, "/")
		require.LessOrEqual(t, len(name), mostOfName+2)
	})
}

// Whatever stands in the place of a record, it is one or none, and covers its own files
// alone.
func FuzzRecord(f *testing.F) {
	whole := recordOf("fair", []file{{name: "fair_C.tif", size: 362, time: time.Unix(1795651200, 5)}}, nil, 2)
	var text bytes.Buffer
	require.NoError(f, whole.write(&text))
	f.Add(text.Bytes(), "fair_C.tif")
	f.Add(text.Bytes()[:text.Len()/2], "b\xff\n_C.tif")
	f.Add([]byte(`{"format":"bladeline.watched/1","files":null,"version":-1}`), "/")
	f.Fuzz(func(t *testing.T, data []byte, name string) {
		folder := t.TempDir()
		require.NoError(t, os.WriteFile(filepath.Join(folder, recordName), data, 0o666))
		r, err := loadRecord(folder, recordName)
		require.NoError(t, err)
		other := file{name: name + "?", size: -1, time: time.Unix(0, 1)}
		if r != nil && !slices.ContainsFunc(r.Files, other.recorded().same) {
			require.False(t, r.covers([]file{other}))
		}
		mine := []file{{name: name, size: 5, time: time.Unix(1795651200, 5)}}
		mineToo := recordOf(name, mine, nil, 1)
		require.NoError(t, os.Remove(filepath.Join(folder, recordName)))
		var b bytes.Buffer
		require.NoError(t, mineToo.write(&b))
		require.NoError(t, os.WriteFile(filepath.Join(folder, recordName), b.Bytes(), 0o666))
		again, err := loadRecord(folder, recordName)
		require.NoError(t, err)
		require.True(t, again.covers(mine), "%q", name)
		mine[0].size++
		require.False(t, again.covers(mine), "%q", name)
		if name != "" {
			require.Equal(t, folderName(name), filepath.Base(folderName(name)))
		}
	})
}
