//go:build unix

package main

import (
	"bytes"
	"fmt"
	"io"
	"io/fs"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// shell runs a command of the shell, and returns what it prints and how it ends.
func shell(t *testing.T, command string) (stdout, stderr string, status int) {
	var out, errs bytes.Buffer
	sh := exec.Command("sh", "-c", command)
	sh.Stdout, sh.Stderr = &out, &errs
	if err := sh.Run(); err != nil {
		_, ended := err.(*exec.ExitError)
		require.True(t, ended, err)
	}
	return out.String(), errs.String(), sh.ProcessState.ExitCode()
}

// TestUmask: a new file may be read by whom the umask lets; one that is replaced
// keeps what it had.
func TestUmask(t *testing.T) {
	badFolder(t)
	require.NoError(t, os.Chmod("old.csv", 0o666))
	for umask, want := range map[string]fs.FileMode{"077": 0o600, "022": 0o644, "002": 0o664, "000": 0o666} {
		_, stderr, status := shell(t, "umask "+umask+" && bladeline measure -o old.csv -o "+umask+".csv a_C.tif")
		require.Zero(t, status, stderr)
		for name, mode := range map[string]fs.FileMode{"old.csv": 0o666, umask + ".csv": want} {
			info, err := os.Stat(name)
			require.NoError(t, err)
			assert.Equal(t, mode, info.Mode(), "%s under %s", name, umask)
		}
	}
}

// TestOutputToAStream: what is no file is written to and stays, behind a link,
// too.
func TestOutputToAStream(t *testing.T) {
	badFolder(t)
	require.Equal(t, statusDone, run([]string{"measure", "-o", "want.csv", "a_C.tif"}, nil, io.Discard, io.Discard))
	want, err := os.ReadFile("want.csv")
	require.NoError(t, err)
	require.NoError(t, syscall.Mkfifo("fifo", 0o600))
	require.NoError(t, os.Symlink("fifo", "link.csv"))
	read := make(chan []byte)
	go func() {
		data, _ := os.ReadFile("fifo")
		read <- data
	}()
	require.Equal(t, statusDone, run([]string{"measure", "-o", "link.csv", "a_C.tif"}, nil, io.Discard, io.Discard))
	assert.Equal(t, string(want), string(<-read))
	info, err := os.Stat("link.csv")
	require.NoError(t, err)
	assert.Equal(t, fs.ModeNamedPipe, info.Mode().Type())

	stdout, stderr, status := shell(t, "bladeline measure -o /dev/null a_C.tif && bladeline measure --format csv -o /dev/stdout a_C.tif | cat")
	assert.Zero(t, status, stderr)
	assert.Equal(t, string(want), stdout)
	info, err = os.Stat("/dev/null")
	require.NoError(t, err)
	assert.Equal(t, fs.ModeDevice|fs.ModeCharDevice, info.Mode().Type())
}

// TestOutputToAnOpenFile: standard output that is a file is written on where it
// stands, between what others write there.
func TestOutputToAnOpenFile(t *testing.T) {
	badFolder(t)
	require.NoError(t, os.Symlink("/dev/stdout", "out.csv"))
	_, stderr, status := shell(t, "{ echo before; bladeline measure -o out.csv a_C.tif; echo after; } >all.txt; bladeline measure --format csv a_C.tif >want.csv")
	require.Zero(t, status, stderr)
	want, err := os.ReadFile("want.csv")
	require.NoError(t, err)
	all, err := os.ReadFile("all.txt")
	require.NoError(t, err)
	assert.Equal(t, "before\n"+string(want)+"after\n", string(all))
}

// TestFullDevice: an output that a device does not take is a failure, and leaves
// the others as they were.
func TestFullDevice(t *testing.T) {
	badFolder(t)
	full, says := "/dev/full", "no space left on device"
	if _, err := os.Stat(full); err != nil { // Linux and some others have it
		require.NoError(t, syscall.Mkfifo("full", 0o600))
		full, says = "full", "nothing happened at its other end"
	}
	require.NoError(t, os.Symlink(full, "full.csv"))
	before := old(t)
	var stdout, stderr bytes.Buffer
	require.Equal(t, statusFailed, run([]string{"measure", "-o", "old.csv", "-o", "full.csv", "a_C.tif"}, nil, &stdout, &stderr))
	assert.NoError(t, oneMessage(stderr.String()))
	assert.Contains(t, stderr.String(), "full.csv: cannot be written: "+says)
	assert.Equal(t, before, old(t))
	assert.Empty(t, temporaries(t))
}

func old(t *testing.T) string {
	data, err := os.ReadFile("old.csv")
	require.NoError(t, err)
	return string(data)
}

func temporaries(t *testing.T) []string {
	names, err := filepath.Glob(".bladeline-*")
	require.NoError(t, err)
	return names
}

// TestFullDisk: a file that the system lets grow no longer is a failure of one
// line, and neither it nor any other is replaced. The limit is of blocks of 512
// or 1024 bytes.
func TestFullDisk(t *testing.T) {
	badFolder(t)
	before := folder(t)
	for blocks := range 8 {
		stdout, stderr, status := shell(t, fmt.Sprintf("ulimit -f %d; exec bladeline measure --zones 200 -o old.csv -o new.json a_C.tif", blocks))
		require.Equal(t, statusFailed, status, stderr)
		assert.Empty(t, stdout)
		assert.NoError(t, oneMessage(stderr))
		assert.Contains(t, stderr, ": cannot be written: file too large; ")
		assert.Equal(t, before, folder(t))
	}
}

// TestKilled: a run that is killed at whatever time leaves each output as it was
// or whole, and what it leaves beside is swept by a later one.
func TestKilled(t *testing.T) {
	badFolder(t)
	args := []string{"measure", "--zones", "200", "-o", "old.csv", "-o", "new.json", "a_C.tif"}
	whole := func(name string) string {
		data, err := os.ReadFile(name)
		require.NoError(t, err)
		return string(data)
	}
	was := whole("old.csv")
	start := time.Now()
	require.NoError(t, exec.Command("bladeline", args...).Run())
	takes := time.Since(start)
	table, report := whole("old.csv"), whole("new.json")
	killed := 0
	for range 40 {
		require.NoError(t, os.WriteFile("old.csv", []byte(was), 0o600))
		require.NoError(t, os.RemoveAll("new.json"))
		command := exec.Command("bladeline", args...)
		require.NoError(t, command.Start())
		time.Sleep(time.Duration(rand.Int64N(int64(takes))))
		require.NoError(t, command.Process.Kill())
		if command.Wait() != nil {
			killed++
		}
		assert.Contains(t, []string{was, table}, whole("old.csv"))
		if _, err := os.Stat("new.json"); err == nil {
			assert.Equal(t, report, whole("new.json"))
		}
	}
	assert.Positive(t, killed)
	require.NoError(t, os.WriteFile(".bladeline-1", nil, 0o600)) // the kills may have come too early for one
	past := time.Now().Add(-2 * time.Hour)
	for _, name := range temporaries(t) {
		require.NoError(t, os.Chtimes(name, past, past))
	}
	require.NoError(t, exec.Command("bladeline", args...).Run())
	assert.Empty(t, temporaries(t))
}

// TestHostileNames: files are read and written under the very names that are
// asked for, whatever these are.
func TestHostileNames(t *testing.T) {
	badFolder(t)
	for _, name := range []string{"a\nb.csv", "\x1b[31m.csv", "-o.csv", " .csv", "'\"$(true).csv", "a\u202eb.csv", "\xff.csv", "%s.csv", ".csv"} {
		var stdout, stderr bytes.Buffer
		require.Equal(t, statusDone, run([]string{"measure", "-o", name, "a_C.tif"}, nil, &stdout, &stderr), "%q: %s", name, stderr.String())
		assert.FileExists(t, name)
		stderr.Reset()
		require.Equal(t, statusFailed, run([]string{"measure", "-o", "nowhere/" + name, "a_C.tif"}, nil, &stdout, &stderr))
		assert.NoError(t, oneMessage(stderr.String()))

		require.NoError(t, os.Link("a_C.tif", "in"+name))
		stdout.Reset()
		require.Equal(t, statusDone, run([]string{"measure", "in" + name}, nil, &stdout, &stderr), "%q: %s", name, stderr.String())
		assert.Equal(t, 2, strings.Count(stdout.String(), "\n"), "%q", stdout.String())
		assert.NotContains(t, stdout.String(), "\x1b")
	}
}
