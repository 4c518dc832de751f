package page

import (
	"bytes"
	"fmt"
	"slices"
	"testing"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/curves"
	"bladeline/zones/preset"
	"bladeline/zones/press"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// onPapers are a press's options with a curve of its own for news.
func onPapers(t *testing.T) Options {
	o := testOptions(t)
	news := *o.Curves[0]
	news.Name = "News"
	news.Points = []curves.Point{{CoveragePct: 0, OpeningPct: 0}, {CoveragePct: 100, OpeningPct: 80}}
	require.NoError(t, news.Prepare())
	o.Presses[0].Press.ByPaper = map[string]press.CurveFiles{"news": {Default: "news.curve.toml"}}
	o.Presses[0].ByPaper = map[string]job.PaperCurves{"news": {Curve: &news}}
	return o
}

// TestPaperIsStated has a preset state the paper, as preset --paper does, and warn
// where the press has no curve for it: of inks alone that have its usual one.
func TestPaperIsStated(t *testing.T) {
	o := onPapers(t)
	c := newClient(t, o)
	papers := decoded[startJSON](t, c.fetch("/api/start")).Presses[0].Papers
	require.Len(t, papers, 1)
	assert.Equal(t, "news", papers[0].Name)
	assert.Equal(t, "News", papers[0].Curve.Name)
	state := stateOf(t, sent[separationJSON](c, "/api/draw", plateOf("Black", half)))

	state.Paper = "NEWS"
	state.Units[0].Curve = *papers[0].Curve
	p := decodedPreset(t, c.saveAs("json", state))
	assert.Equal(t, new("NEWS"), p.Paper)
	for _, w := range p.Warnings {
		assert.NotEqual(t, job.CodePaper, w.Code)
	}

	state.Paper = "board"
	state.Units[0].Curve = curveJSON(o.Curves[0])
	shown := sent[computed](c, "/api/preset", state).Preset
	require.NotEmpty(t, shown.Warnings)
	assert.Equal(t, job.CodePaper, shown.Warnings[0].Code)
	assert.Contains(t, shown.Warnings[0].Text, `no curve for Black on the paper "board"`)
	assert.Contains(t, shown.Warnings[0].Text, "the papers it names are news")
	state.Units[0].Curve.Points[1][1] = 90 // by hand, as --curve would give it
	for _, w := range sent[computed](c, "/api/preset", state).Preset.Warnings {
		assert.NotEqual(t, job.CodePaper, w.Code)
	}

	state.Paper = "A4"
	refusal := refusedWith(t, 422, c.send("/api/preset", state))
	assert.Equal(t, "paper", refusal.Place)
	assert.Contains(t, refusal.Error, "A4 is the size of a page")
}

// TestPaperOnThePage types papers: the curve is the one that the press has for the
// paper, and one that was edited stays.
func TestPaperOnThePage(t *testing.T) {
	o := options(t, harbourFair()[:2]...)
	uncoated, err := job.LoadCurve("uncoated")
	require.NoError(t, err)
	o.Presses[0].ByPaper = map[string]job.PaperCurves{"uncoated": {Curve: uncoated}}
	b := open(t, o)
	b.wait(`document.querySelector(".dot")`)
	before := b.keys()
	b.set("paper", "Uncoated")
	b.waitKey("9", before["9"])
	assert.Equal(t, uncoated.Name, b.unit("job", 1).Curve.Name)
	assert.Equal(t, new("Uncoated"), b.saved().Paper)
	b.set("paper", "board")
	b.wait(`document.querySelector("#warnings").textContent.includes("no curve for")`)
	assert.Equal(t, "Coated, starting value", b.unit("job", 1).Curve.Name)
	b.click("#undo")
	b.settled()
	assert.Equal(t, "Uncoated", get[string](b, `document.querySelector("#paper").value`))
	b.set("paper", "A3")
	b.wait(`document.querySelector("#problem").textContent.includes("size of a page") && document.querySelector("#paper").getAttribute("aria-invalid") === "true"`)
}

// saved is the preset that the page saves as JSON.
func (b *tab) saved() *preset.Preset {
	b.t.Helper()
	p, err := preset.ReadJSON("saved", bytes.NewReader(b.download(func() { b.click(`[data-save="json"]`) })))
	require.NoError(b.t, err)
	return p
}

// TestSweepOfTheUnit has the slider of an ink go over the sweep of the unit that it
// is printed in, which may differ from the press's.
func TestSweepOfTheUnit(t *testing.T) {
	o := options(t, harbourFair()...)
	two := *o.Presses[0].Press
	two.Units = slices.Clone(two.Units)
	two.Units[1].Sweep.From, two.Units[1].Sweep.To, two.Units[1].Sweep.Step = 20, 60, 5
	o.Presses[0].Press = &two
	b := open(t, o)
	b.wait(`document.querySelector(".dot")`)
	steps := func(ink string) string {
		t.Helper()
		get[bool](b, fmt.Sprintf(`([...document.querySelectorAll("#inks button")].find((n) => n.textContent === %q).click(), true)`, ink))
		b.settled()
		return get[string](b, `document.querySelector("#sweep").max`)
	}
	assert.Equal(t, "80", steps("Black"), "10 to 90")
	assert.Equal(t, "8", steps("Harbour Red"), "20 to 60 in fives")
	b.slide(2)
	b.settled()
	assert.Empty(t, get[string](b, `document.querySelector("#problem").textContent`))
	assert.Equal(t, "30 %", get[string](b, `document.querySelector("#sweep-value").textContent`))
	assert.Equal(t, 30.0, b.saved().Unit("Harbour Red").Sweep)
}
