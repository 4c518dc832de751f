package hotfolder

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/coverage"
	"bladeline/curves/settings"
	"bladeline/zones/preset"
)

// A task is a job as it is handed out.
type task struct {
	name    string
	files   []file
	lacks   []string // inks, or what its form file names
	tooLate bool     // to wait for these
}

// Why a job was given up that did not fail.
var (
	errChanged = errors.New("its files changed while they were read")
	errSame    = errors.New("it prints what it printed before")
)

// An outError is of the folder of all outputs, in which nothing can be written.
type outError struct{ err error }

func (e *outError) Error() string { return e.err.Error() }
func (e *outError) Unwrap() error { return e.err }

// do sees to a job: is it done already, is all there, else it is preset. Its entry's
// Kind is "" where there is nothing to be said. An error keeps what came of the job
// from being written, or is that of ctx, or errChanged.
func (w *Watcher) do(ctx context.Context, t task) (e Entry, err error) {
	began := time.Now()
	e = Entry{Job: t.name, Files: len(t.files)}
	for _, f := range t.files {
		e.Bytes += f.size
	}
	defer func() { e.Took, e.Time = time.Since(began), time.Now() }()
	if err := w.outThere(); err != nil {
		return e, err
	}
	folder := filepath.Join(w.Out, folderName(t.name))
	if left, err := w.isLeft(t, folder); left {
		e.Kind = Moved
		return e, w.leave(t, folder)
	} else if err != nil {
		return e, err
	}
	r, err := loadRecord(folder, recordName)
	alike := namesakes(t)
	switch {
	case err != nil:
		return e, err
	case r != nil && r.Job != t.name:
		err = fmt.Errorf("%s: the folder %s is that of the job %s, which the file system does not tell from this one; rename the files of one", t.name, folder, r.Job)
	case r.covers(t.files) && w.Done == "":
		return e, nil
	case r.covers(t.files):
		e.Kind = Moved
		return e, w.move(w.Done, t)
	case alike != nil:
		err = alike
	case len(t.lacks) > 0 && !t.tooLate:
		e.Kind, e.Missing = Waits, t.lacks
		return e, nil
	case len(t.lacks) > 0:
		err = &MissingError{t.name, t.lacks, w.Wait}
	default:
		err = w.preset(ctx, t, folder, r, &e)
	}
	return e, w.ended(ctx, t, folder, &e, err)
}

// ended sees to what came of a job: it is moved, or it is said why it failed.
func (w *Watcher) ended(ctx context.Context, t task, folder string, e *Entry, err error) error {
	_, unwritten := errors.AsType[*job.UnwrittenError](err)
	switch {
	case err == nil && w.Done != "":
		return w.move(w.Done, t)
	case err == nil:
		return nil
	case ctx.Err() != nil, unwritten, errors.Is(err, errChanged):
		os.Remove(folder) // where it is empty
		return err
	case !w.unchanged(t.files): // and that is why
		os.Remove(folder)
		return errChanged
	}
	e.Kind, e.Text = Failed, w.Say(err)
	return w.fail(t, folder, e.Text)
}

// preset presets a job.
func (w *Watcher) preset(ctx context.Context, t task, folder string, r *record, e *Entry) (err error) {
	defer func() {
		if v := recover(); v != nil { // a mistake of this program's, which is to end no other job
			coverage.ShowStack(v)
			err = fmt.Errorf("%s: the program failed (%v); please report this, with the files", t.name, v)
		}
	}()
	leave, err := w.enter(ctx, t)
	if err != nil {
		return err
	}
	defer leave()
	ticket, err := w.ticket(t, e)
	if err != nil {
		return err
	}
	for _, f := range t.files {
		if f.read.LeftOut {
			e.LeftOut = append(e.LeftOut, f.name)
		}
	}
	if err := makeFolder(folder); err != nil {
		return err
	}
	stem, version := w.freeStem(t, folder, r)
	var fresh *record
	ticket.Read = func(maps []*coverage.Map) error {
		if !w.unchanged(t.files) {
			return errChanged
		}
		for _, m := range maps {
			if !settings.IsLine(m.File) { // which no preset can state
				m.File = settings.OneLine(strings.ToValidUTF8(m.File, "?"))
			}
		}
		fresh = recordOf(t.name, t.files, maps, version)
		if r != nil && slices.Equal(r.Separations, fresh.Separations) {
			return errSame
		}
		return nil
	}
	record := job.Output{Path: filepath.Join(folder, recordName), Write: func(out io.Writer, _ *preset.Preset) error { return fresh.write(out) }}
	ticket.Outputs = append(w.outputs(folder, stem), record)
	before := sheetsIn(folder, stem)
	p, err := job.Run(ctx, ticket)
	e.Out = folder
	if errors.Is(err, errSame) {
		e.Kind, fresh.Version = Same, r.Version
		return job.WriteFiles([]job.File{{Path: record.Path, Write: fresh.write}})
	}
	if err != nil {
		return err
	}
	e.Kind, e.Warnings = Done, p.Warnings
	before.removeStale(folder)
	forgive(folder, t.name)
	return nil
}

// enter waits for what a job takes beside its turn: Ghostscript takes as much memory
// as all else together, so one job at a time is separated.
func (w *Watcher) enter(ctx context.Context, t task) (leave func(), err error) {
	if !slices.ContainsFunc(t.files, func(f file) bool { return job.IsPages(f.name) }) {
		return func() {}, nil
	}
	select {
	case w.separating <- struct{}{}:
		return func() { <-w.separating }, nil
	case <-ctx.Done():
		return nil, context.Cause(ctx)
	}
}

// ticket is what a job is preset with.
func (w *Watcher) ticket(t task, e *Entry) (job.Ticket, error) {
	ticket := w.Ticket
	ticket.Name, ticket.Inputs, ticket.Workers, ticket.OfMany = t.name, w.lister.inputs(t.files), w.workers, true
	r := w.Rules.of(t.name)
	if r != nil {
		r.apply(&ticket)
	}
	e.Chosen = chosenBy(&ticket, r)
	if ticket.Separating != nil {
		mine := *ticket.Separating
		mine.Note = func(n job.Note) { e.Separated = append(e.Separated, n) }
		ticket.Separating = &mine
	}
	ticket.Blank = func(m *coverage.Map) { e.Blank = append(e.Blank, m.Ink) }
	var err error
	if w.Dated {
		ticket.Run.Date, err = job.Today()
	}
	return ticket, err
}

// outputs are the files of a job, the record aside.
func (w *Watcher) outputs(folder, stem string) (outputs []job.Output) {
	for _, ending := range []string{".json", ".csv", "." + w.Sheet} {
		if ending != "." {
			outputs = append(outputs, job.Output{Path: filepath.Join(folder, stem+ending)})
		}
	}
	return outputs
}

// fileName is what files of a job are called, without their endings.
func fileName(name string) string { return folderName(name) }

// freeStem is what the outputs are called. JOB.csv may be an OK file by now, and says
// what was run: then the outputs are JOB-2.csv and so on. So they are where the job
// came before with files that it has not now.
func (w *Watcher) freeStem(t task, folder string, r *record) (stem string, version int) {
	version = 1
	if r != nil {
		version = max(1, r.Version)
	}
	if r.ofOthers(t.files) {
		version++
	}
	for ; ; version++ {
		stem = fileName(t.name)
		if version > 1 {
			stem = fmt.Sprintf("%s-%d", stem, version)
		}
		if !job.IsOK(filepath.Join(folder, stem+".csv")) {
			return stem, version
		}
	}
}

// sheets are the key sheets of a job as SVG, one a unit: of units that it no longer
// has they would hang at the press.
type sheets map[string]os.FileInfo

func sheetsIn(folder, stem string) sheets {
	found := sheets{}
	entries, _ := os.ReadDir(folder)
	for _, e := range entries {
		if e.Name() == stem+".svg" || strings.HasPrefix(e.Name(), stem+"-") && filepath.Ext(e.Name()) == ".svg" {
			if info, err := e.Info(); err == nil {
				found[e.Name()] = info
			}
		}
	}
	return found
}

// removeStale removes those that were not written anew.
func (s sheets) removeStale(folder string) {
	for name, was := range s {
		path := filepath.Join(folder, name)
		if is, err := os.Stat(path); err == nil && os.SameFile(was, is) {
			os.Remove(path)
		}
	}
}
