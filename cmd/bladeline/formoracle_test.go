package main

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// program runs another program, which must succeed.
func program(t require.TestingT, name string, args ...string) {
	out, err := exec.Command(name, args...).CombinedOutput()
	require.NoError(t, err, "%s %s: %s", name, strings.Join(args, " "), out)
}

// grayPNG writes a random gray picture.
func grayPNG(t require.TestingT, path string, seed uint64, width, height int) {
	r := rand.New(rand.NewPCG(seed, 1))
	p := image.NewGray(image.Rect(0, 0, width, height))
	for i := range p.Pix {
		p.Pix[i] = uint8(r.IntN(256))
	}
	p.SetGray(0, 0, color.Gray{Y: 7})
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, p))
	require.NoError(t, os.WriteFile(path, b.Bytes(), 0o666))
}

// The forms of these tests are rasterised whole at 254 px an inch, so that a pixel is
// a tenth of a millimetre.
const formDPI = 254

func pxMM(px int) string { return strconv.FormatFloat(float64(px)/10, 'f', -1, 64) }

// drawnPiece is a piece of a form, and how ImageMagick puts it together.
type drawnPiece struct {
	file          string
	width, height int // px
	bigger        int // how many pixels of the whole one of its is wide and high
	turn          int
	mirrored      bool
	x, y          int // px of the whole, y from the lead edge
	across, along int
	stepX, stepY  int
}

// size is how wide and long it lies, in px of the whole.
func (p *drawnPiece) size() (wide, long int) {
	if p.turn%180 == 0 {
		return p.width * p.bigger, p.height * p.bigger
	}
	return p.height * p.bigger, p.width * p.bigger
}

func (p *drawnPiece) toml() string {
	return fmt.Sprintf("[[pieces]]\ninks.Black = { file = %q }\nx_mm = %s\ny_mm = %s\nturn = %d\nmirrored = %v\ndpi = %v\nrepeat = { across = %d, along = %d, step_x_mm = %s, step_y_mm = %s }\n",
		filepath.Base(p.file), pxMM(p.x), pxMM(p.y), p.turn, p.mirrored, formDPI/float64(p.bigger), p.across, p.along, pxMM(p.stepX), pxMM(p.stepY))
}

// composed are the arguments by which convert lays the piece on a whole of a height.
func (p *drawnPiece) composed(height int) (args []string) {
	_, long := p.size()
	for i := range p.across {
		for j := range p.along {
			args = append(args, "(", p.file)
			if p.mirrored {
				args = append(args, "-flop")
			}
			args = append(args, "-rotate", strconv.Itoa(p.turn), "-sample", fmt.Sprintf("%d%%", 100*p.bigger), "+repage", ")",
				"-geometry", fmt.Sprintf("+%d+%d", p.x+i*p.stepX, height-long-p.y-j*p.stepY), "-composite")
		}
	}
	return args
}

// requireSameZones holds what is measured of a form against what is of the raster of
// the whole.
func requireSameZones(t *testing.T, form, whole string, args ...string) {
	t.Helper()
	const tolerancePct = 1e-9
	want := coverages(t, append(args, "--dpi", strconv.Itoa(formDPI), whole)...)
	got := coverages(t, append(args, form)...)
	require.Len(t, got, len(want))
	for zone := range want {
		require.InDelta(t, want[zone], got[zone], tolerancePct, "zone %s of %s", zone, args)
	}
}

// Zones of a random form are those of the raster that ImageMagick puts together of
// its pieces, turned, mirrored, repeated and of other resolutions. Zones' borders cut
// pixels of both, which are shared in proportion to area.
func TestFormsEqualWhatImageMagickComposes(t *testing.T) {
	const width, height, slot = 600, 400, 200
	folder := t.TempDir()
	form, whole := filepath.Join(folder, "gulls.form.toml"), filepath.Join(folder, "whole_K.png")
	checks := 0
	rapid.Check(t, func(r *rapid.T) {
		if checks++; checks > 30 { // each starts programs
			return
		}
		text := fmt.Sprintf("width_mm = %s\nheight_mm = %s\n", pxMM(width), pxMM(height))
		args := []string{"-size", fmt.Sprintf("%dx%d", width, height), "xc:white"}
		for at := 0; at < 6; at++ {
			p := &drawnPiece{
				file:   filepath.Join(folder, fmt.Sprintf("piece%d.png", at)),
				bigger: rapid.SampledFrom([]int{1, 2, 5}).Draw(r, "bigger"),
				turn:   rapid.SampledFrom([]int{0, 90, 180, 270}).Draw(r, "turn"), mirrored: rapid.Bool().Draw(r, "mirrored"),
				across: 1, along: 1, x: at % 3 * slot, y: at / 3 * slot,
			}
			if rapid.Bool().Draw(r, "repeated") {
				p.across, p.along, p.stepX, p.stepY = 2, 2, slot/2, slot/2
			}
			most := slot / p.across / p.bigger
			p.width, p.height = rapid.IntRange(1, most).Draw(r, "width"), rapid.IntRange(1, most).Draw(r, "height")
			grayPNG(r, p.file, rapid.Uint64().Draw(r, "seed"), p.width, p.height)
			text += p.toml()
			args = append(args, p.composed(height)...)
		}
		require.NoError(r, os.WriteFile(form, []byte(text), 0o666))
		program(r, "convert", append(args, "-depth", "8", "-define", "png:color-type=0", "png:"+whole)...)
		zones := rapid.IntRange(1, 40).Draw(r, "zones")
		edge := rapid.SampledFrom([]string{"bottom", "top", "left", "right"}).Draw(r, "lead edge")
		requireSameZones(t, form, whole, "--zones", strconv.Itoa(zones), "--lead-edge", edge)
		requireSameZones(t, form, whole, "--press", "two-colour", "--shift", "3.3", "--lead-edge", edge, "--mirrored")
	})
}

// Two pages side by side are those that libvips joins, and cards ten up those that it
// replicates; each is turned by it, too.
func TestFormsEqualWhatLibvipsJoins(t *testing.T) {
	folder := t.TempDir()
	in := func(name string) string { return filepath.Join(folder, name) }
	grayPNG(t, in("left.png"), 1, 130, 190)
	grayPNG(t, in("right.png"), 2, 190, 130)
	program(t, "vips", "rot", in("right.png"), in("turned.png"), "d90")
	program(t, "vips", "join", in("left.png"), in("turned.png"), in("pages.png"), "horizontal")
	require.NoError(t, os.WriteFile(in("pages.form.toml"), []byte(`width_mm = 26
height_mm = 19
[[pieces]]
inks.Black.file = "left.png"
x_mm = 0
y_mm = 0
dpi = 254
[[pieces]]
inks.Black.file = "right.png"
x_mm = 13
y_mm = 0
turn = 90
dpi = 254
`), 0o666))
	requireSameZones(t, in("pages.form.toml"), in("pages.png"), "--zones", "7")

	program(t, "vips", "flip", in("left.png"), in("flopped.png"), "horizontal")
	program(t, "vips", "replicate", in("flopped.png"), in("cards.png"), "5", "2")
	require.NoError(t, os.WriteFile(in("cards.form.toml"), []byte(`width_mm = 65
height_mm = 38
[[pieces]]
inks.Black.file = "left.png"
x_mm = 0
y_mm = 0
mirrored = true
dpi = 254
repeat = { across = 5, along = 2 }
`), 0o666))
	requireSameZones(t, in("cards.form.toml"), in("cards.png"), "--zones", "11")

	program(t, "vips", "crop", in("left.png"), in("cropped.png"), "13", "7", "100", "150")
	program(t, "vips", "rot", in("cropped.png"), in("upended.png"), "d180")
	require.NoError(t, os.WriteFile(in("cut.form.toml"), []byte(`width_mm = 10
height_mm = 15
[[pieces]]
inks.Black.file = "left.png"
x_mm = 0
y_mm = 0
turn = 180
dpi = 254
crop = { left_mm = 1.3, right_mm = 1.7, top_mm = 0.7, bottom_mm = 3.3 }
`), 0o666))
	requireSameZones(t, in("cut.form.toml"), in("upended.png"), "--zones", "3")
}
