package main

import (
	"bytes"
	"io"
	"os"
	"strings"
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

// A press whose fountain stands in an inline table is changed there, and nowhere else but in its head.
func TestNewPressFromInlineTables(t *testing.T) {
	t.Chdir(t.TempDir())
	const from = `# of the quay
name = 'Quay' # as it is called
fountain = { zones = 8, zone_width_mm = 50, first_zone = "right", blade = "segmented" } # counted in May
keys = { unit = "%", travel = 100, step = 1 }
sweep = { unit = "%", from = 10, to = 90, step = 1, reference = 45 }
`
	require.NoError(t, os.WriteFile("quay.press.toml", []byte(from), 0o600))
	var stderr bytes.Buffer
	require.Equal(t, statusDone, run([]string{"press", "new", "Hall", "--from", "quay.press.toml", "--zones", "10", "--zone-width", "32.5", "--first-zone", "left", "-o", "hall.press.toml"}, nil, io.Discard, &stderr), stderr.String())
	data, err := os.ReadFile("hall.press.toml")
	require.NoError(t, err)
	want := strings.NewReplacer("# of the quay\n", "", "'Quay'", `"Hall"`, "zones = 8", "zones = 10", "mm = 50", "mm = 32.5", `"right"`, `"left"`).Replace(from)
	assert.Equal(t, want, string(data))
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

// A press begun from another says nothing of that one any more: not what sheets
// it takes, nor how its old keys lay; what holds for every press stays.
func TestNewPressesSayNothingOfTheOld(t *testing.T) {
	t.Chdir(t.TempDir())
	for i, c := range []struct {
		flags      []string
		gone, stay string
	}{
		{[]string{"--from", "duplicator", "--zones", "18", "--zone-width", "36"}, "up to 11 inches|An invented|3/4 in from|285.75", "# screws\n|screw 1, the pulled sheet face up|never screw a key hard|here 3/4 turn"},
		{[]string{"--from", "two-colour", "--zones", "23"}, "26 inches|666.75", "# number of keys\n|measure the key spacing|# where key 1 is"},
		{[]string{"--from", "four-colour", "--zone-width", "32", "--first-zone", "left"}, "1020 mm|1040 mm|at the right of", "measure the zone width"},
		{[]string{"--from", "four-colour", "--zone-width", "32.5", "--first-zone", "right"}, "1020 mm", "1040 mm in all|zone 1 is at the right"},
	} {
		file := string(rune('a'+i)) + ".press.toml"
		var stderr bytes.Buffer
		require.Equal(t, statusDone, run(append([]string{"press", "new", "Hall", "-o", file}, c.flags...), nil, io.Discard, &stderr), stderr.String())
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		for _, text := range strings.Split(c.gone, "|") {
			assert.NotContains(t, string(data), text, c.flags)
		}
		for _, text := range strings.Split(c.stay, "|") {
			assert.Contains(t, string(data), text, c.flags)
		}
	}
}
