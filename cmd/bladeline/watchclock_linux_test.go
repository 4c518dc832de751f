package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// aClock is one that a test sets for a program of its own, while that runs. Go asks the
// kernel for the time and no library; qemu-user, of Debian's package of that name, takes
// the question and asks the C library, in which libfaketime, likewise Debian's, answers.
// Only what clocks say is moved: CLOCK_MONOTONIC runs on, as it does where somebody sets
// the clock (clock_gettime(2)).
type aClock struct{ file string }

// set has the clock stand by so much, as "-1d", beside the right time.
func (c aClock) set(t *testing.T, offset string) {
	require.NoError(t, os.WriteFile(c.file+".new", []byte(offset+"\n"), 0o666))
	require.NoError(t, os.Rename(c.file+".new", c.file))
}

// program is the program by that clock.
func (c aClock) program(t *testing.T) *exec.Cmd {
	emulator := map[string]string{"amd64": "qemu-x86_64", "arm64": "qemu-aarch64", "386": "qemu-i386"}[runtime.GOARCH]
	library, err := filepath.Glob("/usr/lib/*/faketime/libfaketimeMT.so.1")
	require.NoError(t, err)
	require.Len(t, library, 1, "sh .ci/deps installs it")
	program, err := exec.LookPath("bladeline")
	require.NoError(t, err)
	command := exec.Command(emulator, program)
	require.NoError(t, command.Err, "sh .ci/deps installs it")
	command.Env = []string{
		"LD_PRELOAD=" + library[0], "FAKETIME_TIMESTAMP_FILE=" + c.file, "FAKETIME_NO_CACHE=1", "FAKETIME_DONT_FAKE_MONOTONIC=1", "NO_FAKE_STAT=1",
		"GODEBUG=asyncpreemptoff=1", // signals between threads confuse Go's programs in qemu
	}
	return command
}

// TestWatchClockSetBack: where the clock is set back by a day, stillness, waiting and
// attempts to write go on as before; no job is dropped, none is done twice, not even by a
// watcher that begins then.
func TestWatchClockSetBack(t *testing.T) {
	watchFolder(t)
	clock := aClock{filepath.Join(mustGetwd(t), "clock")}
	clock.set(t, "+0")
	flags := append(quick, "--inks", "Cyan", "--wait", "4s")
	w := startWatchBy(t, clock.program(t), flags...)
	put(t, "fair_C.tif", "40x40", "10", "30")
	before := w.waitFor(t, "done", "fair")
	protected := filepath.Join("out", "kept", "kept.csv")
	require.NoError(t, os.MkdirAll(filepath.Dir(protected), 0o777))
	require.NoError(t, os.WriteFile(protected, nil, 0o444))
	put(t, "kept_C.tif", "40x40", "10", "30")
	w.waitFor(t, "held", "kept")
	put(t, "half_K.tif", "40x40", "10", "30")
	put(t, "still_C.tif", "40x40", "10", "30")
	w.waitFor(t, "waits", "half")

	clock.set(t, "-1d")
	yesterday := time.Now().AddDate(0, 0, -1) // as the file system has it then, too
	putYesterday := func(name, pct string) {
		put(t, name, "40x40", "10", pct)
		require.NoError(t, os.Chtimes(filepath.Join("in", name), yesterday, yesterday))
	}
	putYesterday("gull_C.tif", "30")
	putYesterday("fair_C.tif", "60")
	require.NoError(t, os.Chmod(protected, 0o644))
	after := w.waitFor(t, "done", "gull")
	assert.InDelta(t, 24*time.Hour, before.Time.Sub(after.Time), float64(patience), "the clock of the program is set back")
	w.waitFor(t, "failed", "half")
	w.waitFor(t, "done", "still")
	w.waitFor(t, "done", "kept")
	require.Eventually(t, func() bool { return len(w.entries("done")) == 5 }, patience, 20*time.Millisecond, "fair, of other plates; logged: %s", lateLog{w.log})

	clock.set(t, "+2d")
	put(t, "late_C.tif", "40x40", "10", "30")
	w.waitFor(t, "done", "late")
	w.end(t)
	done := map[string]int{}
	for _, e := range w.entries("done") {
		done[e.Job]++
	}
	assert.Equal(t, map[string]int{"fair": 2, "kept": 1, "still": 1, "gull": 1, "late": 1}, done)

	clock.set(t, "-30d")
	require.NoError(t, os.Remove("in/half_K.tif"))
	again := startWatchBy(t, clock.program(t), append(flags, "--once")...)
	require.NoError(t, again.command.Wait(), again.errs.String())
	assert.Empty(t, again.entries("done"))
}
