//go:build unix

package coverage

import (
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// A pipe that nobody writes into is refused at once, not waited for.
func TestPipeIsRefused(t *testing.T) {
	pipe := filepath.Join(t.TempDir(), "pipe.tif")
	require.NoError(t, syscall.Mkfifo(pipe, 0o600))
	refused := make(chan error, 1)
	go func() {
		_, err := Open(pipe)
		refused <- err
	}()
	select {
	case err := <-refused:
		require.EqualError(t, err, pipe+": is not a regular file; name the separation itself")
	case <-time.After(10 * time.Second):
		t.Fatal("waits for a writer")
	}
}
