package hotfolder

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"sync"
	"time"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/coverage"
)

// Options say what is watched, and what is made of it.
type Options struct {
	Folder       string
	Out          string        // a folder a job
	Done, Failed string        // where files of jobs go then; "" leaves them where they are
	Names        job.Names     // of files
	Inks         []string      // that a job must have
	Rules        *Rules        // nil is none
	Ticket       job.Ticket    // what is asked of every job that no rule is of; files and outputs are the job's
	Dated        bool          // presets are of the day that they are made on; else as the ticket says
	Sheet        string        // what key sheets are: pdf, svg, or "" for none
	Settle       time.Duration // how long files must be still
	Wait         time.Duration // how long a job is waited for that lacks something
	Poll         time.Duration // between two looks at the folder
	Jobs         int           // at once
	Once         bool          // end when nothing is left to be done

	Say    func(error) string // an error in one line, with what to do
	Log    func(Entry)
	Status func(Status) // may be nil
}

// ErrLeft ends watching once that left jobs behind: they failed, or wait for
// something, or could not be written.
var ErrLeft = errors.New("not all jobs are preset; the log says which, and why")

// endTime is how long a job may go on when the watching ends, and all of it.
const (
	graceTime = time.Second
	endTime   = 2 * time.Second
)

// mostMemory is what the program's memory is kept below while there is garbage to be
// collected: 64 MiB below the 256 that are promised.
const mostMemory = 192 << 20

// MostJobs at once keep what is promised of the memory: 16 of four plates of 97,200
// px, on 16 threads, took 209 MiB.
const MostJobs = 16

// A Watcher presets what is put into a folder.
type Watcher struct {
	Options
	lister     *lister
	workers    *coverage.Workers
	separating chan struct{}
	me         Holder
	in         *lock      // nil where the folder cannot be locked
	outside    sync.Mutex // for out, which all jobs look at
	out        *lock

	results chan result
	ears    *ears

	// What follows is watch's alone.
	queue             queue
	lookAt, lookAgain time.Time         // at the folder next, and where something is heard
	input, output     trouble           // with the folder that is watched, and with that of outputs
	noted             string            // what was last said of its lock
	passed            map[string]string // what was last said of files that are of no job
	counts            Counts
	last              []Last
	reported          time.Time
}

// New holds the folders and clears away what a watcher left that was killed. An
// error is a *HeldError where another one is at work.
func New(o Options) (*Watcher, error) {
	host, err := os.Hostname()
	if err != nil {
		host = "a host without a name"
	}
	o.Jobs = cmp.Or(o.Jobs, min(runtime.GOMAXPROCS(0), MostJobs))
	w := &Watcher{
		Options: o, workers: coverage.NewWorkers(0), separating: make(chan struct{}, 1),
		me:      Holder{os.Getpid(), host, time.Now().Truncate(time.Second)},
		results: make(chan result, o.Jobs+1),
	}
	w.lister = &lister{folder: filepath.Clean(o.Folder), names: o.Names}
	if !isFolder(o.Folder) {
		return nil, fmt.Errorf("%s: is not a folder that can be watched; make it, or name another", o.Folder)
	}
	for _, folder := range []string{o.Out, o.Done, o.Failed} {
		if folder == "" {
			continue
		}
		if err := w.prepare(folder); err != nil {
			return nil, err
		}
	}
	if err := w.lock(); err != nil {
		return nil, err
	}
	w.sweep()
	return w, nil
}

// prepare makes a folder, which jobs are not looked for in where it lies within the
// one that is watched.
func (w *Watcher) prepare(folder string) error {
	if parent := filepath.Dir(filepath.Clean(folder)); !isFolder(parent) {
		return fmt.Errorf("%s: cannot be made, as there is no folder %s; make that one first, or name another", folder, parent)
	}
	if err := makeFolder(folder); err != nil {
		return err
	}
	a, err := os.Stat(folder)
	b, err2 := os.Stat(w.Folder)
	if err == nil && err2 == nil && os.SameFile(a, b) {
		return fmt.Errorf("%s: is the folder that is watched; name another for what comes out", folder)
	}
	w.lister.skip = append(w.lister.skip, within(w.lister.folder, folder))
	return nil
}

// within is a folder by the path that it is met by below another.
func within(watched, folder string) string {
	a, err := filepath.Abs(watched)
	b, err2 := filepath.Abs(folder)
	if err != nil || err2 != nil {
		return filepath.Clean(folder)
	}
	if rel, err := filepath.Rel(a, b); err == nil {
		return filepath.Join(watched, rel)
	}
	return b
}

// lock holds the folder of outputs, and the one that is watched: there another
// watcher may go unnoticed, as where it may be read alone.
func (w *Watcher) lock() (err error) {
	w.out, err = take(w.Out, w.me)
	if _, held := errors.AsType[*HeldError](err); held {
		return err
	}
	if w.out == nil {
		return job.Unwritten(w.Out, err)
	}
	if err := w.lockFolder(); err != nil {
		w.out.release()
		return err
	}
	return nil
}

func (w *Watcher) lockFolder() error {
	in, err := take(w.Folder, w.me)
	if _, held := errors.AsType[*HeldError](err); held {
		return err
	}
	if w.in = in; err == nil {
		return nil
	}
	if !isFolder(w.Folder) {
		return err
	}
	text := fmt.Sprintf("%s: cannot be locked (%v), so a second watcher of it would go unnoticed", w.Folder, unwrapped(err))
	if w.noted != text {
		w.noted = text
		w.log(Entry{Kind: Noted, Text: text})
	}
	return nil
}

// keepLock holds the folder again where it is another by now: a share that came back.
func (w *Watcher) keepLock() error {
	if w.in != nil {
		if w.in.there() {
			return nil
		}
		w.in.file.Close()
	}
	return w.lockFolder()
}

func (w *Watcher) release() {
	if w.in != nil {
		w.in.release()
	}
	w.out.release()
}

// unwrapped is the error of the system without the path, which is named already.
func unwrapped(err error) error {
	if p, is := errors.AsType[*fs.PathError](err); is {
		return p.Err
	}
	return err
}

// sweep removes temporary files of watchers that were killed: nobody else writes
// here.
func (w *Watcher) sweep() {
	for _, dir := range []string{w.Out, w.Done, w.Failed} {
		if dir == "" {
			continue
		}
		job.RemoveLeftOver(dir, 0)
		entries, _ := os.ReadDir(dir)
		for _, e := range entries {
			if folder := filepath.Join(dir, e.Name()); e.IsDir() {
				job.RemoveLeftOver(folder, 0)
				os.Remove(folder) // where nothing came of it
			}
		}
	}
}

// outThere tells whether the folder of outputs is the one that is held: a share that
// is not mounted is a folder, too.
func (w *Watcher) outThere() error {
	w.outside.Lock()
	defer w.outside.Unlock()
	if w.out.there() {
		return nil
	}
	if _, err := os.Stat(filepath.Join(w.Out, lockName)); err != nil {
		return &outError{&job.UnwrittenError{Path: w.Out, Err: fmt.Errorf("its %s is gone, as where a share is not there", lockName)}}
	}
	again, err := take(w.Out, w.me) // it is back, under another number of its own
	if again == nil {
		return &outError{job.Unwritten(w.Out, err)}
	}
	w.out.file.Close()
	w.out = again
	return nil
}

// probeName is written to see whether anything can be.
const probeName = ".bladeline-probe"

// probe tells whether outputs can be written.
func (w *Watcher) probe() error {
	if err := w.outThere(); err != nil {
		return err
	}
	path := filepath.Join(w.Out, probeName)
	err := os.WriteFile(path, make([]byte, 64<<10), 0o666)
	os.Remove(path)
	if err != nil {
		return &outError{job.Unwritten(w.Out, err)}
	}
	return nil
}

// Run watches until ctx ends, or, once, until nothing is left to be done. It ends
// within two seconds, whatever file system keeps it waiting; what is not written then
// is not there at all, and is done by the next one.
func (w *Watcher) Run(ctx context.Context) error {
	defer debug.SetMemoryLimit(debug.SetMemoryLimit(mostMemory))
	ended := make(chan error, 1)
	go func() { ended <- w.watch(ctx) }()
	select {
	case err := <-ended:
		return err
	case <-ctx.Done():
	}
	select {
	case err := <-ended:
		return err
	case <-time.After(endTime):
		return nil
	}
}

func (w *Watcher) log(e Entry) {
	if e.Time.IsZero() {
		e.Time = time.Now()
	}
	w.saw(e)
	w.Log(e)
}
