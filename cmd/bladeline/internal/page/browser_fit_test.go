package page

import (
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// choosePress changes to a press that ships.
func (b *tab) choosePress(base string) {
	b.t.Helper()
	b.set("press", base)
	b.settled()
}

// overlying are pairs of texts of a drawing that lie over one another, of those that a
// condition on n holds of.
func overlying(b *tab, drawing, which string) []string {
	b.t.Helper()
	return get[[]string](b, `(() => {
		const all = [...document.querySelectorAll("`+drawing+` text")].filter((n) => n.textContent && n.checkVisibility() && (`+which+`)).map((n) => [n.textContent, n.getBoundingClientRect()]);
		return all.flatMap(([a, r], i) => all.slice(i + 1).filter(([, s]) => r.left < s.right - 1 && s.left < r.right - 1 && r.top < s.bottom - 3 && s.top < r.bottom - 3).map(([c]) => a + " | " + c));
	})()`)
}

const flatter = `Number(([...document.querySelectorAll("#bench text")].map((n) => /([\d.]+) times flatter/.exec(n.textContent)).find(Boolean) ?? [0, 1])[1])`

// TestFormIsSeen flattens a form by no more than two on the narrowest press, in the job
// and in the exercise, and shows it whole.
func TestFormIsSeen(t *testing.T) {
	b := open(t, options(t))
	b.click("#to-draw")
	b.wait(`document.querySelector("[data-form]")`)
	b.click("[data-form]")
	b.choosePress("duplicator")
	b.settled()
	assert.LessOrEqual(t, get[float64](b, flatter), 2.0)
	b.click("#quiz")
	b.settled()
	assert.LessOrEqual(t, get[float64](b, flatter), 2.05)
	assert.Less(t, get[float64](b, `document.querySelector("#bench .plate").getBoundingClientRect().bottom + scrollY`), 900.0)
}

// TestTabletKeepsTheForm: on a tablet held across, the form keeps nearly its aspect on
// the widest press and on the narrowest, in the job and in the exercise, and nothing of
// the head is cut.
func TestTabletKeepsTheForm(t *testing.T) {
	b := open(t, options(t, harbourFair()...))
	b.do(chromedp.EmulateViewport(1024, 768, chromedp.EmulateTouch))
	b.wait(`document.querySelector(".plates image")`)
	b.settled()
	assert.Empty(t, get[[]string](b, `[...document.querySelectorAll(".head :is(p, a, input)")].filter((n) => n.scrollWidth > n.clientWidth + 1 && n.checkVisibility() && getComputedStyle(n).display !== "inline").map((n) => n.textContent || n.value)`))
	b.click(`[data-view="drawn"]`)
	b.wait(`document.querySelector("[data-form]")`)
	b.click(`[data-form="heavy-side"]`)
	for _, press := range []string{"four-colour", "duplicator"} {
		b.choosePress(press)
		for range 2 {
			assert.LessOrEqual(t, get[float64](b, flatter), 1.3, press)
			assert.LessOrEqual(t, get[float64](b, `document.querySelector("#drawing").getBoundingClientRect().bottom + scrollY`), 768.0, press)
			b.click("#quiz")
			b.settled()
		}
	}
}

// TestWindowIsTheForms: in a window of common size the form has what height there is, in
// the job, while keys are set and where it does not fit the fountain.
func TestWindowIsTheForms(t *testing.T) {
	b := open(t, options(t, harbourFair()[0]))
	b.wait(`document.querySelector(".plates image")`)
	b.settled()
	high := `document.querySelector("#work .plate").getBoundingClientRect().height`
	foot := `document.querySelector("#drawing").getBoundingClientRect().bottom + scrollY`
	job := get[float64](b, high)
	assert.Greater(t, job, 400.0)
	b.click("#quiz")
	b.settled()
	assert.Greater(t, get[float64](b, high), job, "no row stands empty")
	assert.InDelta(t, 890, get[float64](b, foot), 10)
	b.click("#quiz")
	b.choosePress("duplicator")
	b.wait(`document.querySelector("#overhang .plate")`)
	assert.Greater(t, get[float64](b, `document.querySelector("#overhang .plate").getBoundingClientRect().height`), 0.5*900)
	assert.LessOrEqual(t, get[float64](b, `document.querySelector("#overhang svg").getBoundingClientRect().bottom + scrollY`), 900.0)
}

// TestTelephoneNamesItsRows: where there is no room beside the rows of the keys their
// names stand under them, and the strip for the demand along the sheet says what it is
// for; in the exercise, where none is seen, it takes no room.
func TestTelephoneNamesItsRows(t *testing.T) {
	b := open(t, options(t, harbourFair()[:2]...))
	b.do(chromedp.EmulateViewport(390, 844))
	b.wait(`document.querySelector(".plates image")`)
	b.settled()
	legend := `document.querySelector(".key-legend").textContent`
	assert.Equal(t, "From above: zone; covered, %; key, %", get[string](b, legend))
	assert.Contains(t, b.text(".along-hint"), "demand along the sheet")
	b.click("#zone-on")
	b.wait(`!document.querySelector(".along").classList.contains("none")`)
	assert.Empty(t, b.text(".along-hint"))
	b.click(`[data-unit="-1"]`)
	b.wait(`document.querySelectorAll(".unit-title").length === 2`)
	b.settled()
	for _, title := range get[[]string](b, `[...document.querySelectorAll(".unit-title")].map((n) => n.textContent)`) {
		assert.Regexp(t, `sweep \d+ %   keys in %$`, title, "each row says what its keys are in")
	}
	b.click(`[data-unit="0"]`)
	b.settled()
	b.click("#quiz")
	b.settled()
	assert.Equal(t, "From above: zone; key, %", get[string](b, legend))
	assert.Less(t, get[float64](b, `document.querySelector(".film-edge").getBoundingClientRect().top - document.querySelector("#bench .plate").getBoundingClientRect().bottom`), 50.0)
}

// TestTextsStandApart on a telephone, over a misfit, and beside the rulers of a
// rehearsal; the name of the last zone is not cut.
func TestTextsStandApart(t *testing.T) {
	b := rehearses(t)
	b.slide(2)
	b.settled()
	assert.Empty(t, overlying(b, "#rehearse-films", `true`))
	assert.Empty(t, get[[]string](b, `[...document.querySelectorAll("#rehearse-films text")].filter((n) => n.getBoundingClientRect().right > document.querySelector("#rehearse-films svg").getBoundingClientRect().right + 1).map((n) => n.textContent)`))
	b.do(chromedp.EmulateViewport(1024, 768))
	b.settled()
	assert.Equal(t, 21, get[int](b, `document.querySelectorAll("#rehearse-films .films-number").length`), "every zone's number")
	assert.NotZero(t, get[int](b, `document.querySelectorAll("#rehearse-films .films-value").length`))
	assert.Empty(t, overlying(b, "#rehearse-films", `true`))
	b.do(chromedp.EmulateViewport(1440, 900))
	assert.Equal(t, []string{"curve asks", "keys solved", "this preset"}, get[[]string](b, `[...document.querySelectorAll("#rehearse-films .films-name + text")].map((n) => n.textContent).sort()`), "lines are named beside them")
	_, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{dark}})
	require.NoError(t, err)
	assert.Equal(t, get[string](b, `getComputedStyle(document.body).color`), get[string](b, `getComputedStyle(document.querySelector(".ruler")).stroke`), "rulers are seen by lamplight")
	b.click("#rehearse")
	b.choosePress("duplicator")
	b.wait(`document.querySelector("#overhang svg")`)
	assert.Greater(t, get[float64](b, `document.querySelector("#overhang svg").getBoundingClientRect().width`), 400.0, "it does not collapse")
	assert.NotEqual(t, "–", b.text("#sweep-value"), "the sweep stays")
	assert.Empty(t, overlying(b, "#overhang", `true`))
	b.click("#rehearse")
	b.settled()
	assert.Contains(t, b.text("#rehearse-problem"), "There is no run to rehearse")
	b.click("#rehearse")
	b.choosePress("two-colour")
	b.do(chromedp.EmulateViewport(390, 844))
	b.settled()
	b.hover(`#bench .column[data-zone="21"]`)
	b.settled()
	assert.Empty(t, overlying(b, "#bench", `n.closest(".form") || n.matches(".flag")`))
	assert.LessOrEqual(t, get[float64](b, `document.querySelector("#bench .flag").getBoundingClientRect().right - document.querySelector("#drawing").getBoundingClientRect().right`), 0.5)
}

// TestWeighedAlike has the drawing and the table of tries say the same of a zone.
func TestWeighedAlike(t *testing.T) {
	b := open(t, options(t, harbourFair()[0]))
	b.wait(`document.querySelector("g.key")`)
	b.click("#quiz")
	b.settled()
	b.click("#quiz-weigh")
	b.wait(`!document.querySelector("#quiz-score").hidden`)
	b.settled()
	words := get[map[string]string](b, `Object.fromEntries([...new Set([...document.querySelectorAll(".film-word")].map((n) => n.dataset.zone))].map((z) => [z, [...document.querySelectorAll(".film-word[data-zone='" + z + "']")].map((n) => n.textContent).join(" ")]))`)
	rows := get[map[string]string](b, `Object.fromEntries([...document.querySelectorAll("#tries tr[data-zone]")].map((tr) => [tr.dataset.zone, tr.lastChild.textContent]))`)
	assert.NotEmpty(t, words)
	for zone, row := range rows {
		said := strings.TrimSpace(strings.NewReplacer("▲ ", "", "▼ ", "", "+", "", "−", "").Replace(words[zone]))
		switch {
		case strings.Contains(row, "="), strings.Contains(row, "·"), strings.Contains(row, "no print"):
			assert.Empty(t, said, "zone %s: %s", zone, row)
		case strings.Contains(row, "bare fed"):
			assert.Equal(t, "△", said)
		default:
			by := strings.Fields(said)[0]
			assert.Contains(t, row, by+" %", "zone %s: %s", zone, said)
		}
	}
}

// TestShapesFit has shapes as numbers in their column, and one just drawn at hand.
func TestShapesFit(t *testing.T) {
	b := open(t, options(t))
	b.drawn(1440, 900)
	b.pull(0.2, 0.2, 0.5, 0.6)
	assert.False(t, get[bool](b, `document.querySelector("#shape-copy").disabled`))
	b.click("#shape-copy")
	b.settled()
	get[bool](b, `document.querySelector("#shapes-part").open = true`)
	assert.Equal(t, 2, get[int](b, `document.querySelector("#shapes").children.length`))
	over := `document.querySelector("#shapes-part .wide").scrollWidth - document.querySelector("#shapes-part .wide").clientWidth`
	assert.LessOrEqual(t, get[int](b, over), 0)
	b.set("ink-new", "Harbour Red")
	b.click("#ink-add")
	b.click(`[data-unit="1"]`)
	b.click("#shape-add")
	b.settled()
	get[bool](b, `((n) => { n.value = "33.3"; n.dispatchEvent(new Event("change")); return true; })(document.querySelector("#shapes input"))`)
	for _, unit := range []string{"1", "-1"} { // among all inks each row names its own
		b.click(`[data-unit="` + unit + `"]`)
		for _, width := range []int64{1440, 1024} {
			b.do(chromedp.EmulateViewport(width, 768))
			b.settled()
			assert.LessOrEqual(t, get[int](b, over), 0, "unit %s at %d", unit, width)
			assert.Empty(t, get[[]string](b, `[...document.querySelectorAll("#shapes input")].filter((n) => n.scrollWidth > n.clientWidth).map((n) => n.value)`), "figures that are cut")
		}
	}
}

// TestOnlyWhatIsThere: paper has no buttons, and the projector's welcome names none
// that it hides.
func TestOnlyWhatIsThere(t *testing.T) {
	b := open(t, options(t))
	assert.True(t, get[bool](b, `document.querySelector("#choose").checkVisibility()`))
	b.click("#projector")
	assert.False(t, get[bool](b, `document.querySelector("#choose").checkVisibility()`))
	b.click("#projector")
	b.click("#to-draw")
	b.settled()
	b.do(chromedp.EmulateViewport(700, 900)) // a sheet of A4 is narrower than most windows
	_, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"})
	assert.NoError(t, err)
	assert.False(t, get[bool](b, `document.querySelector("#zone-back").checkVisibility()`))
	assert.Equal(t, "rgb(255, 255, 255)", get[string](b, `getComputedStyle(document.querySelector(".tell")).backgroundColor`))
}
