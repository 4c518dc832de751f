package page

import (
	"fmt"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// tablet makes the tab one that is used by finger.
func (b *tab) tablet(width, height int64) {
	b.t.Helper()
	_, err := chromedp.Call(b.ctx, emulation.SetTouchEmulationEnabled, emulation.SetTouchEmulationEnabledParams{Enabled: true, MaxTouchPoints: 5})
	require.NoError(b.t, err)
	b.do(chromedp.EmulateViewport(width, height))
}

// A finger is where one stands on the glass.
type finger struct{ x, y float64 }

func (b *tab) touch(kind input.DispatchTouchEventType, fingers ...finger) {
	b.t.Helper()
	points := []*input.TouchPoint{}
	for i, f := range fingers {
		id := float64(i)
		points = append(points, &input.TouchPoint{X: f.x, Y: f.y, ID: &id})
	}
	_, err := chromedp.Call(b.ctx, input.DispatchTouchEvent, input.DispatchTouchEventParams{Type: kind, TouchPoints: points})
	require.NoError(b.t, err)
}

// swipe moves a finger in ten steps and lifts it.
func (b *tab) swipe(from finger, dx, dy float64) {
	b.t.Helper()
	b.touch(input.DispatchTouchEventTypeTouchStart, from)
	for i := range 10 {
		part := float64(i+1) / 10
		b.touch(input.DispatchTouchEventTypeTouchMove, finger{from.x + part*dx, from.y + part*dy})
		time.Sleep(20 * time.Millisecond) // a frame
	}
	b.touch(input.DispatchTouchEventTypeTouchEnd)
}

// box is an element's place on the screen.
func (b *tab) box(selector string) (x, y, w, h float64) {
	b.t.Helper()
	b.at(selector)
	r := get[[]float64](b, fmt.Sprintf(`(() => { const r = document.querySelector(%q).getBoundingClientRect(); return [r.x, r.y, r.width, r.height]; })()`, selector))
	return r[0], r[1], r[2], r[3]
}

func (b *tab) scrolled() float64 {
	b.t.Helper()
	return get[float64](b, `scrollY`)
}

// TestFingerOnCurve drags a point by finger, all the way and without scrolling;
// beside the points the page scrolls. A point that is only tapped stays, and
// the zone whose dot lies under it is lit.
func TestFingerOnCurve(t *testing.T) {
	b := open(t, options(t, harbourFair()...))
	b.tablet(1024, 768)
	b.wait(`document.querySelector(".dot")`)
	x, y := b.at(`[data-point="7"]`)
	before, at := b.points("job", 0)[7], b.scrolled()
	b.swipe(finger{x + 6, y + 6}, -20, 50)
	after := b.points("job", 0)
	assert.Equal(t, after[6][1], after[7][1], "down to the point before: it takes the whole way")
	assert.Less(t, after[7][0], before[0]-4)
	assert.Equal(t, at, b.scrolled(), "the page stays")
	b.click("#undo")
	assert.Equal(t, before, b.points("job", 0)[7], "one stroke, one edit")

	px, py, w, h := b.box("#relation")
	at = b.scrolled()
	b.swipe(finger{px + w*0.3, py + h*0.15}, 0, -40)
	b.wait(fmt.Sprintf(`scrollY > %g`, at+10))

	get[bool](b, `(document.querySelector("#sweep").value = 35, document.querySelector("#sweep").dispatchEvent(new Event("input")), true)`) // the reference: dots lie on the curve
	b.wait(`document.querySelector("#sweep-value").textContent === "45 %"`)
	b.settled()
	points := b.points("job", 0)
	near := get[[]float64](b, `(() => {
		const middle = (n) => { const r = n.getBoundingClientRect(); return [r.x + r.width / 2, r.y + r.height / 2]; };
		document.querySelector("#relation").scrollIntoView({ block: "center" });
		const points = [...document.querySelectorAll("[data-point]")].map(middle);
		for (const dot of document.querySelectorAll(".dot")) {
			const [x, y] = middle(dot);
			if (points.some((p) => Math.hypot(p[0] - x, p[1] - y) < 10)) return [x, y, Number(dot.dataset.zone)];
		}
		return [];
	})()`)
	require.Len(t, near, 3, "a dot under a point")
	b.touch(input.DispatchTouchEventTypeTouchStart, finger{near[0], near[1]})
	b.touch(input.DispatchTouchEventTypeTouchEnd)
	b.wait(`document.querySelector(".dot.lit")`)
	assert.Equal(t, points, b.points("job", 0))
}

// TestSecondFinger rests a palm beside the finger that pulls keys: it does
// nothing. What was pulled is taken back key by key, and nothing else is.
func TestSecondFinger(t *testing.T) {
	b := open(t, options(t))
	b.tablet(1024, 768)
	b.click(`[data-view="drawn"]`)
	b.wait(`document.querySelector("g.key")`) // and nothing moves any more
	b.click(`[data-form="tint"]`)
	b.wait(`document.querySelectorAll("#shapes tr").length === 1`)
	b.settled()
	b.click("#quiz")
	b.wait(`!document.querySelector("#quiz-part").hidden`)
	x, y, w, h := b.box(`.column[data-zone="2"]`)
	gap := y + h - get[float64](b, `(() => { const c = document.querySelector('.column[data-zone="2"]').getBoundingClientRect(), g = document.querySelector('.gap[data-zone="2"]').getBoundingClientRect(); return c.bottom - g.top; })()`)
	one, palm := finger{x + w/2, gap + 60}, finger{x + w*15, gap + 30}
	b.touch(input.DispatchTouchEventTypeTouchStart, one)
	b.touch(input.DispatchTouchEventTypeTouchStart, one, palm)
	for i := range 5 {
		b.touch(input.DispatchTouchEventTypeTouchMove, finger{one.x, one.y + float64(i)}, finger{palm.x + float64(i), palm.y})
	}
	b.touch(input.DispatchTouchEventTypeTouchEnd)
	trial := b.remembered().Trial
	require.NotNil(t, trial)
	keys := trial.Keys
	require.Len(t, keys, 21)
	assert.Greater(t, keys[1], 50.0)
	for i, key := range keys {
		if i != 1 {
			assert.Equal(t, 25.0, key, "zone %d", i+1)
		}
	}
	b.click("#undo")
	b.wait(`document.querySelector('[data-key="2"]').value === "25"`)
	assert.NotEmpty(t, get[string](b, `document.querySelector("#shapes").textContent`), "the form stays")
	b.click("#redo")
	b.wait(`document.querySelector('[data-key="2"]').value !== "25"`)
	b.click("#quiz-again")
	b.wait(`document.querySelector('[data-key="2"]').value === "25"`)
	b.press("z", chromedp.ModifierCtrl)
	b.wait(`document.querySelector('[data-key="2"]').value !== "25"`)
	b.click("#quiz-end")
	b.wait(`document.activeElement.id === "quiz"`)
	b.click("#undo")
	b.wait(`document.querySelectorAll("#shapes tr").length === 0`) // the form's own last edit
}

// TestFingerOnPlate pulls a shape up by finger as long as the finger goes; a
// drawing that is wider than the screen scrolls by the blade line.
func TestFingerOnPlate(t *testing.T) {
	b := open(t, options(t))
	b.tablet(390, 844)
	b.click(`[data-view="drawn"]`)
	b.wait(`document.querySelector("g.key")`)
	get[bool](b, `(() => { for (const [id, v] of [["zone_width_mm", 10.5], ["zones", 64]]) { const n = document.querySelector("#" + id); n.value = v; n.dispatchEvent(new Event("change")); } return true; })()`)
	b.wait(`document.querySelectorAll("g.key").length === 64`)
	b.settled()
	x, y, _, h := b.box(".plate")
	left := get[float64](b, `document.querySelector("#bench").scrollLeft`)
	b.swipe(finger{x + 40, y + h*0.9}, 120, -h*0.6)
	b.wait(`document.querySelectorAll("#shapes tr").length === 1`)
	assert.InDelta(t, 60, get[float64](b, `Number(document.querySelectorAll("#shapes input")[3].value)`), 1.5, "length of the first shape in %")
	assert.Equal(t, left, get[float64](b, `document.querySelector("#bench").scrollLeft`))
	_, top, _, _ := b.box(".gap")
	b.swipe(finger{300, top + 20}, -200, 0)
	b.wait(`document.querySelector("#bench").scrollLeft > 50`)
}
