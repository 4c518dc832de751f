package main

import (
	"bufio"
	"bytes"
	"encoding/json"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/cmd/bladeline/internal/page"

	"github.com/spf13/cobra"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// served is bladeline serve as a process.
type served struct {
	t              *testing.T
	cmd            *exec.Cmd
	address        string // that is printed
	url, token     string
	stderr         *os.File
	temporary, dir string
}

// startServe starts the program in the examples' folder, and waits for its
// address.
func startServe(t *testing.T, args ...string) *served {
	s := &served{t: t, temporary: t.TempDir(), dir: "../../examples"}
	s.cmd = exec.Command("bladeline", append([]string{"serve"}, args...)...)
	stderr, err := os.Create(filepath.Join(t.TempDir(), "stderr"))
	require.NoError(t, err)
	t.Cleanup(func() { stderr.Close() })
	s.stderr, s.cmd.Dir, s.cmd.Stderr = stderr, s.dir, stderr
	s.cmd.Env = append(os.Environ(), "TMPDIR="+s.temporary)
	out, err := s.cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, s.cmd.Start())
	t.Cleanup(func() { s.cmd.Process.Kill() }) // where a test fails early
	line, err := bufio.NewReader(out).ReadString('\n')
	require.NoError(t, err, s.said())
	s.address = strings.TrimSpace(line)
	require.Regexp(t, `^http://127\.0\.0\.1:\d+/(\?token=\w+)?$`, s.address)
	var query string
	s.url, query, _ = strings.Cut(s.address, "?")
	found := regexp.MustCompile(`name="bladeline-token" content="([^"]+)"`).FindSubmatch(s.get("?" + query))
	require.NotNil(t, found)
	s.token = string(found[1])
	return s
}

// said is what stands on standard error.
func (s *served) said() string {
	data, err := os.ReadFile(s.stderr.Name())
	require.NoError(s.t, err)
	return string(data)
}

func (s *served) get(path string) []byte {
	answer, err := http.Get(s.url + path)
	require.NoError(s.t, err)
	return s.body(answer)
}

func (s *served) body(answer *http.Response) []byte {
	defer answer.Body.Close()
	data, err := io.ReadAll(answer.Body)
	require.NoError(s.t, err)
	require.Equal(s.t, http.StatusOK, answer.StatusCode, string(data))
	return data
}

func (s *served) post(path string, body []byte) []byte {
	r, err := http.NewRequest("POST", s.url+path, bytes.NewReader(body))
	require.NoError(s.t, err)
	r.Header.Set(page.TokenHeader, s.token)
	answer, err := http.DefaultClient.Do(r)
	require.NoError(s.t, err)
	return s.body(answer)
}

// state is the one that the page begins with.
func (s *served) state() []byte {
	var start struct{ State json.RawMessage }
	require.NoError(s.t, json.Unmarshal(s.get("api/start"), &start))
	return start.State
}

// end interrupts the program, and wants it to end well and leave nothing.
func (s *served) end(signal os.Signal) {
	require.NoError(s.t, s.cmd.Process.Signal(signal))
	ended := make(chan error, 1)
	go func() { ended <- s.cmd.Wait() }()
	select {
	case err := <-ended:
		assert.NoError(s.t, err, "status 0")
	case <-time.After(20 * time.Second):
		s.t.Fatal("does not end")
	}
	assert.Empty(s.t, s.said())
	left, err := os.ReadDir(s.temporary)
	require.NoError(s.t, err)
	assert.Empty(s.t, left, "temporary files")
}

var harbourFair = []string{"harbour-fair(Black).tif", "harbour-fair_C.tif", "harbour-fair_M.tif", "harbour-fair_Y.png", "harbour-fair.Harbour Red.tif"}

// TestServeAgreesWithPreset holds what the page shows and saves against what
// the command writes for the same files, byte for byte.
func TestServeAgreesWithPreset(t *testing.T) {
	for _, flags := range [][]string{
		{"--press", "two-colour"},
		{"--press", "four-colour", "--lead-edge", "top", "--shift", "-12", "--mirrored"},
		{"--press", "two-colour", "--dpi", "600", "--ink-is", "dark"},
		{"--press", "two-colour", "--paper", "Uncoated"},
		{"--press", "four-colour", "--curve", "uncoated", "--curve", "black=coated"},
	} {
		files := harbourFair
		if slices.Contains(flags, "--dpi") {
			files = files[:1] // the one that has so many pixels
		}
		args := slices.Concat(flags, files)
		s := startServe(t, args...)
		state := s.state()
		for _, as := range []string{"csv", "json", "pdf"} {
			want := s.preset("job."+as, args...)
			got := s.post("api/save?as="+as, state)
			assert.True(t, bytes.Equal(want, got), "%v: the %s differs: %d and %d bytes", flags, as, len(want), len(got))
			if as == "json" {
				assert.Contains(t, string(want), `"charge": "from washed rollers`)
				uncharged := s.preset("job.json", append(args, "--charge=false")...)
				assert.Equal(t, string(uncharged), s.shownPreset(state), "%v", flags)
				require.NoError(t, checkSchema(got))
			}
		}
		s.end(os.Interrupt)
	}
}

// TestServeAgreesOnAPaper saves a preset for a paper that the press's file names no
// curve for: it warns of the same inks as the command's, in the same words, and of none
// that a curve was asked for.
func TestServeAgreesOnAPaper(t *testing.T) {
	args := append([]string{"--press", "two-colour", "--paper", "board", "--curve", "Cyan=uncoated"}, harbourFair...)
	s := startServe(t, args...)
	want := s.preset("job.json", args...)
	assert.Contains(t, string(want), `no curve for Black, Harbour Red, Magenta, Yellow on the paper`)
	assert.True(t, bytes.Equal(want, s.post("api/save?as=json", s.state())))
	s.end(os.Interrupt)
}

// TestServeAgreesOnAnEditedCurve pulls a point of a curve that ships, saves the
// curve, and has the command preset by its file: the preset names the curve, and
// is the page's.
func TestServeAgreesOnAnEditedCurve(t *testing.T) {
	s := startServe(t, "--press", "two-colour", harbourFair[0])
	var state map[string]any
	require.NoError(t, json.Unmarshal(s.state(), &state))
	curve := state["units"].([]any)[0].(map[string]any)["curve"].(map[string]any)
	shipped := curve["name"].(string)
	curve["points"] = [][]float64{{0, 3}, {100, 70}}
	pulled, err := json.Marshal(state)
	require.NoError(t, err)
	file := filepath.Join(t.TempDir(), "pulled.curve.toml")
	require.NoError(t, os.WriteFile(file, s.post("api/save?as=curve&unit=0", pulled), 0o600))
	want := s.preset("job.json", "--press", "two-colour", "--curve", file, harbourFair[0])
	assert.Contains(t, string(want), `"curve": "`+shipped+`, edited for Black"`)
	assert.Equal(t, string(want), string(s.post("api/save?as=json", pulled)))
	uncharged := s.preset("job.json", "--press", "two-colour", "--curve", file, "--charge=false", harbourFair[0])
	assert.Equal(t, string(uncharged), s.shownPreset(pulled))
	s.end(os.Interrupt)
}

// preset is the file of that name that the command writes where the page is served.
func (s *served) preset(name string, args ...string) []byte {
	path := filepath.Join(s.t.TempDir(), name)
	command := exec.Command("bladeline", append([]string{"preset", "-o", path}, args...)...)
	command.Dir = s.dir
	out, err := command.CombinedOutput()
	require.NoError(s.t, err, string(out))
	written, err := os.ReadFile(path)
	require.NoError(s.t, err)
	return written
}

// shownPreset is the preset that the page shows, laid out as a file. How the rollers are
// charged stands in what is saved alone: it takes longer than a drag may.
func (s *served) shownPreset(state []byte) string {
	var shown struct{ Preset json.RawMessage }
	require.NoError(s.t, json.Unmarshal(s.post("api/preset", state), &shown))
	var b, compact bytes.Buffer
	require.NoError(s.t, json.Compact(&compact, shown.Preset))
	text := strings.NewReplacer(`\u003c`, "<", `\u003e`, ">", `\u0026`, "&").Replace(compact.String()) // in JSON the same
	require.NoError(s.t, json.Indent(&b, []byte(text), "", "  "))
	return b.String() + "\n"
}

// TestServeAsksForItsToken lets in who opens the address that is printed, and
// nobody else.
func TestServeAsksForItsToken(t *testing.T) {
	s := startServe(t, "--token", "--press", "two-colour", harbourFair[0])
	assert.Equal(t, s.url+"?token="+s.token, s.address)
	for _, path := range []string{"", "api/start", "?token=" + s.token[1:]} {
		answer, err := http.Get(s.url + path)
		require.NoError(t, err)
		answer.Body.Close()
		assert.Equal(t, http.StatusForbidden, answer.StatusCode)
	}
	s.get("api/start?token=" + s.token)
	s.end(os.Interrupt)
	assert.NotContains(t, startServe(t).address, "token", "where it is not asked for")
}

// TestServeTellsWhatATokenIsWorth listens where others can read it.
func TestServeTellsWhatATokenIsWorth(t *testing.T) {
	c, out, said := &cobra.Command{}, &bytes.Buffer{}, &bytes.Buffer{}
	c.SetOut(out)
	c.SetErr(said)
	announce(c, &net.TCPAddr{IP: net.IPv4(192, 0, 2, 1), Port: 8080}, "?token=x")
	assert.Equal(t, "http://192.0.2.1:8080/?token=x\n", out.String())
	assert.Regexp(t, `^bladeline: warning: the token crosses the network unencrypted, .*\n$`, said.String())
}

// TestServeEndsWhileAFileArrives interrupts the program with an upload under
// way: it ends all the same, and leaves nothing.
func TestServeEndsWhileAFileArrives(t *testing.T) {
	s := startServe(t)
	body, sending := io.Pipe()
	r, err := http.NewRequest("POST", s.url+"api/separations", body)
	require.NoError(t, err)
	r.Header.Set(page.TokenHeader, s.token)
	r.Header.Set("Content-Type", "multipart/form-data; boundary=b")
	go http.DefaultClient.Do(r) // it is cut off
	_, err = io.WriteString(sending, "--b\r\nContent-Disposition: form-data; name=\"file\"; filename=\"a.tif\"\r\n\r\n"+strings.Repeat("x", 1<<20))
	require.NoError(t, err)
	s.end(syscall.SIGTERM)
	sending.Close()
}

// TestServeBeginsWithAPressThatTakesTheForm begins with a form that is wider
// than the first press: with the narrowest that takes it.
func TestServeBeginsWithAPressThatTakesTheForm(t *testing.T) {
	s := startServe(t, harbourFair[1])
	var state struct{ Press struct{ Base string } }
	require.NoError(t, json.Unmarshal(s.state(), &state))
	assert.Equal(t, "two-colour", state.Press.Base)
	s.post("api/preset", s.state())
	s.end(os.Interrupt)
}

// TestServeBeginsWithoutFiles has nothing but presses and prepared forms.
func TestServeBeginsWithoutFiles(t *testing.T) {
	s := startServe(t)
	var start struct {
		Separations []any
		Presses     []struct{ Base string }
		Cautions    string
	}
	require.NoError(t, json.Unmarshal(s.get("api/start"), &start))
	assert.Empty(t, start.Separations)
	assert.Len(t, start.Presses, len(job.Shipped(job.PressKind)))
	assert.Equal(t, cautions, start.Cautions)
	s.end(os.Interrupt)
}

// TestServeTakesShortHeaders refuses one that is longer than any browser's.
func TestServeTakesShortHeaders(t *testing.T) {
	server := httptest.NewUnstartedServer(nil)
	server.Config = newServer(http.NotFoundHandler())
	server.Start()
	defer server.Close()
	for length, status := range map[int]int{headerBytes / 2: http.StatusNotFound, 2 * headerBytes: http.StatusRequestHeaderFieldsTooLarge} {
		r, err := http.NewRequest("GET", server.URL, nil)
		require.NoError(t, err)
		r.Header.Set("Cookie", strings.Repeat("x", length))
		answer, err := http.DefaultClient.Do(r)
		require.NoError(t, err)
		answer.Body.Close()
		assert.Equal(t, status, answer.StatusCode)
	}
}

// TestServeTellsWhoCanReachIt listens at all of the machine's addresses: those
// that others can use are printed and answered, and it is said that they can.
func TestServeTellsWhoCanReachIt(t *testing.T) {
	for _, listen := range []string{":0", "0.0.0.0:0"} {
		at, err := listenAt(listen)
		require.NoError(t, err)
		defer at.Close()
		c, out, said := &cobra.Command{}, &bytes.Buffer{}, &bytes.Buffer{}
		c.SetOut(out)
		c.SetErr(said)
		announce(c, at.Addr().(*net.TCPAddr), "")
		assert.Regexp(t, `^bladeline: warning: others on the network can reach this page and use it; .*\n$`, said.String())
		library, err := job.LoadLibrary("")
		require.NoError(t, err)
		handler, err := page.New(page.Options{Library: library})
		require.NoError(t, err)
		server := &http.Server{Handler: handler}
		go server.Serve(at)
		defer server.Close()
		urls := strings.Fields(out.String())
		assert.Regexp(t, `^http://127\.0\.0\.1:[1-9]\d*/$`, urls[0])
		for _, url := range urls {
			answer, err := http.Get(url)
			require.NoError(t, err, url)
			answer.Body.Close()
			assert.Equal(t, http.StatusOK, answer.StatusCode, url)
		}
	}
}

// TestServeAtLoopbackWarnsOfNobody has an address that only this machine reaches.
func TestServeAtLoopbackWarnsOfNobody(t *testing.T) {
	c, out, said := &cobra.Command{}, &bytes.Buffer{}, &bytes.Buffer{}
	c.SetOut(out)
	c.SetErr(said)
	announce(c, &net.TCPAddr{IP: net.IPv4(127, 0, 0, 1), Port: 8080}, "")
	assert.Equal(t, "http://127.0.0.1:8080/\n", out.String())
	assert.Empty(t, said.String())
}

// TestServeAtATakenPort says so in the words of its user.
func TestServeAtATakenPort(t *testing.T) {
	taken, err := listenAt("127.0.0.1:0")
	require.NoError(t, err)
	defer taken.Close()
	var out, said bytes.Buffer
	address := taken.Addr().String()
	assert.Equal(t, statusFailed, run([]string{"serve", "--listen", address}, nil, &out, &said))
	assert.Equal(t, "bladeline: --listen "+address+": another program answers there already; give another port, or 0 for any free one\n", said.String())
	assert.Empty(t, out.String())
}
