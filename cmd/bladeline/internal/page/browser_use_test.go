package page

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"bladeline/coverage"
	"bladeline/curves"
	"bladeline/zones/preset"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// lit is what is lit on the page: for every kind of part, the zones.
const lit = `["strip", "gap", "key", "column", "dot"].map((kind) => [...document.querySelectorAll("." + kind + ".lit")].map((n) => kind + n.dataset.zone).join())
	.concat([...document.querySelectorAll("tr.lit")].map((n) => "row" + n.dataset.zone)).join(" ")`

// TestLinkedZone points at every part of a zone, and walks the zones by
// keyboard: the whole zone lights each time, and the sentence speaks of it.
func TestLinkedZone(t *testing.T) {
	b := open(t, options(t, harbourFair()...))
	b.wait(`document.querySelectorAll("tbody#rows tr").length === 21`)
	lights := func(zone int) {
		t.Helper()
		b.wait(fmt.Sprintf(`%s === "strip%[2]d gap%[2]d key%[2]d column%[2]d dot%[2]d row%[2]d"`, lit, zone))
		assert.Contains(t, get[string](b, `document.querySelector("#why").textContent`), fmt.Sprintf("Zone %d ", zone))
		assert.Equal(t, fmt.Sprintf("zone %d", zone), get[string](b, `document.querySelector("#drawing .flag").textContent`))
	}
	b.hover(`.column[data-zone="9"]`)
	lights(9)
	b.hover(`tr[data-zone="3"]`)
	lights(3)
	b.hover(`.dot[data-zone="19"]`)
	lights(19)
	b.focus(`.column[data-zone="1"]`)
	lights(1)
	b.press(kb.ArrowRight + kb.ArrowRight)
	lights(3)
	b.press(kb.End)
	lights(21)
	b.focus(`tr[data-zone="1"]`)
	b.press(kb.ArrowDown)
	lights(2)
	b.press(kb.Escape)
	b.wait(`document.querySelectorAll(".lit").length === 0`)
}

// TestCurveByHand drags a point, which cannot be made to fall, and takes it
// back; what stands in the drawing is what a preset of the edited curve says.
func TestCurveByHand(t *testing.T) {
	b := open(t, options(t, harbourFair()...))
	b.wait(`document.querySelector("g.key")`)
	get[bool](b, `(document.querySelector("#auto").click(), true)`) // so that the sweep stays
	b.wait(`!document.querySelector("#auto").checked`)
	before := b.keys()
	x, y := b.at(`[data-point="4"]`)
	b.do(chromedp.DragAndDropXY(x, y, x, y-40))
	b.waitKey("14", before["14"])
	points := b.points("job", 0)
	assert.Greater(t, points[4][1], 29.0)
	assert.LessOrEqual(t, points[4][1], points[5][1], "no curve falls")
	b.same()

	x, y = b.at(`[data-point="4"]`)
	b.do(chromedp.DragAndDropXY(x, y, x+100, y+200))
	points = b.points("job", 0)
	assert.Equal(t, points[3][1], points[4][1], "held at the point before")
	assert.InDelta(t, points[5][0]-0.1, points[4][0], 1e-9, "held before the point after")

	b.press("z", chromedp.ModifierCtrl)
	b.press("z", chromedp.ModifierCtrl)
	b.wait(fmt.Sprintf(`document.querySelector('g.key[data-zone="14"] .key-key').textContent === %q`, before["14"]))
	assert.Equal(t, before, b.keys(), "taken back")
	b.press("y", chromedp.ModifierCtrl)
	b.waitKey("14", before["14"])
	b.click("#undo")
	b.wait(fmt.Sprintf(`document.querySelector('g.key[data-zone="14"] .key-key').textContent === %q`, before["14"]))

	b.focus(`[data-point="4"]`)
	b.press(kb.Insert)
	b.wait(`document.querySelectorAll("[data-point]").length === 11`)
	b.press(kb.Delete)
	b.wait(`document.querySelectorAll("[data-point]").length === 10`)
	b.focus(`[data-point="4"]`)
	b.press(kb.Enter + kb.ArrowUp + kb.ArrowUp + kb.ArrowUp)
	assert.Equal(t, []float64{20, 32}, b.points("job", 0)[4])

	get[bool](b, `(document.querySelectorAll("#curve-part details")[0].open = true)`)
	get[bool](b, `(() => { const n = document.querySelectorAll("#points tr")[4].querySelectorAll("input")[1]; n.value = 3; n.dispatchEvent(new Event("change")); return true; })()`)
	assert.Contains(t, get[string](b, `document.querySelector("#points-said").textContent`), "a curve cannot fall")
	b.same()
	data := b.download(func() { b.click(`[data-save="curve"]`) })
	saved, err := curves.ParseCurve("saved", data)
	require.NoError(t, err)
	assert.Equal(t, 18.0, saved.Points[4].OpeningPct)
}

// TestPointsByKeyboard walks the points of the curve: they are one Tab stop, and no arrow
// key moves one that nobody took hold of. What is moved while one is held is taken back
// together.
func TestPointsByKeyboard(t *testing.T) {
	b := open(t, options(t, harbourFair()...))
	b.wait(`document.querySelector(".dot")`)
	b.settled()
	first := b.points("job", 0)
	stops := `[...document.querySelectorAll("[data-point]")].filter((n) => n.tabIndex === 0).map((n) => n.dataset.point)`
	at := func() string { return get[string](b, `document.activeElement.getAttribute("aria-label")`) }
	assert.Equal(t, []string{"0"}, get[[]string](b, stops))
	b.focus(`[data-point="0"]`)
	b.press(kb.ArrowRight + kb.ArrowUp + kb.ArrowRight + kb.ArrowLeft)
	assert.Equal(t, fmt.Sprintf("Point 3 of 10: covered %g %%, opening %g %%", first[2][0], first[2][1]), at())
	assert.Equal(t, []string{"2"}, get[[]string](b, stops))
	b.press(kb.End + kb.ArrowRight)
	assert.Contains(t, at(), "Point 10 of 10")
	b.press(kb.Home + kb.ArrowLeft + kb.PageUp)
	assert.Contains(t, at(), "Point 1 of 10")
	assert.Equal(t, first, b.points("job", 0), "nothing is moved")
	b.settled()
	assert.Equal(t, "0", get[string](b, `String(JSON.parse((dispatchEvent(new Event("pagehide")), sessionStorage.getItem("bladeline"))).undo.length)`))

	b.press(kb.ArrowRight + kb.ArrowRight + kb.ArrowRight + kb.ArrowRight + kb.Enter)
	assert.Equal(t, "Point 5 is held: the arrow keys move it, finer with Shift. Enter or Escape lets it go.", b.text("#point-held"))
	b.press(kb.ArrowUp + kb.ArrowUp)
	b.press(kb.ArrowUp, chromedp.ModifierShift)
	moved := b.points("job", 0)[4]
	assert.InDeltaSlice(t, []float64{first[4][0], first[4][1] + 2.1}, moved, 1e-9)
	assert.Equal(t, fmt.Sprintf("Point 5 is held: covered %g %%, opening %g %%.", moved[0], moved[1]), b.text("#point-held"))
	b.press(kb.Escape + kb.ArrowRight)
	assert.Empty(t, b.text("#point-held"))
	assert.Contains(t, at(), "Point 6 of 10")
	assert.Equal(t, moved, b.points("job", 0)[4])
	b.press(kb.Enter + kb.ArrowUp + kb.Tab)
	assert.Empty(t, b.text("#point-held"), "a Tab lets go, too")
	b.click("#undo")
	b.click("#undo")
	assert.Equal(t, first, b.points("job", 0))
}

// same holds the drawing against the preset that the page saves as CSV.
func (b *tab) same() {
	b.t.Helper()
	preset := b.preset()
	require.NotEmpty(b.t, preset.Units)
	require.Greater(b.t, len(preset.Units[0].Keys), 13)
	b.wait(fmt.Sprintf(`document.querySelector('g.key[data-zone="14"] .key-key').textContent === %q`, preset.Units[0].Keys[13].KeyText))
	shown := b.keys()
	for _, key := range preset.Units[0].Keys {
		assert.Equal(b.t, key.KeyText, shown[strconv.Itoa(key.Zone)], "zone %d", key.Zone)
	}
}

func (b *tab) preset() *preset.Preset {
	b.t.Helper()
	preset, err := preset.ReadCSV("saved", bytes.NewReader(b.download(func() { b.click(`[data-save="csv"]`) })))
	require.NoError(b.t, err)
	return preset
}

// TestSaved reads both forms of a saved preset back: they say the same, which
// is what the page shows. The key sheet is a PDF.
func TestSaved(t *testing.T) {
	b := open(t, options(t, harbourFair()...))
	b.wait(`document.querySelector("g.key")`)
	fromCSV := b.preset()
	fromJSON, err := preset.ReadJSON("saved", bytes.NewReader(b.download(func() { b.click(`[data-save="json"]`) })))
	require.NoError(t, err)
	require.Len(t, fromJSON.Units, 5)
	for i, unit := range fromJSON.Units {
		for k, key := range unit.Keys {
			assert.Equal(t, key.Key, fromCSV.Units[i].Keys[k].Key)
		}
	}
	b.same()
	assert.Equal(t, "%PDF-", string(b.download(func() { b.click(`[data-save="pdf"]`) })[:5]))
}

// TestSweepSlider widens the sweep: every key closes or stays, as the ink fed
// goes with opening times sweep.
func TestSweepSlider(t *testing.T) {
	b := open(t, options(t, harbourFair()...))
	b.wait(`document.querySelector("g.key")`)
	assert.Contains(t, get[string](b, `document.querySelector("#sweep-reason").textContent`), "Auto: ")
	before := b.keys()
	b.focus("#sweep")
	for range 12 {
		b.press(kb.ArrowRight)
	}
	b.waitKey("19", before["19"])
	b.same()
	closed := 0
	for zone, now := range b.keys() {
		was, err := strconv.Atoi(before[zone])
		require.NoError(t, err)
		is, err := strconv.Atoi(now)
		require.NoError(t, err)
		assert.LessOrEqual(t, is, was, "zone %s", zone)
		if is < was {
			closed++
		}
	}
	assert.Greater(t, closed, 15)
	assert.False(t, get[bool](b, `document.querySelector("#auto").checked`))
	b.focus("#sweep")
	b.press(kb.End)
	b.wait(`[...document.querySelectorAll(".key-legend")].some((n) => n.textContent.includes("floor"))`)
	get[bool](b, `(document.querySelector("#auto").click(), true)`)
	b.wait(fmt.Sprintf(`document.querySelector('g.key[data-zone="19"] .key-key').textContent === %q`, before["19"]))
	assert.Equal(t, before, b.keys())
}

// TestPress changes what the press is: zones follow, and what cannot be is said.
func TestPress(t *testing.T) {
	b := open(t, options(t, harbourFair()...))
	b.wait(`document.querySelectorAll("g.key").length === 21`)
	set := func(id, value string) {
		t.Helper()
		get[bool](b, fmt.Sprintf(`(() => { const n = document.querySelector("#%s"); n.value = %q; n.dispatchEvent(new Event("change")); return true; })()`, id, value))
	}
	set("first_zone", "right")
	b.wait(`document.querySelector("g.key").dataset.zone === "21"`)
	set("blade", "one-piece")
	b.wait(`document.querySelector(".blade-blade").getAttribute("d").includes("C")`)
	set("neighbour_limit_pct", "5")
	b.wait(`[...document.querySelectorAll(".key-legend")].some((n) => n.textContent.includes("neighbour"))`)
	set("zones", "10")
	b.wait(`document.querySelector("#problem").textContent.includes("mm")`)
	set("zones", "24")
	b.wait(`document.querySelectorAll("g.key").length === 24 && !document.querySelector("#problem").textContent`)
	set("press", "four-colour")
	b.wait(`document.querySelectorAll("g.key").length === 32`)
	b.click("#undo")
	b.wait(`document.querySelectorAll("g.key").length === 24`)
}

// TestDrawForm paints a plate and measures the very pixels of it, by the
// program's own reader and by counting them one by one.
func TestDrawForm(t *testing.T) {
	b := open(t, options(t))
	b.click(`[data-view="drawn"]`)
	b.wait(`document.querySelector("#prepared button")`)
	b.wait(`document.querySelector("g.key")`)
	bare := b.keys()
	b.click(`[data-form="tint"]`)
	b.waitKey("8", bare["8"])
	b.settled()
	before := b.keys()
	p := get[[]float64](b, `(() => { const r = document.querySelector(".plate").getBoundingClientRect(); return [r.x, r.y, r.width, r.height]; })()`)
	b.do(chromedp.DragAndDropXY(p[0]+p[2]*0.3, p[1]+p[3]*0.2, p[0]+p[2]*0.55, p[1]+p[3]*0.8))
	b.waitKey("8", before["8"])
	b.settled()
	state := b.remembered()
	unit := b.unit("drawn", 0)
	data := b.download(func() { b.click("#drawn-save") })
	path := filepath.Join(t.TempDir(), "drawn.png")
	require.NoError(t, os.WriteFile(path, data, 0o600))
	maps, err := coverage.MeasureFiles(t.Context(), []coverage.Input{{Path: path}}, coverage.Options{})
	require.NoError(t, err)
	require.Len(t, maps, 1)
	assert.Equal(t, maps[0].CoveragePct(), state.Separations[unit.Separation].CoveragePct)
	assert.InDelta(t, counted(t, data), state.Separations[unit.Separation].CoveragePct, 1e-9)
	b.same()

	b.click("#undo")
	b.wait(fmt.Sprintf(`document.querySelector('g.key[data-zone="8"] .key-key').textContent === %q`, before["8"]))
	get[bool](b, `(document.querySelector("#shapes-part").open = true)`)
	b.click("#shape-clear")
	b.wait(`document.querySelectorAll("#shapes tr").length === 0`)
	b.settled()
	b.click("#shape-add")
	b.wait(`document.querySelectorAll("#shapes tr").length === 1`)
	get[bool](b, `(() => { const [x] = document.querySelectorAll("#shapes input"); x.value = 90; x.dispatchEvent(new Event("change")); return x.value === "80"; })()`)
}

// counted is the coverage of a gray PNG in %, counted pixel by pixel.
func counted(t *testing.T, data []byte) float64 {
	picture, err := png.Decode(bytes.NewReader(data))
	require.NoError(t, err)
	gray, ok := picture.(*image.Gray)
	require.True(t, ok, "%T", picture)
	var sum float64
	for _, v := range gray.Pix {
		sum += 255 - float64(v)
	}
	return sum / 255 / float64(len(gray.Pix)) * 100
}

// TestQuiz sets keys by eye: the computed keys are hidden, and the profile is the
// share of the zones that count which are within a tenth of the best, at one level.
func TestQuiz(t *testing.T) {
	b := open(t, options(t, harbourFair()...))
	b.wait(`document.querySelector(".dot")`)
	b.click("#quiz")
	b.wait(`!document.querySelector("#quiz-part").hidden`)
	assert.True(t, get[bool](b, `document.querySelectorAll(".dot").length === 0 && document.querySelector("#table-part").hidden && [...document.querySelectorAll(".key-covered")].every((n) => !n.textContent)`), "nothing gives the keys away")
	b.focus(`.column[data-zone="9"]`)
	for range 20 {
		b.press(kb.ArrowDown)
	}
	assert.Equal(t, "45", b.keys()["9"])
	get[bool](b, `(() => { const n = document.querySelector('[data-key="10"]'); n.value = 52; n.dispatchEvent(new Event("change")); return true; })()`)
	x, _ := b.at(`.gap[data-zone="3"]`)
	quarter := get[[]float64](b, `(() => { const r = document.querySelector('.gap[data-zone="3"]').getBoundingClientRect(); return [r.y, r.height]; })()`) // as it stands at first
	b.do(chromedp.DragAndDropXY(x, quarter[0]+10, x, quarter[0]+2*quarter[1]))
	assert.Equal(t, "50", b.keys()["3"], "pulled to the middle of the gap")
	b.click("#quiz-weigh")
	b.wait(`!document.querySelector("#quiz-answer").hidden`)
	trial := b.remembered().Trial
	require.NotNil(t, trial)
	require.NotNil(t, trial.Answer)
	require.Len(t, trial.Keys, len(trial.Answer.Zones))
	right, counted, level := 0, 0, 1+trial.Answer.LevelOffPct/100
	for i, z := range trial.Answer.Zones {
		assert.InDelta(t, trial.Keys[i]*trial.Sweep, z.Supply, 1e-6, "zone %d: supply is opening times sweep", i+1)
		if z.Says == "wide open" {
			counted++
		}
		if z.OffPct == nil {
			continue
		}
		counted++
		off := (z.Supply/(level*z.Best) - 1) * 100
		assert.InDelta(t, off, *z.OffPct, 1e-6)
		if math.Abs(off) <= 10 {
			right++
		}
	}
	require.Positive(t, counted)
	assert.InDelta(t, 100*float64(right)/float64(counted), trial.Answer.ProfilePct, 1e-6)
	b.click("#quiz-end")
	b.wait(`document.querySelectorAll(".dot").length === 21`)
}

// TestQuizKeepsWhatWasSet types keys that cannot be, changes the ink and the
// number of zones, and reloads: no key, and no score, is lost or changed in
// silence.
func TestQuizKeepsWhatWasSet(t *testing.T) {
	b := open(t, options(t, harbourFair()...))
	b.wait(`document.querySelector(".dot")`)
	b.click("#quiz")
	b.wait(`document.querySelectorAll("[data-key]").length === 21`)
	typed := func(zone, text string) {
		t.Helper()
		get[bool](b, fmt.Sprintf(`(document.querySelector('[data-key="%s"]').select(), true)`, zone))
		b.press(kb.Backspace + text + kb.Tab)
	}
	field := func(zone string) string {
		return get[string](b, fmt.Sprintf(`document.querySelector('[data-key="%s"]').value`, zone))
	}
	typed("9", "20")
	assert.Equal(t, "20", b.keys()["9"])
	for _, wrong := range []string{"300", "", "-1", "20.5"} {
		typed("9", wrong)
		assert.Equal(t, []string{"20", "20"}, []string{b.keys()["9"], field("9")}, wrong)
		assert.Contains(t, get[string](b, `document.querySelector("#quiz-said").textContent`), "zone 9 stays at 20", wrong)
	}
	typed("9", "20") // what it holds, which is no change
	assert.Empty(t, get[string](b, `document.querySelector("#quiz-said").textContent`))
	typed("9", "30")
	assert.Empty(t, get[string](b, `document.querySelector("#quiz-said").textContent`))
	b.click("#quiz-weigh")
	b.wait(`!document.querySelector("#quiz-answer").hidden`)
	score := get[string](b, `document.querySelector("#quiz-score").textContent`)

	b.click(`[data-unit="1"]`)
	b.wait(`document.querySelector('[data-key="9"]').value === "25" && document.querySelector("#quiz-answer").hidden`)
	b.click(`[data-unit="0"]`)
	b.wait(`document.querySelector('[data-key="9"]').value === "30" && !document.querySelector("#quiz-score").hidden`)

	b.click("#quiz-end")
	b.set("zones", "24")
	b.wait(`document.querySelectorAll("g.key").length === 24`)
	b.click("#quiz")
	b.wait(`document.querySelectorAll("[data-key]").length === 24 && document.querySelector('[data-key="9"]').value === "25"`)
	b.click("#undo")
	b.wait(`document.querySelectorAll("g.key").length === 21`)
	b.settled()
	b.click("#quiz")
	b.wait(`document.querySelectorAll("[data-key]").length === 21 && document.querySelector('[data-key="9"]').value === "30"`)
	b.settled()

	b.do(chromedp.Reload())
	b.wait(`document.querySelectorAll("[data-key]").length === 21 && !document.querySelector("#quiz-score").hidden`)
	assert.Empty(t, get[string](b, `document.querySelector("#problem").textContent`))
	assert.Equal(t, []string{"30", "30"}, []string{b.keys()["9"], field("9")})
	assert.Equal(t, score, get[string](b, `document.querySelector("#quiz-score").textContent`))
}

// TestAllInks shows what is of one ink alone as such, and every warning.
func TestAllInks(t *testing.T) {
	b := open(t, options(t, harbourFair()...))
	b.wait(`document.querySelector(".dot")`)
	listed := func() []string {
		return get[[]string](b, `[...document.querySelectorAll("#warnings li")].map((n) => n.textContent)`)
	}
	var each []string
	for i, ink := range get[[]string](b, `[...document.querySelectorAll("#inks button")].slice(1).map((n) => n.textContent)`) {
		b.click(fmt.Sprintf(`[data-unit="%d"]`, i))
		for _, text := range listed() {
			each = append(each, ink+", "+strings.ToLower(text[:1])+text[1:])
		}
	}
	require.NotEmpty(t, each)
	b.click(`[data-unit="0"]`)
	b.click(`[data-unit="-1"]`)
	b.wait(`document.querySelector("#ink").textContent === "All inks"`)
	assert.ElementsMatch(t, each, listed())
	assert.Equal(t, "Sweep of Black", get[string](b, `document.querySelector("#sweep-of").textContent`))
	assert.NotContains(t, get[string](b, `document.querySelector("#about").textContent`), "covered")
}

// TestRefusedPlacement shifts a form off the fountain: it is drawn beside it, with
// the mm that stand beyond, and one button brings back how it lay at first.
func TestRefusedPlacement(t *testing.T) {
	b := open(t, options(t, harbourFair()...))
	b.wait(`document.querySelector(".plates image")`)
	b.settled()
	drawing := `[...document.querySelectorAll("#bench .plate, #bench .lead, .blade-ink")].map((n) => n.outerHTML).join()`
	before := get[string](b, drawing)
	shift := func(mm string) {
		get[bool](b, `(() => { const n = document.querySelector("#shift_mm"); n.value = `+mm+`; n.dispatchEvent(new Event("change")); return true; })()`)
	}
	shift("5000")
	b.wait(`document.querySelector("#problem").textContent`)
	b.settled()
	b.wait(`!document.querySelector("#overhang").hidden && document.querySelector("#bench").hidden`)
	problem := get[string](b, `document.querySelector("#problem").textContent`)
	beyond := regexp.MustCompile(`ink stands ([\d.]+) mm beyond the fountain's right end`).FindStringSubmatch(problem)
	require.NotNil(t, beyond, problem)
	assert.Contains(t, get[string](b, `document.querySelector("#overhang").textContent`), "ink "+beyond[1]+" mm beyond this end")
	b.click("#press-reset")
	b.wait(`!document.querySelector("#problem").textContent && document.querySelector("#shift_mm").value === "0" && document.querySelector("#overhang").hidden`)
	b.settled()
	assert.Equal(t, before, get[string](b, drawing))
	shift("10")
	b.settled()
	assert.NotEqual(t, before, get[string](b, drawing))
}

// TestFormLiesWhereItIsLaid shifts a drawn plate and a separation that lies on its
// side, and measures in the zones' own columns where they are drawn.
func TestFormLiesWhereItIsLaid(t *testing.T) {
	b := open(t, options(t, harbourFair()[0]))
	b.wait(`document.querySelector(".plates image")`)
	onFountain := func(selector string, fountainMM float64) (left, right float64) {
		t.Helper()
		at := get[[]float64](b, fmt.Sprintf(`(() => {
			const side = (n, name) => n.getBoundingClientRect()[name], strips = [...document.querySelectorAll(".strip")];
			const from = Math.min(...strips.map((n) => side(n, "left"))), to = Math.max(...strips.map((n) => side(n, "right"))), form = document.querySelector(%q);
			return ["left", "right"].map((name) => (side(form, name) - from) / (to - from));
		})()`, selector))
		require.Len(t, at, 2)
		return at[0] * fountainMM, at[1] * fountainMM
	}
	const fountainMM = 21 * 31.75
	b.set("lead_edge", "left")
	b.set("shift_mm", "-20")
	b.settled()
	b.wait(`document.querySelector(".plates image")`)
	left, right := onFountain(".plates image", fountainMM) // 640 × 457 mm
	assert.InDelta(t, fountainMM/2-20-457.2/2, left, 1)
	assert.InDelta(t, fountainMM/2-20+457.2/2, right, 1)

	b.click(`[data-view="drawn"]`)
	b.wait(`document.querySelector("#job-name").value === "drawn"`)
	b.set("shift_mm", "7")
	b.settled()
	left, right = onFountain(".plate", fountainMM) // 640 mm wide
	assert.InDelta(t, fountainMM/2+7-320, left, 1)
	assert.InDelta(t, fountainMM/2+7+320, right, 1)
}

// TestZonesThatPrintNothing have no ink that could be fed against what is wanted.
func TestZonesThatPrintNothing(t *testing.T) {
	b := open(t, options(t, harbourFair()...))
	b.wait(`document.querySelector(".dot")`)
	cells := func(zone int) []string {
		return get[[]string](b, fmt.Sprintf(`[...document.querySelectorAll('#rows tr[data-zone="%d"] td')].map((n) => n.textContent)`, zone))
	}
	assert.Equal(t, "–", cells(1)[5], "0.1 %% is a mark")
	assert.Regexp(t, `^[+−]?\d`, cells(9)[5])
	get[bool](b, `(() => { const n = document.querySelector("#zones"); n.value = 31; n.dispatchEvent(new Event("change")); return true; })()`)
	b.wait(`document.querySelectorAll("#rows tr").length === 31`)
	off := cells(1)
	assert.Equal(t, []string{"–", "not under the sheet", "–"}, []string{off[1], off[4], off[5]})
}

// TestTintThatCannotBe is not painted as another.
func TestTintThatCannotBe(t *testing.T) {
	b := open(t, options(t))
	b.click(`[data-view="drawn"]`)
	b.wait(`document.querySelector("g.key")`)
	for _, wrong := range []string{"300", ""} {
		get[bool](b, `(document.querySelector("#tint").select(), true)`)
		b.press(kb.Backspace + wrong + kb.Tab)
		assert.Equal(t, "100", get[string](b, `document.querySelector("#tint").value`))
		assert.Contains(t, get[string](b, `document.querySelector("#paint-said").textContent`), "stays at 100")
	}
}

// TestFiles brings a separation and a file that is none, chosen and dropped.
func TestFiles(t *testing.T) {
	b := open(t, options(t))
	b.wait(`!document.querySelector("#welcome").hidden`)
	bad := filepath.Join(t.TempDir(), "letter.tif")
	require.NoError(t, os.WriteFile(bad, []byte("Dear Sir"), 0o600))
	good, err := filepath.Abs(harbourFair()[1])
	require.NoError(t, err)
	b.do(chromedp.SetUploadFiles(chromedp.CSS("#files"), []string{bad, good}))
	b.wait(`document.querySelectorAll("g.key").length === 21`)
	brought := get[string](b, `document.querySelector("#brought").textContent`)
	assert.Contains(t, brought, "letter.tif")
	assert.Contains(t, brought, "not read. ")
	assert.Contains(t, brought, "read: Cyan")
	maps, err := coverage.MeasureFiles(t.Context(), []coverage.Input{{Path: good}}, coverage.Options{})
	require.NoError(t, err)
	require.Len(t, maps, 1)
	assert.Equal(t, maps[0].CoveragePct(), b.remembered().Separations[b.unit("job", 0).Separation].CoveragePct)

	b.do(chromedp.SetUploadFiles(chromedp.CSS("#files"), []string{good}))
	b.wait(`document.querySelectorAll("#brought li").length === 1 && !document.querySelector("#brought progress")`)
	assert.Len(t, b.remembered().Views["job"].Units, 1, "brought again, it takes its own place")

	b.drop("harbour-fair_M.png")
	b.wait(`document.querySelectorAll("#inks button").length === 3`)
	assert.Equal(t, "Magenta", get[string](b, `document.querySelector("#ink").textContent`))
}

// TestJobIsNamedByItsFiles brings files whose names have blanks: the page names
// the job as the command does, in its head and in what it saves.
func TestJobIsNamedByItsFiles(t *testing.T) {
	o := options(t)
	o.Job = ""
	b := open(t, o)
	b.wait(`!document.querySelector("#welcome").hidden`)
	var maps []*coverage.Map
	for i, name := range []string{"spring 2026_C.tif", "spring 2026_M.tif"} {
		path := filepath.Join(t.TempDir(), name)
		require.NoError(t, os.WriteFile(path, []byte(example(t, "harbour-fair_C.tif")), 0o600))
		b.do(chromedp.SetUploadFiles(chromedp.CSS("#files"), []string{path}))
		b.wait(fmt.Sprintf(`document.querySelectorAll("#inks button[data-unit]:not([data-unit='-1'])").length === %d`, i+1))
		b.settled()
		maps = append(maps, &coverage.Map{File: name})
		want := coverage.JobName(maps)
		assert.Equal(t, want, b.preset().Job)
		assert.Equal(t, want, get[string](b, `document.querySelector("#job-name").value`))
		assert.Contains(t, get[string](b, `document.title`), ", "+want+" – bladeline")
	}
	assert.Equal(t, "spring 2026", coverage.JobName(maps))
}

// TestBlankProcessInksGetNoUnit: of what a separator writes, the ink that does not
// print is left out, unless it is brought alone.
func TestBlankProcessInksGetNoUnit(t *testing.T) {
	b := open(t, options(t))
	b.wait(`!document.querySelector("#welcome").hidden`)
	folder := t.TempDir()
	cyan, yellow := filepath.Join(folder, "spring_C.tif"), filepath.Join(folder, "spring_Y.png")
	require.NoError(t, os.WriteFile(cyan, []byte(example(t, "harbour-fair_C.tif")), 0o600))
	var white bytes.Buffer
	require.NoError(t, png.Encode(&white, image.NewPaletted(image.Rect(0, 0, 90, 60), color.Palette{color.White, color.Black})))
	require.NoError(t, os.WriteFile(yellow, white.Bytes(), 0o600))
	units := `document.querySelectorAll("#inks button[data-unit]:not([data-unit='-1'])").length`
	b.do(chromedp.SetUploadFiles(chromedp.CSS("#files"), []string{yellow, cyan}))
	b.wait(units + ` === 1`)
	b.wait(`document.querySelectorAll("#brought progress").length === 0`)
	assert.Equal(t, 1, get[int](b, units))
	assert.Contains(t, get[string](b, `document.querySelector("#brought").textContent`), "no ink of Yellow, so no unit for it: bring it alone to have one")
	b.do(chromedp.SetUploadFiles(chromedp.CSS("#files"), []string{yellow}))
	b.wait(units + ` === 2`)
}

// TestReload edits, reloads and opens a second tab: the first keeps its edits,
// the second begins anew.
func TestReload(t *testing.T) {
	b := open(t, options(t, harbourFair()...))
	b.wait(`document.querySelector("g.key")`)
	before := b.keys()
	b.focus(`[data-point="5"]`)
	b.press(kb.Enter)
	for range 8 {
		b.press(kb.ArrowUp)
	}
	b.focus("#sweep")
	b.press(kb.ArrowRight + kb.ArrowRight + kb.ArrowRight)
	b.waitKey("19", before["19"])
	b.same()
	edited := b.keys()
	other := openAt(t, b.url)
	other.wait(`document.querySelector("g.key")`)
	assert.Equal(t, before, other.keys())
	b.do(chromedp.Reload())
	b.wait(`document.querySelector("g.key")`)
	assert.Equal(t, edited, b.keys())
	assert.False(t, get[bool](b, `document.querySelector("#undo").disabled`))
}

// TestNarrow tells that a drawing wider than the window scrolls, and that a
// demand is beyond every key.
func TestNarrow(t *testing.T) {
	b := open(t, options(t, harbourFair()...))
	b.wait(`document.querySelector(".dot")`)
	assert.True(t, get[bool](b, `document.querySelector("#bench-wide").hidden`))
	b.do(chromedp.EmulateViewport(390, 844))
	get[bool](b, `(() => { for (const [id, v] of [["zone_width_mm", 10.5], ["zones", 64]]) { const n = document.querySelector("#" + id); n.value = v; n.dispatchEvent(new Event("change")); } return true; })()`)
	b.wait(`document.querySelectorAll("g.key").length === 64 && !document.querySelector("#bench-wide").hidden`)
	b.settled()
	touching := `(() => {
		const boxes = [...document.querySelectorAll(".key-number")].map((n) => n.getBoundingClientRect()).sort((a, b) => a.x - b.x);
		return boxes.filter((r, i) => i && r.left < boxes[i - 1].right).length;
	})()`
	assert.Zero(t, get[int](b, touching), "zone numbers stand apart")
	b.click("#quiz")
	b.wait(`document.querySelectorAll("[data-key]").length === 64`)
	b.slide(0)
	b.click("#quiz-weigh")
	b.wait(`document.querySelector("#quiz-verdict").textContent.includes("it takes a longer one")`)
}
