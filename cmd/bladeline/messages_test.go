package main

import (
	"bytes"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestPrinted: a result that is not printed is a failure, of help, too.
func TestPrinted(t *testing.T) {
	badFolder(t)
	for _, line := range []string{"--help", "help preset", "press", "curve --help", "curve export line.curve.toml", "measure --strict a_C.tif"} {
		var stderr bytes.Buffer
		assert.Equal(t, statusFailed, run(strings.Fields(line), nil, fullDisk{}, &stderr), line)
		assert.Equal(t, "bladeline: standard output: cannot be written: no space left on device; choose another place or free this one\n", stderr.String(), line)
	}
}

// TestLongMessages: an argument that is as long as a book is shown in part.
func TestLongMessages(t *testing.T) {
	long := strings.Repeat("x", 100_000)
	for _, args := range [][]string{{"measure", long}, {"preset", "--press", long, "a.tif"}, {"measure", "--shift", long, "a.tif"}, {long}} {
		var stderr bytes.Buffer
		run(args, nil, io.Discard, &stderr)
		assert.NoError(t, oneMessage(stderr.String()))
		assert.Less(t, stderr.Len(), 6000)
		assert.Contains(t, stderr.String(), "; ", "what to do is still said")
	}
}
