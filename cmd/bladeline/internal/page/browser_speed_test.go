package page

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"testing"
	"time"

	"bladeline/coverage"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/performance"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// heldPoint takes a curve's point, which fire then moves.
const heldPoint = `const point = document.querySelector('[data-point="5"]'), box = point.getBoundingClientRect();
	const x = box.x + box.width / 2, y = box.y + box.height / 2;
	const fire = (type, dy) => point.dispatchEvent(new PointerEvent(type, { clientX: x, clientY: y + dy, pointerId: 1, bubbles: true, cancelable: true }));
	point.setPointerCapture = () => {};
	fire("pointerdown", 0);`

// frames moves a curve's point in every frame for a while, and measures how long each
// frame is seen, in ms.
const frames = `(async () => {
	` + heldPoint + `
	const times = [];
	let last = await new Promise(requestAnimationFrame);
	for (let i = 0; i < 120; i++) {
		fire("pointermove", 8 * Math.sin(i / 5));
		const now = await new Promise(requestAnimationFrame);
		times.push(now - last);
		last = now;
	}
	window.frameTimes = times;
})()`

// drags moves a curve's point up and down as a pointer does, and measures each
// time how long it takes from the move to the frame after the blade line is
// drawn anew, in ms.
const drags = `(async () => {
	const ink = [...document.querySelectorAll(".blade-ink")];
	` + heldPoint + `
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

// TestDragIsQuick holds the time from a drag to the redrawn blade line under 50 ms for 64
// zones and 8 inks, all in view and one alone. Other work on the machine only ever adds to
// a move's time, so it is the quickest quarter of 40 moves that is held, of the best of
// three rounds; the rest is written down.
//
// The ordinary case, one ink on 21 zones, goes with the 60 frames a second of the screen: a
// quarter of them at the least on a busy machine, and on a quiet one more than half, which
// the median tells. Held is the time of the page's own thread too: a busy machine adds little
// to that, and the drawing all of it.
func TestDragIsQuick(t *testing.T) {
	const limitMS, frameMS = slowed * 50.0, slowed * 17.0
	maps, err := coverage.MeasureFiles(t.Context(), []coverage.Input{{Path: harbourFair()[0]}}, coverage.Options{})
	require.NoError(t, err)
	for _, c := range []struct {
		zones, inks int
		all         bool
	}{{21, 1, false}, {64, 8, true}, {64, 8, false}} {
		o, seen := options(t), 1
		for i := range c.inks {
			m := *maps[0]
			m.Ink = "Ink " + strconv.Itoa(i+1)
			o.Maps = append(o.Maps, &m)
		}
		b := open(t, o)
		b.wait(`document.querySelector("g.key")`)
		if c.zones != 21 {
			get[bool](b, fmt.Sprintf(`(() => { for (const [id, v] of [["zone_width_mm", 10.5], ["zones", %d]]) { const n = document.querySelector("#" + id); n.value = v; n.dispatchEvent(new Event("change")); } return true; })()`, c.zones))
		}
		b.wait(fmt.Sprintf(`document.querySelectorAll("g.key").length === %d`, c.zones))
		if c.all {
			seen = c.inks
			get[bool](b, `(document.querySelector('[data-unit="-1"]').click(), true)`)
			b.wait(fmt.Sprintf(`document.querySelectorAll("g.key").length === %d`, seen*c.zones))
		}
		b.wait(fmt.Sprintf(`document.querySelectorAll("#drawing image").length === %d`, seen)) // pictures that come meanwhile take time, too
		b.settled()
		time.Sleep(500 * time.Millisecond) // until they are decoded and drawn, which the page is not told
		of := fmt.Sprintf("%d zones, %d of %d inks seen", c.zones, seen, c.inks)
		if c.inks == 1 {
			assert.Less(t, b.ownMS(of), limitMS)
			best := math.Inf(1)
			for round := 0; round < 3 && best >= frameMS; round++ {
				best = min(best, b.frameMS(of))
			}
			assert.Less(t, best, frameMS)
			continue
		}
		best := math.Inf(1)
		for round := 0; round < 3 && best >= limitMS; round++ {
			best = min(best, b.dragMS(of)[moves/4])
		}
		assert.Less(t, best, limitMS)
	}
}

const moves = 40 // of one round

// dragMS is how long each move of a round took, in ms, the quickest first.
func (b *tab) dragMS(of string) []float64 {
	b.t.Helper()
	get[bool](b, `(delete window.dragTimes, `+drags+`, true)`)
	b.wait(`window.dragTimes`)
	times := get[[]float64](b, `window.dragTimes`)
	require.Len(b.t, times, moves)
	slices.Sort(times)
	b.t.Logf("%s: a quarter within %.1f ms, median %.1f ms, worst %.1f ms", of, times[moves/4], times[moves/2], times[moves-1])
	return times
}

// frameMS is how long the frames of a point that is pulled are seen, of the quickest
// quarter, in ms.
func (b *tab) frameMS(of string) float64 {
	b.t.Helper()
	get[bool](b, `(delete window.frameTimes, `+frames+`, true)`)
	b.wait(`window.frameTimes`)
	times := get[[]float64](b, `window.frameTimes`)
	slices.Sort(times)
	n := len(times)
	b.t.Logf("%s: frames of %.1f ms in the median, a quarter within %.1f ms, nine tenths within %.1f ms", of, times[n/2], times[n/4], times[9*n/10])
	return times[n/4]
}

// ownMS is how many ms of its own thread the page takes for a move.
func (b *tab) ownMS(of string) float64 {
	b.t.Helper()
	_, err := chromedp.Call(b.ctx, performance.Enable, performance.EnableParams{TimeDomain: performance.EnableTimeDomainThreadTicks})
	require.NoError(b.t, err)
	busy := func() float64 {
		found, err := chromedp.Call(b.ctx, performance.GetMetrics, cdp.Empty{})
		require.NoError(b.t, err)
		i := slices.IndexFunc(found.Metrics, func(m *performance.Metric) bool { return m.Name == "TaskDuration" })
		require.GreaterOrEqual(b.t, i, 0)
		return found.Metrics[i].Value * 1000
	}
	before := busy()
	b.dragMS(of)
	own := (busy() - before) / moves
	b.t.Logf("%s: %.1f ms of its own thread a move", of, own)
	return own
}
