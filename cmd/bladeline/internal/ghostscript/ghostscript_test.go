package ghostscript

import (
	"encoding/hex"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestThresholds: every tint of 8 bits shows its share of the screen's 256 pixels,
// to one pixel. A pixel prints where its threshold is above the paper, 255 - tint.
func TestThresholds(t *testing.T) {
	thresholds, err := hex.DecodeString(thresholds())
	require.NoError(t, err)
	require.Len(t, thresholds, 256)
	for tint := range 256 {
		printed := 0
		for _, threshold := range thresholds {
			if int(threshold) > 255-tint {
				printed++
			}
		}
		assert.InDelta(t, float64(tint)/255, float64(printed)/256, 1.0/256, "tint %d", tint)
	}
}

func TestInkIn(t *testing.T) {
	for name, want := range map[string]string{
		"Harbour Red":       "Harbour Red",
		"A%2FB":             "A/B",
		"A%252FB":           "A%2FB",
		"50%25 tint":        "50% tint",
		"Gr%C3%BCn":         "Grün", // UTF-8
		"Gr%FCn":            "Grün", // Latin 1
		"100%":              "100%",
		"line\nbreak%01(x)": "line\nbreak\x01(x)",
	} {
		assert.Equal(t, want, inkIn(name), "%q", name)
	}
}

func TestChosen(t *testing.T) {
	all, err := Chosen("a.pdf", nil, 3)
	require.NoError(t, err)
	assert.Equal(t, []int{1, 2, 3}, all)
	some, err := Chosen("a.pdf", [][2]int{{5, 5}, {1, 2}, {2, 3}}, 5)
	require.NoError(t, err)
	assert.Equal(t, []int{1, 2, 3, 5}, some)
	assert.Equal(t, "1,2,3,5", list(some))
	for _, r := range [][2]int{{6, 6}, {4, 1 << 29}, {1 << 29, 1 << 30}} {
		_, err = Chosen("a.pdf", [][2]int{r}, 5)
		assert.Equal(t, &NoPageError{"a.pdf", max(6, r[0]), 5}, err)
	}
}

// TestLines: what Ghostscript says is cut into lines, however it comes, and a line
// without end takes no memory.
func TestLines(t *testing.T) {
	var said []string
	l := &lines{each: func(line string) { said = append(said, line) }}
	for _, part := range []string{"one\ntw", "o\r\n\n", strings.Repeat("x", 5000), strings.Repeat("y", 5000), "\nlast"} {
		n, err := l.Write([]byte(part))
		require.NoError(t, err)
		require.Equal(t, len(part), n)
	}
	l.flush()
	assert.Equal(t, []string{"one", "two", strings.Repeat("x", mostOfLine), "last"}, said)
}

// TestRefusal holds what is made of what Ghostscript 10.00.0 says.
func TestRefusal(t *testing.T) {
	failed := errors.New("exit status 1")
	for _, c := range []struct {
		said string
		err  error
		want string
	}{
		{"Page 1", nil, ""},
		{"   **** This file requires a password for access.\nError: /unknownerror in --runpdf--", failed, "a.pdf: is locked with a password; save it without one"},
		{"Error: /invalidfileaccess in --file--", failed, "a.pdf: asks for another file, which it may not; have it exported with all that belongs to it inside"},
		{"Error: /VMerror in --string--", failed, "a.pdf: takes more than 1000 MB of memory; " + anew},
		{"The following errors were encountered at least once while processing this file:\n\tno startxref token found\n\tPDF file was repaired", nil, "a.pdf: is damaged or cut short (Ghostscript: no startxref token found); " + anew},
		{"Error: /rangecheck in --image--", failed, "a.pdf: Ghostscript stops at an error in it (/rangecheck); " + anew},
		{"out of disk\nGPL Ghostscript 10.00.0: Unrecoverable error, exit code 1", failed, "a.pdf: Ghostscript fails: out of disk; " + anew},
		{"Error: /unknownerror in --showpage--\nLast OS error: No space left on device", failed, "no space left on device for what Ghostscript draws of a.pdf"},
		{"", failed, "a.pdf: Ghostscript fails (exit status 1); " + anew},
	} {
		heard := &talk{}
		for line := range strings.SplitSeq(c.said, "\n") {
			heard.hear(line)
		}
		if err := heard.refusal("a.pdf", c.err); c.want == "" {
			assert.NoError(t, err)
		} else {
			assert.EqualError(t, err, c.want)
		}
	}
}

// TestNoRoom: separations that are empty or cut short are those of a full disk.
func TestNoRoom(t *testing.T) {
	for _, data := range []string{"", "II*\x00\xff", "II*\x00\xff\x00\x00\x00"} {
		folder := t.TempDir()
		require.NoError(t, os.WriteFile(filepath.Join(folder, "p1(Cyan).tif"), []byte(data), 0o600))
		_, err := collect(folder, "a.pdf", []int{1})
		var full *NoRoomError
		assert.ErrorAs(t, err, &full, "%q", data)
	}
}

// TestWarnings: a font that another stands in for, and what Ghostscript warns of,
// each once.
func TestWarnings(t *testing.T) {
	heard := &talk{}
	for range 3 {
		heard.hear("Loading font Fair (or substitute) from /usr/share/fonts/NimbusSans-Regular")
		heard.hear("The following warnings were encountered at least once while processing this file:")
		heard.hear("\tan odd number")
		heard.hear("Page 1")
	}
	assert.Equal(t, []string{
		"the font Fair is not in the file, and NimbusSans-Regular stands in for it, whose letters may cover more or less; embed fonts",
		"Ghostscript says: an odd number",
	}, heard.warned())
}

// TestFontsAreOneSentence: however many fonts are missing, they are told of once.
func TestFontsAreOneSentence(t *testing.T) {
	heard := &talk{}
	for i, want := range []string{
		"the font A is not in the file, and Body stands in for it, whose letters may cover more or less; embed fonts",
		"the fonts A and B are not in the file, and the letters of those that stand in for them may cover more or less; embed fonts",
		"the fonts A, B and C are not in the file, and the letters of those that stand in for them may cover more or less; embed fonts",
		"the fonts A, B, C and others are not in the file, and the letters of those that stand in for them may cover more or less; embed fonts",
		"the fonts A, B, C and others are not in the file, and the letters of those that stand in for them may cover more or less; embed fonts",
	} {
		heard.hear(fmt.Sprintf("Substituting font Body for %c.", 'A'+i))
		heard.hear("Loading font A (or substitute) from /usr/share/fonts/Head")
		assert.Equal(t, []string{want}, heard.warned())
	}
}

func TestIsJob(t *testing.T) {
	t.Chdir(t.TempDir())
	for name, file := range map[string]struct {
		bytes string
		is    bool
	}{
		"a.pdf":    {"%PDF-1.7\n", true},
		"mail.pdf": {"a line that some mailer put first\n%PDF-1.4\n", true},
		"a.ps":     {"%!PS-Adobe-3.0\n", true},
		"dos.eps":  {"\xc5\xd0\xd3\xc6\x00\x00", true},
		"late.pdf": {strings.Repeat(" ", 2000) + "%PDF-1.4\n", false},
		"a.tif":    {"II*\x00 %PDF-1.4\n", false},
		"a.txt":    {"Dear operator,\n", false},
		"empty":    {"", false},
	} {
		require.NoError(t, os.WriteFile(name, []byte(file.bytes), 0o600))
		assert.Equal(t, file.is, IsJob(name), name)
	}
	assert.False(t, IsJob("."))
	assert.False(t, IsJob("nothere.pdf"))
}

func TestRecent(t *testing.T) {
	for version, want := range map[string]bool{"9.27": false, "9.50": true, "9.56.1": true, "10.00.0": true, "": false, "new": false} {
		p := &Program{Version: version}
		assert.Equal(t, want, p.recent(), version)
	}
}
