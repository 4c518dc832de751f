package page

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bladeline/zones/preset"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func small(name, text string) fileJSON {
	return fileJSON{name, base64.StdEncoding.EncodeToString([]byte(text))}
}

func (c *client) opens(name, text string, beside ...fileJSON) openedJSON {
	c.t.Helper()
	return sent[openedJSON](c, "/api/open", openJSON{File: small(name, text), Beside: beside})
}

// TestOpenCurveAndPress opens a press together with the curve that it names: it is
// presetted on as one that the server was started with.
func TestOpenCurveAndPress(t *testing.T) {
	c, sep := drawnHalf(t)
	curve := c.opens("line.curve.toml", strings.Replace(testCurve, "Line", "Steep", 1)).Curve
	require.NotNil(t, curve)
	assert.Equal(t, "Steep", curve.Name)
	assert.NotNil(t, c.opens("line.toml", testCurve).Curve, "by what stands in it")

	const named = testPress + "[curves]\ndefault = \"sub/steep.curve.toml\"\n"
	refusal := refusedWith(t, 422, c.send("/api/open", openJSON{File: small("hall.press.toml", named)}))
	assert.Contains(t, refusal.Error, `names the curve "steep.curve.toml", which was not brought with it; bring both together`)
	hall := c.opens("hall.press.toml", strings.Replace(named, "Test press", "Hall", 1), small("steep.curve.toml", strings.Replace(testCurve, "Line", "Steep", 1))).Press
	require.NotNil(t, hall)
	assert.Equal(t, []any{"Hall", "Steep", 8}, []any{hall.Name, hall.Curve.Name, hall.Zones})

	state := stateOf(t, sep)
	state.Press = pressJSON{Base: hall.Base, File: hall.File}
	state.Press.Zones = new(10)
	p := sent[computed](c, "/api/preset", state)
	p.requireKeys(t, 1, 10)
	assert.Equal(t, "Hall", p.Preset.Press.Name)

	for says, file := range map[string]fileJSON{
		"unknown key":                         small("hall.press.toml", testPress+"wheels = 4\n"),
		"at least two":                        small("line.curve.toml", "name = \"Line\"\nshape = \"straight\"\npoints = []\n"),
		"no file of a press":                  small("letter.txt", "Dear Sir"),
		"bring it again":                      {"line.curve.toml", "?"},
		"is for the press":                    small("harbour.csv", example(t, "ok/harbour-fair.csv")),
		"Separation is no file of a press":    small("", ""),
		"column":                              small("table.csv", "a,b\n1,2\n"),
		"bladeline correct, or learn a curve": small("densities.csv", example(t, "densities.csv")),
		"curve learn --densities":             small("pull.csv", example(t, "pull.csv")),
		"press rollers PRESS --measured":      small("rollers.csv", example(t, "rollers.csv")),
		"bladeline preset --coverage":         small("eye.csv", "Zone;Coverage_pct\r\n1;20\r\n"),
	} {
		a := c.send("/api/open", openJSON{File: file})
		if a.status == 200 || !strings.Contains(string(a.body), says) {
			t.Errorf("%s: %s", says, a.body)
		}
	}
}

// TestOpenOKFile opens an OK file: what was run is told key by key, and the coverages
// are those of the file, so that they ask for the keys that it was preset to.
func TestOpenOKFile(t *testing.T) {
	of := options(t)
	c := newClient(t, of)
	text := example(t, "ok/harbour-fair.csv")
	file, err := preset.ReadCSV("harbour-fair.csv", strings.NewReader(text))
	require.NoError(t, err)
	o := c.opens("harbour-fair.csv", text).Preset
	require.NotNil(t, o)
	assert.Equal(t, []any{"two-colour", file.Job, true, 1}, []any{o.Base, o.Job, o.Run, len(o.Units)})
	u := o.Units[0]
	assert.Nil(t, u.Curve, "a CSV does not say which")
	state := State{Job: o.Job, Press: pressJSON{Base: o.Base}, Placement: o.Placement, Units: []unit{{Separation: u.Separation.ID, Curve: curveJSON(of.Presses[0].Curve), Sweep: u.Sweep}}}
	p := sent[computed](c, "/api/preset", state)
	p.requireKeys(t, 1, 21)
	read := 0
	for i, k := range file.Units[0].Keys {
		assert.InDelta(t, k.CoveragePct, p.Preset.Units[0].Keys[i].CoveragePct, 1e-3, "zone %d", k.Zone)
		assert.Equal(t, k.Key, p.Preset.Units[0].Keys[i].Key, "zone %d", k.Zone)
		if k.OKKey == nil {
			assert.Nil(t, u.Stood.OpeningsPct[i])
			assert.Empty(t, u.Stood.Texts[i])
			continue
		}
		read++
		assert.Equal(t, *k.OKKey, *u.Stood.OpeningsPct[i], "of a scale of 0 to 100 %% without zeros")
		assert.Equal(t, fmt.Sprint(*k.OKKey), u.Stood.Texts[i])
	}
	assert.Greater(t, read, 10)

	var plain bytes.Buffer
	require.NoError(t, file.AsPreset().WriteJSON(&plain))
	o = c.opens("harbour-fair.json", plain.String()).Preset
	require.NotNil(t, o)
	assert.False(t, o.Run)
	assert.Equal(t, file.Units[0].Keys[8].Key, *o.Units[0].Stood.OpeningsPct[8], "as the key is set")
}

// TestOpenedOnThePage drops a curve, an OK file of the job that is here, and one on an
// empty page.
func TestOpenedOnThePage(t *testing.T) {
	b := open(t, options(t, harbourFair()...))
	b.wait(`document.querySelector(".dot")`)
	before := b.keys()
	b.bring(examplesDir + "uncoated.curve.toml")
	b.wait(`!document.querySelector("#ask").hidden`)
	assert.Equal(t, before, b.keys(), "nothing changes unasked")
	b.click("#ask-new")
	b.waitKey("9", before["9"])
	assert.Contains(t, get[string](b, `document.querySelector("#brought").textContent`), "opened: Uncoated, starting value")
	b.click("#undo")
	b.settled()
	b.bring(examplesDir + "ok/harbour-fair.csv")
	b.wait(`document.querySelector(".blade-ghost").getAttribute("d")`)
	assert.Contains(t, get[string](b, `document.querySelector("#run-says").textContent`), "Dashed: as run, by harbour-fair.csv, at sweep ")
	assert.Len(t, b.inks(), 5, "the job is the same")
	assert.Contains(t, get[string](b, `document.querySelector("#bench").textContent`), "dashed: as run")
	assert.Regexp(t, `^\d+( \(ink [+−]\d+ %\))?$`, get[string](b, `document.querySelector('#rows tr[data-zone="9"]').lastElementChild.textContent`))
	b.do(chromedp.Reload())
	b.wait(`document.querySelector(".blade-ghost")?.getAttribute("d")`)
	b.bring(examplesDir + "ok/winter-market.csv") // whose black is another form's
	b.wait(`!document.querySelector("#ask").hidden && document.querySelector("#ask-add").hidden`)
	assert.Equal(t, "Winter market is another job than the one here.", get[string](b, `document.querySelector("#ask-says").textContent`))
	assert.Len(t, b.inks(), 5, "nothing is replaced unasked")
	b.click("#ask-new")
	b.wait(`document.querySelector("#job-name").value === "Winter market"`)
	b.click("#undo")
	b.wait(`document.querySelector("#run-says").textContent.includes("harbour-fair.csv")`)
	b.click("#run-off")
	b.wait(`!document.querySelector(".blade-ghost").getAttribute("d") && document.querySelector("#col-run").hidden`)

	b = open(t, bare(t))
	b.bring(examplesDir + "ok/winter-market.csv")
	b.wait(`document.querySelectorAll("g.key").length === 21 && document.querySelector(".blade-ghost").getAttribute("d")`)
	assert.Equal(t, "Winter market", get[string](b, `document.querySelector("#job-name").value`))

	folder := t.TempDir()
	press := filepath.Join(folder, "hall.press.toml")
	require.NoError(t, os.WriteFile(press, []byte(strings.Replace(testPress, "zones = 8", "zones = 14", 1)), 0o600))
	b.bring(press)
	b.wait(`!document.querySelector("#ask").hidden`)
	b.click("#ask-new")
	b.wait(`document.querySelectorAll("g.key").length === 14 && document.querySelector("#press").selectedOptions[0].text === "Test press"`)
	b.do(chromedp.Reload())
	b.wait(`document.querySelectorAll("g.key").length === 14`)
	b.set("press", "duplicator")
	b.wait(`!document.querySelector("#overhang").hidden`)
}
