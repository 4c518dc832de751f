package page

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"mime/multipart"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"testing"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/coverage"
	"bladeline/curves"
	"bladeline/zones"
	"bladeline/zones/preset"
	"bladeline/zones/press"

	"github.com/stretchr/testify/require"
)

// testPress has 8 keys of 50 mm and takes each form's own length.
const testPress = `
name = "Test press"
[fountain]
zones = 8
zone_width_mm = 50
first_zone = "right"
blade = "segmented"
[keys]
unit = "%"
travel = 100
step = 1
[sweep]
unit = "%"
from = 10
to = 90
step = 1
reference = 45
`

const testCurve = `
name = "Line"
shape = "straight"
points = [[0, 0], [100, 100]]
`

// testOptions are a press, a curve and no separation.
func testOptions(t testing.TB) Options {
	press, err := press.Parse("test.press.toml", []byte(testPress))
	require.NoError(t, err)
	curve, err := curves.ParseCurve("line.curve.toml", []byte(testCurve))
	require.NoError(t, err)
	return Options{
		Library: job.Library{
			Presses: []job.Press{{Called: "test", Press: press, Curve: curve, ByInk: map[string]*curves.Curve{}}},
			Curves:  []*curves.Curve{curve},
		},
		Cautions: "Take care.",
	}
}

// A client asks a server over the network, as a browser does.
type client struct {
	t      testing.TB
	server *Server
	url    string
}

func newClient(t testing.TB, o Options) *client {
	server, err := New(o)
	require.NoError(t, err)
	served := httptest.NewServer(server)
	t.Cleanup(served.Close)
	return &client{t, server, served.URL}
}

// An answered is what came back.
type answered struct {
	status int
	header http.Header
	body   []byte
}

// ask sends a request with the token; changes alter it first.
func (c *client) ask(method, path string, body io.Reader, changes ...func(*http.Request)) answered {
	c.t.Helper()
	r, err := http.NewRequest(method, c.url+path, body)
	require.NoError(c.t, err)
	r.Header.Set(TokenHeader, c.server.token)
	for _, change := range changes {
		change(r)
	}
	w, err := http.DefaultTransport.RoundTrip(r) // redirects are not followed
	require.NoError(c.t, err)
	defer w.Body.Close()
	data, err := io.ReadAll(w.Body)
	require.NoError(c.t, err)
	return answered{w.StatusCode, w.Header, data}
}

// fetch wants a file or value.
func (c *client) fetch(path string) answered {
	c.t.Helper()
	a := c.ask("GET", path, nil)
	require.Equal(c.t, http.StatusOK, a.status, string(a.body))
	return a
}

// send sends a value as JSON.
func (c *client) send(path string, v any) answered {
	c.t.Helper()
	data, err := json.Marshal(v)
	require.NoError(c.t, err)
	return c.ask("POST", path, bytes.NewReader(data))
}

// sent wants a value for one that is sent.
func sent[T any](c *client, path string, v any) T {
	c.t.Helper()
	a := c.send(path, v)
	require.Equal(c.t, http.StatusOK, a.status, string(a.body))
	return decoded[T](c.t, a)
}

func decoded[T any](t testing.TB, a answered) T {
	t.Helper()
	var v T
	require.Equal(t, "application/json", a.header.Get("Content-Type"), string(a.body))
	require.NoError(t, json.Unmarshal(a.body, &v), string(a.body))
	return v
}

// A said is a refusal as the page reads it.
type said struct{ Error, Place string }

// refusedWith wants a refusal of one sentence that says what to do.
func refusedWith(t testing.TB, status int, a answered) said {
	t.Helper()
	require.Equal(t, status, a.status, string(a.body))
	s := decoded[said](t, a)
	require.NotEmpty(t, s.Error)
	require.Contains(t, s.Error, "; ", "what to do")
	require.NotContains(t, s.Error, "\n")
	require.Regexp(t, `^[^\p{Ll}].*[^.]\.$`, s.Error, "a sentence")
	return s
}

// form is a multipart form of parts "field", "file name", content.
func form(t testing.TB, parts ...[3]string) (body *bytes.Buffer, kind func(*http.Request)) {
	body = &bytes.Buffer{}
	w := multipart.NewWriter(body)
	for _, p := range parts {
		part, err := w.CreateFormFile(p[0], p[1])
		require.NoError(t, err)
		_, err = io.WriteString(part, p[2])
		require.NoError(t, err)
	}
	require.NoError(t, w.Close())
	return body, func(r *http.Request) { r.Header.Set("Content-Type", w.FormDataContentType()) }
}

func (c *client) upload(parts ...[3]string) answered {
	c.t.Helper()
	body, kind := form(c.t, parts...)
	return c.ask("POST", "/api/separations", body, kind)
}

// brings has a file measured and answers its one separation.
func (c *client) brings(name, data string) separationJSON {
	c.t.Helper()
	b := decoded[brought](c.t, c.upload([3]string{"file", name, data}))
	require.Len(c.t, b.Separations, 1)
	return b.Separations[0]
}

// plateOf is a plate of 400 × 200 mm, which the test press takes whole.
func plateOf(ink string, shapes ...shape) plate {
	return plate{WidthMM: 400, HeightMM: 200, Ink: ink, Shapes: shapes}
}

// rasterOf is such a plate as a PNG.
func rasterOf(shapes ...shape) string {
	p := plateOf("", shapes...)
	return string(p.raster())
}

// half covers the left half of a plate.
var half = shape{X: 0, Y: 0, W: 0.5, H: 1, Tint: 100}

// stateOf is a state of the test press with a unit for each separation.
func stateOf(t testing.TB, separations ...separationJSON) State {
	o := testOptions(t)
	s := State{Job: "test", Press: pressJSON{Base: "test"}, Placement: *preset.State(zones.Placement{})}
	for _, sep := range separations {
		s.Units = append(s.Units, unit{Separation: sep.ID, Ink: sep.Ink, Curve: curveJSON(o.Curves[0])})
	}
	return s
}

// example is a file of the demonstration job.
func example(t testing.TB, name string) string {
	data, err := os.ReadFile("../../../../examples/" + name)
	require.NoError(t, err)
	return string(data)
}

// manyInks is a server that holds one form in so many inks, and its state on a
// press of so many zones.
func manyInks(t testing.TB, inks, zoneCount int) (*client, State) {
	o := testOptions(t)
	m, err := coverage.MeasureFiles(t.Context(), []coverage.Input{{Path: "../../../../examples/harbour-fair(Black).tif"}}, coverage.Options{})
	require.NoError(t, err)
	for i := range inks {
		one := *m[0]
		one.Ink = fmt.Sprintf("Ink %d", i+1)
		o.Maps = append(o.Maps, &one)
	}
	c := newClient(t, o)
	state := decoded[startJSON](t, c.fetch("/api/start")).State
	width := 660 / float64(zoneCount)
	state.Press.Zones, state.Press.ZoneWidthMM = &zoneCount, &width
	return c, state
}

// direct asks a server without a network between.
func direct(t testing.TB, s *Server, path string, body []byte, changes ...func(*http.Request)) answered {
	r := httptest.NewRequest("POST", path, bytes.NewReader(body))
	r.Host = "127.0.0.1:1234"
	at := &net.TCPAddr{IP: net.IPv4(127, 0, 0, 1), Port: 1234}
	r = r.WithContext(context.WithValue(r.Context(), http.LocalAddrContextKey, net.Addr(at)))
	r.Header.Set(TokenHeader, s.token)
	for _, change := range changes {
		change(r)
	}
	w := httptest.NewRecorder()
	s.ServeHTTP(w, r)
	return answered{w.Code, w.Header(), w.Body.Bytes()}
}

func marshalled(t testing.TB, v any) []byte {
	data, err := json.Marshal(v)
	require.NoError(t, err)
	return data
}
