package job

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"sync"

	"bladeline/curves/settings"
	"bladeline/zones/preset"
	"bladeline/zones/preset/history"
	"bladeline/zones/press"
)

// LookBack says what a history is made of.
type LookBack struct {
	Folder  string
	Presses []string // files, or names of those that ship; jobs of other presses say less
	Since   string   // "" is all, else the first day, as 2026-03-14
}

// A Past is a history and what was left out of it.
type Past struct {
	*history.History
	NotRun  int     // presets that do not say what was run
	Undated int     // jobs whose day is that of the file
	Bad     []error // of files that cannot be read, each one line
}

// History reads every OK file of a folder and of those in it. Files that are no
// presets, and those that cannot be read, are left out and named; nothing is
// written to any.
func (how LookBack) History(ctx context.Context) (*Past, error) {
	presses, err := how.presses()
	if err != nil {
		return nil, err
	}
	paths, unlisted, err := csvFiles(how.Folder)
	if err != nil {
		return nil, err
	}
	read := readRecords(ctx, how.Folder, paths, presses)
	if err := context.Cause(ctx); err != nil {
		return nil, err
	}
	refuseCopies(read, paths)
	past := &Past{Bad: unlisted}
	var records []*history.Record
	for _, r := range read {
		switch {
		case r.err != nil:
			past.Bad = append(past.Bad, r.err)
		case r.record == nil:
			past.NotRun++
		case r.record.Day.Date >= how.Since:
			records = append(records, r.record)
			if r.record.Day.Kind == history.OfFile {
				past.Undated++
			}
		}
	}
	past.History = history.Of(records)
	return past, nil
}

// refuseCopies refuses what says just the same as a file before it: a run counts
// once.
func refuseCopies(read []readRecord, paths []string) {
	first := map[uint64]string{}
	for i, r := range read {
		if r.record == nil {
			continue
		}
		print, dated := r.record.Fingerprint()
		if before := first[print]; before != "" && dated {
			read[i] = readRecord{err: fmt.Errorf("%s: is a copy of %s and would count twice; move one of them away", paths[i], before)}
			continue
		}
		first[print] = paths[i]
	}
}

func (how LookBack) presses() ([]*press.Press, error) {
	var presses []*press.Press
	for _, called := range how.Presses {
		p, _, err := LoadPress(called)
		if err != nil {
			return nil, err
		}
		presses = append(presses, p)
	}
	return presses, nil
}

// csvFiles are those of a folder and of all in it, in the order of their names, and why
// folders in it cannot be listed. What begins with a dot is hidden and stays so.
func csvFiles(folder string) (paths []string, unlisted []error, err error) {
	info, err := os.Stat(folder)
	if err != nil {
		return nil, nil, unread(folder, err)
	}
	if !info.IsDir() {
		return nil, nil, fmt.Errorf("%s: is a file; name the folder that the OK files are in", folder)
	}
	paths, err = filesIn(folder, func(path string) bool { return FormatOf(path) == "csv" }, func(err error) { unlisted = append(unlisted, err) })
	return paths, unlisted, err
}

// A readRecord is what came of a file: neither record nor err where it does not
// say what was run.
type readRecord struct {
	record *history.Record
	err    error
}

// readRecords reads files, several at a time; what comes of each stands at its
// place.
func readRecords(ctx context.Context, folder string, paths []string, presses []*press.Press) []readRecord {
	read := make([]readRecord, len(paths))
	next := make(chan int)
	var workers sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		workers.Go(func() {
			for i := range next {
				read[i] = recordOf(folder, paths[i], presses)
			}
		})
	}
	for i := range paths {
		if ctx.Err() != nil {
			break
		}
		next <- i
	}
	close(next)
	workers.Wait()
	return read
}

func recordOf(folder, path string, presses []*press.Press) readRecord {
	p, err := LoadPreset(path)
	if err != nil {
		return readRecord{err: err}
	}
	if !p.WasRun() {
		return readRecord{}
	}
	day, err := dayOf(path, p)
	if err != nil {
		return readRecord{err: err}
	}
	name, err := filepath.Rel(folder, path)
	if err != nil {
		name = path
	}
	on, err := pressFor(p, path, presses)
	if err != nil {
		return readRecord{err: err}
	}
	record, err := history.NewRecord(filepath.ToSlash(name), day, p, on)
	if bad, is := errors.AsType[*settings.FileError](err); is {
		bad.File = path // as in every other error, from where one stands
	}
	return readRecord{record, err}
}

// pressFor finds the press of a preset among those at hand, nil where it is none
// of them. A preset that names one of them and does not fit it is refused: its
// keys were read on another scale.
func pressFor(p *preset.Preset, path string, presses []*press.Press) (*press.Press, error) {
	var unfit error
	for _, on := range presses {
		err := p.IsFor(on, path)
		if err == nil {
			return on, nil
		}
		if unfit == nil && p.SamePress(on) {
			unfit = err
		}
	}
	return nil, unfit
}

// dayOf is the day that a preset states, else that of its file.
func dayOf(path string, p *preset.Preset) (history.Day, error) {
	if p.Date != nil {
		return history.Day{Date: *p.Date, Kind: history.Dated}, nil
	}
	info, err := os.Stat(path)
	if err != nil {
		return history.Day{}, unread(path, err)
	}
	return history.FileDay(info.ModTime()), nil
}
