package page

import (
	"bytes"
	"fmt"
	"image/color"
	"image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	cdp "github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
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
	b.click(`[data-view="drawn"]`)
	b.wait(`document.querySelector("g.key")`)
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

// printed are the pages of the page as a PDF, as text.
func (b *tab) printed(how ...chromedp.PDFOption) []string {
	b.t.Helper()
	data, err := chromedp.Run(b.ctx, chromedp.PrintToPDF(append(how, chromedp.PDFPaper(chromedp.PaperA4))...))
	require.NoError(b.t, err)
	path := filepath.Join(b.t.TempDir(), "page.pdf")
	require.NoError(b.t, os.WriteFile(path, data, 0o600))
	text, err := exec.CommandContext(b.ctx, "pdftotext", "-layout", path, "-").Output()
	require.NoError(b.t, err, "pdftotext is of poppler-utils")
	return strings.Split(strings.TrimSuffix(string(text), "\f"), "\f")
}

// TestPrintedPages prints all inks and the exercise: head and drawing stand on
// one page whichever way it lies, and what only a screen can do is left out.
func TestPrintedPages(t *testing.T) {
	b := open(t, options(t, harbourFair()...))
	b.wait(`document.querySelector(".dot")`)
	b.click(`[data-unit="-1"]`)
	b.settled()
	for _, how := range [][]chromedp.PDFOption{nil, {chromedp.PDFLandscape()}} {
		pages := b.printed(how...)
		for _, seen := range []string{"All inks", "Black sweep", "Harbour Red sweep"} {
			assert.Contains(t, strings.Join(strings.Fields(pages[0]), " "), seen)
		}
		assert.NotContains(t, strings.Join(pages[1:], ""), "Harbour Red   sweep")
	}
	b.click(`[data-unit="0"]`)
	b.click("#quiz")
	b.wait(`document.querySelectorAll("[data-key]").length === 21`)
	b.focus("#learner")
	b.press("Learner Seven")
	b.typeKey(3, "40")
	b.typeKey(7, "0") // which the floor holds
	b.settled()
	require.Contains(t, b.text(".key-legend"), "floor")
	const set = "25 25 40 25 25"
	empty := strings.Join(strings.Fields(strings.Join(b.printed(), "")), " ")
	assert.NotContains(t, empty, set, "before it is weighed, a worksheet with empty boxes")
	assert.Contains(t, empty, "zone 1 2 3 4 5")
	for _, of := range []string{"floor", "held by", "the ink that each zone gets"} {
		assert.NotContains(t, empty, of, "names nothing that is seen")
	}
	b.weigh()
	assert.Contains(t, strings.Join(strings.Fields(strings.Join(b.printed(), "")), " "), set)
	b.wait(`!document.querySelector("#quiz-answer").hidden`)
	text := strings.Join(b.printed(), "")
	assert.Contains(t, text, "Learner Seven")
	for _, button := range []string{"Weigh", "Begin again", "Show the computed keys", "Save"} {
		assert.NotContains(t, text, button)
	}
}

// TestForcedColours shows the page in the system's colours, dark on light and
// light on dark: the drawings take them, and a pressed button shows by its edge.
func TestForcedColours(t *testing.T) {
	b := open(t, options(t, harbourFair()...))
	b.wait(`document.querySelector(".dot")`)
	for _, scheme := range []string{"light", "dark"} {
		_, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{
			{Name: "forced-colors", Value: "active"}, {Name: "prefers-color-scheme", Value: scheme},
		}})
		require.NoError(t, err)
		assert.True(t, get[bool](b, `(() => {
			const of = (selector, what) => getComputedStyle(document.querySelector(selector))[what];
			const ink = of("body", "color"), paper = of(":root", "backgroundColor");
			return ink !== paper && of(".plate", "fill") === "rgb(255, 255, 255)"
				&& [".blade-ink", ".key-key", ".small text", ".point:not(.chosen) rect", ".grid text"].every((s) => of(s, "fill") === ink)
				&& [".blade-edge", ".curve-drawn", ".dot", ".key-box"].every((s) => of(s, "stroke") === ink)
				&& [".blade-roller", ".blade-blade", ".key-box", ".dot"].every((s) => of(s, "fill") === paper)
				&& parseFloat(of("[data-view=job]", "borderBottomWidth")) > parseFloat(of("[data-view=drawn]", "borderBottomWidth"));
		})()`), scheme)
	}
}

// TestLargeText shows every view with text of twice the size, and on the
// narrowest of screens: tables scroll, the page does not.
func TestLargeText(t *testing.T) {
	eachView(t, func(t *testing.T, b *tab) {
		if get[bool](b, `!document.querySelector("#quiz-part").hidden`) {
			b.click("#quiz-weigh")
			b.wait(`!document.querySelector("#quiz-answer").hidden`)
		}
		b.do(chromedp.EmulateViewport(320, 640))
		b.wait(`document.documentElement.scrollWidth <= 320`)
		get[bool](b, `(document.documentElement.style.fontSize = "32px", true)`)
		for _, width := range []int64{1440, 1024, 390} {
			b.do(chromedp.EmulateViewport(width, 800))
			b.settled()
			assert.LessOrEqual(t, get[int](b, `document.documentElement.scrollWidth`), int(width))
		}
	})
}

// TestRowsInWords names the rows of the table as they are to be read out.
func TestRowsInWords(t *testing.T) {
	b := open(t, options(t))
	b.set("press", "duplicator")
	b.click(`[data-view="drawn"]`)
	b.wait(`document.querySelector("g.key")`)
	b.click(`[data-form="heavy-side"]`)
	b.wait(`document.querySelectorAll("#rows tr").length === 15`)
	b.settled()
	b.slide(4) // 5 notches, where a neighbour holds a key
	b.settled()
	label := func(zone string) string {
		return get[string](b, `document.querySelector('#rows tr[data-zone="`+zone+`"]').ariaLabel`)
	}
	assert.Equal(t, "Zone 8, covered 7.1 %, key 1/2 turn", label("8"))
	assert.Equal(t, "Zone 9, covered 7.1 %, key 1 turn, held by a neighbour", label("9"))
	assert.Equal(t, "key, turns", get[string](b, `document.querySelector("#col-key").textContent`))
	assert.Regexp(t, `at sweep \d+ notches$`, get[string](b, `document.querySelector("#col-asked").textContent`))
	assert.GreaterOrEqual(t, get[float64](b, `Math.min(...[...document.querySelectorAll("#rows tr")].map((n) => n.getBoundingClientRect().height))`), 24.0)
}

// TestEmptyPage has its headings in order, and a place to skip to.
func TestEmptyPage(t *testing.T) {
	b := open(t, options(t))
	b.wait(`!document.querySelector("#welcome").hidden`)
	assert.True(t, get[bool](b, `document.querySelector(document.querySelector(".skip").getAttribute("href")).checkVisibility()`))
	assert.Equal(t, "H1", get[string](b, `[...document.querySelectorAll("h1, h2")].find((n) => n.checkVisibility()).tagName`))
	assert.Empty(t, axeInAllColours(t, b), "axe-core")
}

// TestZoneLinesAreSeen holds the lines between zones against what they lie on:
// 3 to 1 is what WCAG 2.2 asks of a drawing (success criterion 1.4.11).
func TestZoneLinesAreSeen(t *testing.T) {
	b := open(t, options(t))
	b.click(`[data-view="drawn"]`)
	b.wait(`document.querySelector("g.key")`)
	b.click(`[data-form="tint"]`)
	b.wait(`document.querySelector("#shapes input")`)
	for _, tint := range []int{0, 10, 25, 50, 70, 100} {
		get[bool](b, fmt.Sprintf(`((n) => { n.value = %d; n.dispatchEvent(new Event("change")); return true; })(document.querySelectorAll("#shapes input")[4])`, tint))
		b.settled()
		levels := b.across(`.strip[data-zone="9"]`)
		ground := levels[0]
		assert.InDelta(t, 255-float64(tint)*2.55, ground, 1)
		most := 0.0
		for _, level := range levels {
			most = max(most, contrast(ground, level))
		}
		assert.GreaterOrEqual(t, most, 3.0, "on a tint of %d %%", tint)
	}
}

// across are the grays from left to right over an element's left edge, halfway
// up the form.
func (b *tab) across(selector string) []float64 {
	b.t.Helper()
	at := get[[]float64](b, fmt.Sprintf(`(() => { const r = document.querySelector(%q).getBoundingClientRect(); return [r.x, r.y + r.height / 2]; })()`, selector))
	shot, err := chromedp.Call(b.ctx, cdp.CaptureScreenshot, cdp.CaptureScreenshotParams{Clip: &cdp.Viewport{X: at[0] - 6, Y: at[1], Width: 12, Height: 1, Scale: 1}})
	require.NoError(b.t, err)
	picture, err := png.Decode(bytes.NewReader(shot.Data))
	require.NoError(b.t, err)
	var levels []float64
	for x := range picture.Bounds().Dx() {
		levels = append(levels, float64(color.GrayModel.Convert(picture.At(x, 0)).(color.Gray).Y))
	}
	return levels
}

// contrast of two grays, by WCAG's definition.
func contrast(a, b float64) float64 {
	light := func(v float64) float64 {
		if v /= 255; v <= 0.04045 {
			return v/12.92 + 0.05
		}
		return math.Pow((v+0.055)/1.055, 2.4) + 0.05
	}
	return max(light(a), light(b)) / min(light(a), light(b))
}

// TestLitField looks other than one that has the focus.
func TestLitField(t *testing.T) {
	b := open(t, options(t, harbourFair()...))
	b.wait(`document.querySelector(".dot")`)
	b.click("#quiz")
	b.wait(`document.querySelectorAll("[data-key]").length === 21`)
	b.hover(`.column[data-zone="9"]`)
	b.wait(`document.querySelector('[data-key="9"].lit')`)
	look := `(() => { const s = getComputedStyle(document.querySelector('[data-key="9"]')); return s.outlineStyle + " " + s.borderBottomWidth; })()`
	assert.Equal(t, "none 5px", get[string](b, look))
	b.press("\t")
	b.focus(`[data-key="9"]`)
	assert.Equal(t, "solid 5px", get[string](b, look))
}
