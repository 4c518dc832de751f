package main

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"
)

// mounting tells a test that it can mount file systems. Else it has been run to its end
// where it can: in namespaces of its own, in which anybody can (user_namespaces(7),
// "Interaction of user namespaces and other types of namespaces").
func mounting(t *testing.T) bool {
	const within = "BLADELINE_TEST_NAMESPACE"
	if os.Getenv(within) != "" {
		return true
	}
	mapped := func(id int) []syscall.SysProcIDMap { return []syscall.SysProcIDMap{{HostID: id, Size: 1}} }
	c := exec.Cmd{
		Path: "/proc/self/exe", Args: []string{os.Args[0], "-test.v", "-test.run=^" + t.Name() + "$"}, Env: append(os.Environ(), within+"=1"),
		SysProcAttr: &syscall.SysProcAttr{Cloneflags: unix.CLONE_NEWUSER | unix.CLONE_NEWNS, UidMappings: mapped(os.Getuid()), GidMappings: mapped(os.Getgid())},
	}
	out, err := c.CombinedOutput()
	_, ran := errors.AsType[*exec.ExitError](err)
	switch {
	case err == nil, ran:
		require.NoError(t, err, "%s", out)
		require.Contains(t, string(out), "--- PASS: "+t.Name())
		return false
	case os.Getuid() == 0:
		return true
	}
	t.Skipf("nobody but root can mount here: the kernel or the container that this runs in allows no user namespaces (%v)", err)
	return false
}

// mountOut mounts a small file system in memory as the folder of outputs.
func mountOut(t *testing.T) {
	require.NoError(t, os.Mkdir("out", 0o777))
	mountSmall(t, "out", "size=512k")
}

// mountSmall mounts one over a folder.
func mountSmall(t *testing.T, folder, size string) {
	require.NoError(t, unix.Mount("tmpfs", folder, "tmpfs", 0, size))
	mounted := filepath.Join(mustGetwd(t), folder)
	t.Cleanup(func() {
		for unix.Unmount(mounted, unix.MNT_DETACH) == nil {
		}
	})
}

// TestWatchFullDisk: where the disk is full the watcher says so once, waits, and goes
// on when there is room: no job is dropped, none is done in part.
func TestWatchFullDisk(t *testing.T) {
	if !mounting(t) {
		return
	}
	watchFolder(t)
	mountOut(t)
	fill(t, "out/ballast")
	jobs := watchedJobs(t, 4, 0)
	require.NoError(t, dropAll(jobs))
	w := startWatch(t, append(quick, "--status", "status.json")...)
	w.waitFor(t, "blocked", "")
	assert.Contains(t, w.entries("blocked")[0].Text, "no space left on device; ")
	time.Sleep(3 * time.Second) // and several attempts
	assert.Len(t, w.entries("blocked"), 1)
	assert.Empty(t, w.entries("done"))
	assert.Empty(t, w.entries("failed"))
	status, err := os.ReadFile("status.json")
	require.NoError(t, err)
	assert.Contains(t, string(status), `no space left on device`)

	require.NoError(t, os.Remove("out/ballast"))
	for _, j := range jobs {
		w.waitFor(t, "done", j.name)
	}
	assert.Len(t, w.entries("unlocked"), 1)
	w.end(t)
	for _, j := range jobs {
		j.isMade(t, false)
	}
	assert.Empty(t, leftIn(t, "out"))
}

// TestWatchNoRoomToSeparate: where Ghostscript has no room for what it draws the job
// waits, and others go on.
func TestWatchNoRoomToSeparate(t *testing.T) {
	if !mounting(t) {
		return
	}
	watchFolder(t)
	mountSmall(t, "temporary", "size=4k")
	w := startWatch(t, append(quick, "--dpi", "72")...)
	const page = "%!PS-Adobe-3.0\n<< /PageSize [360 72] >> setpagedevice\n1 0 0 0 setcmykcolor 0 0 180 72 rectfill\nshowpage\n"
	require.NoError(t, os.WriteFile("in/page.ps", []byte(page), 0o666))
	w.waitFor(t, "held", "page")
	assert.Contains(t, w.entries("held")[0].Text, "temporary: cannot be written: no space left on device for what Ghostscript draws of in/page.ps; ")
	put(t, "fair_C.tif", "40x40", "10", "30")
	w.waitFor(t, "done", "fair")
	require.NoError(t, unix.Mount("tmpfs", "temporary", "tmpfs", unix.MS_REMOUNT, "size=64m"))
	w.waitFor(t, "done", "page")
	w.end(t)
	assert.Empty(t, w.entries("failed"))
	assert.Empty(t, leftIn(t, "temporary", "out"))
}

// fill takes all room of a file system.
func fill(t *testing.T, path string) {
	file, err := os.Create(path)
	require.NoError(t, err)
	defer file.Close()
	block := make([]byte, 4096)
	for {
		if _, err := file.Write(block); err != nil {
			require.ErrorIs(t, err, unix.ENOSPC)
			return
		}
	}
}

// TestWatchReadOnly: the same of a share that becomes read-only, and of one file that
// somebody protects while other jobs go on.
func TestWatchReadOnly(t *testing.T) {
	if !mounting(t) {
		return
	}
	watchFolder(t)
	mountOut(t)
	jobs := watchedJobs(t, 3, 0)
	w := startWatch(t, quick...)
	w.waitFor(t, "began", "")
	require.NoError(t, os.MkdirAll("out/"+jobs[0].name, 0o777))
	protected := filepath.Join("out", jobs[0].name, jobs[0].name+".csv")
	require.NoError(t, os.WriteFile(protected, nil, 0o444))
	require.NoError(t, dropAll(jobs[:2]))
	w.waitFor(t, "held", jobs[0].name)
	assert.Contains(t, w.entries("held")[0].Text, jobs[0].name+".csv: cannot be written: it is read-only; ")
	w.waitFor(t, "done", jobs[1].name)
	assert.Empty(t, w.entries("blocked"))

	// Over itself, as what is open keeps the share from becoming read-only.
	require.NoError(t, unix.Mount("out", "out", "", unix.MS_BIND, ""))
	require.NoError(t, unix.Mount("", "out", "", unix.MS_REMOUNT|unix.MS_BIND|unix.MS_RDONLY, ""))
	require.NoError(t, dropAll(jobs[2:]))
	w.waitFor(t, "blocked", "")
	assert.Contains(t, w.entries("blocked")[0].Text, "read-only file system; ")
	require.NoError(t, unix.Unmount("out", 0))
	w.waitFor(t, "done", jobs[2].name)
	require.NoError(t, os.Chmod(protected, 0o644))
	w.waitFor(t, "done", jobs[0].name)
	assert.Len(t, w.entries("held"), 1)
	w.end(t)
	for _, j := range jobs {
		j.isMade(t, false)
	}
}

// TestWatchSoak: many jobs, one after the other, leave memory and open files as they
// were. BLADELINE_LONG=1 does 2,000.
func TestWatchSoak(t *testing.T) {
	watchFolder(t)
	count := 200
	if isLong() {
		count = 2000
	}
	plate := put(t, "plate_C.tif", "60x40", "10", "10,60")
	require.NoError(t, os.Remove("in/plate_C.tif"))
	w := startWatch(t, "--settle", "50ms", "--poll", "100ms", "--done", "done")
	var early, late usage
	for i := range count {
		require.NoError(t, os.WriteFile(fmt.Sprintf("in/job %d_C.tif", i), plate, 0o666))
		if i%20 == 19 {
			require.Eventually(t, func() bool { return len(w.entries("done")) == i+1 }, patience, 10*time.Millisecond, lateLog{w.errs})
			if late = usageOf(t, w.command.Process.Pid); i < count/4 {
				early = late
			}
		}
	}
	w.end(t)
	t.Logf("%d jobs: after a quarter %v, at the end %v", count, early, late)
	assert.LessOrEqual(t, late.files, early.files+2)
	assert.LessOrEqual(t, late.memory, early.memory+16<<20)
	assert.Less(t, late.memory, int64(256<<20))
}

// A usage is what a process takes of the machine.
type usage struct {
	memory int64 // bytes of it that are its own and in memory
	files  int   // that are open
}

func usageOf(t *testing.T, pid int) (u usage) {
	open, err := os.ReadDir(fmt.Sprintf("/proc/%d/fd", pid))
	require.NoError(t, err)
	u.files = len(open)
	status, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", pid))
	require.NoError(t, err)
	for line := range strings.Lines(string(status)) {
		if rest, is := strings.CutPrefix(line, "RssAnon:"); is {
			kB, err := strconv.ParseInt(strings.TrimSuffix(strings.TrimSpace(rest), " kB"), 10, 64)
			require.NoError(t, err)
			u.memory = kB << 10
		}
	}
	return u
}
