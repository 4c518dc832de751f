package page

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"regexp"
	"strconv"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// drawnForm opens a prepared form on a press.
func drawnForm(t *testing.T, press, form string) *tab {
	t.Helper()
	b := open(t, options(t))
	b.set("press", press)
	b.click(`[data-view="drawn"]`)
	b.wait(`document.querySelector("g.key")`)
	b.click(`[data-form="` + form + `"]`)
	b.wait(`document.querySelector("#shapes input")`)
	b.settled()
	return b
}

// typeKey types a key into the box under its zone.
func (b *tab) typeKey(zone int, text string) {
	b.t.Helper()
	b.focus(fmt.Sprintf(`[data-key="%d"]`, zone))
	b.press(text + kb.Enter)
}

func (b *tab) text(selector string) string {
	b.t.Helper()
	return get[string](b, fmt.Sprintf(`document.querySelector(%q).textContent`, selector))
}

// begin sets the keys of a form by eye; so many zones it has.
func (b *tab) beginQuiz(zones int) {
	b.t.Helper()
	b.click("#quiz")
	b.wait(fmt.Sprintf(`document.querySelectorAll("[data-key]").length === %d`, zones))
}

func (b *tab) weigh() {
	b.t.Helper()
	b.click("#quiz-weigh")
	b.wait(`!document.querySelector("#quiz-score").hidden`)
}

var sweepShown = regexp.MustCompile(`^\d+`)

// TestComputedKeysScoreBest reads the keys that are worked out, sets them by hand and
// has them weighed, on every press that ships: on a scale of percents, and in eighths
// of a turn on a blade of one piece.
func TestComputedKeysScoreBest(t *testing.T) {
	for _, press := range []struct {
		base  string
		zones int
	}{{"two-colour", 21}, {"four-colour", 32}, {"duplicator", 15}} {
		b := drawnForm(t, press.base, "heavy-side")
		keys := b.keys()
		sweep, err := strconv.Atoi(sweepShown.FindString(b.text("#sweep-value")))
		require.NoError(t, err)
		b.beginQuiz(press.zones)
		b.slide(get[int](b, fmt.Sprintf(`Number(document.querySelector("#sweep").value) + %d - parseInt(document.querySelector("#sweep-value").textContent)`, sweep)))
		assert.Equal(t, strconv.Itoa(sweep), sweepShown.FindString(b.text("#sweep-value")))
		for zone := 1; zone <= press.zones; zone++ {
			b.typeKey(zone, keys[strconv.Itoa(zone)])
		}
		assert.Equal(t, keys, b.keys())
		b.weigh()
		assert.Equal(t, "Score 100 of 100", b.text("#quiz-score"), press.base)
		assert.Contains(t, b.text("#quiz-verdict"), "beside one another all zones are right. Level right.")
	}
}

// TestBladeBendsUnderTheHand sets screws that no blade of one piece lets stand: it is
// drawn as it bends, and the weighing says the same, as random keys do.
func TestBladeBendsUnderTheHand(t *testing.T) {
	b := drawnForm(t, "duplicator", "heavy-side")
	b.beginQuiz(15)
	assert.Equal(t, "3/4", b.keys()["1"], "a quarter of 3 turns")
	for zone := 1; zone <= 15; zone++ {
		b.typeKey(zone, []string{"3", "0"}[zone%2])
	}
	assert.Equal(t, "neighbour", b.held()["3"])
	b.focus(`.column[data-zone="3"]`)
	assert.Equal(t, "Zone 3 is set to 0 turns: a neighbour on the same blade, which bends by at most 25 % of travel from key to key, holds it at 75 % of travel.", b.text("#why"))
	b.weigh()
	assert.Contains(t, b.text("#quiz-verdict"), "holds zones 1, 3, 5, 7, 9, 11, 13 and 15 wider open than set")
	assert.NotEqual(t, "Score 100 of 100", b.text("#quiz-score"))

	chance := rand.New(rand.NewPCG(1, 2))
	for range 5 {
		keys := make([]float64, 15)
		for i := range keys {
			keys[i] = float64(chance.IntN(25)) / 8
		}
		text, err := json.Marshal(keys)
		require.NoError(t, err)
		get[bool](b, `(delete window.bent, Promise.all([import("/static/state.js"), import("/static/quiz.js")]).then(([store, quiz]) => {
			store.change((state) => { Object.assign(state.trial, { keys: `+string(text)+`, answer: null, against: null }); });
			window.bent = quiz.stands();
		}), true)`)
		b.wait(`window.bent`)
		b.click("#quiz-weigh")
		b.wait(`!document.querySelector("#quiz-score").hidden`)
		answer := b.remembered().Trial.Answer
		require.NotNil(t, answer)
		drawn := get[[]float64](b, `window.bent.map((at) => at.opening)`)
		for i, z := range answer.Zones {
			assert.InDelta(t, z.OpeningPct, drawn[i], 1e-9, "zone %d of %v", i+1, keys)
		}
	}
	for _, c := range []struct{ typed, shows string }{{"1 3/8", "1 3/8"}, {"1⅜", "1 3/8"}, {"0.625", "5/8"}, {"2,5", "2 1/2"}, {"1-1/4", "1 1/4"}} {
		b.typeKey(4, c.typed)
		assert.Equal(t, c.shows, b.keys()["4"], c.typed)
	}
	for _, wrong := range []string{"3 1/8", "1/16", "x", "-1"} {
		b.typeKey(4, wrong)
		assert.Equal(t, "1 1/4", b.keys()["4"], wrong)
		assert.Equal(t, "The key of zone 4 stays at 1 1/4: its scale goes from 0 to 3 in steps of 1/8.", b.text("#quiz-said"))
	}
}

// TestFieldsAreTheBoxes types keys where they stand: every field lies over the box
// under its zone, and one that is narrower than a figure is wider while it is typed in.
func TestFieldsAreTheBoxes(t *testing.T) {
	b := drawnForm(t, "four-colour", "heavy-side")
	b.beginQuiz(32)
	off := `[...document.querySelectorAll("[data-key]")].flatMap((n) => {
		const r = n.getBoundingClientRect(), box = document.querySelector('g.key[data-zone="' + n.dataset.key + '"] .key-box').getBoundingClientRect();
		return Math.hypot(r.x - box.x, r.y - box.y) > 2 || Math.abs(r.width - box.width) > 2 ? [n.dataset.key] : [];
	})`
	for _, width := range []int64{1440, 1024, 390} {
		b.do(chromedp.EmulateViewport(width, 800))
		b.wait(off + `.length === 0`)
	}
	x, y := b.at(`g.key[data-zone="9"] .key-box`)
	b.do(chromedp.MouseClickXY(x, y))
	b.wait(`document.activeElement.dataset.key === "9"`)
	assert.GreaterOrEqual(t, get[float64](b, `document.activeElement.getBoundingClientRect().width`), 60.0)
	b.press("48" + kb.Enter)
	assert.Equal(t, "48", b.keys()["9"])
	assert.NotEqual(t, "9", get[string](b, `document.activeElement.dataset.key`), "and on to the next")
}

// TestLockedWhileKeysAreSet leaves the curve, the press and the ink's name alone in
// the exercise, by pointer and by keyboard.
func TestLockedWhileKeysAreSet(t *testing.T) {
	b := open(t, options(t, harbourFair()...))
	b.wait(`document.querySelector(".dot")`)
	b.settled()
	points := b.points("job", 0)
	b.beginQuiz(21)
	assert.Empty(t, get[[]string](b, `[...document.querySelectorAll(":is(#curve-part, #press-part) :is(input, select, button)")].filter((n) => !n.matches(":disabled, #page-size, #copies")).map((n) => n.id)`), "but for what the key sheet is printed on")
	x, y := b.at(`[data-point="4"]`)
	b.do(chromedp.DragAndDropXY(x, y, x, y-40))
	assert.Empty(t, get[[]string](b, `[...document.querySelectorAll("[data-point]")].filter((n) => n.tabIndex === 0).map((n) => n.dataset.point)`))
	assert.Equal(t, points, b.points("job", 0))
	assert.Contains(t, b.text("#locked-said"), "stay as they are until you end the exercise")
	b.click("#quiz-end")
	b.wait(`document.querySelector(".point.chosen").tabIndex === 0 && !document.querySelector("#zones").matches(":disabled")`)
	assert.Empty(t, b.text("#locked-said"))
}

// TestTriesStandSideBySide weighs twice: the form stays in view, and what the first
// try showed stands beside the second, on the blade too.
func TestTriesStandSideBySide(t *testing.T) {
	b := open(t, options(t, harbourFair()...))
	b.wait(`document.querySelector(".dot")`)
	b.beginQuiz(21)
	b.weigh()
	b.settled()
	assert.Equal(t, "Score 0 of 100", b.text("#quiz-score"), "nothing is set yet")
	assert.Regexp(t, `^(\d+) zones are wrong, and (\d+) with untouched keys: 0 points\. `, b.text("#quiz-verdict"))
	assert.True(t, get[bool](b, `scrollY === 0 && document.querySelector("#drawing").getBoundingClientRect().top > 0`), "the form is in view")
	assert.Contains(t, b.text("#quiz-verdict"), "zones 1 and 21 are bare and fed all the same")
	first := get[[]string](b, `[...document.querySelectorAll("#tries tr")].map((n) => n.lastChild.textContent)`)
	assert.Equal(t, "try 1", first[0])
	b.click("#quiz-weigh")
	b.settled()
	assert.Equal(t, 3, get[int](b, `document.querySelector("#tries tr").children.length`), "the same keys are no new try")

	b.typeKey(9, "40")
	assert.Equal(t, first, get[[]string](b, `[...document.querySelectorAll("#tries tr")].map((n) => n.lastChild.textContent)`))
	assert.Contains(t, get[string](b, `document.querySelector("#drawing").textContent`), "dashed: try 1")
	b.weigh()
	b.wait(`document.querySelector("#tries tr").children.length === 4`)
	again := get[[]string](b, `[...document.querySelectorAll("#tries tr")].map((n) => n.children[2].textContent)`)
	assert.Equal(t, first[1:], again[1:])
	assert.Equal(t, 1, get[int](b, `[...document.querySelectorAll("#tries thead th")].filter((n) => n.textContent.endsWith("the best")).length`))
	b.do(chromedp.Reload())
	b.wait(`document.querySelector("#tries tr")?.children.length === 4`)
	assert.Equal(t, "20", b.text(`#tries tr[data-zone="20"] th`))
}

// TestLevelApartFromProfile sets every key as worked out and sweeps half as far again:
// the profile is right, and the page names the sweep.
func TestLevelApartFromProfile(t *testing.T) {
	b := open(t, options(t, harbourFair()...))
	b.wait(`document.querySelector(".dot")`)
	b.settled()
	keys, sweep := b.keys(), b.text("#sweep-value")
	b.beginQuiz(21)
	for zone := 1; zone <= 21; zone++ {
		b.typeKey(zone, keys[strconv.Itoa(zone)])
	}
	was, err := strconv.Atoi(sweepShown.FindString(sweep))
	require.NoError(t, err)
	b.slide(was + was/2 - 10)
	b.weigh()
	verdict := b.text("#quiz-verdict")
	assert.Contains(t, verdict, "Profile 100: beside one another all zones are right.")
	assert.Contains(t, verdict, fmt.Sprintf("with these keys a sweep of %s instead of", sweep))
	trial := b.remembered().Trial
	assert.InDelta(t, 100*(float64(was+was/2)/float64(was)-1), trial.Answer.LevelOffPct, 1e-6)
	assert.Contains(t, verdict, fmt.Sprintf("No zone is wrong, and %d with untouched keys: 100 points; the level takes %.0f off.", trial.Answer.UntouchedWrong, 100-trial.Answer.Score))
	assert.Less(t, trial.Answer.Score, 95.0)
	assert.Greater(t, trial.Answer.Score, 75.0)
}

// TestSmallImagesAreNotCounted has a mark in a zone, which is said to be none that
// counts, and a key left open beside the form, which is named.
func TestSmallImagesAreNotCounted(t *testing.T) {
	b := open(t, options(t, harbourFair()...))
	b.wait(`document.querySelector(".dot")`)
	b.beginQuiz(21)
	b.typeKey(1, "9") // of 0.1 %: more than four times what the best key feeds
	b.typeKey(21, "40")
	b.weigh()
	words := b.held()
	assert.Equal(t, []string{"not counted", "bare fed"}, []string{words["1"], words["21"]})
	assert.Contains(t, b.text("#quiz-verdict"), "zone 21 is bare and fed all the same")
}

// TestOneFaultOneFigure reads how much too much a held key feeds in the table and in
// the warning: it is the key as set, and one figure.
func TestOneFaultOneFigure(t *testing.T) {
	b := drawnForm(t, "duplicator", "heavy-side")
	b.slide(4)
	b.settled()
	m := regexp.MustCompile(`zone (\d+) stands at [\d.]+ % instead of [\d.]+ %: (\d+) % too much ink`).FindStringSubmatch(b.text("#warnings"))
	require.Len(t, m, 3, b.text("#warnings"))
	assert.Equal(t, "+"+m[2], get[string](b, `document.querySelector('#rows tr[data-zone="`+m[1]+`"] td:nth-child(7)').textContent`))
}

// TestPreparedFormsSayHowTheyStand reads the sentence of an even tint at two sweeps
// and behind a reload: it names the keys as they stand then.
func TestPreparedFormsSayHowTheyStand(t *testing.T) {
	b := drawnForm(t, "two-colour", "tint")
	says := func() string { b.settled(); return b.text("#form-says") }
	keys := b.keys()
	assert.Contains(t, says(), fmt.Sprintf("At sweep 45 %% the keys that print stand from %s %% in zone 1 to %s %% in zone 2.", keys["1"], keys["2"]))
	for zone := 3; zone <= 20; zone++ {
		assert.Equal(t, keys["2"], keys[strconv.Itoa(zone)])
	}
	b.slide(0)
	b.settled()
	assert.Contains(t, says(), "At sweep 10 % every key that prints stands at 100 %; the ceiling holds zones 1 to 21.")
	b.do(chromedp.Reload())
	b.wait(`document.querySelector("g.key")`)
	assert.Contains(t, says(), "the ceiling holds zones 1 to 21.")
	b.click(`[data-form="bar"]`)
	b.settled()
	assert.Contains(t, says(), "A solid bar along the tail")
	assert.NotContains(t, b.text("#warnings"), "little image")
	b.click("#shape-clear")
	b.settled()
	assert.Empty(t, b.text("#form-says"))
}
