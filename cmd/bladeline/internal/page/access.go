package page

import (
	"crypto/subtle"
	"net"
	"net/http"
	"net/url"
	"strings"
)

// tokenQuery is what the page's token is called in its address.
const tokenQuery = "token"

// Query is what the address to open carries behind its path: the page's token,
// where that is asked for, else nothing.
func (s *Server) Query() string {
	if !s.options.AskToken {
		return ""
	}
	return "?" + url.Values{tokenQuery: {s.token}}.Encode()
}

// admitted tells whether a client has shown the token, where it is asked for: in
// the address or, once the page was opened by that, in the cookie or header.
func (s *Server) admitted(r *http.Request) bool {
	if !s.options.AskToken || s.isToken(r.Header.Get(TokenHeader)) || s.isToken(r.URL.Query().Get(tokenQuery)) {
		return true
	}
	for _, c := range r.CookiesNamed(cookieName(r)) {
		if s.isToken(c.Value) {
			return true
		}
	}
	return false
}

// remember has the browser show the token from now on, until it ends: to this
// server alone, on no other site's behalf, and to no script.
func (s *Server) remember(w http.ResponseWriter, r *http.Request) {
	if s.options.AskToken {
		http.SetCookie(w, &http.Cookie{Name: cookieName(r), Value: s.token, Path: "/", HttpOnly: true, SameSite: http.SameSiteStrictMode})
	}
}

// cookieName has the port in it: to a browser all ports of a machine are one.
func cookieName(r *http.Request) string {
	_, port, _ := net.SplitHostPort(r.Host) // without one, it is HTTP's own
	return strings.TrimSuffix("bladeline-"+port, "-")
}

// isToken compares in a time that tells nothing of the token.
func (s *Server) isToken(text string) bool {
	return subtle.ConstantTimeCompare([]byte(text), []byte(s.token)) == 1
}
