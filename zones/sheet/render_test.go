package sheet

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"image"
	"image/png"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"bladeline/zones"
	"bladeline/zones/preset"
	"bladeline/zones/press"

	"github.com/disintegration/imaging"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// saved writes a PDF of pages to a temporary file.
func saved(t *testing.T, pages []*Page) string {
	path := filepath.Join(t.TempDir(), "sheet.pdf")
	require.NoError(t, os.WriteFile(path, pdfOf(t, pages), 0o666))
	return path
}

// output runs a program that is not ours.
func output(t *testing.T, name string, args ...string) []byte {
	var stderr bytes.Buffer
	c := exec.Command(name, args...)
	c.Stderr = &stderr
	out, err := c.Output()
	require.NoError(t, err, "%s: %s", name, stderr.String())
	return out
}

// TestKeysReadBack has pdftotext (Poppler) read the page: every row stands
// there whole, from the left end to the right.
func TestKeysReadBack(t *testing.T) {
	for _, l := range looks(t) {
		text := strings.Join(strings.Fields(string(output(t, "pdftotext", "-raw", saved(t, pagesOf(t, l.preset, l.Options)), "-"))), " ")
		var numbers, coverages, keys []string
		for _, k := range leftToRight(l.preset, &l.preset.Units[0]) {
			numbers = append(numbers, fmt.Sprint(k.Zone))
			coverages = append(coverages, fmt.Sprintf("%.1f", k.CoveragePct))
			keys = append(keys, k.KeyText)
		}
		assert.Contains(t, text, " "+strings.Join(numbers, " ")+" ", l.name)
		assert.Contains(t, text, " "+strings.Join(coverages, " ")+" ", l.name)
		assert.Contains(t, text, " "+strings.Join(keys, " ")+" ", l.name)
		assert.Contains(t, text, "Never screw a key hard against the fountain roller.", l.name)
	}
}

func TestPageAnInk(t *testing.T) {
	p, o := presetOf(t, pressOf(21, press.Percent, press.Segmented), 30)
	second := p.Units[0]
	second.Ink = "Harbour Red"
	p.Units = append(p.Units, second)
	pages := pagesOf(t, p, o)
	require.Len(t, pages, 2)
	info := string(output(t, "pdfinfo", saved(t, pages)))
	assert.Regexp(t, `(?m)^Pages: +2$`, info)
	assert.Regexp(t, `(?m)^Page size: +841\.\d+ x 595\.\d+ pts \(A4\)$`, info) // ISO 216: 297 × 210 mm
	assert.Regexp(t, `(?m)^Title: +Ollerquay harbour fair, outer form – Black$`, info)
	fonts := string(output(t, "pdffonts", saved(t, pages)))
	assert.Equal(t, 2, strings.Count(fonts, " yes no  yes "), "both fonts are embedded, and map to Unicode:\n%s", fonts)
}

func TestLetterIsLetter(t *testing.T) {
	p, o := presetOf(t, pressOf(21, press.Percent, press.Segmented), 30)
	o.PageSize = Letter
	assert.Regexp(t, `(?m)^Page size: +792 x 612 pts \(letter\)$`, string(output(t, "pdfinfo", saved(t, pagesOf(t, p, o)))))
}

func TestSameBytesAndSmall(t *testing.T) {
	const most = 300_000
	for _, l := range looks(t) {
		pages := pagesOf(t, l.preset, l.Options)
		pdf, svg := pdfOf(t, pages), svgOf(t, pages[0])
		assert.Equal(t, pdf, pdfOf(t, pagesOf(t, l.preset, l.Options)), l.name)
		assert.Equal(t, svg, svgOf(t, pagesOf(t, l.preset, l.Options)[0]), l.name)
		assert.Less(t, len(pdf), most, l.name)
		assert.Less(t, len(svg), most, l.name)
	}
}

// Pictures of one size must not trade places.
func TestSameBytesOfManyInks(t *testing.T) {
	p, o := presetOf(t, pressOf(21, press.Percent, press.Segmented), 30)
	for i, ink := range []string{"Cyan", "Magenta", "Yellow", "Harbour Red"} {
		u, m := p.Units[0], *sample()
		u.Ink = ink
		m.Cells.Ink = slices.Clone(m.Cells.Ink)
		m.Cells.Ink[40_000+i] = 255
		p.Units = append(p.Units, u)
		o.Forms[ink] = lay(t, &m, pressOf(21, press.Percent, press.Segmented), zones.Placement{})
	}
	first := pdfOf(t, pagesOf(t, p, o))
	for range 10 {
		require.Equal(t, first, pdfOf(t, pagesOf(t, p, o)))
	}
	list := string(output(t, "pdfimages", "-list", saved(t, pagesOf(t, p, o))))
	objects := map[string]bool{}
	for _, row := range strings.Split(strings.TrimSpace(list), "\n")[2:] {
		objects[strings.Fields(row)[10]] = true
	}
	assert.Len(t, objects, 5, "every ink has its own picture:\n%s", list)
	assert.Less(t, len(first), 5*300_000)
}

// golden compares with a file, or writes it anew with UPDATE_GOLDEN=1.
func golden(t *testing.T, name string, got []byte) []byte {
	path := filepath.Join("testdata", name)
	if os.Getenv("UPDATE_GOLDEN") != "" {
		require.NoError(t, os.WriteFile(path, got, 0o666))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err)
	return want
}

// rendered is a page as pdftoppm (Poppler) shows it at 96 dpi, every 4 × 4
// pixels averaged: what eyes see from some way off, and what the edges of
// letters, which differ from one renderer to the next, matter little to.
func rendered(t *testing.T, pages []*Page) *image.NRGBA {
	out := output(t, "pdftoppm", "-r", "96", "-gray", "-png", "-singlefile", saved(t, pages))
	full, err := png.Decode(bytes.NewReader(out))
	require.NoError(t, err)
	return imaging.Resize(full, full.Bounds().Dx()/4, full.Bounds().Dy()/4, imaging.Box)
}

// farOff counts the pixels that differ by more than the tolerance, in levels
// of 255.
func farOff(t *testing.T, a, b image.Image, tolerance int) (count int) {
	require.Equal(t, a.Bounds(), b.Bounds())
	for y := range a.Bounds().Dy() {
		for x := range a.Bounds().Dx() {
			p, _, _, _ := a.At(x, y).RGBA()
			q, _, _, _ := b.At(x, y).RGBA()
			if d := int(p>>8) - int(q>>8); d > tolerance || -d > tolerance {
				count++
			}
		}
	}
	return count
}

func goldenLook(t *testing.T) (*preset.Preset, Options) {
	return presetOf(t, pressOf(15, press.Turn, press.OnePiece), 30)
}

// The tolerance is twice what other renderers are off by: of 55,000 pixels,
// Cairo's has 7 and Ghostscript's 2 that differ from Poppler's own by more than
// 80 levels (measured). One key moved by a twentieth of its travel has 23.
func TestRenderedAsBefore(t *testing.T) {
	p, o := goldenLook(t)
	want := renderedAs(t, "sheet.png", pagesOf(t, p, o))

	p.Units[0].Keys[6].OpeningPct -= 5
	assert.Greater(t, farOff(t, want, rendered(t, pagesOf(t, p, o)), renderTolerance), mostFarOff, "another key is seen")
}

const renderTolerance, mostFarOff = 80, 15

// renderedAs compares the first of some pages with a picture, which it returns.
func renderedAs(t *testing.T, name string, pages []*Page) image.Image {
	got := rendered(t, pages)
	gray := image.NewGray(got.Bounds())
	for y := range gray.Bounds().Dy() {
		for x := range gray.Bounds().Dx() {
			gray.Set(x, y, got.At(x, y))
		}
	}
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, gray))
	want, err := png.Decode(bytes.NewReader(golden(t, name, b.Bytes())))
	require.NoError(t, err)
	assert.LessOrEqual(t, farOff(t, want, got, renderTolerance), mostFarOff, "pixels of the rendered page that differ from testdata/%s; look at both, then make golden", name)
	return want
}

func TestSVGAsBefore(t *testing.T) {
	p, o := goldenLook(t)
	o.Forms = nil // the picture is compared above; here it would be most of the file
	got := svgOf(t, pagesOf(t, p, o)[0])
	assert.Equal(t, string(golden(t, "sheet.svg", got)), string(got))
}

func TestSVGIsWellFormed(t *testing.T) {
	for _, l := range looks(t) {
		svg := svgOf(t, pagesOf(t, l.preset, l.Options)[0])
		text := svgTexts(t, svg)
		for _, k := range l.preset.Units[0].Keys {
			require.Contains(t, text, "\n "+k.KeyText+" \n", l.name)
		}
	}
}

// TestSVGAttributes holds every attribute against the forms that SVG 1.1 gives
// for colours (4.1), numbers (4.2) and points (9.7.1).
func TestSVGAttributes(t *testing.T) {
	const number = `-?[0-9]+(\.[0-9]+)?`
	forms := map[string]string{
		"fill": `none|#[0-9a-f]{3}([0-9a-f]{3})?`, "stroke": `#[0-9a-f]{6}`, "stroke-width": number, "x": number, "y": number,
		"font-size": number, "textLength": number, "points": number + "," + number + "( " + number + "," + number + ")+",
		"viewBox": "0 0 297 210", "d": "M" + number + " " + number + "L" + number + " " + number,
	}
	p, o := goldenLook(t)
	seen := map[string]int{}
	for d := xml.NewDecoder(bytes.NewReader(svgOf(t, pagesOf(t, p, o)[0]))); ; {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		start, _ := token.(xml.StartElement)
		for _, a := range start.Attr {
			if form, known := forms[a.Name.Local]; known {
				require.Regexp(t, "^("+form+")$", a.Value, "%s of %s", a.Name.Local, start.Name.Local)
				seen[a.Name.Local]++
			}
		}
	}
	assert.Len(t, seen, len(forms))
}

// drawnSVG is an SVG as librsvg draws it, through libvips.
func drawnSVG(t *testing.T, page *Page, dpi int) image.Image {
	path := filepath.Join(t.TempDir(), "sheet.svg")
	require.NoError(t, os.WriteFile(path, svgOf(t, page), 0o666))
	output(t, "vips", "flatten", fmt.Sprintf("%s[dpi=%d]", path, dpi), path+".png")
	data, err := os.ReadFile(path + ".png")
	require.NoError(t, err)
	drawn, err := png.Decode(bytes.NewReader(data))
	require.NoError(t, err)
	return drawn
}

// inkMM is the box around all that is darker than half.
func inkMM(picture image.Image, dpi int) Box {
	mmPerPX := 25.4 / float64(dpi)
	var points []Point
	for y := range picture.Bounds().Dy() {
		for x := range picture.Bounds().Dx() {
			if v, _, _, _ := picture.At(x, y).RGBA(); v < 0x8000 {
				points = append(points, Point{float64(x) * mmPerPX, float64(y) * mmPerPX}, Point{float64(x+1) * mmPerPX, float64(y+1) * mmPerPX})
			}
		}
	}
	return around(points...)
}

// TestTextsStandInTheirBoxes has other programs draw a text in all its ways,
// and looks where it is.
func TestTextsStandInTheirBoxes(t *testing.T) {
	const dpi = 48
	const aroundMM, alongMM = 0.8, 6 // room around letters; what another font may be shorter
	for _, up := range []bool{false, true} {
		for _, before := range []float64{fromLeft, centred, toRight} {
			text := Text{X: 150, Y: 100, Before: before, Text: "1 3/8", SizePT: 60, Bold: true, Up: up}
			page, box := &Page{WidthMM: 297, HeightMM: 210, Marks: []Mark{text}}, text.BoxMM()
			out := output(t, "pdftoppm", "-r", strconv.Itoa(dpi), "-gray", "-png", "-singlefile", saved(t, []*Page{page}))
			pdf, err := png.Decode(bytes.NewReader(out))
			require.NoError(t, err)
			for name, ink := range map[string]Box{"PDF": inkMM(pdf, dpi), "SVG": inkMM(drawnSVG(t, page, dpi), dpi)} {
				assert.True(t, ink.Left > box.Left-aroundMM && ink.Right < box.Right+aroundMM && ink.Top > box.Top-aroundMM && ink.Bottom < box.Bottom+aroundMM,
					"%s: %.1f in %.1f", name, ink, box)
				assert.InDelta(t, max(box.Right-box.Left, box.Bottom-box.Top), max(ink.Right-ink.Left, ink.Bottom-ink.Top), alongMM, name)
			}
		}
	}
}

// TestSVGLooksAsThePDF compares the SVG, drawn by librsvg through libvips, with
// the PDF, drawn by Poppler, without texts, whose fonts differ.
func TestSVGLooksAsThePDF(t *testing.T) {
	p, o := goldenLook(t)
	o.Forms = nil
	page := pagesOf(t, p, o)[0]
	page.Marks = slices.DeleteFunc(page.Marks, func(m Mark) bool { _, is := m.(Text); return is })
	pdf := rendered(t, []*Page{page})
	svg := imaging.Resize(drawnSVG(t, page, 96), pdf.Bounds().Dx(), pdf.Bounds().Dy(), imaging.Box)
	assert.Less(t, farOff(t, svg, pdf, 80), 25, "pixels that differ")
}
