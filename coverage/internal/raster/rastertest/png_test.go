package rastertest

import (
	"bytes"
	"image"
	"image/png"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// TestPNGAgainstImagePNG reads files of every kind back with image/png, which
// checks the CRCs too.
func TestPNGAgainstImagePNG(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := drawPNG(t)
		img, err := png.Decode(bytes.NewReader(EncodePNG(f)))
		require.NoError(t, err)
		require.Equal(t, image.Rect(0, 0, f.Width, f.Height), img.Bounds())
		got := New(f.Width, f.Height, f.Samples, f.Bits)
		for s := range f.Samples {
			got.fill(s, func(x, y int) uint16 { return stored(img, x, y, s, f) })
		}
		requireSame(t, f.Picture, got)
	})
}

func drawPNG(t *rapid.T) PNGFile {
	f := PNGFile{
		Colour:     rapid.SampledFrom([]int{PNGGray, PNGRGB, PNGPalette, PNGGrayAlpha, PNGRGBA}).Draw(t, "colour"),
		Filter:     rapid.IntRange(PNGAnyFilter, PNGPaeth).Draw(t, "filter"),
		Seed:       rapid.Uint64().Draw(t, "filter seed"),
		Interlaced: rapid.Bool().Draw(t, "interlaced"),
		IDAT:       rapid.SampledFrom([]int{0, 1, 7, 300}).Draw(t, "IDAT"),
		PHYs:       [2]uint32{100000, 2000},
	}
	depths := map[int][]int{PNGGray: {1, 2, 4, 8, 16}, PNGPalette: {1, 2, 4, 8}}[f.Colour]
	if depths == nil {
		depths = []int{8, 16}
	}
	bits := rapid.SampledFrom(depths).Draw(t, "bits")
	if f.Colour == PNGPalette {
		f.Palette = make([]byte, 3<<bits)
	}
	samples := map[int]int{PNGGray: 1, PNGRGB: 3, PNGPalette: 1, PNGGrayAlpha: 2, PNGRGBA: 4}[f.Colour]
	f.Picture = Random(
		rapid.Uint64().Draw(t, "seed"),
		Nature(rapid.IntRange(0, int(Natures)-1).Draw(t, "nature")),
		rapid.IntRange(1, 70).Draw(t, "width"), rapid.IntRange(1, 40).Draw(t, "height"), samples, bits)
	return f
}

// stored undoes what image/png makes of samples below eight bits and of alpha.
func stored(img image.Image, x, y, s int, f PNGFile) uint16 {
	if f.Colour == PNGGrayAlpha && s == 1 {
		s = 3
	}
	switch img := img.(type) {
	case *image.Gray:
		return uint16(img.GrayAt(x, y).Y) / (255 / f.Full())
	case *image.Gray16:
		return img.Gray16At(x, y).Y
	case *image.Paletted:
		return uint16(img.ColorIndexAt(x, y))
	case *image.RGBA:
		return uint16(img.Pix[img.PixOffset(x, y)+s])
	case *image.NRGBA:
		return uint16(img.Pix[img.PixOffset(x, y)+s])
	case *image.RGBA64:
		at := img.PixOffset(x, y) + 2*s
		return uint16(img.Pix[at])<<8 | uint16(img.Pix[at+1])
	case *image.NRGBA64:
		at := img.PixOffset(x, y) + 2*s
		return uint16(img.Pix[at])<<8 | uint16(img.Pix[at+1])
	}
	panic("image/png returned another type")
}

// TestPNGPhys holds pHYs against PNG, third edition, 11.3.4.3: 2000 px a metre
// are 50.8 dpi, 100000 are 2540.
func TestPNGPhys(t *testing.T) {
	file := EncodePNG(PNGFile{Picture: New(1, 1, 1, 1), PHYs: [2]uint32{100000, 2000}})
	require.Contains(t, string(file), "\x00\x00\x00\x09pHYs\x00\x01\x86\xa0\x00\x00\x07\xd0\x01")
}

// TestPNGChunks takes a file apart and puts it together again.
func TestPNGChunks(t *testing.T) {
	file := EncodePNG(PNGFile{Picture: Random(1, Noise, 20, 20, 1, 8), PHYs: [2]uint32{1, 1}, IDAT: 100})
	chunks := SplitPNG(file)
	require.Equal(t, []string{"IHDR", "pHYs", "IDAT"}, []string{chunks[0].Name, chunks[1].Name, chunks[2].Name})
	require.Equal(t, PNGChunk{Name: "IEND", Data: []byte{}}, chunks[len(chunks)-1])
	require.Equal(t, file, JoinPNG(chunks...))
}
