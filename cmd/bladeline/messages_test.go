package main

import (
	"bytes"
	"go/ast"
	"go/parser"
	"go/token"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
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

// TestTerminalTexts: what is printed for people steers no terminal, whatever the
// files say; a note keeps its lines.
func TestTerminalTexts(t *testing.T) {
	badFolder(t)
	const note = `note = "one\u001b[31m\u009b\ntwo\r\nthree"` + "\n"
	require.NoError(t, os.WriteFile("noted.curve.toml", []byte("name = \"Line\u202e\"\n"+note+lineCurve[len("name = \"Line\"\n"):]), 0o666))
	var stdout, stderr bytes.Buffer
	require.Equal(t, statusDone, run([]string{"curve", "show", "noted.curve.toml"}, nil, &stdout, &stderr), stderr.String())
	assert.Contains(t, stdout.String(), "Line \n")
	assert.Contains(t, stdout.String(), "\none [31m \ntwo\nthree\n")
	require.Equal(t, statusDone, run([]string{"preset", "--press", "six.press.toml", "--curve", "noted.curve.toml", "--job", "Fair\u202e\u2028", "Red\u202e=a_C.tif"}, nil, &stdout, &stderr), stderr.String())
	assert.Contains(t, stdout.String(), "job    Fair  \n")
	for _, r := range stdout.String() + stderr.String() {
		assert.True(t, r == '\n' || unicode.IsGraphic(r), "%q", r)
	}
}

// TestGripperEdge: the edge of a sheet that enters the press first is the gripper edge, as
// a press room calls it; lead edge stands behind that, in brackets. So it is in every
// text of the program but those of the page, whose labels are short, and in what users
// read beside it.
func TestGripperEdge(t *testing.T) {
	texts := 0
	check := func(where, text string) {
		texts++
		text = strings.Join(strings.Fields(strings.ReplaceAll(text, "\n#", "\n")), " ")
		assert.NotContains(t, strings.ReplaceAll(text, "gripper edge (lead edge)", ""), "lead edge", where)
	}
	require.NoError(t, filepath.WalkDir("../..", func(path string, e fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case e.IsDir() && strings.HasSuffix(filepath.ToSlash(path), "internal/page"):
			return fs.SkipDir
		case e.IsDir():
			return nil
		case strings.HasSuffix(path, ".go") && !strings.HasSuffix(path, "_test.go"):
			file, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
			require.NoError(t, err)
			ast.Inspect(file, func(n ast.Node) bool {
				if l, is := n.(*ast.BasicLit); is && l.Kind == token.STRING {
					text, err := strconv.Unquote(l.Value)
					require.NoError(t, err)
					check(path, text)
				}
				return true
			})
		case strings.HasSuffix(path, ".press.toml") || strings.HasPrefix(filepath.Base(path), "README"):
			data, err := os.ReadFile(path)
			require.NoError(t, err)
			check(path, string(data))
		}
		return nil
	}))
	assert.Greater(t, texts, 1000)
}
