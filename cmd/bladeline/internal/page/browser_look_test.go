package page

import (
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
)

// overlaps are the figures under the blade that touch one another, or leave the
// box of their key. A text's box is as high as its font, which is half as much
// again as a figure.
const overlaps = `(() => {
	const bad = [];
	const box = (n) => {
		const r = n.getBoundingClientRect(), size = Number(n.getAttribute("font-size"));
		const x = (r.left + r.right) / 2, y = (r.top + r.bottom) / 2, half = 0.38 * size;
		if (n.matches("rect")) return r;
		return n.getAttribute("transform") ? { left: x - half, right: x + half, top: r.top, bottom: r.bottom } : { left: r.left, right: r.right, top: y - half, bottom: y + half };
	};
	const touch = (a, b) => a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;
	const all = [...document.querySelectorAll(".key text")].filter((n) => n.textContent);
	const boxes = all.map(box);
	all.forEach((n, i) => boxes.forEach((r, k) => { if (k < i && touch(boxes[i], r)) bad.push(all[k].textContent + " " + n.textContent); }));
	for (const g of document.querySelectorAll("g.key")) {
		const rect = box(g.querySelector(".key-box"));
		for (const n of g.querySelectorAll("text")) {
			const r = box(n), inside = r.left > rect.left && r.right < rect.right && r.top > rect.top && r.bottom < rect.bottom;
			if (n.textContent && (n.matches(".key-key") ? !inside : touch(r, rect))) bad.push("box " + n.textContent);
		}
	}
	return [...new Set(bad)].slice(0, 8);
})()`

// TestFiguresStandApart shows few zones and many, keys of long texts and of
// short, in every width: no figure touches another.
func TestFiguresStandApart(t *testing.T) {
	b := open(t, options(t))
	b.click(`[data-desk="drawn"]`)
	b.wait(`document.querySelector("[data-form=heavy-side]")`)
	b.click(`[data-form="heavy-side"]`)
	for _, press := range []struct{ base, zones string }{{"duplicator", "15"}, {"two-colour", "8"}, {"two-colour", "21"}, {"four-colour", "32"}, {"four-colour", "64"}} {
		b.set("press", press.base)
		b.settled()
		b.set("zones", press.zones)
		b.wait(`document.querySelectorAll("g.key").length === ` + press.zones)
		b.settled()
		for _, width := range []int64{1440, 1024, 390} {
			b.do(chromedp.EmulateViewport(width, 800))
			b.settled()
			assert.Empty(t, get[[]string](b, overlaps), "%v, %d px", press, width)
		}
	}
}

// set changes a field as by hand.
func (b *tab) set(id, value string) {
	b.t.Helper()
	get[bool](b, `((n, v) => { n.value = v; n.dispatchEvent(new Event("change")); return true; })(document.querySelector("#`+id+`"), "`+value+`")`)
}
