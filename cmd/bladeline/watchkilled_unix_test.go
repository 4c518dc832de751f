//go:build unix

package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// patience is how long a test waits for what must come: a machine may be busy with
// much else.
const patience = 2 * time.Minute

// isLong tells whether the long runs are asked for.
func isLong() bool { return os.Getenv("BLADELINE_LONG") != "" }

// A watching is a watcher that runs as a process of its own, and what it logs.
type watching struct {
	command *exec.Cmd
	log     *syncBuffer
	errs    *syncBuffer
}

// A syncBuffer is written by one goroutine while another reads.
type syncBuffer struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (b *syncBuffer) Write(p []byte) (int, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.b.Write(p)
}

func (b *syncBuffer) String() string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.b.String()
}

// startWatch watches the folder in, with outputs in out, of the working directory.
func startWatch(t *testing.T, flags ...string) *watching {
	return startWatchBy(t, exec.Command("bladeline"), flags...)
}

// startWatchBy does so by a command that ends in the program.
func startWatchBy(t *testing.T, command *exec.Cmd, flags ...string) *watching {
	w := &watching{command, &syncBuffer{}, &syncBuffer{}}
	w.command.Args = append(append(w.command.Args, "watch", "in", "--press", "six.press.toml", "--out", "out", "--log", "json"), flags...)
	w.command.Env = append(append(os.Environ(), "SOURCE_DATE_EPOCH="+today), command.Env...)
	w.command.Stdout, w.command.Stderr = w.log, w.errs
	require.NoError(t, w.command.Start())
	t.Cleanup(func() { w.command.Process.Kill(); w.command.Wait() })
	return w
}

// end ends a watcher as a service manager does, and wants it gone within two seconds,
// and what a busy machine adds to them.
func (w *watching) end(t *testing.T) {
	began := time.Now()
	require.NoError(t, w.command.Process.Signal(syscall.SIGTERM))
	assert.NoError(t, w.command.Wait(), w.errs.String())
	assert.Less(t, time.Since(began), 4*time.Second)
}

// entries are what was logged of one kind; "" is all.
func (w *watching) entries(kind string) (entries []loggedEntry) {
	for line := range strings.Lines(w.log.String()) {
		var e loggedEntry
		if json.Unmarshal([]byte(line), &e) == nil && (kind == "" || e.Kind == kind) {
			entries = append(entries, e)
		}
	}
	return entries
}

// waitFor waits until a job is logged so.
func (w *watching) waitFor(t *testing.T, kind, job string) loggedEntry {
	t.Helper()
	var found loggedEntry
	require.Eventually(t, func() bool {
		for _, e := range w.entries(kind) {
			if e.Job == job {
				found = e
				return true
			}
		}
		return false
	}, patience, 20*time.Millisecond, "%s %s; logged: %s%s", kind, job, lateLog{w.log}, lateLog{w.errs})
	return found
}

// A lateLog is read when it is printed.
type lateLog struct{ b *syncBuffer }

func (l lateLog) String() string { return l.b.String() }

// watchFolder is a working directory with a press, and an empty folder in.
func watchFolder(t *testing.T) {
	t.Chdir(t.TempDir())
	require.NoError(t, os.WriteFile("six.press.toml", []byte(sixKeys), 0o666))
	require.NoError(t, os.WriteFile("line.curve.toml", []byte(lineCurve), 0o666))
	require.NoError(t, os.Mkdir("in", 0o777))
	require.NoError(t, os.Mkdir("temporary", 0o777))
	t.Setenv("TMPDIR", filepath.Join(mustGetwd(t), "temporary"))
}

func mustGetwd(t *testing.T) string {
	folder, err := os.Getwd()
	require.NoError(t, err)
	return folder
}

// A watchedJob is a job to be dropped, and what the command makes of it.
type watchedJob struct {
	name  string
	files map[string][]byte
	want  map[string][]byte
}

// watchedJobs are jobs of four inks, no two alike, of which the first drawn may have key
// sheets: these take ten times as long as all else.
func watchedJobs(t *testing.T, n, drawn int) (jobs []watchedJob) {
	for i := range n {
		j := watchedJob{fmt.Sprintf("job %03d", i), map[string][]byte{}, map[string][]byte{}}
		for k, ink := range []string{"C", "M", "Y", "K"} {
			kind := []string{"g4", "lzw", "packbits", "deflate"}[(i+k)%4]
			path := filepath.Join("in", j.name+"_"+ink+".tif")
			require.NoError(t, writePlate(path, "60x40", "10", kind, fmt.Sprint(1+i%97), fmt.Sprint(1+(i/97+13*k)%97)))
			data, err := os.ReadFile(path)
			require.NoError(t, err)
			j.files[filepath.Base(path)] = data
		}
		endings := []string{".json", ".csv", ".pdf"}
		if i >= drawn {
			endings = endings[:2]
		}
		wantOf(t, &j, endings, "in/"+j.name+"_C.tif", "in/"+j.name+"_K.tif", "in/"+j.name+"_M.tif", "in/"+j.name+"_Y.tif")
		for name := range j.files {
			require.NoError(t, os.Remove(filepath.Join("in", name)))
		}
		jobs = append(jobs, j)
	}
	return jobs
}

// wantOf is what the command itself makes of the files of a job.
func wantOf(t *testing.T, j *watchedJob, endings []string, files ...string) {
	t.Setenv("SOURCE_DATE_EPOCH", today)
	folder := t.TempDir()
	args := []string{"preset", "--press", "six.press.toml", "--job", j.name}
	for _, ending := range endings {
		args = append(args, "-o", filepath.Join(folder, "want"+ending))
	}
	var stderr bytes.Buffer
	require.Equal(t, statusDone, run(append(args, files...), nil, io.Discard, &stderr), stderr.String())
	j.want = map[string][]byte{}
	for _, ending := range endings {
		data, err := os.ReadFile(filepath.Join(folder, "want"+ending))
		require.NoError(t, err)
		j.want[j.name+ending] = data
	}
}

// isMade wants the outputs of a job, key sheet or not, and no other file beside them.
func (j *watchedJob) isMade(t *testing.T, drawn bool) {
	t.Helper()
	entries, err := os.ReadDir(filepath.Join("out", j.name))
	require.NoError(t, err, j.name)
	var names []string
	for _, e := range entries {
		if e.Name() == ".bladeline-job.json" {
			continue
		}
		names = append(names, e.Name())
		data, err := os.ReadFile(filepath.Join("out", j.name, e.Name()))
		require.NoError(t, err)
		assert.True(t, bytes.Equal(j.want[e.Name()], data), "%s is not what the command makes", e.Name())
	}
	want := 2
	if drawn {
		want = 3
	}
	assert.Len(t, names, want, "%q", names)
}

// drop puts files in the folder as careless programs do: some slowly, piece by piece,
// some under another name first.
func drop(files map[string][]byte, names []string) error {
	for _, name := range names {
		path, data := filepath.Join("in", name), files[name]
		switch rand.IntN(3) {
		case 0:
			if err := os.WriteFile(path+".part", data, 0o666); err != nil {
				return err
			}
			if err := os.Rename(path+".part", path); err != nil {
				return err
			}
		case 1:
			if err := os.WriteFile(path, data, 0o666); err != nil {
				return err
			}
		default:
			file, err := os.Create(path)
			if err != nil {
				return err
			}
			for from := 0; from < len(data); from += len(data)/3 + 1 {
				if _, err := file.Write(data[from:min(from+len(data)/3+1, len(data))]); err != nil {
					return err
				}
				time.Sleep(time.Duration(rand.IntN(5)) * time.Millisecond)
			}
			if err := file.Close(); err != nil {
				return err
			}
		}
	}
	return nil
}

// dropAll has several writers put all files of jobs in the folder, in any order.
func dropAll(jobs []watchedJob) error {
	files := map[string][]byte{}
	var names []string
	for _, j := range jobs {
		for name, data := range j.files {
			files[name] = data
			names = append(names, name)
		}
	}
	rand.Shuffle(len(names), func(i, j int) { names[i], names[j] = names[j], names[i] })
	const writers = 4
	errs := make(chan error, writers)
	for i := range writers {
		go func() { errs <- drop(files, names[i*len(names)/writers:(i+1)*len(names)/writers]) }()
	}
	var all error
	for range writers {
		all = errors.Join(all, <-errs)
	}
	return all
}

// fewestLives is about how often a watcher begins anew in a round of killing, or more:
// where it does less than such a part of the jobs in a life, the next ones are longer.
const fewestLives = 25

// partALife is the part of the jobs, a fifth, after which a life ends at the latest.
const partALife = 5

// TestWatchKilled drops jobs, by several writers, while the watcher is killed at any
// moment and begins anew: each job is done once, as the command does it, and nothing
// else is left. The first round has key sheets. BLADELINE_LONG=1 does 500 jobs in each
// of 20 more rounds.
func TestWatchKilled(t *testing.T) {
	watchFolder(t)
	count, drawn, rounds := 40, 10, 3
	if isLong() {
		count, drawn, rounds = 500, 50, 20
	}
	jobs := watchedJobs(t, count, drawn)
	killedRound(t, jobs[:drawn], "--sheet", "pdf")
	kills := 0
	for round := range rounds {
		began := time.Now()
		var moving []string
		if round%2 == 1 {
			moving = []string{"--done", "done"}
		}
		killed := killedRound(t, jobs, moving...)
		t.Logf("round %d: %d jobs, %d kills in %.0f s", round+1, len(jobs), killed, time.Since(began).Seconds())
		kills += killed
	}
	assert.GreaterOrEqual(t, kills, 2*rounds, "while jobs were done")
	t.Logf("%d jobs in %d rounds, %d kills", count, rounds, kills)
}

// killedRound drops jobs once, and returns how often the watcher was killed meanwhile.
func killedRound(t *testing.T, jobs []watchedJob, flags ...string) (kills int) {
	for _, dir := range []string{"out", "done"} {
		require.NoError(t, os.RemoveAll(dir))
	}
	drawn, moved := slices.Contains(flags, "--sheet"), slices.Contains(flags, "--done")
	flags = append(flags, "--settle", "150ms", "--poll", "100ms", "--inks", "Cyan,Magenta,Yellow,Black")
	dropped := make(chan error, 1)
	go func() { dropped <- dropAll(jobs) }()
	done := map[string]int{}
	longest := 500 // ms
	for was := 0; was < len(jobs); {
		w := startWatch(t, flags...)
		w.live(time.Duration(160+rand.IntN(longest))*time.Millisecond, 1+rand.IntN(max(1, len(jobs)/partALife)))
		require.NoError(t, w.command.Process.Kill())
		w.command.Wait()
		kills++
		assert.Empty(t, w.errs.String())
		for _, e := range w.entries("done") {
			done[e.Job]++
		}
		is := recorded(jobs)
		if is-was < max(1, len(jobs)/fewestLives) {
			longest += longest / 4
		}
		was = is
	}
	require.NoError(t, <-dropped)
	last := startWatch(t, append(flags, "--once")...)
	assert.NoError(t, last.command.Wait(), last.log.String()+last.errs.String())
	assert.Empty(t, last.entries("done"), "all were done already")
	for _, j := range jobs {
		j.isMade(t, drawn)
		assert.LessOrEqual(t, done[j.name], 1, j.name)
	}
	assert.Empty(t, leftIn(t, "out", "done", "in", "temporary"))
	whereFilesAre(t, jobs, moved)
	return kills
}

// live lets the watcher be for a time, or, where the machine is quick, for so many jobs
// and some milliseconds of the next.
func (w *watching) live(long time.Duration, jobs int) {
	for ends := time.Now().Add(long); time.Now().Before(ends); time.Sleep(5 * time.Millisecond) {
		if len(w.entries("done")) >= jobs {
			time.Sleep(time.Duration(rand.IntN(20)) * time.Millisecond)
			return
		}
	}
}

// recorded is how many jobs are recorded as done.
func recorded(jobs []watchedJob) (n int) {
	for _, j := range jobs {
		if _, err := os.Stat(filepath.Join("out", j.name, ".bladeline-job.json")); err == nil {
			n++
		}
	}
	return n
}

var temporaryNames = regexp.MustCompile(`^\.bladeline-(\d+|probe|leaving\.json|watch\.lock)$`)

// leftIn are the temporary files and locks that are left in folders.
func leftIn(t *testing.T, folders ...string) (left []string) {
	for _, folder := range folders {
		if _, err := os.Stat(folder); err != nil {
			continue
		}
		require.NoError(t, filepath.WalkDir(folder, func(path string, e fs.DirEntry, err error) error {
			if temporaryNames.MatchString(e.Name()) {
				left = append(left, path)
			}
			return err
		}))
	}
	return left
}

// whereFilesAre wants all files of jobs, unchanged, where they were put or moved, and
// clears the folder.
func whereFilesAre(t *testing.T, jobs []watchedJob, moved bool) {
	for _, j := range jobs {
		for name, data := range j.files {
			path := filepath.Join("in", name)
			if moved {
				path = filepath.Join("done", j.name, name)
			}
			got, err := os.ReadFile(path)
			require.NoError(t, err)
			assert.True(t, bytes.Equal(data, got), path)
			require.NoError(t, os.Remove(path))
		}
	}
	entries, err := os.ReadDir("in")
	require.NoError(t, err)
	assert.Empty(t, entries)
}
