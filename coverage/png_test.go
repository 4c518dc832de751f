package coverage

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"bladeline/coverage/internal/raster"
	"bladeline/coverage/internal/raster/rastertest"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// TestPNGEqualsNaiveCount holds gray pictures of every depth, filter and
// layout against counting pixel by pixel.
func TestPNGEqualsNaiveCount(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		f := drawPNG(r, rapid.SampledFrom([]int{1, 2, 4, 8, 16}).Draw(r, "bits"))
		requireInk(t, f.Picture.Inverted(), 0, measure(t, "plate.png", rastertest.EncodePNG(f))[0])
	})
}

func drawPNG(r *rapid.T, bits int) rastertest.PNGFile {
	width := rapid.OneOf(rapid.IntRange(1, 20), rapid.IntRange(1, 3000)).Draw(r, "width")
	height := rapid.IntRange(1, 1+20_000/width).Draw(r, "height")
	nature := rastertest.Nature(rapid.IntRange(0, int(rastertest.Natures)-1).Draw(r, "nature"))
	return rastertest.PNGFile{
		Picture:    rastertest.Random(rapid.Uint64().Draw(r, "seed"), nature, width, height, 1, bits),
		Filter:     rapid.IntRange(rastertest.PNGAnyFilter, rastertest.PNGPaeth).Draw(r, "filter"),
		Seed:       rapid.Uint64().Draw(r, "filters"),
		Interlaced: rapid.Bool().Draw(r, "interlaced"),
		IDAT:       rapid.SampledFrom([]int{0, 1, 7, 1000}).Draw(r, "chunk"),
	}
}

// TestPNGTransparency lays a picture with one clear gray over bare paper.
func TestPNGTransparency(t *testing.T) {
	for _, bits := range []int{1, 2, 4, 8, 16} {
		gray := rastertest.Random(3, rastertest.Noise, 97, 53, 1, bits)
		clear := gray.At(5, 5, 0)
		full := uint64(gray.Full())
		want := mixed(gray, gray, func(v, _ uint64) uint64 {
			if v == uint64(clear) {
				return 0
			}
			return full - v
		})
		f := rastertest.PNGFile{Picture: gray, Alpha: []byte{byte(clear >> 8), byte(clear)}}
		requireSums(t, want, full, measure(t, "plate.png", rastertest.EncodePNG(f))[0])
	}
}

// TestPngSuite reads every picture of PngSuite (W. van Schaik; it ships with
// the Go toolchain) as image/png does: neutral ones by their darkness over bare
// paper, coloured ones are refused.
func TestPngSuite(t *testing.T) {
	root, err := exec.Command("go", "env", "GOROOT").Output()
	require.NoError(t, err)
	files, err := filepath.Glob(filepath.Join(strings.TrimSpace(string(root)), "src/image/png/testdata/pngsuite/*.png"))
	require.NoError(t, err)
	require.Greater(t, len(files), 20)
	for _, file := range files {
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		img, err := png.Decode(bytes.NewReader(data))
		require.NoError(t, err)
		ink, neutral := darkness(img)
		maps, err := measured(t, file, Options{})
		if !neutral {
			require.ErrorContains(t, err, "is not a separation: pixel ", file)
			continue
		}
		require.NoError(t, err)
		const rounding = 2e-3 // image/color takes alpha through 16 bits
		require.InDelta(t, 100*ink, maps[0].CoveragePct(), rounding, file)
	}
}

// darkness is the mean ink of a picture over bare paper.
func darkness(img image.Image) (ink float64, neutral bool) {
	b := img.Bounds()
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			c := color.NRGBA64Model.Convert(img.At(x, y)).(color.NRGBA64)
			if c.A > 0 && (c.R != c.G || c.G != c.B) {
				return 0, false
			}
			ink += (1 - float64(c.R)/0xffff) * float64(c.A) / 0xffff
		}
	}
	return ink / float64(b.Dx()*b.Dy()), true
}

// TestPNGDamage cuts a file at every byte, and flips bits: none gives another
// count than the whole.
func TestPNGDamage(t *testing.T) {
	for _, interlaced := range []bool{false, true} {
		p := rastertest.Random(5, rastertest.Halftone, 60, 40, 1, 4)
		data := rastertest.EncodePNG(rastertest.PNGFile{Picture: p, Filter: rastertest.PNGAnyFilter, IDAT: 100, Interlaced: interlaced})
		path := written(t, "plate.png", nil)
		for n := range data {
			require.NoError(t, os.WriteFile(path, data[:n], 0o644))
			_, err := measured(t, path, Options{})
			require.Error(t, err, "cut at %d", n)
			flipped := bytes.Clone(data)
			flipped[n] ^= 1 << (n % 8)
			require.NoError(t, os.WriteFile(path, flipped, 0o644))
			if maps, err := measured(t, path, Options{}); err == nil {
				requireInk(t, p.Inverted(), 0, maps[0])
			}
		}
	}
}

func TestPNGRefused(t *testing.T) {
	header := func(bits, colour int) []byte {
		return rastertest.AppendPNGChunk([]byte(rastertest.PNGSignature), "IHDR", rastertest.PNGHeader(9, 9, bits, colour, false))
	}
	idat := func(file []byte) []byte { return rastertest.AppendPNGChunk(file, "IDAT", nil) }
	for says, data := range map[string][]byte{
		"colour type 2 with 4 bits does not exist": idat(header(4, 2)),
		"the palette is missing":                   idat(header(8, 3)),
		"a palette of 4 bytes":                     rastertest.AppendPNGChunk(header(8, 3), "PLTE", []byte{1, 2, 3, 4}),
		"does not fit the picture":                 idat(rastertest.AppendPNGChunk(header(8, 0), "tRNS", []byte{1})),
		`a chunk "ABCD" that must be understood`:   idat(rastertest.AppendPNGChunk(header(8, 0), "ABCD", nil)),
		`"IHDR" comes where`:                       rastertest.AppendPNGChunk(header(8, 0), "IHDR", rastertest.PNGHeader(9, 9, 8, 0, false)),
		`"IDAT" comes where`:                       idat([]byte(rastertest.PNGSignature)),
		"has no area":                              rastertest.AppendPNGChunk([]byte(rastertest.PNGSignature), "IHDR", rastertest.PNGHeader(0, 9, 8, 0, false)),
		"more than 1048576 on a side":              rastertest.AppendPNGChunk([]byte(rastertest.PNGSignature), "IHDR", rastertest.PNGHeader(1<<30, 9, 8, 0, false)),
	} {
		_, err := measured(t, written(t, "plate.png", data), Options{})
		require.ErrorContains(t, err, says)
	}
	p := rastertest.New(3, 3, 1, 8)
	p.Set(1, 2, 0, 2)
	_, err := measured(t, written(t, "plate.png", rastertest.EncodePNG(rastertest.PNGFile{Picture: p, Colour: rastertest.PNGPalette, Palette: make([]byte, 6)})), Options{})
	require.ErrorContains(t, err, "row 3: a pixel has colour 2 of a palette of 2")
	var format *raster.FormatError
	require.ErrorAs(t, err, &format)
}
