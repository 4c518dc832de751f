package main

import (
	"bytes"
	"io"
	"os"
	"testing"

	"bladeline/curves"
	"bladeline/zones/press"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A name stands in the file as a string of TOML, which escapes otherwise than a
// string of Go.
func TestNewFilesBearTheirName(t *testing.T) {
	t.Chdir(t.TempDir())
	for i, name := range []string{`Hall "2"`, `back\slash`, "the printer’s"} {
		file := string(rune('a' + i))
		var stderr bytes.Buffer
		require.Equal(t, statusDone, run([]string{"press", "new", name, "-o", file + ".press.toml"}, nil, io.Discard, &stderr), stderr.String())
		data, err := os.ReadFile(file + ".press.toml")
		require.NoError(t, err)
		press, err := press.Parse(file, data)
		require.NoError(t, err)
		assert.Equal(t, name, press.Name)
		require.Equal(t, statusDone, run([]string{"curve", "new", name, "-o", file + ".curve.toml"}, nil, io.Discard, &stderr), stderr.String())
		data, err = os.ReadFile(file + ".curve.toml")
		require.NoError(t, err)
		curve, err := curves.ParseCurve(file, data)
		require.NoError(t, err)
		assert.Equal(t, name, curve.Name)
	}
}

func TestNewFilesRefuseNamesThatAreNone(t *testing.T) {
	t.Chdir(t.TempDir())
	for name, want := range map[string]string{"a bell\a": `name: "a bell\a" `, "not UTF-8: \xff": "line "} {
		for _, what := range []string{"press", "curve"} {
			var stderr bytes.Buffer
			assert.Equal(t, statusUsage, run([]string{what, "new", name, "-o", "new." + what + ".toml"}, nil, io.Discard, &stderr))
			assert.Contains(t, stderr.String(), "bladeline: the new "+what+": "+want)
			assert.NoFileExists(t, "new."+what+".toml")
		}
	}
}
