package coverage

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"bladeline/coverage/internal/raster/fax"
	"bladeline/coverage/internal/raster/rastertest"

	"github.com/stretchr/testify/require"
	"golang.org/x/image/tiff"
	"pgregory.net/rapid"
)

// TestTIFFEqualsXImage counts what golang.org/x/image/tiff decodes.
func TestTIFFEqualsXImage(t *testing.T) {
	kinds := []int{rastertest.NoCompression, rastertest.PackBits, rastertest.LZW, rastertest.Deflate, rastertest.OldDeflate, rastertest.Group3, rastertest.Group4}
	rapid.Check(t, func(r *rapid.T) {
		page := drawPage(r, rapid.SampledFrom(kinds).Draw(r, "compression"))
		asXImageReads(&page)
		data := rastertest.EncodeTIFF(rastertest.Form{BigEndian: rapid.Bool().Draw(r, "big endian")}, page)
		img, err := tiff.Decode(bytes.NewReader(data))
		require.NoError(t, err)
		requireInk(t, darkOf(img, page.Bits), 0, measure(t, "plate.tif", data)[0])
	})
}

// asXImageReads keeps a page to what x/image reads: one gray sample of 1, 8 or
// 16 bits, Group 3 in one dimension and without fill; fill order 2 of T.4 and
// T.6 alone, and white as zero of those.
func asXImageReads(page *rastertest.TIFFPage) {
	if page.Samples > 1 {
		page.Picture, page.Photometric = page.Plane(0), 0
		page.NumberOfInks, page.Planar = 0, 0
	}
	if page.Bits == 2 || page.Bits == 4 {
		page.Picture = rastertest.Random(uint64(page.Width), rastertest.Tone, page.Width, page.Height, 1, 8)
	}
	page.G3 = fax.G3{}
	if bilevel[page.Compression] {
		page.Photometric = 0
	} else {
		page.FillOrder = 1
	}
	page.TileWidth, page.TileHeight = min(page.TileWidth, 320), min(page.TileHeight, 128)
}

// darkOf is a decoded gray picture as ink.
func darkOf(img image.Image, bits int) *rastertest.Picture {
	size := img.Bounds().Size()
	p := rastertest.New(size.X, size.Y, 1, bits)
	for y := range size.Y {
		for x := range size.X {
			light := color.Gray16Model.Convert(img.At(x, y)).(color.Gray16).Y
			p.Set(x, y, 0, p.Full()-light>>(16-bits))
		}
	}
	return p
}

// TestTIFFEqualsLibtiff has libtiff's tiffcp read a random file and write it in
// another layout and compression: both are the picture that was drawn. Where
// libtiff understood the first otherwise, or wrote the second in a way that is
// read otherwise, they differ.
func TestTIFFEqualsLibtiff(t *testing.T) {
	names := slices.Sorted(func(yield func(string) bool) {
		for name := range compressions {
			if name != "modified Huffman" && !yield(name) { // of which libtiff loses a last row whose bytes it has looked ahead at
				return
			}
		}
	})
	rapid.Check(t, func(r *rapid.T) {
		page := drawPage(r, compressions[rapid.SampledFrom(names).Draw(r, "compression")])
		if page.Planar == 2 { // tiffcp makes tiles of planes neither out of tiles nor into them but of 8 bits
			page.TileWidth, page.TileHeight = 0, 0
		}
		form := rastertest.Form{BigEndian: rapid.Bool().Draw(r, "big endian"), Big: rapid.Bool().Draw(r, "BigTIFF")}
		data := rastertest.EncodeTIFF(form, page)
		ink := page.Picture
		if page.Photometric == 1 {
			ink = ink.Inverted()
		}
		path := written(t, "plate.tif", data)
		for _, file := range []string{path, copied(t, path, drawCopy(r, &page))} {
			maps, err := measured(t, file, Options{})
			require.NoError(t, err)
			require.Len(t, maps, page.Samples)
			for s, m := range maps {
				requireInk(t, ink, s, m)
			}
		}
	})
}

// drawCopy draws options of tiffcp that the page allows.
func drawCopy(r *rapid.T, page *rastertest.TIFFPage) []string {
	coders := []string{"none", "packbits", "lzw", "zip"}
	if page.Bits >= 8 {
		coders = append(coders, "lzw:2", "zip:2")
	}
	if page.Bits == 1 && (page.Samples == 1 || page.Planar == 2) {
		coders = append(coders, "g4", "g3:1d", "g3:1d:fill", "g3:2d", "g3:2d:fill")
	}
	options := []string{
		"-c", rapid.SampledFrom(coders).Draw(r, "copy's compression"),
		"-f", rapid.SampledFrom([]string{"msb2lsb", "lsb2msb"}).Draw(r, "copy's fill order"),
		rapid.SampledFrom([]string{"-L", "-B"}).Draw(r, "copy's byte order"),
	}
	if rapid.Bool().Draw(r, "copy is BigTIFF") {
		options = append(options, "-8")
	}
	if rapid.Bool().Draw(r, "copy in tiles") && page.Planar != 2 {
		side := func(what string) string { return fmt.Sprint(16 * rapid.IntRange(1, 9).Draw(r, what)) }
		return append(options, "-t", "-w", side("copy's tile width / 16"), "-l", side("copy's tile height / 16"))
	}
	return append(options, "-s", "-r", fmt.Sprint(rapid.IntRange(1, page.Height+1).Draw(r, "copy's rows per strip")))
}

// copied runs tiffcp, of libtiff's tools, which must be installed.
func copied(t testing.TB, path string, options []string) string {
	t.Helper()
	out := filepath.Join(filepath.Dir(path), "copy.tif")
	said, err := exec.Command("tiffcp", append(options, path, out)...).CombinedOutput()
	require.NoError(t, err, "tiffcp %s: %s", strings.Join(options, " "), said)
	info, err := os.Stat(out)
	require.NoError(t, err)
	require.NotZero(t, info.Size())
	return out
}
