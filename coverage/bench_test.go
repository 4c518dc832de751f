package coverage

import (
	"fmt"
	"testing"

	"bladeline/coverage/internal/raster"
	"bladeline/coverage/internal/raster/rastertest"
)

// BenchmarkRead measures files of each kind, in bytes of packed rows a second.
// Their pictures are small; `make bench-peers` reads whole plates.
func BenchmarkRead(b *testing.B) {
	plate := rastertest.Random(1, rastertest.Halftone, 12_000, 4096, 1, 1)
	tone := rastertest.Random(1, rastertest.Tone, 4000, 2048, 1, 8)
	for name, compression := range compressions {
		b.Run("1-bit "+name, func(b *testing.B) {
			benchmarkRead(b, "plate.tif", pages(rastertest.TIFFPage{Picture: plate, Compression: compression, RowsPerStrip: 256}), 12_000*4096/8)
		})
		if !bilevel[compression] {
			b.Run("8-bit "+name, func(b *testing.B) {
				benchmarkRead(b, "plate.tif", pages(rastertest.TIFFPage{Picture: tone, Compression: compression, RowsPerStrip: 64}), 4000*2048)
			})
		}
	}
	b.Run("1-bit PNG", func(b *testing.B) {
		benchmarkRead(b, "plate.png", rastertest.EncodePNG(rastertest.PNGFile{Picture: plate}), 12_000*4096/8)
	})
	b.Run("8-bit PNG", func(b *testing.B) {
		benchmarkRead(b, "plate.png", rastertest.EncodePNG(rastertest.PNGFile{Picture: tone, Filter: rastertest.PNGAnyFilter}), 4000*2048)
	})
	for name, f := range plainPNGs(plate, tone) {
		b.Run(name+" PNG", func(b *testing.B) {
			benchmarkRead(b, "plate.png", rastertest.EncodePNG(f), int64(f.Width*f.Height*f.Samples*f.Bits/8))
		})
	}
}

// plainPNGs are pictures that are gray underneath.
func plainPNGs(plate, tone *rastertest.Picture) map[string]rastertest.PNGFile {
	gray := make([]byte, 3*256)
	for i := range gray {
		gray[i] = byte(i / 3)
	}
	return map[string]rastertest.PNGFile{
		"1-bit palette": {Picture: plate, Colour: rastertest.PNGPalette, Palette: gray[3*254:]},
		"8-bit palette": {Picture: tone, Colour: rastertest.PNGPalette, Palette: gray},
		"8-bit RGB":     {Picture: neutralRGB(tone), Colour: rastertest.PNGRGB},
		"8-bit alpha":   {Picture: joined(tone, tone), Colour: rastertest.PNGGrayAlpha},
	}
}

func benchmarkRead(b *testing.B, name string, data []byte, rows int64) {
	path := written(b, name, data)
	b.SetBytes(rows)
	for b.Loop() {
		if _, err := measured(b, path, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkCount counts packed rows without reading a file.
func BenchmarkCount(b *testing.B) {
	for _, bits := range []int{1, 4, 8, 16} {
		b.Run(fmt.Sprint(bits, "-bit"), func(b *testing.B) {
			p := rastertest.Random(1, rastertest.Noise, 8192, 480, 1, bits)
			var rows []byte
			for y := range p.Height {
				rows = append(rows, p.PackRow(y)...)
			}
			h := &raster.Header{Width: p.Width, Height: p.Height, Bits: bits, Samples: 1, DPIX: 2540, DPIY: 2540}
			t := newAccumulator(newSums(h, h.Full()))
			b.SetBytes(int64(len(rows)))
			for b.Loop() {
				if err := t.Packed(raster.Block{W: p.Width, H: p.Height, Step: 1, Samples: 1}, rows, len(rows)/p.Height); err != nil {
					b.Fatal(err)
				}
				t.flush()
			}
		})
	}
}
