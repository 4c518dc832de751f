package page

import (
	"fmt"
	"strings"
	"testing"

	"bladeline/zones/press"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// rehearses opens the demonstration form in its rehearsal, when all is worked out.
func rehearses(t *testing.T) *tab {
	b := open(t, options(t, harbourFair()...))
	b.wait(`document.querySelector("g.key")`)
	b.click("#rehearse")
	b.wait(`document.querySelector("#rehearse-films image")`)
	b.wait(`document.querySelector("#run-clean svg")`)
	b.settled()
	return b
}

// TestRehearsal shows what the train prints: the zones' films, the sheet with rulers of
// all form rollers, the train, the start; and of the lit zone what its key does.
func TestRehearsal(t *testing.T) {
	b := rehearses(t)
	says := func() string { return get[string](b, `document.querySelector("#rehearse-says").textContent`) }
	assert.Contains(t, says(), "until about sheet")
	assert.Contains(t, get[string](b, `document.querySelector("#rehearse-trend").textContent`), "Trend, not measured on this press")
	assert.Equal(t, 4, get[int](b, `document.querySelectorAll("#rehearse-films .ruler").length`), "four form rollers")
	assert.Equal(t, 21, get[int](b, `document.querySelectorAll("#rehearse-films .column").length`))
	assert.Equal(t, 18, get[int](b, `document.querySelectorAll("#train .ring").length`), "17 rollers and the ductor")
	assert.False(t, get[bool](b, `document.querySelector("#bench").checkVisibility()`))

	rings := get[string](b, `document.querySelector("#train").innerHTML`)
	b.hover(`#rehearse-films .column[data-zone="9"]`)
	b.wait(`document.querySelector("#train-says").textContent.includes("in zone 9")`)
	assert.NotEqual(t, rings, get[string](b, `document.querySelector("#train").innerHTML`), "the rings are the zone's")
	b.wait(`document.querySelector("#run-pulled svg")`)
	assert.Contains(t, says(), "% of what it does goes to its own zone")
	assert.Equal(t, 1, get[int](b, `document.querySelectorAll("#run-clean .run-lit").length`))

	b.focus(`#rehearse-films .column[data-zone="9"]`)
	b.press(kb.ArrowRight)
	b.wait(`document.querySelector("#train-says").textContent.includes("in zone 10")`)
	b.click("#rehearse")
	b.wait(`document.querySelector("#bench").checkVisibility()`)
	assert.False(t, get[bool](b, `document.querySelector("#rehearse-part").checkVisibility()`))
}

// TestRehearsalSays what the command rehearse says of the same ink, once that is there:
// the keys to move by name, and what it costs until the films stand.
func TestRehearsalSays(t *testing.T) {
	b := rehearses(t)
	b.wait(`document.querySelector("#rehearse-says").textContent.includes("is not settled until about sheet")`)
	says := b.text("#rehearse-says")
	assert.Regexp(t, `Zones 13 to 17 will run up to \d+ % heavy: close keys 13 from 19 to 18`, says)
	assert.Regexp(t, `waste until then about \d+ sheets, \d+ g of ink \(trend\)\.`, says)
	assert.Equal(t, 1, strings.Count(says, "until about sheet"), "all is said once")
	assert.Contains(t, b.text("#rehearse-drawn"), "Ink fed against wanted")
	b.slide(2)
	b.wait(`document.querySelector("#rehearse-says").textContent === ""`) // until the whole train answers again
}

// TestRehearsalFollows the sweep: the line answers at once, the whole train after it.
func TestRehearsalFollows(t *testing.T) {
	b := rehearses(t)
	before := get[string](b, `document.querySelector(".films-preset").getAttribute("d")`)
	b.slide(2) // so low that keys are held by the ceiling
	b.wait(fmt.Sprintf(`document.querySelector(".films-preset.quick") && document.querySelector(".films-preset").getAttribute("d") !== %q`, before))
	b.wait(`document.querySelector(".films-preset:not(.quick)") && document.querySelector("#rehearse-says").textContent.includes("light")`)
}

// TestRehearsalOfAllInks has a row an ink; one that is pressed is rehearsed.
func TestRehearsalOfAllInks(t *testing.T) {
	b := rehearses(t)
	rows := get[int](b, `document.querySelectorAll("#rehearse-inks-rows button").length`)
	require.Equal(t, len(harbourFair()), rows)
	// What neighbours may yet move is told as no figure.
	assert.False(t, get[bool](b, `[...document.querySelectorAll("#rehearse-inks-rows li")].some((row) => row.querySelector(".quick") && /\d %/.test(row.querySelector(".ink-says").textContent))`))
	b.wait(`document.querySelectorAll("#rehearse-inks-rows .films-preset:not(.quick)").length === ` + fmt.Sprint(rows))
	assert.Regexp(t, `zone \d+ [−+]\d+ %`, get[string](b, `document.querySelector("#rehearse-inks-rows").textContent`))
	b.click("#rehearse-inks-rows li:last-child button")
	name := get[string](b, `document.querySelector("#rehearse-inks-rows li:last-child .ink-name").textContent`)
	b.wait(`document.querySelector("#rehearse-title").textContent.includes(` + fmt.Sprintf("%q", name) + `)`)
	assert.Equal(t, 1, get[int](b, `document.querySelectorAll("#rehearse-inks-rows [aria-pressed=true]").length`))
}

// TestRehearsalAsDensity: where the press knows the ink's law its zones are seen as film,
// as density or as both, and the first sheets by density.
func TestRehearsalAsDensity(t *testing.T) {
	o := options(t, harbourFair()[0])
	on := *o.Presses[0].Press
	on.Inks = map[string]press.Ink{o.Maps[0].Ink: {DensityLimit: 2.1, DensityRatePerUM: 1.3}}
	o.Presses[0].Press = &on
	b := open(t, o)
	b.wait(`document.querySelector("g.key")`)
	b.click("#rehearse")
	b.wait(`document.querySelector("#run-clean svg")`)
	assert.Equal(t, 2, get[int](b, `document.querySelectorAll("#rehearse-films .films-preset").length`))
	assert.Contains(t, get[string](b, `document.querySelector("#run-clean-of").textContent`), "Density after a start")
	// 1 µm of that ink: 2.1·(1 − e^−1.3) = 1.53 (Tollenaar and Ernst).
	assert.True(t, get[bool](b, `[...document.querySelectorAll("#rehearse-films text")].some((n) => n.textContent === "1.53")`))
	b.set("rehearse-as", "film")
	b.wait(`document.querySelectorAll("#rehearse-films .films-preset").length === 1`)
	assert.Contains(t, get[string](b, `document.querySelector("#run-clean-of").textContent`), "Film after a start")
	assert.True(t, get[bool](b, `document.querySelector("#rehearse-inks").hidden`), "one ink has no rows")
}

// TestRehearsalRulers begin where one points on the sheet, or as they are told.
func TestRehearsalRulers(t *testing.T) {
	b := rehearses(t)
	at := get[[]float64](b, `(() => { document.querySelector("#rehearse-films").scrollIntoView({ block: "center" }); const r = document.querySelector("#rehearse-films .plate").getBoundingClientRect(); return [r.x + r.width / 2, r.y + r.height / 2]; })()`)
	b.do(chromedp.MouseEvent(input.DispatchMouseEventTypeMouseMoved, at[0], at[1]))
	b.wait(`Number(document.querySelector("#ruler-from").value) === 240`) // of 480 mm
	b.set("ruler-from", "100")
	// The first form roller has 60 mm: π·60 mm = 188.5 mm (the press's file, and a circle's circumference).
	b.wait(`[...document.querySelectorAll("#rehearse-films text")].some((n) => n.textContent === "288")`)
}

// TestRehearsalStandsStill where motion is not wanted, and where the rollers are stopped.
func TestRehearsalStandsStill(t *testing.T) {
	b := rehearses(t)
	state := `getComputedStyle(document.querySelector(".turning"))`
	assert.Equal(t, "running", get[string](b, state+`.animationPlayState`))
	b.click("#train-pause")
	assert.Equal(t, "paused", get[string](b, state+`.animationPlayState`))
	assert.Equal(t, "Turn the rollers", get[string](b, `document.querySelector("#train-pause").textContent`))
	_, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-reduced-motion", Value: "reduce"}}})
	require.NoError(t, err)
	b.wait(state + `.animationName === "none" && document.querySelector("#train-pause").hidden`)
}

// TestHardRollersAreSeen where there are no grays either: their letters are underlined then,
// and what is said of it.
func TestHardRollersAreSeen(t *testing.T) {
	b := rehearses(t)
	assert.Contains(t, b.text("#train-says"), "Gray is hard.")
	lined := `[...document.querySelectorAll("#train .figure")].filter((n) => getComputedStyle(n).textDecorationLine === "underline").length`
	assert.Zero(t, get[int](b, lined))
	_, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: colours["forced light"]})
	require.NoError(t, err)
	b.hover(`#rehearse-films .column[data-zone="9"]`)
	b.wait(`document.querySelector("#train-says").textContent.endsWith("Underlined is hard.")`)
	assert.Equal(t, get[int](b, `document.querySelectorAll("#train .roller.hard").length`), get[int](b, lined))
}

// TestRehearsalWithoutTrain says what the press lacks.
func TestRehearsalWithoutTrain(t *testing.T) {
	o := options(t, harbourFair()[0])
	bare := *o.Presses[0].Press
	bare.Train = nil
	o.Presses[0].Press = &bare
	b := open(t, o)
	b.wait(`document.querySelector("g.key")`)
	b.click("#rehearse")
	b.wait(`document.querySelector("#rehearse-problem").textContent.includes("describes no roller train; add a [train]")`)
	assert.False(t, get[bool](b, `document.querySelector("#rehearse-drawn").checkVisibility()`))
}

// TestRehearsalIsThereAfterReload shows the run again that was seen before a reload, and
// the bench where that was.
func TestRehearsalIsThereAfterReload(t *testing.T) {
	b := rehearses(t)
	seen := func() []bool {
		b.do(chromedp.Reload())
		b.wait(`document.body.dataset.drawn > 0 && document.querySelector("g.key")`)
		b.settled()
		return get[[]bool](b, `["#rehearse-part", "#bench"].map((s) => document.querySelector(s).checkVisibility())`)
	}
	assert.Equal(t, []bool{true, false}, seen())
	assert.True(t, get[bool](b, `document.querySelector("#rehearse-films svg") !== null && document.querySelector("#rehearse").ariaPressed === "true"`))
	b.click("#rehearse")
	assert.Equal(t, []bool{false, true}, seen())
}

// TestRehearsalAccessible holds the view against the written-out checks, at all sizes.
func TestRehearsalAccessible(t *testing.T) {
	b := rehearses(t)
	b.hover(`#rehearse-films .column[data-zone="9"]`)
	b.wait(`document.querySelector("#run-pulled svg")`)
	get[bool](b, `(document.querySelectorAll("details").forEach((d) => { d.open = true; }), true)`)
	assert.Empty(t, get[[]string](b, nameless), "controls without a name")
	assert.Empty(t, get[[]string](b, faint), "texts with too little contrast")
	assert.Empty(t, get[[]string](b, ids), "identities")
	assert.Empty(t, axeInAllColours(t, b), "axe-core")
	for _, size := range [][2]int64{{1440, 900}, {1024, 768}, {720, 450}, {390, 844}} {
		b.do(chromedp.EmulateViewport(size[0], size[1]))
		b.settled()
		assert.LessOrEqual(t, get[int](b, `document.documentElement.scrollWidth`), int(size[0]), "%v", size)
		assert.Empty(t, get[[]string](b, `[...document.querySelectorAll("#rehearse-part *")].filter((n) => n.checkVisibility() && !n.closest("svg *, table") && n.getBoundingClientRect().right > innerWidth + 1).map((n) => n.outerHTML.slice(0, 80))`), "%v", size)
	}
}
