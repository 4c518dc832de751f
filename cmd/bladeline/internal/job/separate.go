package job

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"bladeline/cmd/bladeline/internal/ghostscript"
	"bladeline/coverage"
)

// What separating does where nothing else is asked.
const (
	SeparationDPI  = 600
	SeparationTime = 20 * time.Minute
)

// Separating is how the pages of a PDF or PostScript file become separations.
type Separating struct {
	Ranges     [][2]int      // of pages, from 1, both ends included; none is all
	DPIX, DPIY float64       // 0 is SeparationDPI
	Time       time.Duration // the longest that a file may take; 0 is SeparationTime
	OnePage    bool          // refuse more than one page
	Note       func(Note)    // told of every file that was separated; may be nil

	// selected is told of the pages, of so many, before they are drawn; may refuse.
	selected func(pages []int, of int) error
}

// A Note is what is to be said of a file that was separated.
type Note struct {
	File       string
	Version    string // of Ghostscript
	DPIX, DPIY float64
	Contone    bool
	Warnings   []string
}

// WriteSeparations writes the separations of a file into a folder, which is made
// where it is missing, all of them or none, and returns their paths. None may be there
// yet: those of the process inks are looked for before anything is drawn, those of
// spot inks when their names are known. It stops where ctx ends, its cause the error.
func (s Separating) WriteSeparations(ctx context.Context, file, folder string, contone bool, progress func(float64)) (paths []string, err error) {
	if err := separable(file); err != nil {
		return nil, err
	}
	made, err := newFolder(folder)
	if err != nil {
		return nil, err
	}
	defer func() {
		if err != nil && made {
			os.Remove(folder)
		}
	}()
	temporary, err := newTemporaryFolder(folder)
	if err != nil {
		return nil, err
	}
	defer temporary.remove()
	s.selected = func(pages []int, of int) error { return noneThere(processFiles(file, folder, pages, of)) }
	separations, err := s.into(ctx, temporary.path, file, contone, progress)
	if err != nil {
		return nil, err
	}
	files := separationFiles(file, folder, separations)
	if err := noneThere(files); err != nil {
		return nil, err
	}
	for _, f := range files {
		paths = append(paths, f.Path)
	}
	return paths, WriteFiles(files)
}

// separationFiles are separations in their places, of names from which job and
// ink are read again.
func separationFiles(file, folder string, made *ghostscript.Separations) []File {
	var files []File
	taken := map[string]bool{}
	for _, p := range made.Plates {
		stem := coverage.Stem(file)
		if made.OfPages > 1 {
			stem += fmt.Sprintf("-p%d", p.Page)
		}
		path := filepath.Join(folder, distinctName(taken, stem, p.Ink))
		files = append(files, File{path, func(w io.Writer) error { return copyFile(w, p.Path) }})
	}
	return files
}

// processFiles are the separations that are made of pages in any case.
func processFiles(file, folder string, pages []int, of int) []File {
	made := &ghostscript.Separations{OfPages: of}
	for _, page := range pages {
		for _, ink := range ghostscript.ProcessInks {
			made.Plates = append(made.Plates, ghostscript.Plate{Page: page, Ink: ink})
		}
	}
	return separationFiles(file, folder, made)
}

// noneThere refuses to write over separations, which tell by their names neither
// their resolution nor the state of the job that they are of.
func noneThere(files []File) error {
	for _, f := range files {
		if _, err := os.Lstat(f.Path); err == nil {
			return &SeparatedError{f.Path}
		}
	}
	return nil
}

func copyFile(w io.Writer, path string) error {
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	defer f.Close()
	_, err = io.Copy(w, f)
	return err
}

// newFolder makes a folder where there is none, and tells whether it did.
func newFolder(path string) (bool, error) {
	err := os.Mkdir(path, 0o777)
	if errors.Is(err, fs.ErrExist) {
		if info, statErr := os.Stat(path); statErr == nil && info.IsDir() {
			return false, nil
		}
		err = errors.New("is there and no folder")
	}
	if err != nil {
		return false, Unwritten(path, err)
	}
	return true, nil
}

// NewFolder makes a folder, and those that it lies in, where there is none. remove
// takes what was made away again, as far as nothing lies in it.
func NewFolder(path string) (remove func(), err error) {
	var made []string
	for p := filepath.Clean(path); ; p = filepath.Dir(p) {
		if _, err := os.Stat(p); err == nil || p == filepath.Dir(p) {
			break
		}
		made = append(made, p)
	}
	remove = func() {
		for _, p := range made {
			os.Remove(p)
		}
	}
	if err := os.MkdirAll(path, 0o777); err != nil {
		remove()
		return nil, Unwritten(path, err)
	}
	return remove, nil
}

// separable refuses what is neither PDF nor PostScript.
func separable(file string) error {
	info, err := os.Stat(file)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return unread(file, err)
	case err != nil:
		return fmt.Errorf("%s: cannot be opened: %w; check the name and the folder", file, errors.Unwrap(err))
	case info.IsDir():
		return fmt.Errorf("%s: is a folder; name the PDF in it", file)
	case !ghostscript.IsJob(file):
		return fmt.Errorf("%s: is neither PDF nor PostScript, or cannot be read; name the file that the plates are made from", file)
	}
	return nil
}

// into makes separations of a file in a temporary folder.
func (s Separating) into(ctx context.Context, folder, file string, contone bool, progress func(float64)) (*ghostscript.Separations, error) {
	if s.DPIX == 0 {
		s.DPIX, s.DPIY = SeparationDPI, SeparationDPI
	}
	if s.Time == 0 {
		s.Time = SeparationTime
	}
	ctx, stop := context.WithTimeoutCause(ctx, s.Time, &SlowError{file, s.Time})
	defer stop()
	program, err := ghostscript.Find(ctx)
	if err != nil {
		return nil, inFile(file, err)
	}
	j := &ghostscript.Job{File: file, Ranges: s.Ranges, DPIX: s.DPIX, DPIY: s.DPIY, Contone: contone, Progress: progress}
	j.Selected = func(pages []int, of int) error {
		if s.OnePage && len(pages) > 1 {
			return &PagesError{file, len(pages)}
		}
		if s.selected != nil {
			return s.selected(pages, of)
		}
		return nil
	}
	made, err := program.Separate(ctx, folder, j)
	if full, is := errors.AsType[*ghostscript.NoRoomError](err); is {
		return nil, Unwritten(filepath.Dir(folder), full)
	}
	if err != nil {
		return nil, err
	}
	if s.Note != nil {
		s.Note(Note{file, program.Version, s.DPIX, s.DPIY, contone, made.Warnings})
	}
	return made, nil
}

// inFile names a file before an error that names none.
func inFile(file string, err error) error {
	if _, is := errors.AsType[*ghostscript.MissingError](err); is {
		return fmt.Errorf("%s: %w", file, err)
	}
	return err
}
