package coverage

import (
	"fmt"
	"math/rand/v2"
	"os/exec"
	"path/filepath"
	"testing"

	"bladeline/coverage/internal/raster"
	"bladeline/coverage/internal/raster/rastertest"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// inkRows keeps the rows that a plain hands on.
type inkRows struct{ rows [][]byte }

func (s *inkRows) Packed(_ raster.Block, data []byte, _ int) error {
	s.rows = append(s.rows, append([]byte{}, data...))
	return nil
}

func (s *inkRows) Runs(raster.Block, []int32) error { panic("no runs") }

// TestQuickEqualsPixelByPixel holds the quick ways against the plain one, on
// pictures that have few colours to refuse, and many.
func TestQuickEqualsPixelByPixel(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		h := drawHeader(r)
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(r, "seed"), 0))
		n := h.RowBytes(h.Width)
		data := make([]byte, n*h.Height)
		few := rapid.Bool().Draw(r, "few values")
		for i := range data {
			if data[i] = byte(rng.Uint32()); few { // mostly neutral, and clear or opaque
				data[i] = byte(rng.IntN(2) * 255)
			}
		}
		light := rapid.Bool().Draw(r, "ink is light")
		block := raster.Block{W: h.Width, H: h.Height, Step: 1, Samples: h.Samples}
		var want, got inkRows
		slow := newPlain(h, light, &want)
		slow.quick = nil
		wrong := slow.Packed(block, data, n)
		require.Equal(r, wrong, newPlain(h, light, &got).Packed(block, data, n))
		require.Equal(r, want, got)
	})
}

// drawHeader draws a picture that is gray underneath.
func drawHeader(r *rapid.T) *raster.Header {
	h := &raster.Header{
		Page: 1, Samples: 1, InkLow: rapid.Bool().Draw(r, "ink is low"), LittleEndian: rapid.Bool().Draw(r, "little endian"),
		Width: rapid.IntRange(1, 40).Draw(r, "width"), Height: rapid.IntRange(1, 3).Draw(r, "height"),
		Model: rapid.SampledFrom([]raster.Model{raster.Gray, raster.RGB, raster.Palette}).Draw(r, "model"),
	}
	if h.Model == raster.Palette {
		h.Bits = rapid.SampledFrom([]int{1, 2, 4, 8}).Draw(r, "bits")
		for range rapid.IntRange(1, 1<<h.Bits).Draw(r, "colours") {
			v := rapid.Uint16().Draw(r, "value")
			h.Colours = append(h.Colours, [4]uint16{v, v, v ^ uint16(rapid.IntRange(0, 9).Draw(r, "colour")/9), rapid.Uint16().Draw(r, "alpha")})
		}
		return h
	}
	if h.Model == raster.RGB {
		h.Samples = 3
	}
	clear := rapid.Bool().Draw(r, "clear")
	depths := []int{8, 16}
	if h.Model == raster.Gray && clear {
		depths = []int{1, 2, 4, 8, 16}
	}
	h.Bits = rapid.SampledFrom(depths).Draw(r, "bits")
	if clear {
		for range h.Samples {
			h.Clear = append(h.Clear, uint16(h.Full()))
		}
		return h
	}
	if h.Alpha = raster.Alpha(rapid.IntRange(int(raster.Opaque), int(raster.Premultiplied)).Draw(r, "alpha")); h.Alpha != raster.Opaque {
		h.Samples++
	}
	return h
}

// colouredFiles are pictures of w pixels in two rows, neutral but for one: as
// each format writes RGB and palettes of every depth.
func colouredFiles(w, x, y int) map[string][]byte {
	files := map[string][]byte{}
	for _, bits := range []int{1, 2, 4, 8} {
		index := rastertest.New(w, 2, 1, bits)
		index.Set(x, y, 0, 1)
		plte := []byte{255, 255, 255, 255, 0, 0}
		colours := make([]uint16, 3<<bits)
		colours[1] = 0xffff // red
		for _, interlaced := range []bool{false, true} {
			files[fmt.Sprintf("palette %d interlaced %v.png", bits, interlaced)] = rastertest.EncodePNG(rastertest.PNGFile{
				Picture: index, Colour: rastertest.PNGPalette, Palette: plte, Interlaced: interlaced,
			})
		}
		files[fmt.Sprintf("palette %d.tif", bits)] = pages(rastertest.TIFFPage{Picture: index, Photometric: 3, ColorMap: colours})
	}
	for _, bits := range []int{8, 16} {
		rgb := rastertest.New(w, 2, 3, bits)
		rgb.Set(x, y, 0, 1)
		alpha := joined(rgb, rastertest.New(w, 2, 1, bits).Inverted())
		files[fmt.Sprintf("rgb %d.tif", bits)] = pages(rastertest.TIFFPage{Picture: rgb, Photometric: 2})
		files[fmt.Sprintf("rgb %d.png", bits)] = rastertest.EncodePNG(rastertest.PNGFile{Picture: rgb, Colour: rastertest.PNGRGB})
		files[fmt.Sprintf("rgb clear %d.png", bits)] = rastertest.EncodePNG(rastertest.PNGFile{Picture: rgb, Colour: rastertest.PNGRGB, Alpha: []byte{0, 9, 0, 9, 0, 9}})
		files[fmt.Sprintf("rgb alpha %d.png", bits)] = rastertest.EncodePNG(rastertest.PNGFile{Picture: alpha, Colour: rastertest.PNGRGBA})
		files[fmt.Sprintf("rgb alpha %d.tif", bits)] = pages(rastertest.TIFFPage{Picture: alpha, Photometric: 2, ExtraSamples: []uint16{2}})
	}
	return files
}

// TestColouredPixelAnywhere names the one coloured pixel of a picture, the last
// of a row included, behind which nothing may be read.
func TestColouredPixelAnywhere(t *testing.T) {
	for _, w := range []int{1, 7, 8, 9, 16} {
		for i := range 2 * w {
			x, y := i%w, i/w
			for name, data := range colouredFiles(w, x, y) {
				_, err := measured(t, written(t, "plate", data), Options{})
				require.ErrorContains(t, err, fmt.Sprintf("row %d: ", y+1), name)
				require.ErrorContains(t, err, fmt.Sprintf("is not a separation: pixel %d of the row is", x+1), name)
			}
		}
	}
}

// TestTwoTonesEqualPixelByPixel holds the counting of bits against the ink of
// every pixel, and its refusals.
func TestTwoTonesEqualPixelByPixel(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		p := rastertest.Random(rapid.Uint64().Draw(r, "seed"), rastertest.Noise, rapid.IntRange(1, 70).Draw(r, "width"), rapid.IntRange(1, 40).Draw(r, "height"), 1, 1)
		if rapid.Bool().Draw(r, "one tone from row 1 on") {
			clear(p.Data[:p.Width*(p.Height-1)])
		}
		h := &raster.Header{Page: 1, Samples: 1, Bits: 1, Width: p.Width, Height: p.Height, Orientation: rapid.IntRange(1, 8).Draw(r, "orientation")}
		if rapid.Bool().Draw(r, "palette") {
			h.Model = raster.Palette
			for range rapid.IntRange(1, 2).Draw(r, "colours") {
				v := rapid.Uint16().Draw(r, "value")
				h.Colours = append(h.Colours, [4]uint16{v, v, v ^ uint16(rapid.IntRange(0, 5).Draw(r, "colour")/5), rapid.Uint16().Draw(r, "alpha")})
			}
		} else {
			h.InkLow, h.Clear = rapid.Bool().Draw(r, "ink is low"), []uint16{uint16(rapid.IntRange(0, 1).Draw(r, "clear"))}
		}
		light := rapid.Bool().Draw(r, "ink is light")
		var rows []byte
		for y := range p.Height {
			rows = append(rows, p.PackRow(y)...)
		}
		count := func(c counting) ([]*Map, error) {
			a := newAccumulator(c.sums)
			err := c.sink(a).Packed(raster.Block{W: p.Width, H: p.Height, Step: 1, Samples: 1}, rows, h.RowBytes(p.Width))
			a.flush()
			return c.maps(), err
		}
		want, wrong := count(countPlain(h, light))
		got, err := count(countingOf(h, light))
		require.Equal(r, wrong, err)
		if err == nil {
			require.Equal(r, want, got)
		}
	})
}

// TestColouredPaletteOfImageMagick measures what an ordinary command writes.
func TestColouredPaletteOfImageMagick(t *testing.T) {
	path := filepath.Join(t.TempDir(), "red.png")
	said, err := exec.Command("convert", "-size", "100x10", "xc:white", "-fill", "red", "-draw", "point 99,9", "PNG8:"+path).CombinedOutput()
	require.NoError(t, err, string(said))
	_, err = measured(t, path, Options{})
	require.ErrorContains(t, err, "row 10: a palette picture is not a separation: pixel 100 of the row is colour")
}
