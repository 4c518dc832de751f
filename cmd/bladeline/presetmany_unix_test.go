//go:build unix

package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// manyJobs makes a folder of n jobs, of one separation each, in a folder to work in.
func manyJobs(t *testing.T, n int) {
	plate, err := os.ReadFile("../../examples/harbour-fair_C.tif")
	require.NoError(t, err)
	t.Chdir(t.TempDir())
	require.NoError(t, os.Mkdir("week", 0o777))
	for i := range n {
		require.NoError(t, os.WriteFile(fmt.Sprintf("week/job%d_C.tif", i), plate, 0o666))
	}
}

// TestManyJobsInterrupted: whoever stops a run of many jobs is told how many are
// done, and those are whole.
func TestManyJobsInterrupted(t *testing.T) {
	manyJobs(t, 400)
	var stdout, stderr bytes.Buffer
	c := exec.Command("bladeline", "preset", "--press", "two-colour", "--out", "presets", "--as", "csv,json", "week")
	c.Stdout, c.Stderr = &stdout, &stderr
	require.NoError(t, c.Start())
	t.Cleanup(func() { c.Process.Kill() }) // where the test fails early
	require.Eventually(t, func() bool {
		made, _ := filepath.Glob("presets/*.csv")
		return len(made) > 2
	}, 30*time.Second, time.Millisecond)
	require.NoError(t, c.Process.Signal(syscall.SIGINT))
	require.Error(t, c.Wait())
	assert.Equal(t, statusFailed, c.ProcessState.ExitCode())
	said := regexp.MustCompile(`(?m)^bladeline: interrupted after (\d+) of 400 jobs; of the others nothing was written$`).FindSubmatch(stderr.Bytes())
	require.NotNil(t, said, stderr.String())
	done, err := strconv.Atoi(string(said[1]))
	require.NoError(t, err)
	assert.Less(t, done, 400)
	assert.Equal(t, done+1, bytes.Count(stdout.Bytes(), []byte("\n")), "the summary has a line each")
	for _, kind := range []string{"csv", "json"} {
		made, err := filepath.Glob("presets/*." + kind)
		require.NoError(t, err)
		assert.Len(t, made, done)
		for _, path := range made {
			assert.Zero(t, run([]string{"compare", path, path}, nil, &stdout, &stderr), path)
		}
	}
	hidden, err := filepath.Glob("presets/.*")
	require.NoError(t, err)
	assert.Empty(t, hidden)
}

// TestManyJobsOnATerminal: a bar says which job is worked on; script, of util-linux,
// is the terminal.
func TestManyJobsOnATerminal(t *testing.T) {
	manyJobs(t, 3)
	stdout, _, status := shell(t, `script -qec "bladeline preset --press two-colour --sweep 45 --out presets week" /dev/null`)
	assert.Zero(t, status)
	for _, job := range []string{"1 of 3, job0", "2 of 3, job1", "3 of 3, job2"} {
		assert.Contains(t, stdout, job)
	}
	assert.Regexp(t, `(?m)^job1 +Cyan +\d* +presets/job1\.csv, \.json, \.pdf\r?$`, stdout)
}
