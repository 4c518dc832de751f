package hotfolder

import (
	"strings"
	"testing"

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
