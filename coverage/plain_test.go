package coverage

import (
	"fmt"
	"testing"

	"bladeline/coverage/internal/raster/rastertest"

	"github.com/stretchr/testify/require"
)

// neutralRGB is a gray picture stored as RGB.
func neutralRGB(gray *rastertest.Picture) *rastertest.Picture {
	rgb := rastertest.New(gray.Width, gray.Height, 3, gray.Bits)
	for i, v := range gray.Data {
		copy(rgb.Data[3*i:], []uint16{v, v, v})
	}
	return rgb
}

// joined puts the samples of two pictures beside each other in every pixel.
func joined(a, b *rastertest.Picture) *rastertest.Picture {
	n := a.Samples + b.Samples
	p := rastertest.New(a.Width, a.Height, n, a.Bits)
	for i := range a.Width * a.Height {
		copy(p.Data[n*i:], a.Data[i*a.Samples:][:a.Samples])
		copy(p.Data[n*i+a.Samples:], b.Data[i*b.Samples:][:b.Samples])
	}
	return p
}

// mixed works out a picture of 16-bit values from two.
func mixed(a, b *rastertest.Picture, of func(a, b uint64) uint64) *rastertest.Picture {
	p := rastertest.New(a.Width, a.Height, 1, 16)
	for i := range p.Data {
		p.Data[i] = uint16(of(uint64(a.Data[i]), uint64(b.Data[i])))
	}
	return p
}

// requireSums compares a Map with a naive picture of ink whose full value is
// the Map's own.
func requireSums(t *testing.T, ink *rastertest.Picture, full uint64, m *Map) {
	t.Helper()
	require.Equal(t, full, m.Full)
	require.Equal(t, ink.Columns(0), m.Columns)
	require.Equal(t, ink.Rows(0), m.Rows)
	require.Equal(t, naiveCells(ink, 0, m.Cells), m.Cells.Ink)
}

// TestRGB takes a neutral picture for the gray one it is and names the first
// pixel that is not, whatever the number of workers.
func TestRGB(t *testing.T) {
	for _, bits := range []int{8, 16} {
		gray := rastertest.Random(4, rastertest.Noise, 301, 199, 1, bits)
		rgb := neutralRGB(gray)
		write := map[string]func() []byte{
			"plate.tif": func() []byte { return pages(rastertest.TIFFPage{Picture: rgb, Photometric: 2, RowsPerStrip: 3}) },
			"plate.png": func() []byte {
				return rastertest.EncodePNG(rastertest.PNGFile{Picture: rgb, Colour: rastertest.PNGRGB})
			},
		}
		for name, encode := range write {
			requireInk(t, gray.Inverted(), 0, measure(t, name, encode())[0])
		}
		rgb.Set(250, 180, 0, 1+rgb.At(250, 180, 1)%255)
		rgb.Set(17, 42, 1, 1+rgb.At(17, 42, 0)%255)
		colour := fmt.Sprintf("red %d, green %d, blue %d", rgb.At(17, 42, 0), rgb.At(17, 42, 1), rgb.At(17, 42, 2))
		for name, encode := range write {
			for range 5 {
				_, err := measured(t, written(t, name, encode()), Options{})
				require.ErrorContains(t, err, "row 43: an RGB picture is not a separation: pixel 18 of the row is "+colour+", which is not neutral")
			}
		}
	}
}

// TestPalette takes a picture of neutral colours for gray. Colours that no
// pixel has do not matter.
func TestPalette(t *testing.T) {
	for _, bits := range []int{1, 2, 4, 8} {
		index := rastertest.Random(4, rastertest.Noise, 97, 53, 1, bits)
		n := 1 << bits
		colours := make([]uint16, 3*n) // all reds, all greens, all blues
		for i := range n {
			for c := range 3 {
				colours[c*n+i] = uint16(i * 40_503 % 65_536)
			}
		}
		page := rastertest.TIFFPage{Picture: index, Photometric: 3, ColorMap: colours}
		ink := mixed(index, index, func(i, _ uint64) uint64 { return 65_535 - uint64(colours[i]) })
		requireSums(t, ink, 65_535, measure(t, "plate.tif", pages(page))[0])

		used := index.At(0, 0, 0)
		colours[used] ^= 1
		_, err := measured(t, written(t, "plate.tif", pages(page)), Options{})
		require.ErrorContains(t, err, fmt.Sprintf("row 1: a palette picture is not a separation: pixel 1 of the row is colour %d of it", used))
	}
}

// TestAlpha lays what is partly there over bare paper.
func TestAlpha(t *testing.T) {
	for _, bits := range []int{8, 16} {
		gray := rastertest.Random(4, rastertest.Noise, 97, 53, 1, bits)
		alpha := rastertest.Random(5, rastertest.Tone, 97, 53, 1, bits)
		full := uint64(gray.Full())
		straight := func(ink func(v uint64) uint64) (*rastertest.Picture, uint64) {
			if bits == 8 { // exact
				return mixed(gray, alpha, func(v, a uint64) uint64 { return ink(v) * a }), full * full
			}
			return mixed(gray, alpha, func(v, a uint64) uint64 { return (ink(v)*a + full/2) / full }), full
		}
		dark := func(v uint64) uint64 { return full - v }
		light := func(v uint64) uint64 { return v }
		page := rastertest.TIFFPage{Picture: joined(gray, alpha), Photometric: 1, ExtraSamples: []uint16{2}}
		path := written(t, "plate.tif", pages(page))
		for inkIsLight, of := range map[bool]func(uint64) uint64{false: dark, true: light} {
			maps, err := measured(t, path, Options{InkIsLight: inkIsLight})
			require.NoError(t, err)
			want, wantFull := straight(of)
			requireSums(t, want, wantFull, maps[0])
		}
		want, wantFull := straight(dark)
		page = rastertest.TIFFPage{Picture: joined(neutralRGB(gray), alpha), Photometric: 2, ExtraSamples: []uint16{2}}
		requireSums(t, want, wantFull, measure(t, "plate.tif", pages(page))[0])

		premultiplied := mixed(gray, alpha, func(v, a uint64) uint64 { return v * a / full })
		premultiplied.Bits = bits
		want = mixed(premultiplied, alpha, func(v, a uint64) uint64 { return a - v })
		page = rastertest.TIFFPage{Picture: joined(premultiplied, alpha), Photometric: 1, ExtraSamples: []uint16{1}}
		requireSums(t, want, full, measure(t, "plate.tif", pages(page))[0])
	}
}
