package page

import (
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"mime/multipart"
	"net/http"
	"os"
	"strings"
	"unicode"

	"bladeline/coverage"
)

// brought is the answer to files that a client brings.
type brought struct {
	Separations []separationJSON `json:"separations"`
	Errors      []fileError      `json:"errors"`
}

type fileError struct {
	File  string `json:"file"`
	Error string `json:"error"`
}

func (b *brought) refuse(label string, err error) {
	b.Errors = append(b.Errors, fileError{label, sentence(strings.TrimPrefix(err.Error(), label+": "))})
}

// upload measures the files of a form, one after another, as measure does. A
// field "ink" names the inks of the file behind it, parted by commas.
func (s *Server) upload(w http.ResponseWriter, r *http.Request) {
	if r.ContentLength > s.maxUpload {
		fail(w, &http.MaxBytesError{Limit: s.maxUpload})
		return
	}
	r.Body = http.MaxBytesReader(w, r.Body, s.maxUpload)
	parts, err := r.MultipartReader()
	if err != nil {
		fail(w, errNoFile)
		return
	}
	b := &brought{Separations: []separationJSON{}, Errors: []fileError{}}
	err = s.bring(parts, b)
	switch {
	case err != nil && len(b.Separations) == 0:
		fail(w, err)
	case len(b.Separations) == 0:
		reply(w, http.StatusUnprocessableEntity, b)
	default:
		reply(w, http.StatusOK, b)
	}
}

var errNoFile = &refusal{http.StatusBadRequest, "the request holds no files; choose some", ""}

// bring reads a form's parts. Its error is of the request as a whole.
func (s *Server) bring(parts *multipart.Reader, b *brought) error {
	var inks []string
	for {
		part, err := parts.NextPart()
		if errors.Is(err, io.EOF) && len(b.Separations)+len(b.Errors) == 0 {
			return errNoFile
		}
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return broken(err)
		}
		switch part.FormName() {
		case "ink":
			if inks, err = inksOf(part); err != nil {
				return err
			}
		case "file":
			label := fileLabel(part.FileName())
			maps, err := s.measure(label, part, inks)
			if _, large := errors.AsType[*http.MaxBytesError](err); large {
				return err
			}
			if err != nil {
				b.refuse(label, err)
			}
			for _, m := range maps {
				sep := s.store.keep(&separation{Map: m, id: rand.Text(), kind: uploaded})
				b.Separations = append(b.Separations, sep.json())
			}
			inks = nil
		}
	}
}

func broken(err error) error {
	if _, large := errors.AsType[*http.MaxBytesError](err); large {
		return err
	}
	return &refusal{http.StatusBadRequest, "the files did not arrive whole; send them again", ""}
}

// inksOf are the names in a field; nil leaves them to the file.
func inksOf(part io.Reader) ([]string, error) {
	text, err := io.ReadAll(io.LimitReader(part, 4*maxName*maxUnits))
	if err != nil {
		return nil, broken(err)
	}
	if strings.TrimSpace(string(text)) == "" {
		return nil, nil
	}
	inks := strings.Split(string(text), ",")
	for i, ink := range inks {
		if inks[i] = strings.TrimSpace(oneLine(strings.ToValidUTF8(ink, ""))); inks[i] == "" {
			return nil, refused("ink", "an ink's name is empty; name every ink of the file")
		}
		if err := named("ink", inks[i]); err != nil {
			return nil, err
		}
	}
	return inks, nil
}

// measure streams a file to the disk, as rasters are read from there in any
// order, and measures it. The file has no name there as soon as the system
// lets go of it: nothing is left behind, however the program ends.
func (s *Server) measure(label string, from io.Reader, inks []string) ([]*coverage.Map, error) {
	temporary, err := os.CreateTemp("", "bladeline-*")
	if err != nil {
		return nil, fmt.Errorf("%s: there is no place for the file on this machine; free some", label)
	}
	named := os.Remove(temporary.Name()) != nil // where an open file keeps its name
	defer func() {
		temporary.Close()
		if named {
			os.Remove(temporary.Name())
		}
	}()
	size, err := io.Copy(temporary, from)
	if _, large := errors.AsType[*http.MaxBytesError](err); large {
		return nil, err
	}
	if err != nil {
		return nil, fmt.Errorf("%s: the file did not arrive whole, or there is no room for it; send it again", label)
	}
	s.measuring <- struct{}{}
	defer func() { <-s.measuring }()
	return measured(label, temporary, size, coverage.Options{Inks: inks, InkIsLight: s.options.InkIsLight})
}

func measured(label string, data io.ReaderAt, size int64, o coverage.Options) ([]*coverage.Map, error) {
	f, err := coverage.OpenReader(label, data, size)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return f.Measure(o)
}

// maxLabel is as long as names of files may be everywhere, in bytes.
const maxLabel = 120

// fileLabel is a client's name for a file as a label, and as a name to save
// under: its last part, without what some systems do not let stand there.
func fileLabel(name string) string {
	name = strings.ToValidUTF8(name, "_")
	name = name[strings.LastIndexAny(name, `/\`)+1:]
	name = strings.Map(func(r rune) rune {
		if !unicode.IsPrint(r) || strings.ContainsRune(`:*?"<>|`, r) {
			return '_'
		}
		return r
	}, name)
	if over := len(name) - maxLabel; over > 0 {
		name = strings.ToValidUTF8(name[over:], "") // the end tells what it is
	}
	if name = strings.Trim(name, ". "); name == "" {
		return "separation"
	}
	return name
}
