//go:build unix

package main

import (
	"bytes"
	"os"
	"os/exec"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestInputFIFO: what a shell passes is read however late it comes; a FIFO that
// nobody writes to is refused.
func TestInputFIFO(t *testing.T) {
	badFolder(t)
	wait := patience
	patience = 200 * time.Millisecond
	defer func() { patience = wait }()
	require.NoError(t, syscall.Mkfifo("lone", 0o600))
	for _, opened := range []bool{false, true} {
		if opened { // by one who says nothing
			silent, err := os.OpenFile("lone", os.O_RDWR, 0)
			require.NoError(t, err)
			defer silent.Close()
		}
		for _, line := range []string{"curve show ./lone", "press show ./lone", "compare lone lone", "curve density lone", "curve import lone -o x.curve.toml", "correct --press six.press.toml ok.csv lone"} {
			var stdout, stderr bytes.Buffer
			start := time.Now()
			require.Equal(t, statusFailed, run(strings.Fields(line), nil, &stdout, &stderr), line)
			assert.Less(t, time.Since(start), 5*time.Second)
			assert.Contains(t, stderr.String(), "lone: cannot be read: it is a FIFO, and nothing happened at its other end for 200ms; ")
			assert.NoError(t, oneMessage(stderr.String()))
		}
	}
	got, want := exec.Command("bash", "-c", "bladeline curve show <(sleep 0.5; cat line.curve.toml)"), exec.Command("bladeline", "curve", "show", "line.curve.toml")
	shown, err := got.Output()
	require.NoError(t, err)
	wanted, err := want.Output()
	require.NoError(t, err)
	assert.Equal(t, string(wanted), string(shown))
}
