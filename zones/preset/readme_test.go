package preset

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// readmeRow is a row of the table of README.md that says what learning from so
// many jobs is worth.
func readmeRow(after string, e simErrors) string {
	mean, p95, within := sized(e.feed)
	keysMean, _, keysWithin := sized(e.keys)
	return fmt.Sprintf("| %s | %.1f %% | %.1f %% | %.1f %% | %.1f %% | %.1f %% |", after, mean, p95, within, keysMean, keysWithin)
}

// learningTable is the table of README.md, figure by figure as it was just found.
func learningTable(all []simErrors, form taught) string {
	table := "| jobs | feed error: mean | 95th percentile | zones within ±10 % | keys as they stand, whole points: mean | within ±10 % |\n" +
		"|--:|--:|--:|--:|--:|--:|\n"
	for i, e := range all {
		table += readmeRow(fmt.Sprint(simJobs[i]), e) + "\n"
		switch simJobs[i] {
		case 0:
			table += readmeRow("a test form", form.form) + "\n"
		case 1:
			table += readmeRow("a test form and 1", form.job) + "\n"
		}
	}
	return table
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
