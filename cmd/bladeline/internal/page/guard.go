package page

import (
	"bytes"
	"crypto/subtle"
	"errors"
	"io"
	"net"
	"net/http"
	"os"
	"strconv"
	"strings"
	"time"

	"bladeline/coverage"
)

// policy lets the page load what the server holds, and nothing else.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob: data:; connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

// TokenHeader carries the page's token on every request that changes something.
const TokenHeader = "X-Bladeline-Token"

// ServeHTTP refuses what does not come from the page itself, so that no other
// site in the same browser can use the server.
func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	until(w, time.Now().Add(s.bodyTime))
	h := w.Header()
	h.Set("Content-Security-Policy", policy)
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Referrer-Policy", "no-referrer")
	h.Set("Cross-Origin-Opener-Policy", "same-origin")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	local, _ := r.Context().Value(http.LocalAddrContextKey).(net.Addr)
	switch {
	case !knows(local, r.Host):
		refuse(w, http.StatusMisdirectedRequest, "the page is not served under this name; open the address that bladeline serve printed", "")
	case foreign(r):
		refuse(w, http.StatusForbidden, "the request comes from another page; open the address that bladeline serve printed", "")
	case r.Method != http.MethodGet && r.Method != http.MethodHead && !s.hasToken(r):
		refuse(w, http.StatusForbidden, "the page is older than the server; load it again", "")
	default:
		safely(s.mux, w, r)
	}
}

// safely answers a request; one whose handler panics is told so, and no other
// notices.
func safely(h http.Handler, w http.ResponseWriter, r *http.Request) {
	defer func() {
		if v := recover(); v != nil {
			coverage.ShowStack(v)
			refuse(w, http.StatusInternalServerError, "the server failed on this; please report it, with what was asked last", "")
		}
	}()
	h.ServeHTTP(w, r)
}

// The times that a client has for the body of a request: for all of it, and
// between two pieces of an upload.
const (
	bodyTime = 30 * time.Second
	idleTime = 60 * time.Second
)

// timely reads a request's body, which is small, before it is answered, and
// refuses one that does not arrive in its time.
func timely(next http.HandlerFunc) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		body, err := io.ReadAll(io.LimitReader(r.Body, maxBody+1)) // one more is refused behind this
		switch {
		case errors.Is(err, os.ErrDeadlineExceeded):
			refuse(w, http.StatusRequestTimeout, "the request did not arrive in time; send it again", "")
			return
		case err != nil:
			refuse(w, http.StatusBadRequest, "the request did not arrive whole; send it again", "")
			return
		}
		until(w, time.Time{}) // or the client would be taken to have gone
		r.Body = io.NopCloser(bytes.NewReader(body))
		next(w, r)
	}
}

// until is when the server ceases to read what the client sends, the zero time
// never. What comes from no network, as in tests, has no such time.
func until(w http.ResponseWriter, t time.Time) { http.NewResponseController(w).SetReadDeadline(t) }

// A lively body may take its time, but not stand still for as long as idle.
type lively struct {
	io.ReadCloser
	w    http.ResponseWriter
	idle time.Duration
}

func (l lively) Read(p []byte) (int, error) {
	until(l.w, time.Now().Add(l.idle))
	n, err := l.ReadCloser.Read(p)
	if errors.Is(err, io.EOF) {
		until(l.w, time.Time{}) // the client may wait now
	}
	return n, err
}

// tabHeader tells the tabs apart that bring separations, so that none pushes out
// what another holds. Those that do not say are one.
const tabHeader = "X-Bladeline-Tab"

func tabOf(r *http.Request) string { return firstOf(r.Header.Get(tabHeader), 64) }

func (s *Server) hasToken(r *http.Request) bool {
	return subtle.ConstantTimeCompare([]byte(r.Header.Get(TokenHeader)), []byte(s.token)) == 1
}

// knows tells whether a request names as its host the very address that it
// arrived at, or localhost. Names are not taken: a foreign name server can
// point its own at this machine.
func knows(local net.Addr, host string) bool {
	at, ok := local.(*net.TCPAddr)
	if !ok {
		return false
	}
	name, port, err := net.SplitHostPort(host)
	if err != nil { // HTTP's own port is left out
		name, port = strings.Trim(host, "[]"), "80"
	}
	if p, err := strconv.Atoi(port); err != nil || p != at.Port {
		return false
	}
	if strings.EqualFold(name, "localhost") {
		return at.IP.IsLoopback()
	}
	ip := net.ParseIP(name)
	return ip != nil && ip.Equal(at.IP)
}

// foreign tells whether a browser says that another page asks.
func foreign(r *http.Request) bool {
	origin := r.Header.Get("Origin")
	return origin != "" && !strings.EqualFold(origin, "http://"+r.Host)
}
