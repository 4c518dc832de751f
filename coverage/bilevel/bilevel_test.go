package bilevel_test

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/png"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"bladeline/coverage"
	"bladeline/coverage/bilevel"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/tiff"
	"pgregory.net/rapid"
)

// drawn is a random picture, and its ink pixel by pixel.
func drawn(t *rapid.T) (*bilevel.Picture, [][]bool) {
	r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
	p := &bilevel.Picture{
		Width: rapid.IntRange(1, 90).Draw(t, "width"), Height: rapid.OneOf(rapid.IntRange(1, 20), rapid.IntRange(1000, 1100)).Draw(t, "height"),
		DPI: bilevel.DPIOfPNG(rapid.Float64Range(50, 5080).Draw(t, "dpi")), Description: rapid.SampledFrom([]string{"", "a", "test form"}).Draw(t, "description"),
	}
	ink := make([][]bool, p.Height)
	rows := make([][]int32, p.Height)
	for y := range ink {
		ink[y] = make([]bool, p.Width)
		dark := false
		for x := range ink[y] {
			if r.IntN(7) == 0 {
				dark = !dark
				rows[y] = append(rows[y], int32(x))
			}
			ink[y][x] = dark
		}
	}
	p.Row = func(y int, ends []int32) []int32 { return append(ends, rows[y]...) }
	return p, ink
}

// TestReadByOthers holds the files against the standard library's PNG and
// golang.org/x/image's TIFF.
func TestReadByOthers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, ink := drawn(t)
		for name, f := range map[string]struct {
			write func(io.Writer, *bilevel.Picture) error
			read  func(io.Reader) (image.Image, error)
		}{"TIFF": {bilevel.WriteTIFF, tiff.Decode}, "PNG": {bilevel.WritePNG, png.Decode}} {
			var b bytes.Buffer
			require.NoError(t, f.write(&b, p), name)
			got, err := f.read(&b)
			require.NoError(t, err, name)
			require.Equal(t, image.Rect(0, 0, p.Width, p.Height), got.Bounds(), name)
			for y, row := range ink {
				for x, dark := range row {
					if v, _, _, _ := got.At(x, y).RGBA(); (v == 0) != dark {
						t.Fatalf("%s: pixel %d, %d is %d", name, x, y, v)
					}
				}
			}
		}
	})
}

// TestReadByOurselves holds size, resolution and ink.
func TestReadByOurselves(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, ink := drawn(t)
		dark := 0
		for _, row := range ink {
			for _, is := range row {
				if is {
					dark++
				}
			}
		}
		dir, err := os.MkdirTemp("", "bilevel")
		require.NoError(t, err)
		defer os.RemoveAll(dir)
		for ending, write := range map[string]func(io.Writer, *bilevel.Picture) error{"tif": bilevel.WriteTIFF, "png": bilevel.WritePNG} {
			path := filepath.Join(dir, "job_K."+ending)
			var b bytes.Buffer
			require.NoError(t, write(&b, p))
			require.NoError(t, os.WriteFile(path, b.Bytes(), 0o666))
			maps, err := coverage.MeasureFiles(context.Background(), []coverage.Input{{Path: path}}, coverage.Options{})
			require.NoError(t, err, ending)
			assert.InDelta(t, 100*float64(dark)/float64(p.Width*p.Height), maps[0].CoveragePct(), 1e-9, ending)
			assert.InDelta(t, p.DPI, maps[0].DPIX, 1e-4, ending)
			assert.Equal(t, maps[0].DPIX, maps[0].DPIY, ending)
		}
	})
}

// TestPDFIsRenderedAsItIs has Ghostscript render a page at its own resolution, and
// Poppler take its picture out and state its size and title.
func TestPDFIsRenderedAsItIs(t *testing.T) {
	dir := t.TempDir()
	row := func(y int, ends []int32) []int32 {
		for x := y % 7; x < 800; x += 11 + y%5 {
			ends = append(ends, int32(x), int32(x+3))
		}
		return ends
	}
	p := &bilevel.Picture{Width: 801, Height: 1103, DPI: 300, Description: "Grün (1) \\ 深", Row: row}
	var pdf, want bytes.Buffer
	require.NoError(t, bilevel.WritePDF(&pdf, p))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "p.pdf"), pdf.Bytes(), 0o666))
	p.DPI = bilevel.DPIOfPNG(300)
	require.NoError(t, bilevel.WritePNG(&want, p))
	source, err := png.Decode(&want)
	require.NoError(t, err)
	for _, command := range [][]string{
		{"gs", "-dSAFER", "-q", "-sDEVICE=pngmono", "-r300", "-o", "r.png", "p.pdf"},
		{"sh", "-c", "pdfimages -png p.pdf r && mv r-000.png r.png"},
	} {
		c := exec.Command(command[0], command[1:]...)
		c.Dir = dir
		out, err := c.CombinedOutput()
		require.NoError(t, err, string(out))
		data, err := os.ReadFile(filepath.Join(dir, "r.png"))
		require.NoError(t, err)
		got, err := png.Decode(bytes.NewReader(data))
		require.NoError(t, err)
		differ := 0
		for y := range p.Height {
			for x := range p.Width {
				a, _, _, _ := source.At(x, y).RGBA()
				if b, _, _, _ := got.At(x, y).RGBA(); a != b {
					differ++
				}
			}
		}
		assert.Zero(t, differ, command[0])
	}
	info := exec.Command("pdfinfo", "p.pdf")
	info.Dir = dir
	out, err := info.CombinedOutput()
	require.NoError(t, err, string(out))
	assert.Regexp(t, `Title: +Grün \(1\) \\ 深`, string(out))
	assert.Regexp(t, `Page size: +192.24 x 264.72 pts`, string(out))
	assert.NotContains(t, string(out), "rror")
}

func TestRefused(t *testing.T) {
	row := func(_ int, ends []int32) []int32 { return ends }
	for want, p := range map[string]*bilevel.Picture{
		"there is no picture to write; give one":                                              nil,
		fmt.Sprintf("a picture of 0 x 5 px cannot be written; give 1 to %d px a side", 1<<24): {Width: 0, Height: 5, DPI: 600, Row: row},
		"a resolution of 0 dpi cannot be written; give 1 to 100000":                           {Width: 5, Height: 5, Row: row},
	} {
		assert.EqualError(t, bilevel.WriteTIFF(io.Discard, p), want)
		assert.EqualError(t, bilevel.WritePNG(io.Discard, p), want)
		assert.EqualError(t, bilevel.WritePDF(io.Discard, p), want)
	}
	full := fullDisk{}
	p := &bilevel.Picture{Width: 5, Height: 5, DPI: 600, Row: row}
	assert.Error(t, bilevel.WriteTIFF(full, p))
	assert.Error(t, bilevel.WritePNG(full, p))
	assert.Error(t, bilevel.WritePDF(full, p))
	p.Width, p.DPI = 20_000, 72
	assert.EqualError(t, bilevel.WritePDF(io.Discard, p), "a page of 7056 x 2 mm is larger than a PDF's may be, 5080 mm a side; write it as TIFF")
}

type fullDisk struct{}

func (fullDisk) Write([]byte) (int, error) { return 0, io.ErrShortWrite }
