//go:build unix

package main

import (
	"os/exec"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestInputFromAShell: what a shell passes is read however late it comes.
func TestInputFromAShell(t *testing.T) {
	badFolder(t)
	got, want := exec.Command("bash", "-c", "bladeline curve show <(sleep 0.5; cat line.curve.toml)"), exec.Command("bladeline", "curve", "show", "line.curve.toml")
	shown, err := got.Output()
	require.NoError(t, err)
	wanted, err := want.Output()
	require.NoError(t, err)
	assert.Equal(t, string(wanted), string(shown))
}
