package page

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/coverage"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// twoSquares is a page of 200 × 100 mm with a square of 50 mm in black and in a spot
// ink's 40 %.
const twoSquares = `%!PS
<</PageSize [566.929 283.465]>> setpagedevice
0 0 0 1 setcmykcolor 0 0 141.732 141.732 rectfill
[/Separation (Harbour Blue) /DeviceCMYK {0 0 0}] setcolorspace 0.4 setcolor 283.465 0 141.732 141.732 rectfill
showpage
`

// TestUploadedPages brings PostScript: it is separated as the commands do it, and
// its inks are those of the job of its name.
func TestUploadedPages(t *testing.T) {
	ownTemp(t)
	c := newClient(t, testOptions(t))
	b := decoded[brought](t, c.upload([3]string{"file", "leaflet.ps", twoSquares}))
	require.Empty(t, b.Errors)
	coverages := map[string]float64{}
	for _, s := range b.Separations {
		assert.Equal(t, []any{"leaflet", "leaflet.ps", 1}, []any{s.Job, s.File, s.Page})
		assert.InDelta(t, 200, *s.WidthMM, 0.1)
		coverages[s.Ink] = s.CoveragePct
	}
	assert.InDelta(t, 12.5, coverages["Black"], 0.05) // 50 × 50 of 200 × 100 mm²
	assert.InDelta(t, 5, coverages["Harbour Blue"], 0.05)
	assert.Zero(t, coverages["Cyan"])
	require.Len(t, b.Notes, 1)
	assert.Regexp(t, `^separated by Ghostscript [\d.]+, 600 dpi$`, b.Notes[0])

	path := filepath.Join(t.TempDir(), "leaflet.ps")
	require.NoError(t, os.WriteFile(path, []byte(twoSquares), 0o600))
	maps, err := job.Reading{Inputs: []coverage.Input{{Path: path}}, Separating: &job.Separating{}}.Maps(t.Context())
	require.NoError(t, err)
	for _, m := range maps {
		assert.Equal(t, m.CoveragePct(), coverages[m.Ink], "as the commands read it: %s", m.Ink)
	}
}

// TestRefusedPages brings pages that make no form, and has no Ghostscript: each is one
// line that names no place of the server's.
func TestRefusedPages(t *testing.T) {
	ownTemp(t)
	c := newClient(t, testOptions(t))
	for says, text := range map[string]string{
		"2 pages are 2 forms":         twoSquares + strings.TrimPrefix(twoSquares, "%!PS\n"),
		"Ghostscript stops":           "%!PS\nthis is no operator\n",
		"at 600 dpi more than 2000 m": "%!PS\n<</PageSize [14173 14173]>> setpagedevice showpage\n",
	} {
		b := decoded[brought](t, c.upload([3]string{"file", "leaflet.ps", text}))
		require.Len(t, b.Errors, 1, says)
		assert.Contains(t, b.Errors[0].Error, says)
		assert.Contains(t, b.Errors[0].Error, "; ", "what to do")
		assert.NotContains(t, b.Errors[0].Error, os.TempDir())
		assert.NotContains(t, b.Errors[0].Error, "--dpi a", "a flag of other commands")
	}
	t.Setenv("PATH", t.TempDir())
	b := decoded[brought](t, c.upload([3]string{"file", "leaflet.ps", twoSquares}))
	require.Len(t, b.Errors, 1)
	assert.Equal(t, "Ghostscript, which reads PDF and PostScript, is not in the path; install it on the computer where bladeline serve runs, as with apt-get install ghostscript, and bring the file again.", b.Errors[0].Error)
}

// gulls is a form of two solids of 100 × 50 mm on a sheet of 400 × 200 mm.
const gulls = `
width_mm = 400
height_mm = 200
[[pieces]]
files = ["plates/gull_*.png"]
x_mm = 0
y_mm = 0
repeat = { across = 2, along = 1, step_x_mm = 300, step_y_mm = 0 }
`

// TestUploadedForm brings a form file together with what it names: keys are those of
// the whole form, worked out by hand, and the folders that it names count for nothing.
func TestUploadedForm(t *testing.T) {
	ownTemp(t)
	c := newClient(t, testOptions(t))
	gull := plate{WidthMM: 100, HeightMM: 50, Shapes: []shape{{0, 0, 1, 1, 100}}}
	b := decoded[brought](t, c.upload([3]string{"file", "gulls.form.toml", gulls}, [3]string{"file", "gull_K.png", string(gull.raster())}))
	require.Empty(t, b.Errors)
	require.Len(t, b.Separations, 1)
	sep := b.Separations[0]
	assert.Equal(t, []any{"Black", "gulls", "gulls.form.toml", 400.0, 200.0}, []any{sep.Ink, sep.Job, sep.File, *sep.WidthMM, *sep.HeightMM})
	p := sent[computed](c, "/api/preset", stateOf(t, sep))
	p.requireKeys(t, 1, 8)
	for i, k := range p.Preset.Units[0].Keys {
		want := map[bool]float64{true: 25}[i < 2 || i > 5] // 50 of 200 mm in the outer zones
		assert.InDelta(t, want, k.CoveragePct, 1e-9, "zone %d", i+1)
	}
}

// TestUploadedFormsReadNothingElse names files of the server's machine in a form: none
// is opened, whatever way it is named.
func TestUploadedFormsReadNothingElse(t *testing.T) {
	ownTemp(t)
	c := newClient(t, testOptions(t))
	there := filepath.Join(t.TempDir(), "gull_K.png")
	gull := plate{WidthMM: 100, HeightMM: 50, Shapes: []shape{{0, 0, 1, 1, 100}}}
	require.NoError(t, os.WriteFile(there, gull.raster(), 0o600))
	for _, name := range []string{there, "../../../../../../../.." + there, filepath.Dir(there) + "/*.png", "..", "."} {
		form := strings.Replace(gulls, "plates/gull_*.png", name, 1)
		b := decoded[brought](t, c.upload([3]string{"file", "gulls.form.toml", form}, [3]string{"file", "other.tif", "Dear Sir"}))
		require.Len(t, b.Errors, 1, name)
		assert.Empty(t, b.Separations, name)
		assert.NotContains(t, b.Errors[0].Error, os.TempDir(), name)
		assert.Regexp(t, "bring it together with the form's file|is no file's name|is a folder", b.Errors[0].Error, name)
	}
	b := decoded[brought](t, c.upload([3]string{"file", "gulls.form.toml", gulls}, [3]string{"file", "a/gull_K.png", string(gull.raster())}, [3]string{"file", "b/gull_K.png", string(gull.raster())}))
	require.Len(t, b.Errors, 1)
	assert.Contains(t, b.Errors[0].Error, "Two files are called gull_K.png")
}

// TestUploadedPageIsChosen brings one page of two: that one is the form.
func TestUploadedPageIsChosen(t *testing.T) {
	ownTemp(t)
	c := newClient(t, testOptions(t))
	two := "%!PS\n<</PageSize [200 100]>> setpagedevice showpage\n" + strings.TrimPrefix(twoSquares, "%!PS\n")
	b := decoded[brought](t, c.upload([3]string{"file", "leaflet.ps", two}))
	require.Len(t, b.Errors, 1)
	assert.Equal(t, 2, b.Errors[0].Pages)
	assert.Contains(t, b.Errors[0].Error, "choose the page that is the form")
	b = decoded[brought](t, c.upload([3]string{"page", "", "2"}, [3]string{"file", "leaflet.ps", two}))
	require.Empty(t, b.Errors)
	for _, s := range b.Separations {
		if s.Ink == "Black" {
			assert.Equal(t, 2, s.Page)
			assert.InDelta(t, 12.5, s.CoveragePct, 0.05)
		}
	}
	for _, page := range []string{"3", "0", "two", "99999999999999"} {
		a := c.upload([3]string{"page", "", page}, [3]string{"file", "leaflet.ps", two})
		assert.NotEqual(t, 200, a.status, page)
	}
}
