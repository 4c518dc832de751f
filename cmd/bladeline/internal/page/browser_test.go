package page

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http/httptest"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/coverage"
	"bladeline/curves"

	"github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// patience is how long the browser may take for anything: only a page that
// hangs needs it all.
const patience = 20 * time.Second

// chromium is the browser's context, started by the first test that asks.
var chromium context.Context

// TestMain ends the browser after the last test.
func TestMain(m *testing.M) {
	base, cancel := context.WithCancel(context.Background())
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.Flag("no-sandbox", true), chromedp.DisableGPU, chromedp.ExecPath("chromium"))
	allocator, stop := chromedp.NewExecAllocator(base, options...)
	var end context.CancelFunc
	chromium, end = chromedp.NewContext(allocator)
	status := m.Run()
	end()
	stop()
	cancel()
	os.Exit(status)
}

// A tab is a page open in the browser.
type tab struct {
	t   *testing.T
	ctx context.Context
	url string
	// of a lesson:
	screen screen
	steps  int
}

const examplesDir = "../../../../examples/"

// harbourFair are the demonstration form's files, all its inks.
func harbourFair() []string {
	var paths []string
	for _, name := range []string{"harbour-fair(Black).tif", "harbour-fair_C.tif", "harbour-fair_M.tif", "harbour-fair_Y.png", "harbour-fair.Harbour Red.tif"} {
		paths = append(paths, examplesDir+name)
	}
	return paths
}

// options are what the page begins with: shipped presses and given files.
func options(t *testing.T, paths ...string) Options {
	o := Options{Job: "harbour-fair", Cautions: "A preset is a starting point."}
	curve, err := job.LoadCurve("coated")
	require.NoError(t, err)
	o.Curves = []*curves.Curve{curve}
	for _, called := range []string{"two-colour", "four-colour", "duplicator"} {
		press, _, err := job.LoadPress(called)
		require.NoError(t, err)
		o.Presses = append(o.Presses, job.Press{Called: called, Press: press, Curve: curve})
	}
	var inputs []coverage.Input
	for _, path := range paths {
		inputs = append(inputs, coverage.Input{Path: path})
	}
	if len(inputs) > 0 {
		o.Maps, err = coverage.MeasureFiles(t.Context(), inputs, coverage.Options{})
		require.NoError(t, err)
	}
	return o
}

// open serves the page and opens it; whatever the page writes to its console as
// an error fails the test.
func open(t *testing.T, o Options) *tab {
	server, err := New(o)
	require.NoError(t, err)
	served := httptest.NewServer(server)
	t.Cleanup(served.Close)
	return openAt(t, served.URL)
}

func openAt(t *testing.T, url string) *tab {
	require.NoError(t, chromedp.Do(chromium), "the browser does not start; install chromium, as .ci/deps does")
	ctx, cancel := chromedp.NewContext(chromium)
	ctx, stop := context.WithTimeout(ctx, 4*patience)
	b := &tab{t: t, ctx: ctx, url: url}
	messages := chromedp.Console(ctx)
	quiet := make(chan []string, 1)
	go func() {
		var said []string
		for m, err := range messages {
			if err != nil {
				break
			}
			if m.IsException() || (m.Type == "error" && m.Source != "network") {
				said = append(said, m.String())
			}
		}
		quiet <- said
	}()
	t.Cleanup(func() {
		stop()
		cancel()
		require.Empty(t, <-quiet, "the page's console")
	})
	b.do(chromedp.EmulateViewport(1440, 900), chromedp.Navigate(url))
	b.wait(`document.body.dataset.drawn > 0`)
	return b
}

func (b *tab) do(actions ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	require.NoError(b.t, chromedp.Do(b.ctx, actions...))
}

// get evaluates an expression on the page.
func get[T any](b *tab, expression string) T {
	b.t.Helper()
	v, err := chromedp.Run(b.ctx, chromedp.Evaluate[T](expression))
	require.NoError(b.t, err, expression)
	return v
}

// wait waits until an expression holds on the page.
func (b *tab) wait(expression string) {
	b.t.Helper()
	for end := time.Now().Add(patience); ; time.Sleep(20 * time.Millisecond) {
		if get[bool](b, "!!("+expression+")") {
			return
		}
		require.True(b.t, time.Now().Before(end), "never came true: %s", expression)
	}
}

// at is the middle of an element, scrolled into view, once it stands still.
func (b *tab) at(selector string) (x, y float64) {
	b.t.Helper()
	var last []float64
	for {
		now := get[[]float64](b, fmt.Sprintf(`(() => {
			const n = document.querySelector(%q);
			n.scrollIntoView({ block: "center" });
			const r = n.getBoundingClientRect();
			return [r.x + r.width / 2, r.y + r.height / 2];
		})()`, selector))
		if slices.Equal(now, last) {
			return now[0], now[1]
		}
		last = now
		time.Sleep(60 * time.Millisecond)
	}
}

func (b *tab) hover(selector string) {
	b.t.Helper()
	x, y := b.at(selector)
	b.do(chromedp.MouseEvent(input.DispatchMouseEventTypeMouseMoved, x, y))
}

func (b *tab) click(selector string) {
	b.t.Helper()
	b.do(chromedp.Click(chromedp.CSS(selector)))
}

func (b *tab) focus(selector string) {
	b.t.Helper()
	get[bool](b, fmt.Sprintf(`(document.querySelector(%q).focus(), true)`, selector))
}

func (b *tab) press(keys string, modifiers ...chromedp.Modifier) {
	b.t.Helper()
	b.do(chromedp.KeyEvent(keys, chromedp.KeyModifiers(modifiers...)))
}

// slide sets the sweep to a setting of the press, counted from 0.
func (b *tab) slide(setting int) {
	b.t.Helper()
	get[bool](b, fmt.Sprintf(`(() => { const n = document.querySelector("#sweep"); n.value = %d; n.dispatchEvent(new Event("input")); return true; })()`, setting))
}

// keys are the keys as the drawing shows them, by zone.
func (b *tab) keys() map[string]string {
	b.t.Helper()
	return get[map[string]string](b, `Object.fromEntries([...document.querySelectorAll("g.key")].map((g) => [g.dataset.zone, g.querySelector(".key-key").textContent]))`)
}

// waitKey waits until a key differs from what it was.
func (b *tab) waitKey(zone, was string) {
	b.t.Helper()
	b.wait(fmt.Sprintf(`document.querySelector('g.key[data-zone="%s"] .key-key').textContent !== %q`, zone, was))
}

// settled waits until nothing is being asked of the server.
func (b *tab) settled() {
	b.t.Helper()
	for range 3 { // an answer may lead to the next question
		b.wait(`document.querySelector("#work").getAttribute("aria-busy") === "false"`)
		time.Sleep(30 * time.Millisecond)
	}
}

// remembered is what the tab remembers.
func (b *tab) remembered() (state struct {
	Press struct{ Base string }
	Views map[string]State
	Unit  int
	Trial *struct {
		Keys   []float64
		Sweep  float64
		Answer *struct {
			Score          float64
			ProfilePct     float64 `json:"profile_pct"`
			UntouchedWrong int     `json:"untouched_wrong"`
			LevelOffPct    float64 `json:"level_off_pct"`
			Zones          []struct {
				Best, Supply float64
				OpeningPct   float64  `json:"opening_pct"`
				OffPct       *float64 `json:"off_pct"`
				Says         string
			}
		}
	}
	Separations map[string]struct {
		CoveragePct float64 `json:"coverage_pct"`
		WidthMM     float64 `json:"width_mm"`
		HeightMM    float64 `json:"height_mm"`
	}
},
) {
	b.t.Helper()
	require.NoError(b.t, json.Unmarshal([]byte(get[string](b, `(dispatchEvent(new Event("pagehide")), sessionStorage.getItem("bladeline"))`)), &state))
	return state
}

// unit is one ink of a view, as the tab remembers it.
func (b *tab) unit(view string, i int) unit {
	b.t.Helper()
	units := b.remembered().Views[view].Units
	require.Greater(b.t, len(units), i)
	return units[i]
}

// points are those of one ink's curve, as many as the shipped curve has.
func (b *tab) points(view string, i int) [][]float64 {
	b.t.Helper()
	points := b.unit(view, i).Curve.Points
	require.Len(b.t, points, 10)
	return points
}

// download does what makes the browser save a file and answers its bytes.
func (b *tab) download(act func()) []byte {
	b.t.Helper()
	dir := b.t.TempDir()
	_, err := chromedp.CallBrowser(b.ctx, browser.SetDownloadBehavior, browser.SetDownloadBehaviorParams{Behavior: browser.SetDownloadBehaviorBehaviorAllow, DownloadPath: dir})
	require.NoError(b.t, err)
	act()
	for end := time.Now().Add(patience); ; time.Sleep(30 * time.Millisecond) {
		files, err := filepath.Glob(filepath.Join(dir, "*"))
		require.NoError(b.t, err)
		if len(files) == 1 && filepath.Ext(files[0]) != ".crdownload" {
			data, err := os.ReadFile(files[0])
			require.NoError(b.t, err)
			if len(data) > 0 {
				return data
			}
		}
		require.True(b.t, time.Now().Before(end), "nothing was saved")
	}
}
