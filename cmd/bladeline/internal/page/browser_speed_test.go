package page

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"testing"
	"time"

	"bladeline/coverage"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// drags moves a curve's point up and down as a pointer does, and measures each
// time how long it takes from the move to the frame after the blade line is
// drawn anew, in ms.
const drags = `(async () => {
	const ink = [...document.querySelectorAll(".blade-ink")];
	const point = document.querySelector('[data-point="5"]'), box = point.getBoundingClientRect();
	const x = box.x + box.width / 2, y = box.y + box.height / 2;
	const fire = (type, dy) => point.dispatchEvent(new PointerEvent(type, { clientX: x, clientY: y + dy, pointerId: 1, bubbles: true, cancelable: true }));
	point.setPointerCapture = () => {};
	fire("pointerdown", 0);
	const times = [];
	for (let i = 0; i < 40; i++) {
		await new Promise((done) => setTimeout(done, 30));
		const changed = new Promise((done) => {
			const seen = new MutationObserver(() => { seen.disconnect(); requestAnimationFrame(done); });
			ink.forEach((n) => seen.observe(n, { attributes: true, attributeFilter: ["d"] }));
		});
		const start = performance.now();
		fire("pointermove", i % 2 ? 6 : -6);
		await changed;
		times.push(performance.now() - start);
	}
	window.dragTimes = times;
})()`

// TestDragIsQuick holds the time from a drag to the redrawn blade line under
// 50 ms for 64 zones and 8 inks, all in view and one alone. Other
// work on the machine only ever adds to a move's time, so
// it is the quickest quarter of 40 moves that is held, of the best of three rounds;
// the rest is written down.
func TestDragIsQuick(t *testing.T) {
	const limitMS = slowed * 50
	o := options(t)
	maps, err := coverage.MeasureFiles(t.Context(), []coverage.Input{{Path: harbourFair()[0]}}, coverage.Options{})
	require.NoError(t, err)
	for i := range 8 {
		m := *maps[0]
		m.Ink = "Ink " + strconv.Itoa(i+1)
		o.Maps = append(o.Maps, &m)
	}
	for _, all := range []bool{true, false} {
		b := open(t, o)
		b.wait(`document.querySelector("g.key")`)
		get[bool](b, `(() => { for (const [id, v] of [["zone_width_mm", 10.5], ["zones", 64]]) { const n = document.querySelector("#" + id); n.value = v; n.dispatchEvent(new Event("change")); } return true; })()`)
		b.wait(`document.querySelectorAll("g.key").length === 64`)
		if all {
			get[bool](b, `(document.querySelector('[data-unit="-1"]').click(), true)`)
			b.wait(`document.querySelectorAll("g.key").length === 8 * 64`)
		}
		inks := map[bool]int{true: 8, false: 1}[all]
		b.wait(fmt.Sprintf(`document.querySelectorAll("#drawing image").length === %d`, inks)) // pictures that come meanwhile take time, too
		b.settled()
		time.Sleep(500 * time.Millisecond) // until they are decoded and drawn, which the page is not told
		best := math.Inf(1)
		for round := 0; round < 3 && best >= limitMS; round++ {
			get[bool](b, `(delete window.dragTimes, `+drags+`, true)`)
			b.wait(`window.dragTimes`)
			times := get[[]float64](b, `window.dragTimes`)
			require.Len(t, times, 40)
			slices.Sort(times)
			t.Logf("all inks %v: a quarter within %.1f ms, median %.1f ms, worst %.1f ms", all, times[10], times[20], times[39])
			best = min(best, times[10])
		}
		assert.Less(t, best, float64(limitMS))
	}
}
