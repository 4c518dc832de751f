package page

import (
	"bytes"
	"encoding/base64"
	"image"
	"image/png"
	"maps"
	"os"
	"slices"
	"strconv"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// pixel is a small gray PNG with 72 dots an inch written nowhere, in base64.
func pixel(t *testing.T) string {
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, image.NewGray(image.Rect(0, 0, 40, 30))))
	return base64.StdEncoding.EncodeToString(b.Bytes())
}

// views are the page's views, each with what leads to it.
var views = map[string]string{
	"job":   `true`,
	"all":   `(document.querySelector('[data-unit="-1"]').click(), true)`,
	"drawn": `(document.querySelector("[data-view=drawn]").click(), document.querySelector("[data-form]").click(), true)`,
	"quiz":  `(document.querySelector("#quiz").click(), true)`,
}

// eachView shows every view in turn, all its details open and a zone lit.
func eachView(t *testing.T, check func(t *testing.T, b *tab)) {
	for name, lead := range views {
		t.Run(name, func(t *testing.T) {
			b := open(t, options(t, harbourFair()...))
			b.wait(`document.querySelector(".dot")`)
			get[bool](b, lead)
			b.wait(`document.querySelector("g.key")`)
			get[bool](b, `(document.querySelectorAll("details").forEach((d) => { d.open = true; }), true)`)
			b.settled()
			b.hover(`.column[data-zone="9"]`)
			b.wait(`document.querySelector(".column.lit")`)
			check(t, b)
		})
	}
}

// nameless are the controls without an accessible name. ARIA 1.2: a name comes
// from aria-label, aria-labelledby, a label, or the content.
const nameless = `[...document.querySelectorAll("button, input, select, a, summary, [tabindex], [role=slider], [role=option], [role=listbox], [role=grid]")]
	.filter((n) => n.checkVisibility() && !n.ariaLabel && !n.textContent.trim() && ![...(n.labels || [])].some((l) => l.textContent.trim())
		&& !(n.getAttribute("aria-labelledby") && document.getElementById(n.getAttribute("aria-labelledby"))?.textContent))
	.map((n) => n.outerHTML.slice(0, 120))`

// faint are the texts whose contrast is less than WCAG 2.2 AA asks: 4.5 to 1, or
// 3 to 1 for large text (success criterion 1.4.3; relative luminance as its
// definition gives it). Disabled controls are exempt there. The ground is the
// nearest ancestor's that is painted; a drawing's texts stand on the paper.
const faint = `(() => {
	const light = (c) => { const v = c.map((x) => { x /= 255; return x <= 0.04045 ? x / 12.92 : ((x + 0.055) / 1.055) ** 2.4; }); return 0.2126 * v[0] + 0.7152 * v[1] + 0.0722 * v[2]; };
	const parse = (s) => (s.match(/[\d.]+/g) || []).map(Number);
	const ground = (n) => { for (; n; n = n.parentElement) { const c = parse(getComputedStyle(n).backgroundColor); if (c.length === 3 || c[3] === 1) return c; } return [255, 255, 255]; };
	const bad = [];
	let seen = 0;
	for (const n of document.querySelectorAll("body *")) {
		if (!n.checkVisibility() || n.disabled || n.closest(":disabled")) continue;
		const own = [...n.childNodes].some((c) => c.nodeType === 3 && c.textContent.trim()) || n.matches("input, select");
		if (!own) continue;
		seen++;
		const style = getComputedStyle(n), px = parseFloat(style.fontSize);
		const a = light(parse(n instanceof SVGElement ? style.fill : style.color)), b = light(ground(n));
		const ratio = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
		const large = px >= 24 || (px >= 18.66 && style.fontWeight >= 700);
		if (ratio < (large ? 3 : 4.5)) bad.push(ratio.toFixed(2) + " " + n.outerHTML.slice(0, 100));
	}
	return seen > 60 ? bad : ["only " + seen + " texts were looked at"];
})()`

// ids are identities that stand twice, and labels that lead nowhere.
const ids = `[...document.querySelectorAll("[id]")].map((n) => n.id).filter((id, i, all) => all.indexOf(id) !== i)
	.concat([...document.querySelectorAll("[for], [aria-labelledby]")].map((n) => n.htmlFor?.value ?? n.htmlFor ?? n.getAttribute("aria-labelledby")).filter((id) => !document.getElementById(id)))`

// axe is axe-core, where .ci/deps could have it from npm; it finds what the
// written-out checks do not ask for.
const axe = "../../../../out/axe.min.js"

// axeFinds are the rules of axe-core that the view breaks.
func axeFinds(t *testing.T, b *tab) []string {
	source, err := os.ReadFile(axe)
	if os.IsNotExist(err) {
		t.Log("without axe-core, which make test fetches where it can")
		return nil
	}
	require.NoError(t, err)
	if !get[bool](b, `"axe" in window`) {
		get[bool](b, string(source)+`;true`)
	}
	get[bool](b, `(delete window.held, axe.run().then((r) => { window.found = r.violations.map((v) => v.id + ": " + v.nodes[0].html.slice(0, 120)); window.held = r.passes.length; }), true)`)
	b.wait(`window.held > 30`)
	return get[[]string](b, `window.found`)
}

// axeInAllColours are the rules that the view breaks in the page's colours, light and
// dark, and in the system's.
func axeInAllColours(t *testing.T, b *tab) []string {
	return axeIn(t, b, slices.Sorted(maps.Keys(colours))...)
}

// axeIn are the rules that the view breaks in the named colours.
func axeIn(t *testing.T, b *tab, names ...string) []string {
	var found []string
	for _, name := range names {
		_, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: colours[name]})
		require.NoError(t, err)
		for _, rule := range axeFinds(t, b) {
			found = append(found, name+": "+rule)
		}
	}
	_, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{})
	require.NoError(t, err)
	return found
}

// TestAccessible holds every view against the written-out checks.
func TestAccessible(t *testing.T) {
	eachView(t, func(t *testing.T, b *tab) {
		assert.Empty(t, get[[]string](b, nameless), "controls without a name")
		assert.Empty(t, get[[]string](b, faint), "texts with too little contrast")
		assert.Empty(t, get[[]string](b, ids), "identities")
		assert.Empty(t, axeInAllColours(t, b), "axe-core")
		assert.Equal(t, 1, get[int](b, `document.querySelectorAll("h1").length`))
		assert.Equal(t, "en", get[string](b, `document.documentElement.lang`))
		assert.Empty(t, get[[]string](b, `[...document.querySelectorAll("[style], script:not([src]), style")].map((n) => n.outerHTML.slice(0, 80))`), "nothing inline")
	})
}

// TestKeyboardAlone walks the page by Tab: every control that can be used is
// reached, focus is seen, and the walk comes round.
func TestKeyboardAlone(t *testing.T) {
	eachView(t, func(t *testing.T, b *tab) {
		get[bool](b, `(document.activeElement.blur(), window.scrollTo(0, 0), [...document.querySelectorAll("*")].filter((n) => n.tabIndex >= 0 && n.checkVisibility({ visibilityProperty: true }) && !n.matches("svg, :disabled")).forEach((n, i) => { n.dataset.walk = i; }), true)`)
		all := get[int](b, `document.querySelectorAll("[data-walk]").length`)
		require.Greater(t, all, 20)
		reached := map[string]bool{}
		for range 2 * all {
			b.press(kb.Tab)
			at := get[string](b, `document.activeElement.dataset.walk ?? ""`)
			if at == "0" && len(reached) > 1 {
				break
			}
			if at == "" {
				continue // the browser's own, or the page's end
			}
			require.False(t, reached[at], "the walk turns back at %s", get[string](b, `document.activeElement.outerHTML.slice(0, 100)`))
			reached[at] = true
			assert.True(t, get[bool](b, `(() => {
				const n = document.activeElement, label = n.closest(".button"), reach = n.querySelector(".reach");
				const s = getComputedStyle(label || n);
				return s.outlineStyle !== "none" || (reach && getComputedStyle(reach).stroke !== "none") || (n.matches(".column") && s.strokeDasharray !== "none");
			})()`), "focus is not seen on %s", get[string](b, `document.activeElement.outerHTML.slice(0, 100)`))
		}
		for i := range all {
			at := strconv.Itoa(i)
			assert.True(t, reached[at], "not reached: %s", get[string](b, `document.querySelector('[data-walk="`+at+`"]')?.outerHTML.slice(0, 100) ?? ""`))
		}
	})
}

// TestSizes opens the page on a desk, a tablet, a telephone and at 200 %: it
// never scrolls sideways, and the bench is there.
func TestSizes(t *testing.T) {
	eachView(t, func(t *testing.T, b *tab) {
		for _, size := range [][2]int64{{1440, 900}, {1024, 768}, {720, 450}, {390, 844}} {
			b.do(chromedp.EmulateViewport(size[0], size[1]))
			b.wait(`document.querySelector("#drawing").getBoundingClientRect().width <= Math.max(innerWidth, 300)`)
			assert.LessOrEqual(t, get[int](b, `document.documentElement.scrollWidth`), int(size[0]), "%v", size)
			assert.Empty(t, get[[]string](b, `[...document.querySelectorAll("main *, header *")].filter((n) => n.checkVisibility() && !n.closest("svg, .zones, table") && n.getBoundingClientRect().right > innerWidth + 1).map((n) => n.outerHTML.slice(0, 80))`), "%v", size)
		}
	})
}

// TestPrinted prints the page: the form and the keys are on it, controls are not.
func TestPrinted(t *testing.T) {
	b := open(t, options(t, harbourFair()...))
	b.wait(`document.querySelector("g.key")`)
	_, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"})
	require.NoError(t, err)
	for _, seen := range []string{"#ink", "#sweep-value", "#drawing", "#relation", "#rows", "#warnings", "#cautions"} {
		assert.True(t, get[bool](b, `document.querySelector("`+seen+`").checkVisibility()`), seen)
	}
	assert.Empty(t, get[[]string](b, `[...document.querySelectorAll("button, input, select, summary")].filter((n) => n.checkVisibility()).map((n) => n.outerHTML)`))
}
