package main

import (
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A shown is a command that a page shows, and the output that it shows for it.
type shown struct{ command, output string }

// shownIn finds the commands of a page's ```console blocks: lines that begin
// with "$ ", each followed by its output. A command that ends in a backslash
// goes on in the next line.
func shownIn(page string) []shown {
	var all []shown
	inside := false
	for line := range strings.Lines(page) {
		text, prompt := strings.CutPrefix(line, "$ ")
		switch last := len(all) - 1; {
		case strings.HasPrefix(line, "```"):
			inside = strings.TrimSpace(line) == "```console"
		case !inside:
		case prompt:
			all = append(all, shown{command: text})
		case last >= 0 && all[last].output == "" && strings.HasSuffix(all[last].command, "\\\n"):
			all[last].command += line
		case last >= 0:
			all[last].output += line
		}
	}
	return all
}

// TestReadmeCommands runs every command that README.md shows, in order, in a
// copy of the project, and compares what it prints.
func TestReadmeCommands(t *testing.T) { runPage(t, "README.md") }

// TestNoHistoryCommands does the same with the page for a new press.
func TestNoHistoryCommands(t *testing.T) { runPage(t, "examples/no-history.md") }

func runPage(t *testing.T, name string) {
	page, err := os.ReadFile("../../" + name)
	require.NoError(t, err)
	commands := shownIn(string(page))
	require.True(t, slices.ContainsFunc(commands, func(s shown) bool { return strings.HasPrefix(s.command, "bladeline ") }),
		"%s shows no command of bladeline", name)
	root := t.TempDir()
	copyProject(t, "../..", root)
	build, err := exec.Command("go", "build", "-o", filepath.Join(root, "bin", "bladeline"), ".").CombinedOutput()
	require.NoError(t, err, string(build))
	for _, s := range commands {
		switch command := strings.TrimSpace(s.command); {
		case strings.HasPrefix(command, "git clone "), strings.HasPrefix(command, "cd "):
			// The copy stands for the clone.
		case command == "make test":
			// It would run this very test.
			makefile, err := os.ReadFile("../../Makefile")
			require.NoError(t, err)
			assert.Regexp(t, `(?m)^test:`, string(makefile))
		default:
			s.run(t, root)
		}
	}
}

func (s shown) run(t *testing.T, root string) {
	sh := exec.Command("sh", "-c", s.command)
	sh.Dir = root
	sh.Env = append(os.Environ(), "SOURCE_DATE_EPOCH="+today, "PATH="+filepath.Join(root, "bin")+string(os.PathListSeparator)+os.Getenv("PATH"))
	out, err := sh.CombinedOutput()
	if !strings.HasPrefix(s.output, "bladeline: ") { // an error is shown
		assert.NoError(t, err, "%s%s", s.command, out)
	}
	assert.Regexp(t, shownPattern(s.output), string(out), "$ %s", s.command)
}

// shownPattern is a regular expression for an output; a line "..." stands for
// any lines.
func shownPattern(output string) string {
	b := strings.Builder{}
	for line := range strings.Lines(output) {
		if strings.TrimSpace(line) == "..." {
			b.WriteString(`(?:.*\n)*`)
		} else {
			b.WriteString(regexp.QuoteMeta(line))
		}
	}
	return `\A` + b.String() + `\z`
}

// copyProject copies the project's files, without its history and what was
// built or written in it.
func copyProject(t *testing.T, from, to string) {
	entries, err := os.ReadDir(from)
	require.NoError(t, err)
	for _, e := range entries {
		source, place := filepath.Join(from, e.Name()), filepath.Join(to, e.Name())
		switch {
		case slices.Contains([]string{".git", "bin", "out"}, e.Name()):
		case e.IsDir():
			require.NoError(t, os.CopyFS(place, os.DirFS(source)))
		case e.Type() == fs.FileMode(0):
			data, err := os.ReadFile(source)
			require.NoError(t, err)
			require.NoError(t, os.WriteFile(place, data, 0o666))
		}
	}
}

func TestShownIn(t *testing.T) {
	const page = "Text\n$ not shown\n```\n$ plain block\n```\n```console\n$ one\nout 1\n...\n$ two \\\n  more\n$ three\n```\n$ after\n"
	assert.Equal(t, []shown{{"one\n", "out 1\n...\n"}, {"two \\\n  more\n", ""}, {"three\n", ""}}, shownIn(page))
	assert.Regexp(t, shownPattern("out 1\n...\n"), "out 1\nout 2\nout 3\n")
	assert.Regexp(t, shownPattern("out 1\n...\n"), "out 1\n")
	assert.NotRegexp(t, shownPattern("out 1\n"), "out 1\nout 2\n")
	assert.NotRegexp(t, shownPattern(""), "out 1\n")
}
