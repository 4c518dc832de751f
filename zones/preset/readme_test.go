package preset

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// readmeRow is a row of the table of README.md that says what learning from so
// many jobs is worth.
func readmeRow(jobs int, e simErrors) string {
	mean, p95, within := sized(e.feed)
	keysMean, _, keysWithin := sized(e.keys)
	return fmt.Sprintf("| %d | %.1f %% | %.1f %% | %.1f %% | %.1f %% | %.1f %% |", jobs, mean, p95, within, keysMean, keysWithin)
}

// readmeSays wants the table in README.md to be what was just found, figure by
// figure.
func readmeSays(t *testing.T, all []simErrors) {
	var found []string
	for i, e := range all {
		found = append(found, readmeRow(simJobs[i], e))
	}
	_, table, there := strings.Cut(readme(t), "| jobs | feed error: mean |")
	require.True(t, there, "README.md shows no table of what learning is worth")
	table, _, _ = strings.Cut(table, "\n\n")
	rows := strings.Split(table, "\n")
	require.Greater(t, len(rows), 2)
	assert.Equal(t, found, rows[2:], "README.md's table")
}

// readme is the project's, in the folder of go.mod.
func readme(t *testing.T) string {
	folder, err := os.Getwd()
	require.NoError(t, err)
	for {
		if _, err := os.Stat(filepath.Join(folder, "go.mod")); err == nil {
			break
		}
		above := filepath.Dir(folder)
		require.NotEqual(t, folder, above, "no folder above has a go.mod")
		folder = above
	}
	text, err := os.ReadFile(filepath.Join(folder, "README.md"))
	require.NoError(t, err)
	return string(text)
}
