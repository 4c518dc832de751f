package page

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"strconv"
	"strings"

	"bladeline/curves/settings"
	"bladeline/zones"
)

// A refusal is an answer that says no.
type refusal struct {
	status int
	what   string
	place  string // in the request's JSON; may be empty
}

func (r *refusal) Error() string { return r.what }

// refused is a request that makes sense and cannot be done.
func refused(place, format string, args ...any) error {
	return &refusal{http.StatusUnprocessableEntity, fmt.Sprintf(format, args...), place}
}

// refusedAs is an error of the packages below as a refusal of what is at a
// place. The place within a file becomes one within the JSON.
func refusedAs(place string, err error) error {
	if e, ok := errors.AsType[*zones.SeparationError](err); ok {
		return refused(place, "ink %s: %s", e.Ink, cured(e.Err))
	}
	e, ok := errors.AsType[*settings.FileError](err)
	if !ok {
		return refused(place, "%s", cured(err))
	}
	bare := *e
	bare.File, bare.Place = "", label(e.Place)
	return refused(within(place, e.Place), "%s", bare.Error())
}

// within puts a place of a file, as "fountain.zones" or "points: point 3 …",
// behind one of the JSON.
func within(place, file string) string {
	if m := numbered.FindStringSubmatch(file); m != nil {
		n, _ := strconv.Atoi(m[1]) // the pattern lets digits through
		return fmt.Sprintf("%s.points[%d]", place, n-1)
	}
	if file == "" {
		return place
	}
	return strings.TrimPrefix(place+"."+file[strings.LastIndexByte(file, '.')+1:], ".")
}

// maxBody bounds what a request of JSON may be: 64 zones, 8 inks and long
// curves take some 100 kB.
const maxBody = 1 << 20

// answer makes a handler of what turns a request into a value.
func (s *Server) answer(of func(*http.Request) (any, error)) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		v, err := workedOut(s, w, r, of)
		if err != nil {
			fail(w, err)
			return
		}
		reply(w, http.StatusOK, v)
	}
}

// send makes a handler of what turns a request into a file.
func (s *Server) send(of func(*http.Request) (*file, error)) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		f, err := workedOut(s, w, r, of)
		if err != nil {
			fail(w, err)
			return
		}
		w.Header().Set("Cache-Control", "private, no-cache")
		f.serve(w, r)
	}
}

// revisionHeader says which of its tab's states a question is about: a number that
// grows. The answer bears the same, be it a refusal, so that the page takes none
// for one to another state.
const revisionHeader = "X-Bladeline-Revision"

// revised has answers bear the revision of their question, where that states one.
func revised(next http.HandlerFunc) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		if n, err := strconv.ParseUint(r.Header.Get(revisionHeader), 10, 64); err == nil {
			w.Header().Set(revisionHeader, strconv.FormatUint(n, 10))
		}
		next(w, r)
	}
}

func reply(w http.ResponseWriter, status int, v any) {
	data, err := json.Marshal(v)
	if err != nil { // a number that JSON does not know
		refuse(w, http.StatusUnprocessableEntity, "these settings give numbers that are none; correct what was edited last", "")
		return
	}
	w.Header().Set("Content-Type", "application/json")
	w.Header().Set("Cache-Control", "no-store")
	w.WriteHeader(status)
	w.Write(data) // a client that has gone needs no answer
}

// refusalJSON is a refusal as the page reads it.
type refusalJSON struct {
	Error string `json:"error"`
	Place string `json:"place"`

	Computed *computed `json:"computed,omitempty"` // what can be shown all the same
}

func refuse(w http.ResponseWriter, status int, what, place string) {
	reply(w, status, refusalJSON{Error: sentence(what), Place: place})
}

// fail answers an error; one that is no refusal says what is wrong with what
// the client sent.
func fail(w http.ResponseWriter, err error) {
	if u, ok := errors.AsType[*unfit](err); ok {
		reply(w, u.status, refusalJSON{sentence(u.what), u.place, u.shown})
		return
	}
	if r, ok := errors.AsType[*refusal](err); ok {
		refuse(w, r.status, r.what, r.place)
		return
	}
	if e, ok := errors.AsType[*http.MaxBytesError](err); ok {
		refuse(w, http.StatusRequestEntityTooLarge, fmt.Sprintf("more than %d kB are too many for one request; send less at once", e.Limit>>10), "")
		return
	}
	refuse(w, http.StatusUnprocessableEntity, cured(err), "")
}

// read takes a request's JSON.
func read(r *http.Request, v any) error {
	body := bytes.NewBuffer(make([]byte, 0, max(0, r.ContentLength)+bytes.MinRead)) // timely has read as many
	if _, err := body.ReadFrom(r.Body); err != nil {
		return err
	}
	if err := bounded(body.Bytes()); err != nil {
		return err
	}
	d := json.NewDecoder(body)
	d.DisallowUnknownFields()
	err := d.Decode(v)
	if err == nil {
		if _, err = d.Token(); err == nil {
			err = errors.New("more follows behind it")
		} else if errors.Is(err, io.EOF) {
			err = nil
		}
	}
	if err == nil {
		return nil
	}
	what, place := strings.TrimPrefix(err.Error(), "json: "), ""
	if e, ok := errors.AsType[*json.UnmarshalTypeError](err); ok {
		place = strings.ReplaceAll(e.Field, "Change.", "") // of which the page knows nothing
		what = "what stands there is of another kind, " + e.Value
		if place != "" {
			what = fmt.Sprintf("what stands in %s is of another kind, %s", place, e.Value)
		}
	}
	return &refusal{http.StatusBadRequest, "the request is not what the page sends: " + what + "; load the page again", place}
}

// Bounds of what stands in a request's JSON: 32 inks with curves of 200 points,
// and what these were learned from, take less than a third. A list of empty
// objects takes a hundred times its length as values.
const (
	maxObjects = 20_000
	maxValues  = 100_000
)

// manyObjects and manyValues are more than questions of a few inks hold.
const (
	manyObjects = maxObjects / 20
	manyValues  = maxValues / 20
)

// bounded refuses a request of more objects or values than that, before any are
// made.
func bounded(data []byte) error {
	if objects, values := valuesIn(data); objects > maxObjects || values > maxValues {
		return &refusal{http.StatusRequestEntityTooLarge, fmt.Sprintf("more than %d shapes and inks, or %d values, are too many for one request; send less at once", maxObjects, maxValues), ""}
	}
	return nil
}

// valuesIn is how many objects and values stand in JSON. What is none may be
// counted wrongly, and is refused behind this.
func valuesIn(data []byte) (objects, values int) {
	quoted := false
	for i := 0; i < len(data); i++ {
		switch c := data[i]; {
		case c == '"':
			quoted = !quoted
		case quoted && c == '\\':
			i++
		case quoted:
		case c == '{':
			objects++
		case c == ',':
			values++
		}
	}
	return objects, values
}
