package sheet

import (
	"bytes"
	"image/png"
	"math"
	"strings"
	"testing"

	"bladeline/coverage"
	"bladeline/zones"
	"bladeline/zones/press"
	"bladeline/zones/zonestest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// twoUp is a form of a solid and a blank card of 200 × 100 mm on a sheet of 500 × 300.
func twoUp(t require.TestingT, on *press.Press) []*zones.Form {
	rows := make([][]uint64, 100)
	for y := range rows {
		rows[y] = make([]uint64, 200)
	}
	solid, blank := zonestest.Solid(200, 100, 25.4), zonestest.MapOf(1, 25.4, 25.4, rows...)
	var forms []*zones.Form
	for _, ink := range []string{"Black", "Cyan"} {
		forms = append(forms, lay(t, &coverage.Map{Ink: ink, File: "cards.form.toml", Sheet: &coverage.Sheet{WidthMM: 500, LengthMM: 300, Pieces: []coverage.Piece{
			{Number: 1, Map: solid, XMM: 20, YMM: 10}, {Number: 2, Map: blank, XMM: 260, YMM: 150},
		}}}, on, zones.Placement{}))
	}
	return forms
}

func formPage(t require.TestingT, title string) *Page {
	on := zonestest.Press(20, 30)
	p, err := FormPage(twoUp(t, on), FormOptions{Press: on, Title: title})
	require.NoError(t, err)
	return p
}

// A form's page names its pieces, the zones that it lies over, and its edges.
func TestFormPage(t *testing.T) {
	p := formPage(t, "cards.form.toml")
	texts := textsOf(p)
	assert.Equal(t, []string{"cards.form.toml", "sheet 500 × 300 mm, face up"}, texts[:2])
	assert.Empty(t, clash(p))
	// The sheet's 500 mm lie from 50 to 550 of 600: zones 2 (30 to 60) to 19.
	assert.Equal(t, "2", texts[2])
	assert.Contains(t, texts, "19")
	assert.NotContains(t, texts, "20")
	assert.Equal(t, []string{"1", "2"}, texts[len(texts)-4:len(texts)-2], "the pieces, each once though there are two inks")
	long := formPage(t, strings.Repeat("folder/", 60)+"cards.form.toml")
	assert.Empty(t, clash(long))
	assert.True(t, strings.HasPrefix(textsOf(long)[0], "…") && strings.HasSuffix(textsOf(long)[0], "cards.form.toml"))

	_, err := FormPage(nil, FormOptions{})
	assert.EqualError(t, err, "there is no form of several pieces to draw; give one")
	_, err = FormPage(twoUp(t, nil), FormOptions{PageSize: "a9"})
	assert.Error(t, err)
}

// The PNG is what the SVG is drawn as by libvips, but for how each smooths edges.
func TestFormPageAsPNG(t *testing.T) {
	const dpi = 100
	p := formPage(t, "cards.form.toml")
	var b bytes.Buffer
	require.NoError(t, WritePNG(&b, p, dpi))
	got, err := png.Decode(&b)
	require.NoError(t, err)
	want := drawnSVG(t, p, dpi)
	size := got.Bounds().Size()
	require.InDelta(t, want.Bounds().Dx(), size.X, 1)
	require.InDelta(t, want.Bounds().Dy(), size.Y, 1)
	off := 0.0
	for y := range min(size.Y, want.Bounds().Dy()) {
		for x := range min(size.X, want.Bounds().Dx()) {
			a, _, _, _ := got.At(x, y).RGBA()
			b, _, _, _ := want.At(x, y).RGBA()
			off += math.Abs(float64(a)-float64(b)) / 0xffff
		}
	}
	assert.Less(t, off/float64(size.X*size.Y), 0.02, "mean difference, of black")
	assert.Error(t, WritePNG(&b, nil, dpi))
	assert.Error(t, WritePNG(&b, p, 1e9))
	assert.Error(t, WritePNG(&b, p, math.NaN()))
}
