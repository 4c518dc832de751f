package job

import (
	"io"
	"os"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// regularFiles are what the files of the working directory hold.
func regularFiles(t *testing.T) map[string]string {
	entries, err := os.ReadDir(".")
	require.NoError(t, err)
	files := map[string]string{}
	for _, e := range entries {
		if e.Type().IsRegular() {
			data, err := os.ReadFile(e.Name())
			require.NoError(t, err)
			files[e.Name()] = string(data)
		}
	}
	return files
}

// TestAllOutputsOrNone: when one output cannot be written none is, and what
// stood there stands.
func TestAllOutputsOrNone(t *testing.T) {
	t.Chdir(t.TempDir())
	require.NoError(t, os.WriteFile("old.csv", []byte("old"), 0o666))
	require.NoError(t, os.WriteFile("locked.json", []byte("{}"), 0o444))
	require.NoError(t, os.Mkdir("folder.csv", 0o777))
	require.NoError(t, os.Symlink("round.json", "round.json"))
	before := regularFiles(t)
	for second, says := range map[string]string{
		"locked.json":     "it is read-only",
		"folder.csv":      "is a folder",
		"nowhere/a.json":  "no such file or directory",
		"round.json":      "its links lead in a circle",
		"./../x/old.json": "no such file or directory",
	} {
		err := WriteFiles([]File{Bytes("old.csv", []byte("new")), Bytes(second, []byte("new"))})
		assert.ErrorContains(t, err, second+": cannot be written: "+says)
		assert.Equal(t, before, regularFiles(t), second)
	}
}

// TestOutputsThatAreOneFile: two names of one file are refused, as the second
// would take the place of the first.
func TestOutputsThatAreOneFile(t *testing.T) {
	t.Chdir(t.TempDir())
	require.NoError(t, os.Symlink("new.csv", "link.csv"))
	err := WriteFiles([]File{Bytes("link.csv", nil), Bytes("new.csv", nil)})
	assert.EqualError(t, err, "new.csv: is the same file as link.csv; name another")
	assert.NoFileExists(t, "new.csv")
}

// TestReplacingFails: where a file cannot take its place, though all was well
// before, the error says which have.
func TestReplacingFails(t *testing.T) {
	t.Chdir(t.TempDir())
	err := WriteFiles([]File{
		Bytes("a.csv", []byte("a")),
		Bytes("b.csv", []byte("b")),
		{"c.csv", func(io.Writer) error { return os.Mkdir("c.csv", 0o777) }},
	})
	require.ErrorContains(t, err, "c.csv: cannot be written: ")
	assert.ErrorContains(t, err, "; written already: a.csv, b.csv")
	assert.Equal(t, map[string]string{"a.csv": "a", "b.csv": "b"}, regularFiles(t))
}

// TestOutputBehindALooseLink: a link that leads to nothing yet stays, and the file
// appears where it leads.
func TestOutputBehindALooseLink(t *testing.T) {
	t.Chdir(t.TempDir())
	require.NoError(t, os.MkdirAll("far/deep", 0o777))
	require.NoError(t, os.Symlink("far/deep", "near"))
	require.NoError(t, os.Symlink("../new.csv", "far/deep/link.csv"))
	require.NoError(t, os.Symlink("near/link.csv", "first.csv"))
	require.NoError(t, WriteFiles([]File{Bytes("first.csv", nil)}))
	for _, link := range []string{"first.csv", "far/deep/link.csv"} {
		_, err := os.Readlink(link)
		assert.NoError(t, err)
	}
	info, err := os.Lstat("far/new.csv")
	require.NoError(t, err)
	assert.True(t, info.Mode().IsRegular())
}

// TestTwoWriters: of two that write the same files at once each file is whole
// at any time, and one's or the other's.
func TestTwoWriters(t *testing.T) {
	t.Chdir(t.TempDir())
	const rounds, size = 40, 1 << 18
	write := func(letter string) error {
		text := func(w io.Writer) error {
			for range 16 {
				if _, err := io.WriteString(w, strings.Repeat(letter, size/16)); err != nil {
					return err
				}
			}
			return nil
		}
		return WriteFiles([]File{{"a.csv", text}, {"b.csv", text}})
	}
	require.NoError(t, write("z"))
	var writers sync.WaitGroup
	for _, letter := range []string{"x", "y"} {
		writers.Go(func() {
			for range rounds {
				assert.NoError(t, write(letter))
			}
		})
	}
	done := make(chan struct{})
	go func() { writers.Wait(); close(done) }()
	for looking := true; looking; {
		select {
		case <-done:
			looking = false
		default:
		}
		for _, name := range []string{"a.csv", "b.csv"} {
			text, err := os.ReadFile(name)
			require.NoError(t, err)
			require.Equal(t, strings.Repeat(string(text[:1]), size), string(text))
		}
	}
	assert.Len(t, regularFiles(t), 2)
}

// TestLeftOver: what killed runs left is removed, and nothing else.
func TestLeftOver(t *testing.T) {
	t.Chdir(t.TempDir())
	old := time.Now().Add(-2 * leftOver)
	for _, name := range []string{".bladeline-1234567890", ".bladeline-notes", ".bladeline-12345678901", ".bladeline-5", "x.bladeline-7"} {
		require.NoError(t, os.WriteFile(name, nil, 0o600))
		require.NoError(t, os.Chtimes(name, old, old))
	}
	require.NoError(t, os.WriteFile(".bladeline-8", nil, 0o600))
	held, err := os.OpenFile(".bladeline-5", os.O_RDWR, 0)
	require.NoError(t, err)
	defer held.Close()
	hold(held)
	require.NoError(t, WriteFiles([]File{Bytes("new.csv", nil)}))
	assert.NoFileExists(t, ".bladeline-1234567890")
	for _, name := range []string{".bladeline-notes", ".bladeline-12345678901", ".bladeline-5", "x.bladeline-7", ".bladeline-8"} {
		assert.FileExists(t, name)
	}
}
