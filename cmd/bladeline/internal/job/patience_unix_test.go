//go:build unix

package job

import (
	"io"
	"net"
	"os"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// impatient waits for FIFOs no longer than a test does.
func impatient(t *testing.T) {
	wait := patience
	patience = 200 * time.Millisecond
	t.Cleanup(func() { patience = wait })
}

// TestInputFIFO: a FIFO that nobody writes to is refused.
func TestInputFIFO(t *testing.T) {
	t.Chdir(t.TempDir())
	impatient(t)
	require.NoError(t, syscall.Mkfifo("lone", 0o600))
	for _, opened := range []bool{false, true} {
		if opened { // by one who says nothing
			silent, err := os.OpenFile("lone", os.O_RDWR, 0)
			require.NoError(t, err)
			defer silent.Close()
		}
		for what, read := range map[string]func() error{
			"curve":  func() error { _, err := LoadCurve("./lone"); return err },
			"press":  func() error { _, _, err := LoadPress("./lone"); return err },
			"preset": func() error { _, err := LoadPreset("./lone"); return err },
			"table": func() error {
				return ReadFile("./lone", func(r io.Reader) error { _, err := io.ReadAll(r); return err })
			},
		} {
			start := time.Now()
			assert.ErrorContains(t, read(), "./lone: cannot be read: it is a FIFO, and nothing happened at its other end for 200ms; ", what)
			assert.Less(t, time.Since(start), 5*time.Second)
		}
	}
}

// TestOutputToNobody: a socket, and a FIFO that nobody reads, are refused and stay.
func TestOutputToNobody(t *testing.T) {
	t.Chdir(t.TempDir())
	impatient(t)
	require.NoError(t, os.WriteFile("old.csv", []byte("old"), 0o600))
	socket, err := net.Listen("unix", "socket.csv")
	require.NoError(t, err)
	defer socket.Close()
	require.NoError(t, syscall.Mkfifo("fifo.csv", 0o600))
	for name, kind := range map[string]os.FileMode{"socket.csv": os.ModeSocket, "fifo.csv": os.ModeNamedPipe} {
		err := WriteFiles([]File{Bytes("old.csv", []byte("new")), Bytes(name, []byte("new"))})
		assert.ErrorContains(t, err, name+": cannot be written: ")
		assert.Equal(t, map[string]string{"old.csv": "old"}, regularFiles(t))
		info, err := os.Lstat(name)
		require.NoError(t, err)
		assert.Equal(t, kind, info.Mode().Type())
	}
}
