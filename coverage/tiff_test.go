package coverage

import (
	"fmt"
	"testing"

	"bladeline/coverage/internal/raster/fax"
	"bladeline/coverage/internal/raster/rastertest"

	"pgregory.net/rapid"
)

var compressions = map[string]int{
	"none": rastertest.NoCompression, "PackBits": rastertest.PackBits, "LZW": rastertest.LZW,
	"Deflate": rastertest.Deflate, "old Deflate": rastertest.OldDeflate, "Group 4": rastertest.Group4,
	"modified Huffman": rastertest.MH, "Group 3": rastertest.Group3,
}

// bilevel are the compressions of 1-bit samples alone.
var bilevel = map[int]bool{rastertest.MH: true, rastertest.Group3: true, rastertest.Group4: true}

// TestTIFFEqualsNaiveCount holds every fast path against counting pixel by
// pixel, on random pictures and random layouts, for every compression.
func TestTIFFEqualsNaiveCount(t *testing.T) {
	for name, compression := range compressions {
		t.Run(name, func(t *testing.T) {
			rapid.Check(t, func(r *rapid.T) {
				page := drawPage(r, compression)
				form := rastertest.Form{BigEndian: rapid.Bool().Draw(r, "big endian"), Big: rapid.Bool().Draw(r, "BigTIFF")}
				ink := page.Picture
				if page.Photometric == 1 {
					ink = ink.Inverted()
				}
				for s, m := range measure(t, "plate.tif", rastertest.EncodeTIFF(form, page)) {
					requireInk(t, ink, s, m)
				}
			})
		})
	}
}

// drawPage draws a random gray or separated picture and its layout.
func drawPage(r *rapid.T, compression int) rastertest.TIFFPage {
	bits := rapid.SampledFrom([]int{1, 2, 4, 8, 16}).Draw(r, "bits")
	if bilevel[compression] {
		bits = 1
	}
	samples := rapid.OneOf(rapid.Just(1), rapid.Just(4), rapid.IntRange(1, 32)).Draw(r, "samples")
	width := rapid.OneOf(rapid.IntRange(1, 200), rapid.IntRange(1, 6000)).Draw(r, "width")
	height := rapid.IntRange(1, 1+60_000/(width*samples)).Draw(r, "height")
	nature := rastertest.Nature(rapid.IntRange(0, int(rastertest.Natures)-1).Draw(r, "nature"))
	page := rastertest.TIFFPage{
		Picture:     rastertest.Random(rapid.Uint64().Draw(r, "seed"), nature, width, height, samples, bits),
		Compression: compression,
		NoEOFB:      rapid.Bool().Draw(r, "no end mark"),
		FillOrder:   rapid.IntRange(1, 2).Draw(r, "fill order"),
		Photometric: rapid.IntRange(0, 1).Draw(r, "photometric"),
	}
	if samples > 1 {
		page.Photometric, page.NumberOfInks = 5, samples
		page.Planar = rapid.IntRange(1, 2).Draw(r, "planar configuration")
		if bilevel[compression] {
			page.Planar = 2
		}
	}
	if bits >= 8 && (compression == rastertest.LZW || compression == rastertest.Deflate || compression == rastertest.OldDeflate) {
		page.Predictor = rapid.IntRange(1, 2).Draw(r, "predictor")
	}
	if compression == rastertest.Group3 {
		page.G3 = fax.G3{K: rapid.IntRange(0, 4).Draw(r, "K"), FillEOL: rapid.Bool().Draw(r, "fill"), RTC: rapid.Bool().Draw(r, "end mark")}
	}
	drawSegments(r, &page)
	if rapid.Bool().Draw(r, "resolution") {
		page.XResolution = rastertest.Rational{uint32(rapid.IntRange(100, 3000).Draw(r, "dpi")), 1}
		page.YResolution, page.ResolutionUnit = page.XResolution, 2
	}
	return page
}

func drawSegments(r *rapid.T, page *rastertest.TIFFPage) {
	if rapid.Bool().Draw(r, "tiles") {
		page.TileWidth = 16 * rapid.IntRange(1, 20).Draw(r, "tile width / 16")
		page.TileHeight = 16 * rapid.IntRange(1, 8).Draw(r, "tile height / 16")
		return
	}
	page.RowsPerStrip = rapid.IntRange(0, page.Height+1).Draw(r, "rows per strip")
}

// TestGroup4LongRows reaches runs of several make-up codes and whole rows of
// one colour, on widths around powers of two and multiples of 2560.
func TestGroup4LongRows(t *testing.T) {
	for _, width := range []int{1, 63, 64, 65, 2559, 2560, 2561, 5119, 5121, 40_000} {
		for nature := range rastertest.Natures {
			t.Run(fmt.Sprint(width, " ", nature), func(t *testing.T) {
				p := rastertest.Random(uint64(width), nature, width, 40, 1, 1)
				data := rastertest.EncodeTIFF(rastertest.Form{}, rastertest.TIFFPage{Picture: p, Compression: rastertest.Group4, RowsPerStrip: 16})
				requireInk(t, p, 0, measure(t, "plate.tif", data)[0])
			})
		}
	}
}
