package main

import (
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestOnePictureInFiveFiles measures the bilevel picture that golang.org/x/image
// carries as a PNG and in four compressions of TIFF. They agree with each
// other, within the last bits of a float, and with the black pixels that
// image/png counts.
func TestOnePictureInFiveFiles(t *testing.T) {
	module, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "golang.org/x/image").Output()
	require.NoError(t, err)
	folder := filepath.Join(strings.TrimSpace(string(module)), "testdata")
	want := blackPct(t, filepath.Join(folder, "bw-gopher.png"))
	wantZones := coverages(t, "--zones", "7", filepath.Join(folder, "bw-gopher.png"))
	for _, name := range []string{
		"bw-gopher.png", "bw-uncompressed.tiff", "bw-packbits.tiff", "bw-deflate.tiff", "bw-gopher_ccittGroup4.tiff",
	} {
		file := filepath.Join(folder, name)
		assert.InDelta(t, want, coverages(t, file)[""], 1e-9, name)
		assert.InDeltaMapValues(t, wantZones, coverages(t, "--zones", "7", file), 1e-9, name)
	}
}

func blackPct(t *testing.T, path string) float64 {
	file, err := os.Open(path)
	require.NoError(t, err)
	defer file.Close()
	picture, err := png.Decode(file)
	require.NoError(t, err)
	black, b := 0, picture.Bounds()
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			if r, _, _, _ := picture.At(x, y).RGBA(); r == 0 {
				black++
			}
		}
	}
	return 100 * float64(black) / float64(b.Dx()*b.Dy())
}
