package coverage

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"bladeline/coverage/internal/raster"
	"bladeline/coverage/internal/raster/rastertest"

	"github.com/stretchr/testify/require"
)

// A chunked is a file as its chunks: header, what stands before the image data,
// these, and what stands behind them.
type chunked struct {
	header       rastertest.PNGChunk
	before       []rastertest.PNGChunk
	data, behind []rastertest.PNGChunk
}

// picture is a small file of a colour type, with a palette where it needs one.
func picture(colour, bits int) chunked {
	samples := map[int]int{rastertest.PNGGray: 1, rastertest.PNGRGB: 3, rastertest.PNGPalette: 1, rastertest.PNGGrayAlpha: 2, rastertest.PNGRGBA: 4}[colour]
	all := rastertest.SplitPNG(rastertest.EncodePNG(rastertest.PNGFile{Picture: rastertest.New(9, 9, samples, bits), Colour: colour}))
	c := chunked{header: all[0], data: all[1:2], behind: all[2:]}
	if colour == rastertest.PNGPalette {
		c.before = chunks("PLTE", 3)
	}
	return c
}

// chunks is one chunk of n zeros.
func chunks(name string, n int) []rastertest.PNGChunk {
	return []rastertest.PNGChunk{{Name: name, Data: make([]byte, n)}}
}

func (c chunked) bytes() []byte {
	return rastertest.JoinPNG(slices.Concat([]rastertest.PNGChunk{c.header}, c.before, c.data, c.behind)...)
}

// with are further chunks before the image data.
func (c chunked) with(before ...[]rastertest.PNGChunk) chunked {
	c.before = slices.Concat(append([][]rastertest.PNGChunk{c.before}, before...)...)
	return c
}

// then are chunks directly behind the image data.
func (c chunked) then(behind ...[]rastertest.PNGChunk) chunked {
	c.behind = slices.Concat(append(behind, c.behind)...)
	return c
}

// TestPNGChunksOutOfPlace refuses chunks that stand twice, or where or as they
// may not: table 7 and section 11 of the PNG specification, third edition.
func TestPNGChunksOutOfPlace(t *testing.T) {
	gray, rgb, palette := picture(rastertest.PNGGray, 8), picture(rastertest.PNGRGB, 8), picture(rastertest.PNGPalette, 2)
	size := chunks("pHYs", 9)
	unit := slices.Clone(size)
	unit[0].Data = []byte{8: 2}
	for _, c := range []struct {
		file chunked
		says string
	}{
		{gray.with(chunks("tRNS", 2), chunks("tRNS", 2)), "there is a second tRNS"},
		{rgb.with(chunks("tRNS", 6), chunks("tRNS", 6)), "there is a second tRNS"},
		{palette.with(chunks("tRNS", 1), chunks("tRNS", 1)), "there is a second tRNS"},
		{gray.with(size, size), "there is a second pHYs"},
		{palette.with(chunks("PLTE", 3)), "there is a second PLTE"},
		{rgb.with(chunks("PLTE", 3), chunks("PLTE", 3)), "there is a second PLTE"},
		{gray.then(chunks("tRNS", 2)), "tRNS comes after the image data"},
		{gray.then(size), "pHYs comes after the image data"},
		{rgb.then(chunks("PLTE", 3)), "PLTE comes after the image data"},
		{gray.then([]rastertest.PNGChunk{gray.header}), `"IHDR" comes where`},
		{rgb.with(chunks("tRNS", 6), chunks("PLTE", 3)), "PLTE comes after tRNS"},
		{chunked{header: palette.header, data: palette.data}.with(chunks("tRNS", 0), chunks("PLTE", 3)), "tRNS comes before the palette"},
		{chunked{header: palette.header, data: palette.data}, "the palette is missing"},
		{gray.with(chunks("PLTE", 3)), "a palette in a gray picture"},
		{picture(rastertest.PNGGrayAlpha, 8).with(chunks("PLTE", 3)), "a palette in a gray picture"},
		{chunked{header: palette.header}.with(chunks("PLTE", 15)), "a palette of 5 colours for samples of 2 bits"},
		{chunked{header: palette.header}.with(chunks("PLTE", 3*257)), "PLTE has 771 bytes"},
		{chunked{header: palette.header}.with(chunks("PLTE", 0)), "a palette of 0 bytes"},
		{palette.with(chunks("tRNS", 2)), "a tRNS chunk of 2 bytes does not fit"},
		{palette.with(chunks("tRNS", 257)), "tRNS has 257 bytes"},
		{rgb.with(chunks("tRNS", 2)), "a tRNS chunk of 2 bytes does not fit"},
		{picture(rastertest.PNGGrayAlpha, 8).with(chunks("tRNS", 2)), "a tRNS chunk of 2 bytes does not fit"},
		{picture(rastertest.PNGRGBA, 8).with(chunks("tRNS", 6)), "a tRNS chunk of 6 bytes does not fit"},
		{gray.with(chunks("pHYs", 8)), "pHYs has 8 bytes"},
		{gray.with(unit), "pHYs names a unit 2 that does not exist"},
		{gray.with(chunks("IEND", 0)), "IEND comes before any image data"},
		{gray.with(chunks("a1bc", 0)), `its type is "a1bc"`},
		{gray.then(chunks("tIME", 7), chunks("IDAT", 0)), "the image data are in two places"},
		{gray.then(chunks("ABCD", 0)), `a chunk "ABCD" that must be understood`},
		{chunked{header: gray.header, data: gray.data}, "the file ends early"},
		{chunked{header: gray.header, data: gray.data, behind: chunks("IEND", 1)}, "IEND has 1 bytes"},
		{chunked{header: chunks("IHDR", 14)[0], data: gray.data}, "IHDR has 14 bytes"},
	} {
		_, err := measured(t, written(t, "plate.png", c.file.bytes()), Options{})
		require.ErrorContains(t, err, c.says)
		require.Equal(t, 1, strings.Count(err.Error(), "plate.png: "), err)
	}
}

// TestPNGDeviationsTaken measures files whose chunks are not read, and stand
// where they should not; a number that the picture has anyway does not change.
func TestPNGDeviationsTaken(t *testing.T) {
	gray, rgb, palette := picture(rastertest.PNGGray, 8), picture(rastertest.PNGRGB, 8), picture(rastertest.PNGPalette, 2)
	for name, file := range map[string][]byte{
		"gAMA twice":                gray.with(chunks("gAMA", 4), chunks("gAMA", 4)).bytes(),
		"gAMA behind PLTE":          palette.with(chunks("gAMA", 4)).bytes(),
		"bKGD behind the data":      gray.then(chunks("bKGD", 2)).bytes(),
		"tIME of another length":    gray.then(chunks("tIME", 1)).bytes(),
		"a suggested palette":       rgb.with(chunks("PLTE", 3*256)).bytes(),
		"alpha for no entry":        palette.with(chunks("tRNS", 0)).bytes(),
		"empty data":                gray.with(chunks("IDAT", 0)).then(chunks("IDAT", 0)).bytes(),
		"bytes behind the file":     append(gray.bytes(), "more"...),
		"a private ancillary chunk": gray.with(chunks("prVt", 99)).bytes(),
	} {
		m := measure(t, "plate.png", file)[0]
		require.Equal(t, 9*9*m.Full, m.Total(), name)
	}
}

// TestPNGClearIsMasked reads of a clear colour only the bits that a sample has:
// section 11.3.1.1.
func TestPNGClearIsMasked(t *testing.T) {
	for _, bits := range []int{1, 2, 4, 8} {
		clear := picture(rastertest.PNGGray, bits).with([]rastertest.PNGChunk{{Name: "tRNS", Data: []byte{0xff, byte(0xff << bits)}}})
		require.Zero(t, measure(t, "plate.png", clear.bytes())[0].Total(), "%d bits", bits)
	}
}

// TestPNGSurplus refuses data beyond what the size takes: it is another
// picture's then, or the size is wrong.
func TestPNGSurplus(t *testing.T) {
	for _, interlaced := range []bool{false, true} {
		p := rastertest.Random(1, rastertest.Tone, 20, 20, 1, 8)
		all := rastertest.SplitPNG(rastertest.EncodePNG(rastertest.PNGFile{Picture: p, Interlaced: interlaced}))
		whole := all[1].Data
		behind := func(n int) []byte {
			all[1].Data = append(slices.Clone(whole), make([]byte, n)...)
			return rastertest.JoinPNG(all...)
		}
		requireInk(t, p.Inverted(), 0, measure(t, "plate.png", behind(1))[0]) // as a writer did that was in wide use
		for says, file := range map[string][]byte{
			"bytes behind the stream": behind(2),
			"a chunk behind it":       rastertest.JoinPNG(all[0], rastertest.PNGChunk{Name: "IDAT", Data: whole}, rastertest.PNGChunk{Name: "IDAT", Data: make([]byte, 2)}, all[2]),
			"a row more":              shortened(19, interlaced),
			"many rows more":          shortened(1, interlaced),
		} {
			_, err := measured(t, written(t, "plate.png", file), Options{})
			var format *raster.FormatError
			require.ErrorAs(t, err, &format, says)
			require.ErrorContains(t, err, "there are more of them than the picture takes", fmt.Sprint(says, interlaced))
		}
	}
}

// shortened is a white file whose header takes away rows of its picture.
func shortened(height int, interlaced bool) []byte {
	p := rastertest.New(20, 20, 1, 8)
	all := rastertest.SplitPNG(rastertest.EncodePNG(rastertest.PNGFile{Picture: p, Interlaced: interlaced}))
	all[0].Data = rastertest.PNGHeader(p.Width, height, p.Bits, rastertest.PNGGray, interlaced)
	return rastertest.JoinPNG(all...)
}
