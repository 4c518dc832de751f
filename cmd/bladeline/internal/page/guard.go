package page

import (
	"net"
	"net/http"
	"strconv"
	"strings"
	"time"
)

// policy lets the page load what the server holds, and nothing else.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob: data:; connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

// TokenHeader carries the page's token on every request that changes something.
const TokenHeader = "X-Bladeline-Token"

// ServeHTTP refuses what does not come from the page itself, so that no other
// site in the same browser can use the server.
func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	if r.ContentLength != 0 {
		until(w, time.Now().Add(s.times.body))
	}
	o := &outlet{ResponseWriter: w, times: s.times}
	defer survive(o)
	w = o
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
	case foreign(r), s.crossSite.Check(r) != nil:
		refuse(w, http.StatusForbidden, "the request comes from another page; open the address that bladeline serve printed", "")
	case !s.admitted(r):
		refuse(w, http.StatusForbidden, "the page asks for a token; open the whole address that bladeline serve printed", "")
	case r.Method != http.MethodGet && r.Method != http.MethodHead && !s.isToken(r.Header.Get(TokenHeader)):
		refuse(w, http.StatusForbidden, "the page is older than the server; load it again", "")
	default:
		s.mux.ServeHTTP(w, r)
	}
}

// tabHeader tells the tabs apart that bring separations, so that none pushes out
// what another holds. Those that do not say are one.
const tabHeader = "X-Bladeline-Tab"

// tabOf is kept with what it brings, so it keeps nothing alive of a long header.
func tabOf(r *http.Request) string { return strings.Clone(firstOf(r.Header.Get(tabHeader), 64)) }

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
