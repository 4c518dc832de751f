package page

import (
	"fmt"
	"math"
	"net/http"
	"net/http/httptest"
	"regexp"
	"slices"
	"strconv"
	"testing"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestStaleIsNotShown chooses a press that does not take the form: nothing of
// the old press's answer stands beside the new press's scales, but the curve that the
// ink has there.
func TestStaleIsNotShown(t *testing.T) {
	b := open(t, options(t, harbourFair()...))
	b.wait(`document.querySelector(".dot")`)
	get[bool](b, `(() => { const n = document.querySelector("#press"); n.value = [...n.options].find((o) => o.text.startsWith("Duplicator")).value; n.dispatchEvent(new Event("change")); return true; })()`)
	b.wait(`document.querySelector("#problem").textContent`)
	assert.Equal(t, []string{"6 notches", "", ""}, get[[]string](b, `[document.querySelector("#sweep-value").textContent, document.querySelector("#sweep-reason").textContent, document.querySelector("#curve-said").textContent]`))
	assert.True(t, get[bool](b, `!document.querySelector(".dot") && document.querySelector("#work").classList.contains("stale")`))
	assert.Equal(t, "the curve, at sweep 6 notches", b.text(".curve-names"))
	assert.True(t, get[bool](b, onPoints), "through its points")
	b.click("#undo")
	b.wait(`document.querySelectorAll(".dot").length === 21 && document.querySelector("#problem").textContent === "" && !document.querySelector("#work").classList.contains("stale")`)
}

// onPoints tells whether the curve is drawn through every one of its points.
const onPoints = `(() => {
	const line = document.querySelector(".curve-drawn"), long = line.getAttribute("d") ? line.getTotalLength() : 0;
	const at = Array.from({ length: 801 }, (_, i) => line.getPointAtLength((i / 800) * long));
	return long > 100 && [...document.querySelectorAll("[data-point]")].every((g) => {
		const [x, y] = g.getAttribute("transform").match(/[\d.]+/g).map(Number);
		return at.some((p) => Math.hypot(p.x - x, p.y - y) < 2.5);
	});
})()`

// TestAnotherJob starts the server anew at the same address. With the same
// command line a reload goes on where it was; with another it begins with what
// that names.
func TestAnotherJob(t *testing.T) {
	serve := func(files ...string) http.Handler {
		server, err := New(options(t, files...))
		require.NoError(t, err)
		return server
	}
	now := serve(harbourFair()[:2]...)
	served := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) { now.ServeHTTP(w, r) }))
	t.Cleanup(served.Close)
	b := openAt(t, served.URL)
	b.wait(`document.querySelector(".dot")`)
	b.focus(`[data-point="4"]`)
	b.press(kb.Enter + kb.ArrowUp)
	edited := b.points("job", 0)

	now = serve(harbourFair()[:2]...)
	b.do(chromedp.Reload())
	b.wait(`document.querySelector(".dot")`)
	assert.Equal(t, edited, b.points("job", 0))

	now = serve(harbourFair()[2])
	b.do(chromedp.Reload())
	b.wait(`document.querySelector(".dot")`)
	units := b.remembered().Views["job"].Units
	require.Len(t, units, 1)
	assert.Equal(t, "Magenta", units[0].Ink)
	assert.Empty(t, get[string](b, `document.querySelector("#problem").textContent`))
}

// TestDamagedState reloads with a state in the browser's store that is not whole.
func TestDamagedState(t *testing.T) {
	b := open(t, options(t, harbourFair()[0]))
	for _, damaged := range []string{`{"version":6}`, `{"version":6,"views":{"job":{"units":[]},"drawn":{"units":[]}}}`, `null`, `{`, `7`} {
		get[bool](b, fmt.Sprintf(`(addEventListener("pagehide", () => sessionStorage.setItem("bladeline", %q)), true)`, damaged))
		b.do(chromedp.Reload())
		b.wait(`document.querySelector(".dot")`)
		assert.Empty(t, get[string](b, `document.querySelector("#problem").textContent`), damaged)
	}
}

// TestFieldsKeepTheirValue types numbers that cannot be: each field goes back to
// what it held, and the page says so by the field's name.
func TestFieldsKeepTheirValue(t *testing.T) {
	b := open(t, options(t, harbourFair()[0]))
	b.wait(`document.querySelector(".dot")`)
	for _, c := range []struct{ field, typed, says string }{
		{"zones", "0", "Zones stays at %s: it is a whole number from 1 to 200."},
		{"zones", "2.5", "Zones stays at %s: it is a whole number from 1 to 200."},
		{"zone_width_mm", "-3", "Zone width, mm stays at %s: it is a number from 1 on."},
		{"dpi_x", "1e400", "Dots per inch, across stays empty%s: it is a number from 1 on."},
	} {
		get[bool](b, fmt.Sprintf(`(document.querySelector("#%s").select(), true)`, c.field))
		held := get[string](b, fmt.Sprintf(`document.querySelector("#%s").value`, c.field))
		b.press(kb.Backspace + c.typed + kb.Tab)
		b.wait(fmt.Sprintf(`document.querySelector("#press-said").textContent === %q`, fmt.Sprintf(c.says, held)))
		assert.Equal(t, held, get[string](b, fmt.Sprintf(`document.querySelector("#%s").value`, c.field)))
	}
	get[bool](b, `(document.querySelector("#zones").select(), true)`)
	b.press(kb.Backspace + "15" + kb.Tab)
	b.wait(`document.querySelector("#press-said").textContent === ""`)
	get[bool](b, `(document.querySelector("#zones").select(), true)`)
	b.press(kb.Backspace + kb.Tab)
	b.wait(`document.querySelector("#zones").value === "21"`) // none is the press's own
}

var sum = regexp.MustCompile(`that is ([\d.]+) × ([\d.]+) ÷ ([\d.]+) = ([\d.]+) %`)

// TestSumsComeOut checks the arithmetic of every zone's sentence as a class would.
func TestSumsComeOut(t *testing.T) {
	b := open(t, options(t, harbourFair()...))
	b.wait(`document.querySelector(".dot")`)
	checked := 0
	for unit := range 5 {
		b.click(fmt.Sprintf(`[data-unit="%d"]`, unit))
		b.slide(27) // 37 %, since at the reference, 45, there is no sum
		b.settled()
		for zone := 1; zone <= 21; zone++ {
			b.focus(fmt.Sprintf(`.column[data-zone="%d"]`, zone))
			m := sum.FindStringSubmatch(get[string](b, `document.querySelector("#why").textContent`))
			if m == nil {
				continue
			}
			var v [4]float64
			for i := range v {
				v[i], _ = strconv.ParseFloat(m[i+1], 64)
			}
			assert.InDelta(t, v[3], math.Round(v[0]*v[1]/v[2]*10)/10, 1e-9, m[0])
			checked++
		}
	}
	assert.Greater(t, checked, 60)
}

// TestRaisedToAnotherFigure reads the sentences of zones that a neighbour raises on a blade
// of one piece: zone 1 from 4 to 4.01 %, which is not told as raised, and others by more.
func TestRaisedToAnotherFigure(t *testing.T) {
	o := bare(t)
	b := open(t, o)
	b.set("welcome-press", "duplicator")
	b.bring(plateFile(t, "poster_K.png", 270, 200, shape{0.1, 0.1, 0.33, 0.73, 100}, shape{0.6, 0.1, 0.3, 0.5, 100}))
	b.wait(`document.querySelectorAll("g.key").length === 15`)
	b.slide(slices.Index(o.Presses[0].Press.Sweep.Settings(), 6))
	b.settled()
	raised := regexp.MustCompile(`([\d.]+) %[^=%]*, raised by a neighbour on the same blade to ([\d.]+) %`)
	told := 0
	for zone := 1; zone <= 15; zone++ {
		b.focus(fmt.Sprintf(`.column[data-zone="%d"]`, zone))
		if m := raised.FindStringSubmatch(b.text("#why")); m != nil {
			assert.NotEqual(t, m[1], m[2], m[0])
			told++
		}
	}
	held := get[int](b, `[...document.querySelectorAll("#rows tr")].filter((tr) => tr.textContent.includes("neighbour")).length`)
	assert.Equal(t, held-1, told)
	assert.Positive(t, told)
}

// TestDrawnAfterRestart starts the server anew under a plate that was drawn: it
// is measured again, unasked.
func TestDrawnAfterRestart(t *testing.T) {
	begin := func() http.Handler {
		server, err := New(options(t))
		require.NoError(t, err)
		return server
	}
	now := begin()
	served := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) { now.ServeHTTP(w, r) }))
	t.Cleanup(served.Close)
	b := openAt(t, served.URL)
	b.click(`[data-view="drawn"]`)
	b.wait(`document.querySelector("g.key")`)
	b.click(`[data-form="tint"]`)
	b.wait(`document.querySelectorAll("#shapes tr").length === 1`)
	b.settled()
	keys := b.keys()
	now = begin()
	b.do(chromedp.Reload())
	b.wait(`document.querySelector("g.key") && !document.querySelector("#problem").textContent`)
	b.settled()
	assert.Equal(t, keys, b.keys())
}

// TestUndoWithinAStroke takes back while a shape is being pulled, and removes a
// curve's point that is held: neither breaks what comes after.
func TestUndoWithinAStroke(t *testing.T) {
	b := open(t, options(t))
	b.click(`[data-view="drawn"]`)
	b.wait(`document.querySelector("g.key")`)
	pull := func(within func()) {
		t.Helper()
		x, y, w, h := b.box(".plate")
		b.do(chromedp.MouseEvent(input.DispatchMouseEventTypeMousePressed, x+w*0.2, y+h*0.2, chromedp.ButtonLeft, chromedp.ClickCount(1)))
		b.do(chromedp.MouseEvent(input.DispatchMouseEventTypeMouseMoved, x+w*0.4, y+h*0.4, chromedp.ButtonLeft))
		within()
		b.do(chromedp.MouseEvent(input.DispatchMouseEventTypeMouseMoved, x+w*0.5, y+h*0.6, chromedp.ButtonLeft))
		b.do(chromedp.MouseEvent(input.DispatchMouseEventTypeMouseReleased, x+w*0.5, y+h*0.6, chromedp.ButtonLeft, chromedp.ClickCount(1)))
	}
	pull(func() {})
	pull(func() {
		b.press("z", chromedp.ModifierCtrl)
		b.press("z", chromedp.ModifierCtrl)
	})
	b.wait(`document.querySelectorAll("#shapes tr").length === 2`)
	x, y := b.at(`[data-point="4"]`)
	b.do(chromedp.MouseEvent(input.DispatchMouseEventTypeMousePressed, x, y, chromedp.ButtonLeft, chromedp.ClickCount(1)))
	b.press(kb.Delete)
	b.do(chromedp.MouseEvent(input.DispatchMouseEventTypeMouseReleased, x, y, chromedp.ButtonLeft, chromedp.ClickCount(1)))
	assert.True(t, get[bool](b, `document.querySelectorAll("[data-point]").length === 10`))
	pull(func() {})
	b.wait(`document.querySelectorAll("#shapes tr").length === 3`)
}

// TestUndoByInk edits two inks' curves alike: each edit is taken back alone. A
// renamed ink keeps what was set for it in the exercise.
func TestUndoByInk(t *testing.T) {
	b := open(t, options(t, harbourFair()[:2]...))
	b.wait(`document.querySelector(".dot")`)
	up := func(unit int) {
		b.click(fmt.Sprintf(`[data-unit="%d"]`, unit))
		b.settled()
		b.focus(`[data-point="4"]`)
		b.press(kb.Enter + kb.ArrowUp)
	}
	points := func(unit int) [][]float64 { return b.points("job", unit) }
	first := points(1)
	up(0)
	edited := points(0)
	up(1)
	b.click("#undo")
	assert.Equal(t, first, points(1))
	assert.Equal(t, edited, points(0))

	b.click("#quiz")
	b.wait(`!document.querySelector("#quiz-part").hidden`)
	b.focus(`.column[data-zone="5"]`)
	b.press(kb.ArrowDown + kb.ArrowDown)
	b.click("#quiz-end")
	get[bool](b, `(document.querySelector("#ink-name").select(), true)`)
	b.press("Deep Cyan" + kb.Tab)
	b.wait(`document.querySelector("#ink").textContent === "Deep Cyan"`)
	b.settled()
	b.click("#quiz")
	b.wait(`document.querySelector('[data-key="5"]').value === "27"`)
	b.click("#quiz-end")
	b.click("#undo")
	b.wait(`document.querySelector("#ink").textContent !== "Deep Cyan"`)
	b.settled()
	b.click("#quiz")
	b.wait(`document.querySelector('[data-key="5"]').value === "25"`) // none was set for that name
	b.focus(`.column[data-zone="5"]`)
	b.press(kb.ArrowDown)
	b.click("#undo") // the key
	b.wait(`document.querySelector('[data-key="5"]').value === "25"`)
	b.click("#undo") // the first ink's curve, from before the exercise
	b.wait(`document.querySelector("#quiz-part").hidden`)
	assert.NotEqual(t, edited, points(0))
}

// TestWindowIsNamed: the window's title names the ink that is seen, and the job, and tells
// keys that are set by eye; an empty page has the program's name alone.
func TestWindowIsNamed(t *testing.T) {
	b := open(t, options(t, harbourFair()...))
	b.wait(`document.querySelector("g.key")`)
	b.settled()
	title := func(want string) {
		t.Helper()
		b.wait(fmt.Sprintf(`document.title === %q`, want))
	}
	title("Black, harbour-fair – bladeline")
	b.click(`[data-unit="2"]`)
	title("Cyan, harbour-fair – bladeline")
	b.click("#quiz")
	title("Set the keys: Cyan, harbour-fair – bladeline")
	b.click("#quiz")
	b.click(`[data-unit="-1"]`)
	title("All inks, harbour-fair – bladeline")
	b.set("job-name", "Regatta")
	title("All inks, Regatta – bladeline")
	b.click("#job-new")
	title("bladeline")
}

// TestClassStaysOpen: a tab in the midst of a class shows the class's part behind a
// reload; one without a class does not.
func TestClassStaysOpen(t *testing.T) {
	b := open(t, options(t))
	again := func() bool {
		b.do(chromedp.Reload())
		b.wait(`document.body.dataset.drawn > 0`)
		return get[bool](b, `document.querySelector("#class-part").open`)
	}
	get[bool](b, `(document.querySelector("#class-part").open = true)`)
	assert.False(t, again())
	get[bool](b, `(document.querySelector("#class-part").open = true)`)
	b.focus("#class-seed")
	b.press("harbour" + kb.Enter)
	b.atForm(1)
	assert.True(t, again())
	b.atForm(1)
}
