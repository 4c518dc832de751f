package page

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
	"testing"

	"bladeline/cmd/bladeline/internal/job"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// hanging are the words under the film, by zone.
func (b *tab) hanging() map[string]string {
	b.t.Helper()
	return get[map[string]string](b, `(() => {
		const of = {};
		for (const n of document.querySelectorAll(".film-word")) of[n.dataset.zone] = ((of[n.dataset.zone] ?? "") + " " + n.textContent).trim();
		return of;
	})()`)
}

// TestSupplyAndDemandHang lowers the sweep until keys stand at the ceiling: what each
// of them lacks hangs from the ductor, by a sign, a figure and a word, and is what
// opening × sweep of the saved preset lacks of what the curve asks at its own sweep.
func TestSupplyAndDemandHang(t *testing.T) {
	b := open(t, options(t, harbourFair()...))
	b.wait(`document.querySelector(".dot")`)
	b.settled()
	assert.Empty(t, b.hanging(), "auto feeds what the zones take")
	outline := get[string](b, `document.querySelector(".film-takes").getAttribute("d")`)
	assert.Contains(t, get[string](b, `document.querySelector("#drawing").textContent`), "in % open at sweep 45 %")
	b.slide(0)
	b.wait(`document.querySelectorAll(".film-word").length`)
	b.settled()
	assert.Equal(t, outline, get[string](b, `document.querySelector(".film-takes").getAttribute("d")`), "what a zone takes does not hang on the sweep")
	curve, err := job.LoadCurve("coated")
	require.NoError(t, err)
	want := map[string]string{}
	for _, key := range b.preset().Units[0].Keys {
		if key.State != "ceiling" {
			continue
		}
		takes, gets := curve.At(key.CoveragePct)*45, key.Key*10
		want[fmt.Sprint(key.Zone)] = fmt.Sprintf("▼ %.0f", 100*(1-gets/takes))
	}
	require.Len(t, want, 9)
	assert.Contains(t, b.text("#drawing"), "▼ short,▲ over, %", "what signs and figures are")
	assert.Equal(t, want, b.hanging())
	label := get[string](b, `document.querySelector('.column[data-zone="19"]').ariaLabel`)
	assert.Contains(t, label, strings.TrimPrefix(want["19"], "▼ ")+" % short")
}

// TestFilmInTheExercise shows what the learner's keys feed, live, and what the zones
// take when it has been weighed.
func TestFilmInTheExercise(t *testing.T) {
	b := open(t, options(t, harbourFair()...))
	b.wait(`document.querySelector(".dot")`)
	b.click("#quiz")
	b.wait(`document.querySelectorAll("[data-key]").length === 21`)
	gets := `document.querySelector(".film-gets").getAttribute("d")`
	assert.Empty(t, get[string](b, `document.querySelector(".film-takes").getAttribute("d")`), "nothing gives the keys away")
	before := get[string](b, gets)
	b.focus(`.column[data-zone="9"]`)
	b.press(kb.ArrowDown + kb.ArrowDown)
	b.wait(fmt.Sprintf(`%s !== %q`, gets, before))
	b.click("#quiz-weigh")
	b.wait(`document.querySelector(".film-takes").getAttribute("d")`)
	assert.Contains(t, b.hanging()["19"], "▼")
}

// TestFormKeepsItsAspect shows the example form of each press that ships. On a desk and
// on a large screen it is flattened by a seventh at most, which is said; on a tablet by
// how much, too. It begins high, and has a scale in mm.
func TestFormKeepsItsAspect(t *testing.T) {
	for _, press := range []string{"two-colour", "four-colour", "duplicator"} {
		t.Run(press, func(t *testing.T) {
			b := open(t, options(t))
			b.click(`[data-example="` + press + `"]`)
			b.wait(`document.querySelector(".plates image")`)
			s := slices.Collect(maps.Values(b.remembered().Separations))[0]
			for _, size := range []struct {
				width, height, top int64
				most               float64
			}{{1440, 900, 155, 1.15}, {1440, 1400, 155, 1.03}, {1920, 1080, 155, 1.03}, {1024, 768, 155, 1.65}, {390, 844, 290, 1.25}} {
				b.do(chromedp.EmulateViewport(size.width, size.height))
				b.settled()
				at := get[[]float64](b, `(() => { scrollTo(0, 0); const r = document.querySelector(".plate").getBoundingClientRect(); return [r.width / r.height, document.querySelector(".strip").getBoundingClientRect().top]; })()`)
				flat := at[0] / (s.WidthMM / s.HeightMM)
				t.Logf("%d × %d: %.3f times flatter", size.width, size.height, flat)
				text := get[string](b, `document.querySelector(".form").textContent`)
				if flat < 1.04 {
					assert.NotContains(t, text, "flatter", "%v", size)
				} else if flat > 1.06 {
					assert.InDelta(t, flat, get[float64](b, flatter), 0.01, "%v", size)
				}
				assert.LessOrEqual(t, flat, size.most+0.002, "%v", size)
				assert.GreaterOrEqual(t, flat, 0.998, "%v", size)
				assert.Less(t, at[1], float64(size.top), "%v: where the form begins", size)
				assert.Regexp(t, `0 mm|100 mm`, text)
				if size.width > 1000 {
					assert.Contains(t, text, "tail edge")
					assert.LessOrEqual(t, get[float64](b, `Math.max(...[...document.querySelectorAll(".key-box")].map((n) => n.getBoundingClientRect().bottom))`), float64(size.height), "%v: the keys are seen with it", size)
				}
			}
		})
	}
}

// TestSliderStaysUnderThePointer sweeps from nine notches to ten: the slider does not
// move.
func TestSliderStaysUnderThePointer(t *testing.T) {
	b := open(t, options(t))
	b.set("press", "duplicator")
	b.click(`[data-view="drawn"]`)
	b.wait(`document.querySelector("g.key")`)
	b.click(`[data-form="tint"]`)
	b.settled()
	place := `(() => { const r = document.querySelector("#sweep").getBoundingClientRect(); return [r.left, r.top, r.width]; })()`
	var first []float64
	for setting := range 10 {
		b.slide(setting)
		b.settled()
		now := get[[]float64](b, place)
		if setting == 0 {
			first = now
		}
		assert.Equal(t, first, now, get[string](b, `document.querySelector("#sweep-value").textContent`))
	}
	assert.Equal(t, "Sweep of Black", get[string](b, `document.querySelector("#sweep-of").textContent`))
}

// TestUnitsAreChosenWhereTheyStand clicks on an ink among all inks: sweep and curve
// are that ink's. Arrow keys go from ink to ink.
func TestUnitsAreChosenWhereTheyStand(t *testing.T) {
	b := open(t, options(t, harbourFair()...))
	b.wait(`document.querySelector(".dot")`)
	b.click(`[data-unit="-1"]`)
	b.wait(`document.querySelectorAll(".unit-title").length === 5`)
	b.settled()
	of := func() []string {
		return get[[]string](b, `["#sweep-of", "#curve-of", "#ink"].map((s) => document.querySelector(s).textContent)`)
	}
	box := get[[]float64](b, `(() => { const n = document.querySelectorAll(".blade-roller")[3]; n.scrollIntoView({ block: "center" }); const r = n.getBoundingClientRect(); return [r.x + r.width / 2, r.y + 20]; })()`)
	b.do(chromedp.MouseClickXY(box[0], box[1]))
	b.wait(`document.querySelector("#sweep-of").textContent === "Sweep of Magenta"`)
	assert.Equal(t, []string{"Sweep of Magenta", "The curve of Magenta", "All inks"}, of())
	assert.Contains(t, get[string](b, `document.querySelector(".unit-title.chosen").textContent`), "Magenta")
	b.focus(`.column[data-zone="4"]`)
	b.press(kb.ArrowDown)
	assert.Equal(t, []string{"Sweep of Yellow", "The curve of Yellow", "All inks"}, of())
	b.press(kb.ArrowUp + kb.ArrowUp)
	assert.Equal(t, "Sweep of Cyan", of()[0])
}

// TestInksAreTinted tints the form in its inks' colours, each named beside its own.
func TestInksAreTinted(t *testing.T) {
	b := open(t, options(t, harbourFair()...))
	b.wait(`document.querySelector(".dot")`)
	b.click(`[data-unit="-1"]`)
	b.wait(`document.querySelectorAll("#drawing image").length === 5`)
	b.settled()
	colours := get[[][]string](b, `[...document.querySelectorAll(".unit-title")].map((n) => [n.textContent.replace(/^▸ | {3}sweep.*/g, ""), n.previousSibling.getAttribute("fill"), n.parentNode.querySelectorAll(".blade-ink")[0].tagName])`)
	seen := map[string]bool{}
	for _, c := range colours {
		assert.Regexp(t, `^(Black|Cyan|Magenta|Yellow|Harbour Red)$`, c[0])
		seen[c[1]] = true
	}
	assert.Len(t, seen, 5, "a colour an ink")
	b.wait(`document.querySelectorAll(".plates image").length === 5 && [...document.querySelectorAll(".plates image")].every((n) => n.getAttribute("href"))`)
}

// TestAutoHoldsWhilePulled pulls the curve of an ink whose sweep is auto: the sweep
// holds still, says where it would go, and goes there when the point is let go.
func TestAutoHoldsWhilePulled(t *testing.T) {
	b := open(t, options(t, harbourFair()...))
	b.wait(`document.querySelector(".dot")`)
	b.settled()
	x, y := b.at(`[data-point="7"]`)
	at := func(kind input.DispatchMouseEventType, dy float64) {
		b.do(chromedp.MouseEvent(kind, x, y+dy, chromedp.ButtonLeft, chromedp.ClickCount(1)))
	}
	value := func() string { return get[string](b, `document.querySelector("#sweep-value").textContent`) }
	for point := 9; point > 6; point-- { // all of the upper end to the top
		x, y = b.at(fmt.Sprintf(`[data-point="%d"]`, point))
		at(input.DispatchMouseEventTypeMousePressed, 0)
		for dy := -10.0; dy >= -90; dy -= 10 {
			at(input.DispatchMouseEventTypeMouseMoved, dy)
		}
		if point > 7 {
			at(input.DispatchMouseEventTypeMouseReleased, -90)
			b.settled()
		}
	}
	held := value()
	for dy := -90.0; dy <= 160; dy += 10 {
		at(input.DispatchMouseEventTypeMouseMoved, dy)
		assert.Equal(t, held, value())
	}
	for dy := 160.0; dy >= -120; dy -= 10 {
		at(input.DispatchMouseEventTypeMouseMoved, dy)
	}
	b.settled()
	assert.Equal(t, held, value())
	says := get[string](b, `document.querySelector("#sweep-reason").textContent`)
	assert.Contains(t, says, "Auto holds "+held+" while the curve is pulled; let go, and it ")
	assert.Regexp(t, `^\d+ → [\d.]+ %$`, get[string](b, `[...document.querySelectorAll("#relation .flag")].at(-1).textContent`), "the value at the hand")
	at(input.DispatchMouseEventTypeMouseReleased, -120)
	b.settled()
	if strings.Contains(says, "it moves to ") {
		assert.Contains(t, says, "it moves to "+value()+".")
	} else {
		assert.Equal(t, held, value())
	}
	assert.True(t, get[bool](b, `document.querySelector("#auto").checked`))
	assert.NotContains(t, get[string](b, `document.querySelector("#sweep-reason").textContent`), "Auto holds")
}

// still asks the browser for pages without motion.
func (b *tab) still() {
	b.t.Helper()
	_, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-reduced-motion", Value: "reduce"}}})
	require.NoError(b.t, err)
}

// gathered is the block at the lead edge in parts of the zone's area, and the figure
// over it.
const gathered = `(() => {
	const d = document.querySelector(".gathered").getAttribute("d"), strip = document.querySelector(".gathered-ground").getBBox();
	let sum = 0;
	for (const m of d.matchAll(/M([\d.-]+) ([\d.-]+)H([\d.-]+)V([\d.-]+)/g)) sum += (m[3] - m[1]) * (m[4] - m[2]);
	return [sum / strip.width / strip.height, document.querySelector(".along .flag").textContent];
})()`

// TestImageGathersToItsCoverage gathers a zone's image, paused on the way and where
// nothing is to move: the block is as large a part of the zone as it is covered.
func TestImageGathersToItsCoverage(t *testing.T) {
	b := open(t, options(t, harbourFair()...))
	b.wait(`document.querySelector(".plates image")`)
	b.settled()
	b.slide(17) // 27 %
	b.settled()
	b.focus(`.column[data-zone="9"]`)
	b.settled()
	b.click("#lesson-play")
	b.wait(`document.querySelector(".gathered")`)
	b.click("#lesson-play")
	assert.Equal(t, "Go on", get[string](b, `document.querySelector("#lesson-play").textContent`))
	paused := get[string](b, `document.querySelector(".along").innerHTML`)
	b.do(chromedp.Evaluate[chromedp.Void](`new Promise((done) => setTimeout(done, 200))`))
	assert.Equal(t, paused, get[string](b, `document.querySelector(".along").innerHTML`))
	b.click("#lesson-end")
	b.wait(`!document.querySelector(".gathered")`)

	b.still()
	b.click("#lesson-play")
	b.wait(`document.querySelector(".along .flag")?.textContent`)
	got := get[[]any](b, gathered)
	assert.Equal(t, "34.7 %", got[1])
	assert.InDelta(t, 0.347, got[0].(float64), 0.01, "of the press's print length")
	assert.Equal(t, "× 45 ÷ 27", get[string](b, `[...document.querySelectorAll("#relation .flag")].map((n) => n.textContent).find((s) => s.startsWith("×"))`))
	key := b.preset().Units[0].Keys[8]
	assert.Equal(t, fmt.Sprintf("zone 9: %.1f → %.1f %%", key.CoveragePct, key.OpeningPct), get[string](b, `document.querySelector("#relation .flag").textContent`))
	b.focus(`.column[data-zone="10"]`)
	b.wait(`!document.querySelector(".gathered")`)
}

// TestGuideGoesByTheCurve leads from the coverage up to the curve at its own sweep,
// and from there to the opening.
func TestGuideGoesByTheCurve(t *testing.T) {
	b := open(t, options(t, harbourFair()...))
	b.wait(`document.querySelector(".dot")`)
	b.slide(17)
	b.settled()
	b.focus(`.column[data-zone="9"]`)
	b.settled()
	apart := get[[]float64](b, `(() => {
		const [, x, , curve, y] = document.querySelector(".curve-guide").getAttribute("d").match(/M([\d.]+) ([\d.]+)V([\d.]+)V([\d.]+)H/).map(Number);
		const line = document.querySelector(".curve-drawn"), dot = document.querySelector(".dot.lit").getBBox();
		let least = 1e9;
		for (let at = 0; at < line.getTotalLength(); at += 0.5) { const p = line.getPointAtLength(at); least = Math.min(least, Math.hypot(p.x - x, p.y - curve)); }
		return [least, dot.x + dot.width / 2 - x, dot.y + dot.height / 2 - y, curve - y];
	})()`)
	for i, v := range apart[:3] {
		assert.InDelta(t, 0, v, 1, "%d", i)
	}
	assert.Greater(t, apart[3], 15.0, "up, by × 45 ÷ 27")
}

// TestLinesAreNamed names each line of the curve on it, and no name stands on an
// axis's title.
func TestLinesAreNamed(t *testing.T) {
	b := open(t, options(t, harbourFair()...))
	b.wait(`document.querySelector(".dot")`)
	for _, setting := range []int{0, 17, 35, 60} {
		b.slide(setting)
		b.settled()
		names := get[[]string](b, `[...document.querySelectorAll(".curve-names text")].map((n) => n.textContent)`)
		want := []string{"the curve, at sweep 45 %"}
		if setting != 35 {
			want = append(want, fmt.Sprintf("at sweep %d %%", setting+10))
		}
		assert.Equal(t, want, names)
		assert.Zero(t, get[int](b, `(() => {
			const boxes = [...document.querySelectorAll("#relation .grid text, #relation .curve-names text")].map((n) => n.getBoundingClientRect());
			return boxes.filter((a, i) => boxes.some((b, k) => k < i && a.left < b.right - 1 && b.left < a.right - 1 && a.top < b.bottom - 4 && b.top < a.bottom - 4)).length;
		})()`), "texts on one another")
	}
	// Ten per cent of coverage take about a third of the scale.
	part := get[float64](b, `(() => { const x = (v) => [...document.querySelectorAll(".grid text")].find((n) => n.textContent === v && n.getAttribute("text-anchor") === "middle").getBBox(), mid = (r) => r.x + r.width / 2; return (mid(x("10")) - mid(x("0"))) / (mid(x("100")) - mid(x("0"))); })()`)
	assert.InDelta(t, math.Sqrt(0.1), part, 0.01)
}
