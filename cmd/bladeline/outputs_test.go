package main

import (
	"bytes"
	"errors"
	"io"
	"io/fs"
	"os"
	"strings"
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

// TestOutputBehindALink: the file that a symbolic link stands for is written,
// in its own folder, and the link stays one.
func TestOutputBehindALink(t *testing.T) {
	t.Chdir(t.TempDir())
	const curve = "name = \"C\"\nshape = \"straight\"\npoints = [[0, 0], [100, 80]]\n"
	require.NoError(t, os.Mkdir("shared", 0o755))
	require.NoError(t, os.WriteFile("shared/c.curve.toml", []byte(curve), 0o640))
	require.NoError(t, os.Symlink("shared/c.curve.toml", "link.curve.toml"))
	var stdout, stderr bytes.Buffer
	require.Equal(t, statusDone, run([]string{"curve", "set", "link.curve.toml", "100=90"}, nil, &stdout, &stderr), stderr.String())
	assert.Contains(t, stdout.String(), "wrote link.curve.toml\n")
	target, err := os.Readlink("link.curve.toml")
	require.NoError(t, err)
	assert.Equal(t, "shared/c.curve.toml", target)
	written, err := os.ReadFile("shared/c.curve.toml")
	require.NoError(t, err)
	assert.Equal(t, strings.Replace(curve, "80", "90", 1), string(written))
	info, err := os.Stat("shared/c.curve.toml")
	require.NoError(t, err)
	assert.Equal(t, fs.FileMode(0o640), info.Mode())
	for _, folder := range []string{".", "shared"} {
		entries, err := os.ReadDir(folder)
		require.NoError(t, err)
		assert.Len(t, entries, map[string]int{".": 2, "shared": 1}[folder])
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
		{"change", "a.json", "a.json"},
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
