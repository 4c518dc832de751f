package page

import (
	"net/http"
	"time"
)

// Bounds of what is asked at once: questions and their answers are held in
// memory, and what is made of them takes far more.
const (
	maxAsking    = 16
	maxComputing = 4 // of those
	maxLong      = 4 // questions of more than shortBody, that are held
)

var errMany = &refusal{http.StatusServiceUnavailable, "too many questions are asked at once; ask again in a moment", ""}

// inTurn has a question wait for one of some places, in which it is answered.
func (s *Server) inTurn(places chan struct{}, next http.HandlerFunc) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		late := time.NewTimer(s.times.turn)
		defer late.Stop()
		select {
		case places <- struct{}{}:
			defer leave(places)
			next(w, r)
		case <-r.Context().Done():
			fail(w, errGone)
		case <-late.C:
			fail(w, errMany)
		}
	}
}

// workedOut answers a question when a place to work it out is free.
func workedOut[T any](s *Server, w http.ResponseWriter, r *http.Request, of func(*http.Request) (T, error)) (v T, err error) {
	if err := enter(r, s.computing); err != nil {
		return v, err
	}
	defer leave(s.computing)
	r.Body = limited(w, r.Body, maxBody)
	return of(r)
}
