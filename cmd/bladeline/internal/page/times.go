package page

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"net/http"
	"os"
	"time"
)

// times are those that a client has.
type times struct {
	body   time.Duration // for the body of a question, all of it
	idle   time.Duration // between two pieces of an upload
	upload time.Duration // for every leastUpload bytes of one
	write  time.Duration // to take a piece of an answer
	answer time.Duration // to take all of it
	turn   time.Duration // that a question waits for others
}

var usualTimes = times{
	body: 30 * time.Second, idle: 60 * time.Second, upload: 2 * time.Minute,
	write: 20 * time.Second, answer: 5 * time.Minute, turn: 10 * time.Second,
}

// until is when the server ceases to read what the client sends, the zero time
// never. What comes from no network, as in tests, has no such time.
func until(w http.ResponseWriter, t time.Time) { http.NewResponseController(w).SetReadDeadline(t) }

// timely reads a question, which is small, before it is answered in its turn,
// and refuses one that does not arrive in its time. Of those that are longer than
// most only a few are held at once, and one is answered of those that take much
// memory, so that many take no more than few; and none that drips in keeps short
// ones waiting.
func (s *Server) timely(next http.HandlerFunc) http.HandlerFunc {
	answer := s.inTurn(s.asking, next)
	alone := s.inTurn(s.heavy, answer)
	return func(w http.ResponseWriter, r *http.Request) {
		body := new(bytes.Buffer)
		if err := gather(body, r.Body, shortBody); err != nil {
			fail(w, err)
			return
		}
		if body.Len() == shortBody {
			s.inTurn(s.long, wholly(body, alone))(w, r)
			return
		}
		isWhole(w, r, body)
		if objects, values := valuesIn(body.Bytes()); objects > manyObjects || values > manyValues {
			alone(w, r)
			return
		}
		answer(w, r)
	}
}

// wholly reads what follows of a long question.
func wholly(body *bytes.Buffer, next http.HandlerFunc) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		if claimed := int(min(r.ContentLength, maxBody)); claimed > body.Len() {
			body.Grow(claimed - body.Len() + bytes.MinRead)
		}
		if err := gather(body, r.Body, maxBody+1-body.Len()); err != nil { // one more is refused behind this
			fail(w, err)
			return
		}
		isWhole(w, r, body)
		next(w, r)
	}
}

// isWhole gives a request its body, of which no more is waited for: the client
// would be taken to have gone while it waits for its answer.
func isWhole(w http.ResponseWriter, r *http.Request, body *bytes.Buffer) {
	until(w, time.Time{})
	r.Body, r.ContentLength = io.NopCloser(body), int64(body.Len())
}

// shortBody is more than questions of a few inks take.
const shortBody = 64 << 10

// gather reads what comes, up to so many bytes.
func gather(to *bytes.Buffer, from io.Reader, most int) error {
	_, err := to.ReadFrom(io.LimitReader(from, int64(most)))
	switch {
	case errors.Is(err, os.ErrDeadlineExceeded):
		return &refusal{http.StatusRequestTimeout, "the request did not arrive in time; send it again", ""}
	case err != nil:
		return &refusal{http.StatusBadRequest, "the request did not arrive whole; send it again", ""}
	}
	return nil
}

// A lively body may take its time, but not stand still for as long as idle, nor
// drip: leastUpload bytes come in every stretch of it.
type lively struct {
	io.ReadCloser
	w     http.ResponseWriter
	times times
	since time.Time // when the stretch began
	got   int       // in it
}

// leastUpload in its time, usualTimes.upload, is a tenth of what a bad wireless
// network carries, with a minute's silence in it.
const leastUpload = 64 << 10

func (l *lively) Read(p []byte) (int, error) {
	now := time.Now()
	if l.since.IsZero() || l.got >= leastUpload {
		l.since, l.got = now, 0
	}
	still, slow := now.Add(l.times.idle), l.since.Add(l.times.upload)
	end := still
	if slow.Before(still) {
		end = slow
	}
	until(l.w, end)
	n, err := l.ReadCloser.Read(p)
	l.got += n
	switch {
	case errors.Is(err, io.EOF):
		until(l.w, time.Time{}) // the client may wait now
	case errors.Is(err, os.ErrDeadlineExceeded) && slow.Before(still):
		err = &refusal{http.StatusRequestTimeout, fmt.Sprintf("less than %s came in %.0f s; send the files again where the connection is faster", sizeOf(leastUpload), l.times.upload.Seconds()), ""}
	case errors.Is(err, os.ErrDeadlineExceeded):
		err = &refusal{http.StatusRequestTimeout, fmt.Sprintf("nothing more came for %.0f s; send the files again", l.times.idle.Seconds()), ""}
	}
	return n, err
}

// An outlet is where an answer goes. A client that does not take it is cut off:
// until then the server holds all of it.
type outlet struct {
	http.ResponseWriter
	times times
	begun time.Time // zero: nothing is written yet
}

// pieceBytes are written in times.write or never.
const pieceBytes = 32 << 10

// Unwrap lets http.ResponseController through.
func (o *outlet) Unwrap() http.ResponseWriter { return o.ResponseWriter }

func (o *outlet) WriteHeader(status int) {
	o.expect()
	o.ResponseWriter.WriteHeader(status)
}

func (o *outlet) Write(p []byte) (n int, err error) {
	for err == nil && n < len(p) {
		var took int
		o.expect()
		took, err = o.ResponseWriter.Write(p[n:min(n+pieceBytes, len(p))])
		n += took
	}
	return n, err
}

// expect is when the next piece must have been taken.
func (o *outlet) expect() {
	now := time.Now()
	if o.begun.IsZero() {
		o.begun = now
	}
	end, last := now.Add(o.times.write), o.begun.Add(o.times.answer)
	if last.Before(end) {
		end = last
	}
	http.NewResponseController(o.ResponseWriter).SetWriteDeadline(end) // which a test without a network lacks
}

// limited is a request's body of at most so many bytes. The library closes the
// connection behind a longer one, if it is given its own writer.
func limited(w http.ResponseWriter, body io.ReadCloser, most int64) io.ReadCloser {
	if o, ok := w.(*outlet); ok {
		w = o.ResponseWriter
	}
	return http.MaxBytesReader(w, body, most)
}
