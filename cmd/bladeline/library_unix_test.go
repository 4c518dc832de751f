//go:build unix

package main

import (
	"bytes"
	"os"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestPipesAreRefused names a pipe that nobody writes into wherever separations
// and settings are named: a line says what it is, and nothing waits for it.
func TestPipesAreRefused(t *testing.T) {
	t.Chdir(t.TempDir())
	require.NoError(t, os.WriteFile("six.press.toml", []byte(strings.Replace(sixKeys, "line.curve.toml", "pipe", 1)), 0o666))
	require.NoError(t, syscall.Mkfifo("pipe", 0o600))
	require.NoError(t, writePlate("a_C.tif", "40x100", "10", "g4", "10,20,30,40"))
	const unread = "cannot be read: it is not a regular file; name the file itself, one that you may read\n"
	for line, want := range map[string]string{
		"serve ./pipe":                                     "./pipe: is not a regular file; name the separation itself\n",
		"serve --press ./pipe":                             "./pipe: " + unread,
		"preset --press ./pipe a_C.tif":                    "./pipe: " + unread,
		"preset --press six.press.toml a_C.tif":            "six.press.toml names a curve: pipe: " + unread,
		"preset --press two-colour --curve ./pipe a_C.tif": "./pipe: " + unread,
		"curve show ./pipe":                                "./pipe: " + unread,
	} {
		var out, said bytes.Buffer
		status := make(chan int, 1)
		go func() { status <- run(strings.Fields(line), nil, &out, &said) }()
		select {
		case got := <-status:
			assert.Equal(t, []any{statusFailed, "bladeline: " + want}, []any{got, said.String()}, line)
		case <-time.After(10 * time.Second):
			t.Fatalf("%s: waits for a writer", line)
		}
	}
}
