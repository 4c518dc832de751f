package job

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"bladeline/zones/testform"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A test form that is given up leaves nothing, and one that is not does.
func TestTestFormGivenUp(t *testing.T) {
	ticket := TestFormTicket{
		Press: "two-colour", Ink: "Black", Form: testform.Options{DPI: 72, GripperMM: testform.DefaultGripperMM},
		Outputs: []Output{{Path: filepath.Join(t.TempDir(), "test.tif")}},
	}
	ctx, stop := context.WithCancel(t.Context())
	stop()
	_, err := ticket.TestForm(ctx)
	assert.ErrorIs(t, err, context.Canceled)
	left, err := os.ReadDir(filepath.Dir(ticket.Outputs[0].Path))
	require.NoError(t, err)
	assert.Empty(t, left)
	_, err = ticket.TestForm(t.Context())
	require.NoError(t, err)
	assert.FileExists(t, ticket.Outputs[0].Path)
}
