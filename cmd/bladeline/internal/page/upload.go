package page

import (
	"cmp"
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net/http"
	"net/textproto"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"bladeline/cmd/bladeline/internal/ghostscript"
	"bladeline/cmd/bladeline/internal/job"
	"bladeline/coverage"
)

// brought is the answer to files that a client brings.
type brought struct {
	Separations []separationJSON `json:"separations"`
	Errors      []fileError      `json:"errors"`
	Notes       []string         `json:"notes"` // on how they were read
}

type fileError struct {
	File  string `json:"file"`
	Error string `json:"error"`
	Pages int    `json:"pages"` // of a file of which one is to be chosen, else 0
}

func newBrought() *brought {
	return &brought{Separations: []separationJSON{}, Errors: []fileError{}, Notes: []string{}}
}

func (b *brought) refuse(label string, err error) {
	e := fileError{File: label, Error: sentence(strings.TrimPrefix(cured(err), label+": "))}
	if many, is := errors.AsType[*job.PagesError](err); is {
		e.Pages = many.Pages
	}
	b.Errors = append(b.Errors, e)
}

// empty tells whether there is nothing yet to say of any file.
func (b *brought) empty() bool { return len(b.Separations)+len(b.Errors) == 0 }

// Bounds of what arrives. The files of a request are a job's, so its parts are
// as many inks, and a name for each.
const (
	maxUpload    = 4 << 30 // bytes of one request: a large plate of 1 bit without compression, four times over
	maxReceiving = 16      // requests at once
	maxMeasuring = 2       // of those
	maxParts     = 2 * maxUnits
)

// upload measures the files of a form, one after another, as measure does. A
// field "ink" names the inks of the file behind it, parted by commas; a field "page"
// the page that is meant of it.
func (s *Server) upload(w http.ResponseWriter, r *http.Request) {
	select {
	case s.receiving <- struct{}{}:
		defer func() { <-s.receiving }()
	default:
		refuse(w, http.StatusServiceUnavailable, fmt.Sprintf("%d uploads are under way already; bring the file again when one of them is done", cap(s.receiving)), "")
		return
	}
	if r.ContentLength > s.maxUpload {
		fail(w, s.tooLarge())
		return
	}
	r.Body = limited(w, &lively{ReadCloser: r.Body, w: w, times: s.times}, s.maxUpload)
	parts, err := partsOf(r)
	if err != nil {
		fail(w, errNoFile)
		return
	}
	b := newBrought()
	err = s.bring(r, parts, b)
	switch {
	case err != nil && b.empty():
		fail(w, err)
		return
	case err != nil: // what is known of some of the files is said all the same
		b.refuse("", err)
	}
	if len(b.Separations) == 0 {
		reply(w, http.StatusUnprocessableEntity, b)
		return
	}
	reply(w, http.StatusOK, b)
}

var (
	errNoFile = &refusal{http.StatusBadRequest, "the request holds no files; choose some", ""}
	errGone   = &refusal{http.StatusRequestTimeout, "the page that asked has gone; ask again", ""} // nobody reads it
)

// bring reads a form and measures its files once all are there: while a request
// is still being read, nobody is told that its client has gone. Its error is of
// the request as a whole, of which some files may have arrived.
func (s *Server) bring(r *http.Request, parts *formParts, b *brought) error {
	temporary, err := s.temporary()
	if err != nil {
		return noRoom(err, 0)
	}
	defer temporary.Close()
	files, failed := s.receive(r, parts, temporary, b)
	if failed == nil {
		_, failed = io.Copy(io.Discard, r.Body) // up to its very end
		failed = s.broken(failed, r)
	}
	if form := slices.IndexFunc(files, arrived.isForm); form >= 0 && failed == nil {
		return s.takeForm(r, files, form, temporary, b)
	}
	for _, f := range files {
		if err := s.take(r, f, temporary, b); err != nil {
			return cmp.Or(failed, err)
		}
	}
	if failed == nil && b.empty() {
		return errNoFile
	}
	return failed
}

// An arrived is a file that has arrived whole, and where it stands in the
// temporary file.
type arrived struct {
	label    string
	inks     []string
	page     int // the one that is meant of several; 0 is not said
	at, size int64
}

// receive streams the files of a form to the disk, as rasters are read from
// there in any order, one behind another.
func (s *Server) receive(r *http.Request, parts *formParts, to io.Writer, b *brought) ([]arrived, error) {
	var files []arrived
	var next arrived
	for count := 1; ; count++ {
		part, err := parts.next()
		switch {
		case err == io.EOF: // and no other: one that is wrapped came too early
			return files, nil
		case err != nil:
			return files, s.broken(err, r)
		case count > maxParts:
			return files, refused("", "more than %d parts, files and names of inks, are too many for one request; bring fewer files at once", maxParts)
		}
		switch part.FormName() {
		case "ink":
			if next.inks, err = s.inksOf(part, r); err != nil {
				return files, err
			}
		case "page":
			if next.page, err = pageOf(part); err != nil {
				return files, err
			}
		case "file":
			next.label = fileLabel(part.FileName())
			if next.size, err = io.Copy(to, part); err != nil {
				return files, s.halfArrived(next.label, err, r, b)
			}
			files = append(files, next)
			next = arrived{at: next.at + next.size}
		}
	}
}

// halfArrived says what became of a file that has begun to arrive.
func (s *Server) halfArrived(label string, err error, r *http.Request, b *brought) error {
	why := s.broken(err, r)
	if why == errCut {
		b.refuse(label, errors.New("did not arrive whole; send it again"))
		return nil
	}
	return why
}

// take measures a file and keeps its separations.
func (s *Server) take(r *http.Request, f arrived, from io.ReaderAt, b *brought) error {
	maps, err := s.measure(r, f, io.NewSectionReader(from, f.at, f.size), b)
	err = otherKind(err, f.label)
	if held := len(b.Separations) + len(maps); err == nil && held > maxUnits {
		err = fmt.Errorf("with it there are %d separations, more than the %d inks of a job; bring fewer, one file an ink", held, maxUnits)
	}
	switch {
	case err != nil && r.Context().Err() != nil:
		return errGone
	case err != nil:
		b.refuse(f.label, err)
		return nil
	}
	s.keep(r, maps, b)
	return nil
}

// otherKind says of a file that is of no kind of separation what the page does take.
func otherKind(err error, label string) error {
	e, is := errors.AsType[*coverage.UnsupportedError](err)
	if !is || e.What != coverage.UnknownKind {
		return err
	}
	if slices.Contains([]string{".tif", ".tiff", ".png", ".cover"}, strings.ToLower(filepath.Ext(label))) {
		return err // for it says that it is one of these
	}
	return errors.New("the page does not read files of this kind; bring separations as TIFF, PNG, PDF or PostScript, form files, curves, press files, presets, OK files or class lists")
}

// keep keeps what was measured for a client.
func (s *Server) keep(r *http.Request, maps []*coverage.Map, b *brought) {
	for _, m := range maps {
		sep := s.store.keep(&separation{Map: m, id: rand.Text(), kind: uploaded, tab: tabOf(r)})
		b.Separations = append(b.Separations, sep.json())
	}
}

var errCut = &refusal{http.StatusBadRequest, "the files did not arrive whole; send them again", ""}

// broken says why a request could not be read, or not be written down.
func (s *Server) broken(err error, r *http.Request) error {
	if err == nil {
		return nil
	}
	if _, large := errors.AsType[*http.MaxBytesError](err); large {
		return s.tooLarge()
	}
	if said, is := errors.AsType[*refusal](err); is {
		return said
	}
	if _, ours := errors.AsType[*fs.PathError](err); ours {
		return noRoom(err, r.ContentLength)
	}
	if _, header := errors.AsType[textproto.ProtocolError](err); header {
		return &refusal{http.StatusBadRequest, "a file's name cannot be read, perhaps for a control character in it; give the file another name and bring it again", ""}
	}
	return errCut
}

func (s *Server) tooLarge() error {
	return &refusal{http.StatusRequestEntityTooLarge, fmt.Sprintf("more than %s are too much for one upload; name the file on the command line of bladeline serve", sizeOf(s.maxUpload)), ""}
}

// pageOf is the number in a field.
func pageOf(part io.Reader) (int, error) {
	text, _ := io.ReadAll(io.LimitReader(part, 10)) // cut off, it is none
	n, err := strconv.Atoi(strings.TrimSpace(string(text)))
	if err != nil || n < 1 {
		return 0, refused("page", "%q is no page; give a number from 1 on", tidied(strings.ToValidUTF8(string(text), "")))
	}
	return n, nil
}

// inksOf are the names in a field; nil leaves them to the file.
func (s *Server) inksOf(part io.Reader, r *http.Request) ([]string, error) {
	text, err := io.ReadAll(io.LimitReader(part, 4*maxName*maxUnits))
	if err != nil {
		return nil, s.broken(err, r)
	}
	if strings.TrimSpace(string(text)) == "" {
		return nil, nil
	}
	inks := strings.Split(string(text), ",")
	for i, ink := range inks {
		if inks[i] = strings.TrimSpace(tidied(strings.ToValidUTF8(ink, ""))); inks[i] == "" {
			return nil, refused("ink", "an ink's name is empty; name every ink of the file")
		}
		if err := checkName("ink", inks[i]); err != nil {
			return nil, err
		}
		inks[i] = strings.Clone(inks[i]) // which keeps the field alive no more
	}
	return inks, nil
}

// measure measures a file when it is its turn, and as long as its client is
// there.
func (s *Server) measure(r *http.Request, f arrived, data *io.SectionReader, b *brought) ([]*coverage.Map, error) {
	if ghostscript.IsJobIn(data) {
		return s.separated(r, f, data, b)
	}
	if err := enter(r, s.measuring); err != nil {
		return nil, err
	}
	defer leave(s.measuring)
	return measured(r.Context(), f.label, data, f.size, coverage.Options{Inks: f.inks, InkIsLight: s.options.InkIsLight, Workers: s.workers})
}

// wanted are the bytes of a file for as long as its client is there: to open it
// may take long, too.
type wanted struct {
	io.ReaderAt
	ctx context.Context
}

func (w wanted) ReadAt(p []byte, offset int64) (int, error) {
	if w.ctx.Err() != nil {
		return 0, context.Cause(w.ctx)
	}
	return w.ReaderAt.ReadAt(p, offset)
}

// enter waits for one of some places, as long as the client does.
func enter(r *http.Request, places chan struct{}) error {
	select {
	case places <- struct{}{}:
		return nil
	case <-r.Context().Done():
		return errGone
	}
}

func leave(places chan struct{}) { <-places }

func measured(ctx context.Context, label string, data io.ReaderAt, size int64, o coverage.Options) ([]*coverage.Map, error) {
	f, err := coverage.OpenReader(label, wanted{data, ctx}, size)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return f.Measure(ctx, o)
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
	return strings.Clone(name) // without the rest of what was sent as one
}
