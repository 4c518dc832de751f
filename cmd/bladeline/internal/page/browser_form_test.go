package page

import (
	"fmt"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// drawn opens the view in which forms are drawn.
func (b *tab) drawn(width, height int64) {
	b.t.Helper()
	b.do(chromedp.EmulateViewport(width, height))
	b.click(`[data-view="drawn"]`)
	b.wait(`document.querySelector("g.key")`)
	b.settled()
}

// on is a place on the plate, in parts of its sides from its left and lead edge.
func (b *tab) on(u, v float64) (x, y float64) {
	b.t.Helper()
	p := get[[]float64](b, `(() => { const r = document.querySelector(".plate").getBoundingClientRect(); return [r.x, r.y, r.width, r.height]; })()`)
	return p[0] + u*p[2], p[1] + (1-v)*p[3]
}

func (b *tab) pull(u, v, toU, toV float64) {
	b.t.Helper()
	x, y := b.on(u, v)
	toX, toY := b.on(toU, toV)
	b.do(chromedp.DragAndDropXY(x, y, toX, toY))
	b.settled()
}

func (b *tab) tap(u, v float64) {
	b.t.Helper()
	x, y := b.on(u, v)
	b.do(chromedp.MouseClickXY(x, y))
	b.settled()
}

// shapes are the shapes as numbers: from left, from lead, width, length and tint.
func (b *tab) shapes() [][]float64 {
	b.t.Helper()
	return get[[][]float64](b, `[...document.querySelectorAll("#shapes tr")].map((r) => [...r.querySelectorAll("input")].map((n) => Number(n.value)))`)
}

// TestShapesByHand pulls a shape up, moves it, resizes it by a corner, copies it and
// removes the copy: each is one step back, and the plate is measured each time.
func TestShapesByHand(t *testing.T) {
	b := open(t, options(t))
	b.drawn(1440, 900)
	near := func(want []float64, i int, says string) {
		t.Helper()
		got := b.shapes()
		require.Greater(t, len(got), i, says)
		assert.InDeltaSlice(t, want, got[i], 0.6, says)
	}
	covered := func() float64 {
		return b.remembered().Separations[b.unit("drawn", 0).Separation].CoveragePct
	}
	b.pull(0.2, 0.2, 0.5, 0.6)
	near([]float64{20, 20, 30, 40, 100}, 0, "pulled up")
	b.tap(0.3, 0.3)
	assert.True(t, get[bool](b, `document.querySelectorAll(".hold-corner").length === 4`))
	b.pull(0.3, 0.3, 0.5, 0.4)
	near([]float64{40, 30, 30, 40, 100}, 0, "moved")
	assert.InDelta(t, 12, covered(), 0.4)
	b.pull(0.7, 0.7, 0.8, 0.5)
	near([]float64{40, 30, 40, 20, 100}, 0, "resized by its corner")
	assert.InDelta(t, 8, covered(), 0.4)
	b.click("#shape-copy")
	near([]float64{43, 33, 40, 20, 100}, 1, "copied")
	b.press(kb.Delete)
	assert.Len(t, b.shapes(), 1)
	for _, want := range [][]float64{{43, 33, 40, 20, 100}} {
		b.click("#undo")
		near(want, 1, "the copy is back")
	}
	b.click("#undo")
	b.click("#undo")
	near([]float64{40, 30, 30, 40, 100}, 0, "not resized")
	b.click("#undo")
	near([]float64{20, 20, 30, 40, 100}, 0, "not moved")
	b.settled()
	assert.InDelta(t, 12, covered(), 0.4)
	b.tap(0.9, 0.9)
	assert.True(t, get[bool](b, `!document.querySelector(".hold") && document.querySelector("#shape-copy").disabled`))
}

// TestNumbersInAnyOrder types the place of a bar at the tail before its length: the place
// stands, and what would reach over the edge is cut, and said.
func TestNumbersInAnyOrder(t *testing.T) {
	b := open(t, options(t))
	b.drawn(1440, 900)
	b.click("#shape-add")
	for _, c := range []struct {
		field int
		typed string
		want  []float64
		says  string
	}{
		{1, "98", []float64{40, 98, 20, 2, 100}, "Shape 1, length is held at 2 %, so that the shape lies on the plate."},
		{3, "1.5", []float64{40, 98, 20, 1.5, 100}, ""},
		{3, "30", []float64{40, 98, 20, 2, 100}, "Shape 1, length is held at 2 %, so that the shape lies on the plate."},
		{0, "0", []float64{0, 98, 20, 2, 100}, ""},
		{2, "100", []float64{0, 98, 100, 2, 100}, ""},
		{0, "25", []float64{25, 98, 75, 2, 100}, "Shape 1, width is held at 75 %, so that the shape lies on the plate."},
		{4, "33.33", []float64{25, 98, 75, 2, 33.33}, ""},
	} {
		get[bool](b, fmt.Sprintf(`((n) => { n.value = %q; n.dispatchEvent(new Event("change")); return true; })(document.querySelectorAll("#shapes input")[%d])`, c.typed, c.field))
		b.settled()
		assert.Equal(t, [][]float64{c.want}, b.shapes(), "%s in %d", c.typed, c.field)
		assert.Equal(t, c.says, b.text("#paint-said"))
	}
}

// TestDrawnInSeveralInks draws in two inks: each has a plate and keys of its own,
// all are seen together, and an ink that is taken out comes back.
func TestDrawnInSeveralInks(t *testing.T) {
	b := open(t, options(t))
	b.drawn(1440, 900)
	b.pull(0.1, 0.1, 0.4, 0.9)
	b.focus("#ink-new")
	b.press("Harbour Red")
	b.click("#ink-add")
	b.wait(`document.querySelectorAll("#inks button").length === 3`)
	b.settled()
	b.click(`[data-unit="1"]`)
	b.wait(`document.querySelector("#ink").textContent === "Harbour Red"`)
	assert.Empty(t, b.shapes(), "its plate is bare")
	b.pull(0.6, 0.1, 0.9, 0.9)
	assert.Len(t, b.shapes(), 1)
	state := b.remembered()
	for _, u := range state.Views["drawn"].Units {
		assert.InDelta(t, 24, state.Separations[u.Separation].CoveragePct, 0.6, u.Ink)
	}
	keys := b.keys()
	b.click(`[data-unit="0"]`)
	b.settled()
	assert.NotEqual(t, keys, b.keys())
	b.click(`[data-unit="-1"]`)
	b.wait(`document.querySelectorAll(".unit-title").length === 2`)
	assert.Equal(t, 2, get[int](b, `document.querySelectorAll(".plates rect").length`))
	b.click(`[data-unit="1"]`)
	b.click("#ink-remove")
	b.wait(`document.querySelectorAll("#inks button").length === 1`)
	b.click("#undo")
	b.wait(`document.querySelectorAll("#inks button").length === 3`)
	b.settled()
	assert.Empty(t, get[string](b, `document.querySelector("#problem").textContent`))
	b.do(chromedp.Reload())
	b.wait(`document.querySelectorAll("#inks button").length === 3 && document.querySelector("g.key")`)
	b.settled()
	assert.Empty(t, get[string](b, `document.querySelector("#problem").textContent`))
}

// TestFormIsMovedByHand pulls the form along the fountain by its grip, and moves it by
// arrow keys: the shift follows, in view of the form.
func TestFormIsMovedByHand(t *testing.T) {
	b := open(t, options(t, harbourFair()...))
	b.wait(`document.querySelector(".plates image")`)
	b.settled()
	left := `document.querySelector(".plate").getBoundingClientRect().left`
	scale := get[float64](b, `document.querySelector(".plate").getBoundingClientRect().width / 640`)
	before := get[float64](b, left)
	x, y := b.at(".grip")
	b.do(chromedp.DragAndDropXY(x, y, x+9*scale, y))
	b.wait(`document.querySelector("#shift_mm").value === "9"`)
	b.settled()
	assert.InDelta(t, 9*scale, get[float64](b, left)-before, 0.6)
	b.focus(".grip")
	b.press(kb.ArrowLeft + kb.ArrowLeft)
	b.settled()
	assert.Equal(t, "7 mm to the right", get[string](b, `document.querySelector(".grip").getAttribute("aria-valuetext")`))
	b.press(kb.Home)
	b.wait(`document.querySelector("#shift_mm").value === "0"`)
	b.click("#undo")
	b.wait(`document.querySelector("#shift_mm").value === "9"`)
}

// TestControlsStandByWhatTheyMove: on a desk and a tablet shift, turn and sweep are
// seen with the form, and a form that is drawn with its keys.
func TestControlsStandByWhatTheyMove(t *testing.T) {
	b := open(t, options(t, harbourFair()...))
	b.wait(`document.querySelector(".plates image")`)
	inView := func(selectors ...string) {
		t.Helper()
		b.settled()
		for _, s := range selectors {
			assert.True(t, get[bool](b, fmt.Sprintf(`(() => { scrollTo(0, 0); const r = document.querySelector(%q).getBoundingClientRect(); return r.width > 0 && r.top >= 0 && r.bottom <= innerHeight; })()`, s)), s)
		}
	}
	for _, size := range [][2]int64{{1440, 900}, {1024, 768}} {
		b.do(chromedp.EmulateViewport(size[0], size[1]))
		inView(".plate", "#sweep", "#shift_mm", "#lead_edge", "#mirrored", "g.key .key-box")
	}
	b.drawn(1024, 768)
	b.click(`[data-form="band"]`)
	inView(".plate", "[data-tint='100']", "g.key .key-box")
}

// TestAlongTheSheet shows the demand of a zone from lead edge to tail: the tenth that
// is warned of lies on the drawn band, and the bar that is advised where nothing is.
func TestAlongTheSheet(t *testing.T) {
	b := open(t, options(t))
	b.drawn(1440, 900)
	b.click(`[data-form="band"]`)
	b.settled()
	b.focus(`.column[data-zone="4"]`)
	b.settled()
	at := func(selector string) []float64 { // on the zone, in parts of the plate's length from the lead edge
		return get[[]float64](b, fmt.Sprintf(`(() => {
			const p = document.querySelector(".plate").getBBox(), d = document.querySelector(%q).getAttribute("d").match(/^M([\d.]+) ([\d.]+)H([\d.]+)V([\d.]+)/);
			return d ? [1 - (d[4] - p.y) / p.height, 1 - (d[2] - p.y) / p.height] : [];
		})()`, selector))
	}
	uneven := at(".along-uneven")
	require.Len(t, uneven, 2)
	assert.GreaterOrEqual(t, uneven[0], 0.035, "the first band is drawn from 4 % of the length")
	assert.LessOrEqual(t, uneven[1], 0.195, "to 19 %")
	assert.Empty(t, at(".along-bar"))
	assert.Contains(t, get[string](b, `document.querySelector(".along").textContent`), "tenth: 100 %")

	b.click("#shape-clear")
	b.click("#shape-add")
	b.wait(`document.querySelectorAll("#shapes tr").length === 1`)
	for i, v := range []string{"10", "20", "60", "0.3", "100"} {
		get[bool](b, fmt.Sprintf(`((n) => { n.value = %q; n.dispatchEvent(new Event("change")); return true; })(document.querySelectorAll("#shapes input")[%d])`, v, i))
	}
	b.settled()
	b.focus(`.column[data-zone="8"]`)
	b.settled()
	bar := at(".along-bar")
	require.Len(t, bar, 2)
	assert.InDelta(t, 1, bar[1], 0.06, "at the tail")
	assert.Greater(t, bar[1], bar[0])
	assert.Regexp(t, `bar: \d+ mm`, get[string](b, `document.querySelector(".along").textContent`))
}

// TestProjector shows bench and curve alone, blown up to the window, and walks the
// zones by the arrow keys.
func TestProjector(t *testing.T) {
	b := open(t, options(t, harbourFair()...))
	b.do(chromedp.EmulateViewport(1920, 1080))
	b.wait(`document.querySelector(".plates image")`)
	b.settled()
	size := `document.querySelector(".key-number").getBoundingClientRect().height`
	before := get[float64](b, size)
	b.click("#projector")
	b.settled()
	assert.Greater(t, get[float64](b, size), 1.3*before)
	assert.Empty(t, get[[]string](b, `["#table-part", "#press-part", "#lie-part", "footer", ".tools"].filter((s) => document.querySelector(s).checkVisibility())`))
	assert.True(t, get[bool](b, `[...document.querySelectorAll("#drawing, #relation")].every((n) => { const r = n.getBoundingClientRect(); return r.bottom <= innerHeight && r.right <= innerWidth; })`), "all in the window")
	assert.True(t, get[bool](b, `document.querySelector("#relation").getBoundingClientRect().right > 0.95 * innerWidth && document.querySelector("#drawing").getBoundingClientRect().bottom > 0.95 * innerHeight`), "the window is filled")
	assert.True(t, get[bool](b, `document.querySelector("#warned").checkVisibility() && document.querySelector("#warnings-part").checkVisibility()`), "what is warned of stays")
	get[bool](b, `(document.activeElement.blur(), true)`)
	b.press(kb.ArrowRight + kb.ArrowRight + kb.ArrowRight)
	b.wait(`document.querySelector("#why").textContent.startsWith("Zone 3 ")`)
	b.press(kb.ArrowLeft)
	b.wait(`document.querySelector("#why").textContent.startsWith("Zone 2 ")`)
	x, y := b.at(`[data-point="4"]`)
	points := b.points("job", 0)
	b.do(chromedp.DragAndDropXY(x, y, x, y-40))
	assert.NotEqual(t, points, b.points("job", 0))
	b.press(kb.Escape)
	b.wait(`!document.documentElement.classList.contains("projected")`)
	b.settled()
	assert.InDelta(t, before, get[float64](b, size), 1)
}

// TestZonesOnATelephone goes to the next zone and back by buttons that are there
// whatever of the page is seen.
func TestZonesOnATelephone(t *testing.T) {
	b := open(t, options(t, harbourFair()...))
	b.do(chromedp.EmulateViewport(390, 844))
	b.wait(`document.querySelector(".dot")`)
	b.settled()
	for _, c := range []struct{ button, says string }{{"#zone-on", "Zone 1 "}, {"#zone-on", "Zone 2 "}, {"#zone-on", "Zone 3 "}, {"#zone-back", "Zone 2 "}} {
		assert.True(t, get[bool](b, fmt.Sprintf(`(() => { const r = document.querySelector(%q).getBoundingClientRect(); return r.width >= 24 && r.top >= 0 && r.bottom <= innerHeight; })()`, c.button)))
		b.click(c.button)
		b.wait(fmt.Sprintf(`document.querySelector("#why").textContent.startsWith(%q)`, c.says))
	}
}

// TestAlongLiesOverNothing has the demand along the sheet beside the form where there is
// room, and on a telephone under it: it covers none of the zones, and nothing moves
// when it comes.
func TestAlongLiesOverNothing(t *testing.T) {
	b := open(t, options(t, harbourFair()...))
	b.wait(`document.querySelector(".plates image")`)
	for _, width := range []int64{1440, 1024, 390} {
		b.do(chromedp.EmulateViewport(width, 844))
		b.settled()
		for _, zone := range []int{2, 11, 20} {
			b.press(kb.Escape)
			b.settled()
			keys := `document.querySelector(".key-box").getBoundingClientRect().y + scrollY`
			before := get[float64](b, keys)
			b.focus(fmt.Sprintf(`.column[data-zone="%d"]`, zone))
			b.wait(`!document.querySelector(".along").classList.contains("none")`)
			assert.Equal(t, before, get[float64](b, keys))
			assert.Empty(t, get[[]string](b, `(() => {
				const box = (s) => document.querySelector(s).getBoundingClientRect(), form = box(".plate");
				return [".along-ink", ".along-axis"].filter((s) => { const r = box(s); return r.left < form.right - 1 && r.right > form.left && r.top < form.bottom - 1 && r.bottom > form.top + 1; });
			})()`), "%d px, zone %d", width, zone)
			assert.Empty(t, overlying(b, ".along", "true"), "%d px, zone %d", width, zone)
			b.focus("body")
		}
	}
}

// states are what the page shows beside its views, each with what leads to it.
var states = map[string]string{
	"all":        views["all"],
	"quiz":       views["quiz"],
	"shortfall":  `(document.querySelector("#sweep").value = 0, document.querySelector("#sweep").dispatchEvent(new Event("input")), true)`,
	"gathered":   `(document.querySelector("#lesson-play").click(), true)`,
	"projector":  `(document.querySelector("#projector").click(), true)`,
	"shape held": `(document.querySelector("[data-view=drawn]").click(), document.querySelector("[data-form]").click(), document.querySelector("#shapes-part").open = true, document.querySelector("#shape-add").click(), true)`,
	"drawn":      `(document.querySelector("[data-view=drawn]").click(), document.querySelector("[data-form='band']").click(), true)`,
}

// TestAccessibleInEveryState holds them against axe-core and the written-out checks,
// in the page's colours, light and dark, and in the system's, dark on light and light on
// dark.
func TestAccessibleInEveryState(t *testing.T) {
	for name, lead := range states {
		t.Run(name, func(t *testing.T) {
			b := open(t, options(t, harbourFair()...))
			b.wait(`document.querySelector(".plates image")`)
			b.settled()
			b.still()
			b.focus(`.column[data-zone="9"]`)
			b.settled()
			get[bool](b, lead)
			b.settled()
			for colour, features := range colours {
				_, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: append(features, &emulation.MediaFeature{Name: "prefers-reduced-motion", Value: "reduce"})})
				require.NoError(t, err)
				assert.Empty(t, axeFinds(t, b), colour)
				assert.Empty(t, get[[]string](b, nameless), "controls without a name")
				assert.Empty(t, get[[]string](b, ids), "identities")
				if len(features) < 2 { // of those that the page chooses
					assert.Empty(t, get[[]string](b, faint), "too little contrast, %s", colour)
				}
			}
		})
	}
}

// colours are those that a screen may ask for.
var colours = map[string][]*emulation.MediaFeature{"light": nil, "dark": {dark}, "forced light": forced("light"), "forced dark": forced("dark")}

// dark is what a screen asks for whose owner likes it so.
var dark = &emulation.MediaFeature{Name: "prefers-color-scheme", Value: "dark"}

// TestDark keeps the form white and what is drawn on it dark, beside a page that is dark;
// what the pencil marks is seen on both. On paper it is the page by day.
func TestDark(t *testing.T) {
	b := open(t, options(t, harbourFair()...))
	b.wait(`document.querySelector(".plates image")`)
	b.settled()
	b.focus(`.column[data-zone="9"]`)
	luminance := func(selector, what string) float64 {
		t.Helper()
		return get[float64](b, fmt.Sprintf(`(() => {
			const [r, g, b] = getComputedStyle(document.querySelector(%q))[%q].match(/[\d.]+/g).map((v) => (v / 255 <= 0.04045 ? v / 255 / 12.92 : ((v / 255 + 0.055) / 1.055) ** 2.4));
			return 0.2126 * r + 0.7152 * g + 0.0722 * b;
		})()`, selector, what))
	}
	apart := func(a, b float64) float64 { return (max(a, b) + 0.05) / (min(a, b) + 0.05) } // WCAG 2.2, contrast ratio
	day := luminance(":root", "backgroundColor")
	_, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{dark}})
	require.NoError(t, err)
	night := luminance(":root", "backgroundColor")
	assert.Greater(t, day, 0.9)
	assert.Less(t, night, 0.02)
	assert.Equal(t, 1.0, luminance(".plate", "fill"))
	for _, part := range []string{".lead", ".plate", ".strip:not(.lit)"} {
		assert.GreaterOrEqual(t, apart(1, luminance(part, "stroke")), 3.0, part) // success criterion 1.4.11
	}
	pencil := luminance(".column.lit", "stroke")
	assert.GreaterOrEqual(t, apart(1, pencil), 3.0, "on the form")
	assert.GreaterOrEqual(t, apart(night, pencil), 4.5, "beside it, where it writes too")
	for _, part := range []string{".blade-edge", ".curve-drawn", ".key-box", ".film-edge"} {
		assert.GreaterOrEqual(t, apart(night, luminance(part, "stroke")), 3.0, part)
	}
	_, err = chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print", Features: []*emulation.MediaFeature{dark}})
	require.NoError(t, err)
	assert.Equal(t, 1.0, luminance(":root", "backgroundColor"))
	assert.Less(t, luminance("body", "color"), 0.02)
}

func forced(scheme string) []*emulation.MediaFeature {
	return []*emulation.MediaFeature{{Name: "forced-colors", Value: "active"}, {Name: "prefers-color-scheme", Value: scheme}}
}
