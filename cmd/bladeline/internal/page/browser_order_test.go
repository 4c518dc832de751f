package page

import (
	"strconv"
	"testing"

	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestLateAnswer has the first answer to an exercise come behind the second, which
// is to keys set since: what was said of the newer ones stays.
func TestLateAnswer(t *testing.T) {
	b := open(t, options(t, harbourFair()...))
	b.wait(`document.querySelector(".dot")`)
	b.click("#quiz")
	b.wait(`document.querySelectorAll("[data-key]").length === 21`)
	get[bool](b, `(() => {
		const real = window.fetch;
		let held = false;
		window.fetch = async (path, ...of) => {
			const answer = await real(path, ...of);
			if (path !== "/api/score" || held) return answer;
			held = true;
			await new Promise((done) => { window.letGo = done; });
			return answer;
		};
		return true;
	})()`)
	b.click("#quiz-weigh")
	b.wait(`window.letGo`)
	b.focus(`.column[data-zone="9"]`)
	b.press(kb.ArrowDown)
	b.settled()
	b.click("#quiz-weigh")
	b.wait(`!document.querySelector("#quiz-answer").hidden`)
	answered := func() any {
		trial := b.remembered().Trial
		require.NotNil(t, trial)
		require.NotNil(t, trial.Answer)
		return trial.Answer
	}
	answer := answered()
	get[bool](b, `(window.letGo(), new Promise((done) => setTimeout(done, 100)), true)`)
	b.settled()
	assert.True(t, get[bool](b, `!document.querySelector("#quiz-answer").hidden`))
	assert.Equal(t, answer, answered())
}

// TestAnswerToAnotherState has something between page and server answer as it did
// before: the page does not draw it as the keys of the new state.
func TestAnswerToAnotherState(t *testing.T) {
	b := open(t, options(t, harbourFair()...))
	b.wait(`document.querySelector(".dot")`)
	b.settled()
	get[bool](b, `(() => {
		const real = window.fetch, kept = {};
		window.fetch = async (path, ...of) => (kept[path] ??= await real(path, ...of)).clone();
		return true;
	})()`)
	b.set("zones", "24")
	b.wait(`document.querySelectorAll("g.key").length === 24`)
	b.set("zones", "25")
	b.wait(`document.querySelector("#problem").textContent.includes("another question")`)
	assert.True(t, get[bool](b, `document.querySelector("#work").classList.contains("stale")`))
}

// TestZonesAsCounted lists zones as the operator counts them on a press whose zone 1 is at
// the right, in the table and among the tries, and names those beside the sheet.
func TestZonesAsCounted(t *testing.T) {
	b := open(t, options(t, harbourFair()[0]))
	b.wait(`document.querySelector("g.key")`)
	b.choosePress("four-colour")
	var counted []string
	for zone := range 32 {
		counted = append(counted, strconv.Itoa(zone+1))
	}
	heads := func(rows string) []string {
		return get[[]string](b, `[...document.querySelectorAll("`+rows+` tr[data-zone] th")].map((n) => n.textContent)`)
	}
	assert.Equal(t, counted, heads("#rows"))
	assert.Equal(t, "32", get[string](b, `document.querySelector("#bench .column").dataset.zone`), "the drawing is as the press stands")
	assert.Equal(t, "not under the sheet", get[string](b, `document.querySelector("#rows tr[data-zone='32'] td:nth-child(6)").textContent`))
	b.click("#quiz")
	b.settled()
	b.click("#quiz-weigh")
	b.wait(`document.querySelector("#tries tr[data-zone]")`)
	assert.Equal(t, counted, heads("#tries"))
}
