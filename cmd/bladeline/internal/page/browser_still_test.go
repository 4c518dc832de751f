package page

import (
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
)

// stands is where on the page the controls that have a name stand, and the boxes of
// the keys.
const stands = `Object.fromEntries([
	...[...document.querySelectorAll("main :is(button, input, select)[id]")],
	...[...document.querySelectorAll("g.key .key-box")],
].filter((n) => n.checkVisibility({ visibilityProperty: true })).map((n) => {
	const r = n.getBoundingClientRect(), sticks = n.closest(".tell") && getComputedStyle(n.closest(".tell")).position === "sticky";
	return [n.id || "key " + n.parentNode.dataset.zone, Math.round(r.x + scrollX) + " " + Math.round(r.y + (sticks ? 0 : scrollY))];
}))`

// held is the word for what is said of each key by its sign, "" of one that has none.
func (b *tab) held() map[string]string {
	b.t.Helper()
	return get[map[string]string](b, `(() => {
		const means = Object.fromEntries([...document.querySelectorAll(".key-legend")].flatMap((n) => n.textContent.split("\u2003")).map((s) => [s.slice(0, s.indexOf(" ")), s.slice(s.indexOf(" ") + 1)]));
		return Object.fromEntries([...document.querySelectorAll("g.key")].map((g) => [g.dataset.zone, g.querySelector(".key-sign").textContent]).map(([zone, sign]) => [zone, sign && means[sign]]));
	})()`)
}

// TestControlsStandStill sets keys that limits hold and keys that none does, lets the
// fed ink stray and agree, goes through all zones, takes back and does again: nothing
// that is clicked or pulled moves from where it is.
func TestControlsStandStill(t *testing.T) {
	for _, size := range [][2]int64{{1440, 900}, {1024, 768}, {390, 844}} {
		t.Run(fmt.Sprint(size[0]), func(t *testing.T) {
			b := drawnForm(t, "duplicator", "heavy-side")
			b.do(chromedp.EmulateViewport(size[0], size[1]))
			b.settled()
			first := get[map[string]string](b, stands)
			assert.Contains(t, first, "key 15")
			assert.Contains(t, first, "sweep")
			still := func(after string) {
				t.Helper()
				b.settled()
				now := get[map[string]string](b, stands)
				moved := map[string]string{}
				for name, at := range first {
					if now[name] != at {
						moved[name] = at + " to " + now[name]
					}
				}
				assert.Empty(t, moved, after)
			}
			through := func(after string) {
				for zone := 1; zone <= 15; zone += 2 {
					b.focus(fmt.Sprintf(`.column[data-zone="%d"]`, zone))
					still(fmt.Sprintf("zone %d, %s", zone, after))
				}
			}
			for _, setting := range []int{0, 4, 11} {
				b.slide(setting)
				still(fmt.Sprintf("sweep %d", setting))
			}
			through("swept long")
			b.click("#undo")
			still("taking back")

			b.beginQuiz(15)
			b.settled()
			first = get[map[string]string](b, stands)
			assert.Contains(t, first, "quiz-end")
			b.typeKey(3, "3")
			b.typeKey(4, "0")
			still("a zigzag")
			through("in the exercise")
			b.click("#undo")
			still("taking back a key")
			b.press("z", chromedp.ModifierCtrl)
			still("taking back another")
			b.press(kb.Escape)
			still("none")
			for name := range first { // what was weighed stands below these
				switch name {
				case "learner", "quiz-weigh", "quiz-again", "quiz-end", "quiz-worksheet", "sweep", "key 1", "key 15":
				default:
					delete(first, name)
				}
			}
			b.weigh()
			still("weighing")
			b.typeKey(5, "1")
			still("one more key")
		})
	}
}
