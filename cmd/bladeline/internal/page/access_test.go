package page

import (
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// asking is a client of a server that asks for its token.
func asking(t *testing.T) *client {
	o := testOptions(t)
	o.AskToken = true
	return newClient(t, o)
}

func untold(r *http.Request) { r.Header.Del(TokenHeader) }

// TestNothingIsAnsweredWithoutToken asks for all there is, as another account of
// the machine would.
func TestNothingIsAnsweredWithoutToken(t *testing.T) {
	c := asking(t)
	cookie := strings.TrimPrefix(c.Query(), "?token=")
	for name, change := range map[string]func(*http.Request){
		"none":            func(*http.Request) {},
		"wrong":           func(r *http.Request) { r.URL.RawQuery = "token=guessed" },
		"empty":           func(r *http.Request) { r.URL.RawQuery = "token=" },
		"shortened":       func(r *http.Request) { r.URL.RawQuery = c.Query()[1:10] },
		"called other":    func(r *http.Request) { r.URL.RawQuery = "t=" + cookie },
		"wrong cookie":    header("Cookie", c.cookieName()+"=guessed"),
		"another's":       header("Cookie", "bladeline-1="+cookie),
		"without a port":  header("Cookie", "bladeline="+cookie),
		"wrong in header": header(TokenHeader, "guessed"),
	} {
		for _, path := range []string{"/", "/static/main.js", "/favicon.ico", "/api/start", "/nowhere"} {
			said := refusedWith(t, http.StatusForbidden, c.ask("GET", path, nil, untold, change))
			assert.Equal(t, "The page asks for a token; open the whole address that bladeline serve printed.", said.Error, name)
		}
		refusedWith(t, http.StatusForbidden, c.ask("POST", "/api/preset", strings.NewReader("{}"), untold, change))
		refusedWith(t, http.StatusForbidden, c.ask("POST", "/api/separations", nil, untold, change))
	}
}

func (c *client) Query() string { return c.server.Query() }

func (c *client) cookieName() string {
	return "bladeline-" + c.url[strings.LastIndexByte(c.url, ':')+1:]
}

// TestTokenOpensThePage opens the address that is printed, and goes on with what
// the browser then remembers.
func TestTokenOpensThePage(t *testing.T) {
	c := asking(t)
	opened := c.ask("GET", "/"+c.Query(), nil, untold)
	require.Equal(t, http.StatusOK, opened.status)
	assert.Equal(t, "no-store", opened.header.Get("Cache-Control"))
	set := opened.header.Values("Set-Cookie")
	require.Len(t, set, 1)
	assert.Equal(t, c.cookieName()+"="+c.server.token+"; Path=/; HttpOnly; SameSite=Strict", set[0])
	remembered, _, _ := strings.Cut(set[0], ";")
	for _, path := range []string{"/", "/static/main.js", "/api/start"} {
		assert.Equal(t, http.StatusOK, c.ask("GET", path, nil, untold, header("Cookie", "other=1; "+remembered)).status, path)
	}
	assert.Equal(t, 200, c.send("/api/draw", plateOf("Black", half)).status)
	refusedWith(t, http.StatusForbidden, c.ask("POST", "/api/draw", nil, untold, header("Cookie", remembered))) // as another page would
	refusedWith(t, http.StatusMisdirectedRequest, c.ask("GET", "/"+c.Query(), nil, host("rebound.example")))
	refusedWith(t, http.StatusForbidden, c.ask("GET", "/"+c.Query(), nil, header("Origin", "http://elsewhere.example")))
}

// TestUnaskedTokenIsNotGiven serves as it always did.
func TestUnaskedTokenIsNotGiven(t *testing.T) {
	c := newClient(t, testOptions(t))
	assert.Empty(t, c.Query())
	for _, path := range []string{"/", "/?token=x"} {
		a := c.ask("GET", path, nil, untold)
		assert.Equal(t, http.StatusOK, a.status)
		assert.Empty(t, a.header.Values("Set-Cookie"))
	}
}
