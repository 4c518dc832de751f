package job

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"syscall"

	"bladeline/coverage"

	"github.com/natefinch/atomic"
)

// A File is one to be written.
type File struct {
	Path  string
	Write func(io.Writer) error
}

// Bytes is a file of these bytes.
func Bytes(path string, data []byte) File {
	return File{path, func(w io.Writer) error { _, err := w.Write(data); return err }}
}

// WriteFiles makes files appear whole, and all of them or none. All places are
// looked at first; then each file is written beside its place and forced to
// disk; and only when all are there do they take their places. The temporary
// file is a sibling, as a rename works only within one file system. An OK file is
// never written over: what was run is known to nobody else.
func WriteFiles(files []File) error {
	all, err := destinations(files)
	if err != nil {
		return err
	}
	for i := range all {
		if err := all[i].keepOK(); err != nil {
			return err
		}
	}
	return writeAll(all)
}

// stoppable are files of which no more is written once ctx ends.
func stoppable(ctx context.Context, files []File) []File {
	stopped := slices.Clone(files)
	for i, f := range files {
		stopped[i].Write = func(w io.Writer) error { return f.Write(&stoppableWriter{ctx, w}) }
	}
	return stopped
}

type stoppableWriter struct {
	ctx context.Context
	to  io.Writer
}

func (w *stoppableWriter) Write(data []byte) (int, error) {
	if err := context.Cause(w.ctx); err != nil {
		return 0, err
	}
	return w.to.Write(data)
}

// rewriteOK puts an OK file, of which f has all that it says, in its place.
func rewriteOK(f File) error {
	all, err := destinations([]File{f})
	if err != nil {
		return err
	}
	return writeAll(all)
}

func writeAll(all []destination) error {
	folders := foldersOf(all)
	for _, folder := range folders {
		removeLeftOver(folder)
	}
	defer func() {
		for i := range all {
			all[i].discard()
		}
	}()
	for i := range all {
		if err := all[i].prepare(); err != nil {
			return Unwritten(all[i].named.Path, err)
		}
	}
	if err := place(all); err != nil {
		return err
	}
	for _, folder := range folders {
		if err := syncFolder(folder); err != nil {
			return Unwritten(folder, err)
		}
	}
	return nil
}

// place lets all that is prepared take its place: streams first, as they may
// yet fail. Where a file cannot be replaced the error says which are already.
func place(all []destination) error {
	for i := range all {
		if err := all[i].pour(); err != nil {
			return Unwritten(all[i].named.Path, err)
		}
	}
	var done []string
	for i := range all {
		d := &all[i]
		if d.stream {
			continue
		}
		if err := d.replace(); err != nil {
			err = Unwritten(d.named.Path, err)
			if len(done) > 0 {
				err = fmt.Errorf("%w; written already: %s", err, strings.Join(done, ", "))
			}
			return err
		}
		done = append(done, d.named.Path)
	}
	return nil
}

// foldersOf are the folders in which files are replaced.
func foldersOf(all []destination) []string {
	var folders []string
	seen := map[string]bool{}
	for _, d := range all {
		if folder := filepath.Dir(d.path); !d.stream && !seen[folder] {
			seen[folder] = true
			folders = append(folders, folder)
		}
	}
	return folders
}

// prepare writes a file beside its place, or holds ready what a stream gets.
func (d *destination) prepare() error {
	var err error
	if d.stream {
		var b bytes.Buffer
		if err = d.named.Write(&b); err == nil {
			d.ready = b.Bytes()
			d.file, err = openStream(d.path)
		}
		return err
	}
	if d.file, err = newTemporary(filepath.Dir(d.path), d.mode); err != nil {
		return err
	}
	if err := d.named.Write(d.file); err != nil {
		return err
	}
	if d.mode != 0 { // what the umask took
		if err := d.file.Chmod(d.mode); err != nil {
			return err
		}
	}
	return d.file.Sync()
}

// pour writes to a stream what it gets.
func (d *destination) pour() error {
	if !d.stream {
		return nil
	}
	_, err := d.file.Write(d.ready)
	return err
}

// replace puts the temporary file in its place. Some systems do not rename a
// file that is open.
func (d *destination) replace() error {
	temporary := d.file.Name()
	if err := d.file.Close(); err != nil {
		return err
	}
	if err := atomic.ReplaceFile(temporary, d.path); err != nil {
		return err
	}
	d.file = nil
	return nil
}

// discard closes what is open, and removes a temporary file that has not taken
// its place.
func (d *destination) discard() {
	if d.file == nil || d.file == os.Stdout || d.file == os.Stderr {
		return
	}
	d.file.Close()
	if !d.stream {
		os.Remove(d.file.Name())
	}
}

// newFileMode is that of a new file, of which the system takes what the umask
// says.
const newFileMode = 0o666

// newTemporary makes a temporary file for one of a mode, 0 being that of any new
// file, and holds it, so that no other run removes it. At no time may more people
// read it than may read the file that it is for.
func newTemporary(folder string, mode fs.FileMode) (*os.File, error) {
	mode = cmp.Or(mode, newFileMode)
	for {
		name := filepath.Join(folder, fmt.Sprintf("%s%d", temporaryName, rand.Uint32()))
		file, err := os.OpenFile(name, os.O_RDWR|os.O_CREATE|os.O_EXCL, mode|0o600)
		if errors.Is(err, fs.ErrExist) {
			continue
		}
		if err == nil {
			hold(file)
		}
		return file, err
	}
}

// An UnwrittenError tells why there is nothing at a path. It is no fault of what was
// to be written: tried again when there is room, it may well be written.
type UnwrittenError struct {
	Path string
	Err  error
}

func (e *UnwrittenError) Unwrap() error { return e.Err }

func (e *UnwrittenError) Error() string {
	err := e.Err
	if p, ok := errors.AsType[*fs.PathError](err); ok {
		err = p.Err
	}
	if l, ok := errors.AsType[*os.LinkError](err); ok {
		err = l.Err
	}
	if errors.Is(err, coverage.ErrTooMany) { // it says itself what to do
		return fmt.Sprintf("%s: cannot be written: %v", e.Path, err)
	}
	do := "choose another place or free this one"
	switch {
	case errors.Is(err, fs.ErrNotExist):
		do = "make its folder first, or choose another place"
	case errors.Is(err, fs.ErrPermission), errors.Is(err, syscall.EROFS):
		do = "choose another place, or have this one made writable"
	}
	return fmt.Sprintf("%s: cannot be written: %v; %s", e.Path, err, do)
}

// Unwritten is an UnwrittenError.
func Unwritten(path string, err error) error { return &UnwrittenError{path, err} }
