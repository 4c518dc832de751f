//go:build unix

package main

import (
	"context"
	"syscall"
	"testing"
	"time"

	"bladeline/cmd/bladeline/internal/job"

	"github.com/spf13/cobra"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestInterrupted: whoever stops a command while it reads is told in one line
// that nothing was written, and others are told what went wrong.
func TestInterrupted(t *testing.T) {
	c := &cobra.Command{}
	c.SetContext(t.Context())
	for _, signal := range []syscall.Signal{syscall.SIGINT, syscall.SIGTERM} {
		err := watched(c, "reading", job.Reading{}, func(ctx context.Context, _ job.Reading) error {
			require.NoError(t, syscall.Kill(syscall.Getpid(), signal))
			select {
			case <-ctx.Done():
			case <-time.After(20 * time.Second):
			}
			return context.Cause(ctx)
		})
		assert.EqualError(t, err, "interrupted; nothing was written")
		assert.False(t, isUsage(err))
	}
	err := watched(c, "reading", job.Reading{}, func(context.Context, job.Reading) error { return assert.AnError })
	assert.Equal(t, assert.AnError, err)
}
