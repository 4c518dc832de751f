package page

import (
	"net/http/httptest"
	"strings"
	"testing"

	"bladeline/coverage"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// hurting is a name that would be elements, and run, where it is taken for HTML.
const hurting = `"'><hurt-me></hurt-me><img src=x onerror="window.hurt=1"><script>window.hurt=1</script>${window.hurt=1}`

// TestHostileNamesAreText has every name that anybody may give hold a script,
// and looks at all views: they are shown as they are, and nothing of them runs.
// The policy would keep it from running, but not from standing there.
func TestHostileNamesAreText(t *testing.T) {
	o := options(t, harbourFair()[1])
	press, curve := *o.Presses[0].Press, *o.Curves[0]
	press.Name, curve.Name, curve.Note = "Press "+hurting, "Curve "+hurting, "Note "+hurting
	o.Presses[0].Press, o.Presses[0].Curve, o.Curves[0] = &press, &curve, &curve
	m := *o.Maps[0]
	m.Ink, m.File = "Ink "+hurting, "File "+hurting
	m.Warnings = []coverage.Warning{{Code: "polarity", Text: "Warning " + hurting}}
	o.Job, o.Maps, o.Cautions = "Job "+hurting, []*coverage.Map{&m}, "Cautions "+hurting
	b := open(t, o)
	b.wait(`document.querySelector("g.key")`)
	shown := get[string](b, `document.documentElement.textContent + [...document.querySelectorAll("input, textarea, option")].map((n) => n.value + n.textContent).join()`)
	for _, name := range []string{"Ink ", "Press ", "Curve ", "Warning ", "Cautions "} {
		assert.Contains(t, shown, name+hurting)
	}
	b.drop(hurting + `_M.png`)
	b.wait(`!document.querySelector("#ask").hidden`)
	assert.Zero(t, get[int](b, `document.querySelectorAll("hurt-me, img[src=x], main script").length`), "asked")
	b.click("#ask-add")
	b.wait(`document.querySelectorAll("#inks button").length === 3`)
	for _, view := range []string{"job", "all", "quiz", "drawn"} { // of the last there is one ink alone
		require.True(t, get[bool](b, views[view]), view)
		b.settled()
		assert.Zero(t, get[int](b, `document.querySelectorAll("hurt-me, img[src=x], main script").length`), view)
	}
	assert.True(t, get[bool](b, `window.hurt === undefined`))
}

// drop brings a small plate by dropping it under a name.
func (b *tab) drop(name string) {
	b.t.Helper()
	get[bool](b, `(() => {
		const bytes = Uint8Array.from(atob("`+pixel(b.t)+`"), (c) => c.charCodeAt(0));
		const data = new DataTransfer();
		data.items.add(new File([bytes], `+string(marshalled(b.t, name))+`, { type: "image/png" }));
		document.body.dispatchEvent(new DragEvent("drop", { dataTransfer: data, bubbles: true, cancelable: true }));
		return true;
	})()`)
}

// TestTokenIsRemembered opens the address with its token: the browser shows it
// no more, and yet the page goes on behind a reload and in another tab.
func TestTokenIsRemembered(t *testing.T) {
	o := options(t, harbourFair()[1])
	o.AskToken = true
	server, err := New(o)
	require.NoError(t, err)
	served := httptest.NewServer(server)
	t.Cleanup(served.Close)
	b := openAt(t, served.URL+"/"+server.Query())
	b.wait(`document.querySelector("g.key")`)
	assert.Equal(t, served.URL+"/", get[string](b, `location.href`))
	assert.NotContains(t, get[string](b, `document.cookie`), server.token)
	b.do(chromedp.Reload())
	b.wait(`document.querySelector("g.key")`)
	b.drop("harbour-fair_M.png")
	b.wait(`document.querySelectorAll("#inks button").length === 3`)
	other := openAt(t, served.URL)
	other.wait(`document.querySelector("g.key")`)
	assert.False(t, strings.Contains(get[string](other, `location.href`), "token"))
}
