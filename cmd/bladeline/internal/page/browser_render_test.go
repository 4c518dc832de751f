package page

import (
	"fmt"
	"testing"

	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
)

// drawAll has every part of the page drawn, and nothing else done, and waits
// until what that might have set off is over.
const drawAll = `(async () => {
	window.asked = 0;
	const real = window.fetch;
	window.fetch = (...of) => { window.asked++; return real(...of); };
	for (const name of ["head", "bench", "curve", "points", "sweep", "press", "table", "why", "save", "paint", "prepared", "locked", "fields", "weigh", "course", "classlist"]) (await import("/static/" + name + ".js")).draw();
	await new Promise((done) => setTimeout(done, 100));
	window.fetch = real;
	window.drawnAll = true;
})()`

// draws answers what the tab holds before and after all of it is drawn, with the
// store as change left it, of which nobody was told; nothing is asked meanwhile.
func (b *tab) draws(change string) (before, after string) {
	b.t.Helper()
	get[bool](b, `(delete window.drawnAll, import("/static/state.js").then((store) => {
		window.store = store;
		`+change+`;
		window.before = JSON.stringify(store.state);
		`+drawAll+`;
	}), true)`)
	b.wait(`window.drawnAll`)
	assert.Zero(b.t, get[int](b, `window.asked`), "questions asked by drawing")
	return get[string](b, `window.before`), get[string](b, `JSON.stringify(store.state)`)
}

// TestDrawingChangesNothing draws the exercise when another ink, or another view,
// was come to since: what the tab holds stays as it is.
func TestDrawingChangesNothing(t *testing.T) {
	b := open(t, options(t, harbourFair()...))
	b.wait(`document.querySelector(".plates image")`)
	b.click("#quiz")
	b.wait(`document.querySelectorAll("[data-key]").length === 21`)
	b.focus(`.column[data-zone="9"]`)
	b.press(kb.ArrowDown)
	for _, change := range []string{`store.state.unit = 1`, `store.state.unit = 0`, `store.state.trial = null`, `store.state.all = true`} {
		before, after := b.draws(change)
		assert.Equal(t, before, after, change)
	}
}

// TestDrawingKeepsThePoint draws a curve of fewer points than the one that was
// last touched: back at the longer curve it is that point still.
func TestDrawingKeepsThePoint(t *testing.T) {
	b := open(t, options(t, harbourFair()[0]))
	b.wait(`document.querySelector(".dot")`)
	b.focus(`[data-point="8"]`)
	chosen := `document.querySelector(".point.chosen").dataset.point`
	curve := `store.unit().curve`
	b.draws(fmt.Sprintf(`window.points = %[1]s.points; %[1]s.points = points.slice(0, 3)`, curve))
	assert.Equal(t, "2", get[string](b, chosen))
	b.draws(curve + `.points = points`)
	assert.Equal(t, "8", get[string](b, chosen))
}
