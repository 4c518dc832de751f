package hotfolder

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/coverage/coveragetest"
	"bladeline/zones"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// watcher is one of the folder in, with outputs in out, of a new working directory.
func watcher(t *testing.T, change func(*Options)) (*Watcher, *[]Entry) {
	t.Chdir(t.TempDir())
	require.NoError(t, os.Mkdir("in", 0o777))
	return anotherWatcher(t, change)
}

func anotherWatcher(t *testing.T, change func(*Options)) (*Watcher, *[]Entry) {
	var log []Entry
	o := Options{
		Folder: "in", Out: "out", Once: true, Poll: time.Second, Wait: time.Hour, Ticket: job.Ticket{Press: "two-colour"},
		Say: error.Error, Log: func(e Entry) { log = append(log, e) },
	}
	if change != nil {
		change(&o)
	}
	w, err := New(o)
	require.NoError(t, err)
	return w, &log
}

func plate(t *testing.T, name string, pct int) {
	t.Helper()
	data, err := coveragetest.Plate(name, "60x40", "10", fmt.Sprint(pct))
	require.NoError(t, err)
	path := filepath.Join("in", name)
	require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o777))
	require.NoError(t, os.WriteFile(path, data, 0o666))
}

// taskOf is the only job that lies in the folder.
func (w *Watcher) taskOf(t *testing.T) task {
	t.Helper()
	found, err := w.lister.list()
	require.NoError(t, err)
	require.Len(t, found.jobs, 1)
	for name, files := range found.jobs {
		return task{name: name, files: files}
	}
	panic("there is one")
}

// TestChangedWhileRead: what is not as it was listed, when all of it is read, is no
// job; nothing is written of it.
func TestChangedWhileRead(t *testing.T) {
	w, _ := watcher(t, nil)
	plate(t, "fair_C.tif", 30)
	listed := w.taskOf(t)
	plate(t, "fair_C.tif", 60)
	later := time.Now().Add(time.Minute)
	require.NoError(t, os.Chtimes("in/fair_C.tif", later, later))
	e, err := w.do(t.Context(), listed)
	assert.ErrorIs(t, err, errChanged)
	assert.Empty(t, e.Kind)
	assert.NoDirExists(t, "out/fair")

	require.NoError(t, os.WriteFile("in/fair_C.tif", []byte("half"), 0o666))
	_, err = w.do(t.Context(), listed)
	assert.ErrorIs(t, err, errChanged, "and no failure, as its files are others by now")

	require.NoError(t, os.Remove("in/fair_C.tif"))
	_, err = w.do(t.Context(), listed)
	assert.ErrorIs(t, err, errChanged)
	assert.NoDirExists(t, "out/fair")

	plate(t, "fair_C.tif", 30)
	ctx, stop := context.WithCancel(t.Context())
	stop()
	_, err = w.do(ctx, w.taskOf(t))
	assert.ErrorIs(t, err, context.Canceled)
	assert.NoDirExists(t, "out/fair")
	e, err = w.do(t.Context(), w.taskOf(t))
	require.NoError(t, err)
	assert.Equal(t, Done, e.Kind)
}

// TestAPanicFailsOneJob: a mistake of the program's own ends no other job.
func TestAPanicFailsOneJob(t *testing.T) {
	w, _ := watcher(t, nil)
	w.Ticket.Cure = func([]zones.Warning) { panic("a mistake") }
	plate(t, "fair_C.tif", 30)
	e, err := w.do(t.Context(), w.taskOf(t))
	require.NoError(t, err)
	assert.Equal(t, Failed, e.Kind)
	assert.Equal(t, "fair: the program failed (a mistake); please report this, with the files", e.Text)
	assert.FileExists(t, "out/fair/fair.error.txt")
	assert.NoFileExists(t, "out/fair/fair.json")
}

// TestLeaving: a failed job of which some files were moved when the program was killed
// is not taken for a whole one: the rest follows.
func TestLeaving(t *testing.T) {
	change := func(o *Options) { o.Failed = "failed" }
	w, _ := watcher(t, change)
	plate(t, "fair_C.tif", 30)
	plate(t, "fair_M.tif", 30)
	require.NoError(t, os.WriteFile("in/fair_Y.tif", nil, 0o666))
	killed := w.taskOf(t)
	require.NoError(t, makeFolder("out/fair"))
	require.NoError(t, job.WriteFiles([]job.File{{Path: "out/fair/" + leavingName, Write: recordOf("fair", killed.files, nil, 0).write}}))
	require.NoError(t, os.MkdirAll("failed/fair", 0o777))
	require.NoError(t, os.Rename("in/fair_Y.tif", "failed/fair/fair_Y.tif"))
	w.release()

	w, log := anotherWatcher(t, change)
	require.NoError(t, w.Run(t.Context()))
	assert.Equal(t, Moved, (*log)[1].Kind)
	for _, name := range []string{"fair_C.tif", "fair_M.tif", "fair_Y.tif"} {
		assert.FileExists(t, filepath.Join("failed/fair", name))
	}
	assert.NoDirExists(t, "out/fair")

	// Where other files came meanwhile they are a job of their own.
	plate(t, "fair_C.tif", 40)
	require.NoError(t, os.Mkdir("out/fair", 0o777))
	require.NoError(t, job.WriteFiles([]job.File{{Path: "out/fair/" + leavingName, Write: recordOf("fair", killed.files, nil, 0).write}}))
	w, log = anotherWatcher(t, change)
	require.NoError(t, w.Run(t.Context()))
	assert.Equal(t, Done, (*log)[1].Kind)
	assert.NoFileExists(t, "out/fair/"+leavingName)
}

// TestDoneIsMovedInPart: of a job that was done when the program was killed the files
// that are left are moved as well, and are no job.
func TestDoneIsMovedInPart(t *testing.T) {
	w, _ := watcher(t, nil)
	plate(t, "fair_C.tif", 30)
	plate(t, "fair_M.tif", 30)
	require.NoError(t, w.Run(t.Context()))
	before, err := os.ReadFile("out/fair/fair.json")
	require.NoError(t, err)
	require.NoError(t, os.MkdirAll("done/fair", 0o777))
	require.NoError(t, os.Rename("in/fair_C.tif", "done/fair/fair_C.tif"))
	w, log := anotherWatcher(t, func(o *Options) { o.Done = "done"; o.Inks = []string{"Cyan", "Magenta"} })
	require.NoError(t, w.Run(t.Context()))
	assert.Equal(t, Moved, (*log)[1].Kind)
	assert.FileExists(t, "done/fair/fair_M.tif")
	after, err := os.ReadFile("out/fair/fair.json")
	require.NoError(t, err)
	assert.Equal(t, before, after)
}

// TestMissing: what is missing for too long is an error that says what.
func TestMissing(t *testing.T) {
	w, log := watcher(t, func(o *Options) {
		o.Once, o.Wait, o.Poll, o.Inks = false, 300*time.Millisecond, 100*time.Millisecond, []string{"Cyan", "Black", "Yellow"}
	})
	plate(t, "fair_C.tif", 30)
	ctx, stop := context.WithTimeout(t.Context(), 2*time.Second)
	defer stop()
	require.NoError(t, w.Run(ctx))
	var said []string
	for _, e := range *log {
		said = append(said, strings.TrimSpace(string(e.Kind)+" "+strings.Join(e.Missing, ", ")+e.Text))
	}
	assert.Equal(t, []string{"began in", "waits Black, Yellow", "failed fair: Black, Yellow are missing after 300ms; put them beside the others, or ask for fewer inks", "ended in"}, said)
	text, err := os.ReadFile("out/fair/fair.error.txt")
	require.NoError(t, err)
	assert.Contains(t, string(text), "\nfair: Black, Yellow are missing after 300ms; ")
}

// TestForms: a form waits for what it names, and what two forms name is moved with the
// last of them.
func TestForms(t *testing.T) {
	w, log := watcher(t, func(o *Options) { o.Done = "done" })
	form := func(name, files string) {
		require.NoError(t, os.WriteFile("in/"+name+".form.toml", []byte("width_mm = 400\nheight_mm = 200\n[[pieces]]\nfiles = [\""+files+"\"]\nx_mm = 10\ny_mm = 5\n"), 0o666))
	}
	form("first", "shared_*.tif")
	assert.ErrorIs(t, w.Run(t.Context()), ErrLeft)
	assert.Equal(t, []string{"shared_*.tif"}, (*log)[1].Missing)
	plate(t, "shared_C.tif", 30)
	form("second", "shared_C.tif")
	w, log = anotherWatcher(t, func(o *Options) { o.Done = "done" })
	require.NoError(t, w.Run(t.Context()))
	done := map[string]bool{}
	for _, e := range *log {
		done[string(e.Kind)+" "+e.Job] = true
	}
	assert.Equal(t, map[string]bool{"began ": true, "done first": true, "done second": true, "ended ": true}, done, "the separations are no job of their own")
	assert.FileExists(t, "done/first/first.form.toml")
	assert.FileExists(t, "done/second/second.form.toml")
}

// TestMoveToAnotherFileSystem copies where a file cannot be renamed.
func TestMoveToAnotherFileSystem(t *testing.T) {
	other, err := os.MkdirTemp("/dev/shm", "bladeline-test-")
	if err != nil {
		other = t.TempDir() // where that is the same one the test says less
	} else {
		t.Cleanup(func() { os.RemoveAll(other) })
	}
	t.Chdir(t.TempDir())
	require.NoError(t, os.WriteFile("a.tif", []byte("plate"), 0o666))
	past := time.Now().AddDate(0, -1, 0).Truncate(time.Second)
	require.NoError(t, os.Chtimes("a.tif", past, past))
	to := filepath.Join(other, "a.tif")
	require.NoError(t, moveFile("a.tif", to))
	assert.NoFileExists(t, "a.tif")
	data, err := os.ReadFile(to)
	require.NoError(t, err)
	assert.Equal(t, "plate", string(data))
	info, err := os.Stat(to)
	require.NoError(t, err)
	assert.True(t, info.ModTime().Equal(past))
	var unwritten *job.UnwrittenError
	assert.ErrorAs(t, moveFile("gone.tif", to), &unwritten)
}

// TestFilesThatAreGoneAreForgotten: what is known of a PDF goes with it, however many
// come in a day.
func TestFilesThatAreGoneAreForgotten(t *testing.T) {
	folder := t.TempDir()
	path := filepath.Join(folder, "fair.pdf")
	require.NoError(t, os.WriteFile(path, []byte("%PDF-1.4"), 0o600))
	l := &lister{folder: folder}
	for want := 1; want >= 0; want-- {
		_, err := l.list()
		require.NoError(t, err)
		assert.Len(t, l.pdfs, want)
		require.NoError(t, os.RemoveAll(path))
	}
}

// TestLock: the second is told who the first is, and a lock that is left free is
// taken over.
func TestLock(t *testing.T) {
	folder := t.TempDir()
	me := Holder{PID: 12, Host: "hall", Since: time.Date(2026, 11, 26, 6, 0, 0, 0, time.UTC)}
	first, err := take(folder, me)
	require.NoError(t, err)
	_, err = take(folder, Holder{PID: 13})
	var held *HeldError
	require.ErrorAs(t, err, &held)
	assert.Equal(t, me, held.By)
	assert.EqualError(t, err, folder+": is worked on by process 12 on hall, since 2026-11-26 06:00:00; end that one first, or name another folder")
	first.file.Close() // as the system does where the program is killed
	second, err := take(folder, Holder{PID: 13})
	require.NoError(t, err)
	assert.Equal(t, 13, holderIn(second.file).PID)
	assert.True(t, second.there())
	second.release()
	assert.NoFileExists(t, filepath.Join(folder, lockName))
	assert.False(t, second.there())
	_, err = take(filepath.Join(folder, "none"), me)
	assert.ErrorIs(t, err, os.ErrNotExist)
}

// TestQueue: first come, first served; times are the program's own, which no clock
// that is set moves.
func TestQueue(t *testing.T) {
	q, o, now := queue{}, &Options{Settle: 10 * time.Second, Wait: time.Minute}, time.Now()
	assert.Contains(t, now.String(), " m=", "a time that the clock does not move")
	one := file{name: "one_C.tif", size: 1, time: now.AddDate(1, 0, 0)}
	two := file{name: "two_C.tif", size: 1, time: now.AddDate(-50, 0, 0)}
	look := func(at time.Duration, files ...file) {
		found := listing{jobs: map[string][]file{}}
		for _, f := range files {
			found.jobs[f.name[:3]] = []file{f}
		}
		q.look(found, now.Add(at))
	}
	look(0, two)
	look(time.Second, one, two)
	assert.Equal(t, now.Add(10*time.Second), q.wake(o, &lister{}, now.Add(9*time.Second)))
	assert.Nil(t, q.next())
	q.wake(o, &lister{}, now.Add(11*time.Second))
	assert.Equal(t, "two", q.next().name)
	q.next().stage = running
	assert.Equal(t, "one", q.next().name)
	one.size++
	look(12*time.Second, one, two)
	assert.Nil(t, q.next(), "it grows")
	look(13*time.Second, one)
	require.Contains(t, q.jobs, "two", "as it is running")
	look(13 * time.Second)
	assert.NotContains(t, q.jobs, "one")

	empty := file{name: "emp_C.tif"}
	look(20*time.Second, empty)
	q.wake(o, &lister{}, now.Add(31*time.Second))
	assert.Nil(t, q.next(), "somebody is about to write it")
	q.wake(o, &lister{}, now.Add(80*time.Second))
	assert.Equal(t, "emp", q.next().name)
}

func TestPauses(t *testing.T) {
	for attempts, want := range map[int]time.Duration{0: time.Second, 1: 2 * time.Second, 5: 32 * time.Second, 6: time.Minute, 1000: time.Minute} {
		assert.Equal(t, want, pause(attempts))
	}
	var tr trouble
	now := time.Now()
	assert.True(t, tr.begins("full", now))
	assert.False(t, tr.begins("full", now), "is said once")
	assert.True(t, tr.begins("gone", now))
	assert.True(t, tr.is() && tr.ends() && !tr.ends() && !tr.is())
}

func TestRulesRefuse(t *testing.T) {
	t.Chdir(t.TempDir())
	for text, want := range map[string]string{
		"":                           "rules: there are none; ",
		"[[rules]]":                  "rule 1: names: no job is named; ",
		"[[rules]]\nnames = [\"a\"]": "rule 1: names: nothing is said of these jobs; ",
		"[[rules]]\nnames = [\"[\"]\npaper = \"x\"":                   `rule 1: names: "[" is not a pattern; `,
		"[[rules]]\nnames = [\"a\"]\npress = \"no.press.toml\"":       "rule 1: press: no.press.toml: there is no such file; ",
		"[[rules]]\nnames = [\"a\"]\ncurve = \"nine\"":                "rule 1: curve: nine: not a curve; ",
		"[[rules]]\nnames = [\"a\"]\ncurves = { Black = \"nine\" }":   "rule 1: curves.Black: nine: not a curve; ",
		"[[rules]]\nnames = [\"a\"]\npaper = \"x\\ny\"":               `rule 1: paper: "x\ny" is not the name of a stock; `,
		"[[rules]]\nnames = [\"a\"]\nsweep = \"much\"":                `rule 1: sweep: "much" is neither auto nor a number; `,
		"[[rules]]\nnames = [\"a\"]\nsweep = [1]":                     "rule 1: sweep: is neither auto nor a number; ",
		"[[rules]]\nnames = [\"a\"]\nsweeps = { Black = true }":       "rule 1: sweeps.Black: is neither auto nor a number; ",
		"[[rules]]\nnames = [\"a\"]\nsweeps = { \"\" = 4 }":           `rule 1: sweeps: "" is not the name of an ink; `,
		"[[rules]]\nnames = [\"a\"]\npaper = \"x\"\n[[rules]]\nx = 1": `line 5, column 1: unknown key "rules.x"; `,
	} {
		_, err := ParseRules("shop.rules.toml", []byte(text))
		require.Error(t, err, text)
		assert.Contains(t, err.Error(), "shop.rules.toml: "+want, text)
	}
	_, err := LoadRules("none.toml")
	assert.ErrorContains(t, err, "none.toml: there is no such file; ")
}

func TestRules(t *testing.T) {
	rules, err := ParseRules("shop.rules.toml", []byte("[[rules]]\nnames = [\"News-*\", \"Café\"]\npress = \"four-colour\"\nsweep = \"auto\"\n[[rules]]\nnames = [\"*\"]\ncurve = \"uncoated\"\nsweep = 40.5\nsweeps = { Black = 45 }\n"))
	require.NoError(t, err)
	assert.Equal(t, "rule 1 of shop.rules.toml", rules.Of("NEWS-12"))
	assert.Equal(t, "rule 1 of shop.rules.toml", rules.Of("Café"))
	assert.Equal(t, "rule 2 of shop.rules.toml", rules.Of("old news"))
	assert.Empty(t, (*Rules)(nil).Of("any"))
	ticket := job.Ticket{Press: "two-colour"}
	rules.of("x").apply(&ticket)
	assert.Equal(t, Chosen{Press: "two-colour", Curve: "uncoated", Sweep: "40.5, Black=45", Rule: "rule 2 of shop.rules.toml"}, chosenBy(&ticket, rules.of("x")))
	rules.of("news-1").apply(&ticket)
	assert.Equal(t, "four-colour", ticket.Press)
	assert.Nil(t, ticket.Sweeps[0].Value)
}

// TestSayOfErrors: what is in the way of all jobs is told from what is in one's.
func TestSayOfErrors(t *testing.T) {
	w, _ := watcher(t, nil)
	require.NoError(t, w.probe())
	require.NoError(t, os.Remove("out/"+lockName))
	err := w.probe()
	_, out := errors.AsType[*outError](err)
	assert.True(t, out)
	assert.EqualError(t, err, "out: cannot be written: its .bladeline-watch.lock is gone, as where a share is not there; choose another place or free this one")
	require.NoError(t, os.WriteFile("out/"+lockName, nil, 0o666))
	assert.NoError(t, w.probe(), "the share is back, and held again")
}

// Whatever a file of rules holds, it is rules or refused in one line.
func FuzzParseRules(f *testing.F) {
	f.Add("[[rules]]\nnames = [\"News-*\"]\npress = \"four-colour\"\nsweep = \"auto\"\nsweeps = { Black = 45 }\n", "news-1")
	f.Add("[[rules]]\nnames = [\"[a-z]?\\\\*\"]\npaper = \"news\"\ncurves = { Black = \"uncoated\" }\n", "a*")
	f.Fuzz(func(t *testing.T, text, name string) {
		t.Chdir(t.TempDir())
		rules, err := ParseRules("shop.rules.toml", []byte(text))
		if err != nil {
			require.NotContains(t, err.Error(), "\n")
			return
		}
		ticket := job.Ticket{Press: "two-colour"}
		if r := rules.of(name); r != nil {
			r.apply(&ticket)
			require.NotEmpty(t, chosenBy(&ticket, r).Rule)
		}
		require.NotEmpty(t, ticket.Press)
	})
}
