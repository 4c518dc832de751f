package main

import (
	"bytes"
	"errors"
	"io"
	"io/fs"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestOutputReplaced: a file that is there is replaced whole and keeps its
// permissions; a new one may be read by all; nothing else is left behind.
func TestOutputReplaced(t *testing.T) {
	badFolder(t)
	before := folder(t)
	require.NoError(t, os.Chmod("old.csv", 0o600))
	var stdout, stderr bytes.Buffer
	require.Equal(t, statusDone, run([]string{"measure", "-o", "old.csv", "-o", "new.csv", "a_C.tif"}, nil, &stdout, &stderr), stderr.String())
	after := folder(t)
	assert.Equal(t, after["new.csv"], after["old.csv"])
	assert.NotEmpty(t, after["new.csv"])
	assert.Len(t, after, len(before)+1)
	for name, want := range map[string]fs.FileMode{"old.csv": 0o600, "new.csv": 0o644} {
		info, err := os.Stat(name)
		require.NoError(t, err)
		assert.Equal(t, want, info.Mode(), name)
	}
}

type fullDisk struct{}

func (fullDisk) Write([]byte) (int, error) { return 0, errors.New("no space left on device") }

// TestStandardOutputFails: a result that cannot be printed is a failure, in
// every form.
func TestStandardOutputFails(t *testing.T) {
	badFolder(t)
	require.Equal(t, statusDone, run([]string{"preset", "--press", "six.press.toml", "-o", "a.json", "a_C.tif"}, nil, io.Discard, io.Discard))
	for _, args := range [][]string{
		{"estimate", "--copies", "500", "a_C.tif"},
		{"compare", "a.json", "a.json"},
		{"measure", "a_C.tif"},
		{"measure", "--format", "csv", "a_C.tif"},
		{"measure", "--format", "json", "a_C.tif"},
		{"preset", "--press", "six.press.toml", "a_C.tif"},
		{"press", "list"},
		{"press", "show", "duplicator"},
		{"press", "show", "--file", "duplicator"},
		{"curve", "show", "coated"},
	} {
		var stderr bytes.Buffer
		assert.Equal(t, statusFailed, run(args, nil, fullDisk{}, &stderr), args)
		assert.NoError(t, oneMessage(stderr.String()), args)
		assert.Contains(t, stderr.String(), "no space left on device")
	}
}
