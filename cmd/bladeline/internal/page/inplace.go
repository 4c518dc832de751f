package page

import (
	"errors"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"time"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/coverage"
	"bladeline/curves/settings"
	"bladeline/zones"
)

// What is read by name, of a PDF and of a form file, is put into a folder that is
// thrown away. No name of a client's leads out of it.

// separationTime is the longest that a PDF may take: somebody waits for the page.
const separationTime = 10 * time.Minute

func (f arrived) isForm() bool { return zones.IsForm(f.label) }

// separated measures the separations that Ghostscript makes of a file, one file at a
// time.
func (s *Server) separated(r *http.Request, f arrived, data io.ReaderAt, b *brought) ([]*coverage.Map, error) {
	if err := enter(r, s.parting); err != nil {
		return nil, err
	}
	defer leave(s.parting)
	folder, remove, err := inPlace([]arrived{{label: f.label, size: f.size}}, data)
	if err != nil {
		return nil, err
	}
	defer remove()
	reading := s.reading(b)
	reading.Inputs = []coverage.Input{{Path: filepath.Join(folder, f.label), Inks: f.inks}}
	if f.page > 0 {
		reading.Separating.Ranges = [][2]int{{f.page, f.page}}
	}
	maps, err := reading.Maps(r.Context())
	return named(maps, folder), placeless(err, folder)
}

// takeForm measures a form of several pieces, whose file is one of those that
// arrived, and keeps it.
func (s *Server) takeForm(r *http.Request, files []arrived, form int, from io.ReaderAt, b *brought) error {
	label := files[form].label
	maps, err := s.laid(r, files, form, from, b)
	switch {
	case err != nil && r.Context().Err() != nil:
		return errGone
	case err != nil:
		b.refuse(label, err)
		return nil
	case len(maps) > maxUnits:
		b.refuse(label, fmt.Errorf("it is of %d inks, more than the %d of a job; leave some out of the form", len(maps), maxUnits))
		return nil
	}
	s.keep(r, maps, b)
	return nil
}

// laid are the separations of such a form.
func (s *Server) laid(r *http.Request, files []arrived, form int, from io.ReaderAt, b *brought) ([]*coverage.Map, error) {
	if err := enter(r, s.parting); err != nil {
		return nil, err
	}
	defer leave(s.parting)
	folder, remove, err := inPlace(files, from)
	if err != nil {
		return nil, err
	}
	defer remove()
	reading := s.reading(b)
	if reading.Form, err = job.LoadFormAlone(filepath.Join(folder, files[form].label)); err != nil {
		return nil, placeless(err, folder)
	}
	maps, err := reading.Maps(r.Context())
	return named(maps, folder), placeless(err, folder)
}

// reading is how files are read here; what is to be said of them goes to b.
func (s *Server) reading(b *brought) job.Reading {
	note := func(n job.Note) {
		b.Notes = append(b.Notes, fmt.Sprintf("separated by Ghostscript %s, %s dpi", n.Version, settings.Plain(n.DPIX)))
		for _, w := range n.Warnings {
			b.Notes = append(b.Notes, "warning: "+w)
		}
	}
	return job.Reading{InkIsLight: s.options.InkIsLight, Workers: s.workers, Separating: &job.Separating{Time: separationTime, OnePage: true, Note: note}}
}

// inPlace puts files into a folder under their labels. Two of one name are refused.
func inPlace(files []arrived, from io.ReaderAt) (folder string, remove func(), err error) {
	if folder, remove, err = job.TemporaryFolder(); err != nil {
		return "", nil, err
	}
	for _, f := range files {
		if err := f.putInto(folder, from); err != nil {
			remove()
			return "", nil, err
		}
	}
	return folder, remove, nil
}

func (f arrived) putInto(folder string, from io.ReaderAt) error {
	file, err := os.OpenFile(filepath.Join(folder, f.label), os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if errors.Is(err, os.ErrExist) {
		return fmt.Errorf("two files are called %s; give each a name of its own, also in the form's file", f.label)
	}
	if err != nil {
		return noRoom(err, f.size)
	}
	_, err = io.Copy(file, io.NewSectionReader(from, f.at, f.size))
	if err = errors.Join(err, file.Close()); err != nil {
		return noRoom(err, f.size)
	}
	return nil
}

// named gives Maps of files in a folder the names that these came under.
func named(maps []*coverage.Map, folder string) []*coverage.Map {
	bare := func(m *coverage.Map) { m.File = strings.TrimPrefix(m.File, folder+string(filepath.Separator)) }
	for _, m := range maps {
		bare(m)
		if m.Sheet == nil {
			continue
		}
		for _, p := range m.Sheet.Pieces {
			bare(p.Map)
		}
	}
	return maps
}

// A placelessError is one of files in a folder, of which nobody knows.
type placelessError struct {
	error
	folder string
}

func (e *placelessError) Error() string {
	return strings.ReplaceAll(e.error.Error(), e.folder+string(filepath.Separator), "")
}

func (e *placelessError) Unwrap() error { return e.error }

func placeless(err error, folder string) error {
	if err == nil {
		return nil
	}
	return &placelessError{err, folder}
}
