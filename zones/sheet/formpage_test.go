package sheet

import (
	"bytes"
	"image/png"
	"math"
	"strings"
	"testing"

	"bladeline/coverage"
	"bladeline/zones"
	"bladeline/zones/preset"
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

// A shownForm is what a page shows of a form, in shares of its picture: so it is the
// same on pages of any scale.
type shownForm struct {
	shades []float64    // of a grid of places, 0 to 255
	pieces [][4]float64 // left, top, right and bottom of their outlines
	texts  []string     // on the picture
}

func formOn(t require.TestingT, p *Page) (s shownForm) {
	var on Box
	share := func(b Box) [4]float64 {
		wide, high := on.Right-on.Left, on.Bottom-on.Top
		return [4]float64{(b.Left - on.Left) / wide, (b.Top - on.Top) / high, (b.Right - on.Left) / wide, (b.Bottom - on.Top) / high}
	}
	for _, m := range p.Marks {
		switch b := m.BoxMM(); m := m.(type) {
		case Picture:
			on = b
			size := m.Image.Bounds().Size()
			for place := range 20 * 10 { // none is at the edge of a piece
				s.shades = append(s.shades, float64(m.Image.GrayAt((2*(place%20)+1)*size.X/40, (2*(place/20)+1)*size.Y/20).Y))
			}
		case Polygon:
			if m.Fill == nil && b.Left > on.Left && b.Right < on.Right && b.Top > on.Top && b.Bottom < on.Bottom {
				s.pieces = append(s.pieces, share(b))
			}
		case Text:
			if b.Left > on.Left && b.Right < on.Right && b.Top > on.Top && b.Bottom < on.Bottom {
				s.texts = append(s.texts, m.Text)
			}
		}
	}
	require.NotEmpty(t, s.shades)
	return s
}

// The key sheet draws a form of pieces as the form's own page does: the same ink at the
// same places, and the same pieces with their numbers.
func TestKeySheetDrawsTheFormAsItsPage(t *testing.T) {
	on := zonestest.Press(20, 30)
	form := twoUp(t, on)[0]
	page, err := FormPage([]*zones.Form{form}, FormOptions{Press: on})
	require.NoError(t, err)
	p, err := preset.New("cards", on, []preset.UnitInput{{Form: form, Curve: zonestest.LineCurve(t)}}, 0)
	require.NoError(t, err)
	sheets, err := Pages(p, Options{Forms: map[string]*zones.Form{"Black": form}})
	require.NoError(t, err)
	assert.Empty(t, clash(sheets[0]))
	want, got := formOn(t, page), formOn(t, sheets[0])
	// The solid card stands from 20 to 220 of 500 mm and from 10 to 110 of 300, the
	// blank one from 260 and from 150.
	assert.Equal(t, []string{"1", "2"}, want.texts)
	assert.InDeltaSlice(t, []float64{20 / 500.0, 1 - 110/300.0, 220 / 500.0, 1 - 10/300.0}, want.pieces[0][:], 1e-9)
	assert.Equal(t, want.texts, got.texts)
	require.Len(t, got.pieces, 2)
	for i := range want.pieces {
		assert.InDeltaSlice(t, want.pieces[i][:], got.pieces[i][:], 1e-9)
	}
	assert.InDeltaSlice(t, want.shades, got.shades, 1)
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
