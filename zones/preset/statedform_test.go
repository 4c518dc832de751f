package preset

import (
	"regexp"
	"strings"
	"testing"

	"bladeline/zones/zonestest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func statedForm() *rapid.Generator[*StatedForm] {
	mm, dpi := rapid.Float64Range(-10_000, 10_000), rapid.Ptr(rapid.Float64Range(1, 100_000), true)
	size := rapid.Ptr(rapid.Float64Range(1, 10_000), true)
	name := rapid.StringMatching(`[A-Za-z ]{0,4}[A-Za-z]`)
	return rapid.Custom(func(t *rapid.T) *StatedForm {
		f := &StatedForm{WidthMM: size.Draw(t, "width"), HeightMM: size.Draw(t, "height")}
		for range rapid.IntRange(1, 3).Draw(t, "pieces") {
			p := StatedPiece{
				XMM: mm.Draw(t, "x"), YMM: mm.Draw(t, "y"), GapXMM: mm.Draw(t, "gap x"), GapYMM: mm.Draw(t, "gap y"),
				Across: rapid.IntRange(1, 50).Draw(t, "across"), Along: rapid.IntRange(1, 50).Draw(t, "along"), DPIX: dpi.Draw(t, "dpi x"), DPIY: dpi.Draw(t, "dpi y"),
			}
			for range rapid.IntRange(1, 2).Draw(t, "files") {
				file := StatedFile{File: name.Draw(t, "file")}
				if rapid.Bool().Draw(t, "named") {
					file.Inks = rapid.SliceOfN(name, 1, 4).Draw(t, "inks")
				}
				p.Files = append(p.Files, file)
			}
			f.Pieces = append(f.Pieces, p)
		}
		return f
	})
}

func TestStatedFormRoundTrips(t *testing.T) {
	p := presetOf(t, zonestest.Press(1, 31.75), unitOf(t, "Black", 10))
	assert.NotContains(t, jsonOf(t, p), `"form"`, "of a form that is one raster, or that a file states")
	rapid.Check(t, func(t *rapid.T) {
		p.Form = statedForm().Draw(t, "form")
		text := jsonOf(t, p)
		require.NoError(t, holds(t, schema(t, Schema), text))
		read, err := ReadJSON("p.json", strings.NewReader(text))
		require.NoError(t, err)
		require.Equal(t, p, read)
	})
}

func TestStatedFormIsChecked(t *testing.T) {
	p := presetOf(t, zonestest.Press(1, 31.75), unitOf(t, "Black", 10))
	p.Form = &StatedForm{WidthMM: new(500.0), Pieces: []StatedPiece{{Files: []StatedFile{{File: "card.tif"}}, Across: 2, Along: 3, DPIX: new(300.0)}}}
	text := jsonOf(t, p)
	for broken, want := range map[string]string{
		`"width_mm": 0`:     "p.json: form.width_mm: 0 is not a length on a sheet",
		`"x_mm": -1e9`:      "p.json: form.pieces[0].x_mm: -1000000000 is not a length on a sheet",
		`"across": 0`:       "p.json: form.pieces[0].across: 0 × 3 is not a number of copies",
		`"across": 1000000`: "p.json: form.pieces[0].across: 1000000 × 3 is not a number of copies",
		`"dpi_x": 0`:        "p.json: form.pieces[0].dpi_x: 0 is not the resolution of a plate",
		`"file": ""`:        `p.json: form.pieces[0].files[0].file: "" is not a single line of text`,
		`"gap_x_mm": null`:  "p.json: form.pieces[0].gap_x_mm: is null, but must be known",
	} {
		key, _, _ := strings.Cut(broken, ":")
		hostile := regexp.MustCompile(key+`: [^,\n]*`).ReplaceAllString(text, broken)
		require.NotEqual(t, text, hostile)
		_, err := ReadJSON("p.json", strings.NewReader(hostile))
		require.Error(t, err, broken)
		assert.Contains(t, err.Error(), want)
	}
}
