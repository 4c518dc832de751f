package coverage

import (
	"fmt"
	"image"
	"image/color"
	"testing"

	"bladeline/coverage/internal/raster/rastertest"

	"github.com/disintegration/imaging"
	"github.com/stretchr/testify/require"
)

// onTheSide turns a picture with a library that turns pictures, so that Maps are held
// against code that is not ours.
func onTheSide(p *rastertest.Picture, turn func(image.Image) *image.NRGBA) *rastertest.Picture {
	img := image.NewGray(image.Rect(0, 0, p.Width, p.Height))
	for y := range p.Height {
		for x := range p.Width {
			img.SetGray(x, y, color.Gray{Y: uint8(p.At(x, y, 0))})
		}
	}
	turned := turn(img)
	q := rastertest.New(turned.Rect.Dx(), turned.Rect.Dy(), 1, p.Bits)
	for y := range q.Height {
		for x := range q.Width {
			q.Set(x, y, 0, uint16(turned.NRGBAAt(x, y).R))
		}
	}
	return q
}

// TestOrientation undoes each stored orientation: TIFF 6.0, page 36, says
// which sides of the picture row 0 and column 0 are.
func TestOrientation(t *testing.T) {
	same := func(img image.Image) *image.NRGBA { return imaging.Clone(img) }
	stored := rastertest.Random(1, rastertest.Noise, 700, 450, 1, 8)
	for orientation, shown := range map[int]func(image.Image) *image.NRGBA{
		1: same, 2: imaging.FlipH, 3: imaging.Rotate180, 4: imaging.FlipV,
		5: imaging.Transpose, 6: imaging.Rotate270, 7: imaging.Transverse, 8: imaging.Rotate90,
	} {
		t.Run(fmt.Sprint(orientation), func(t *testing.T) {
			data := rastertest.EncodeTIFF(rastertest.Form{}, rastertest.TIFFPage{
				Picture: stored, RowsPerStrip: 7, Orientation: orientation, Photometric: 1,
				XResolution: rastertest.Rational{300, 1}, YResolution: rastertest.Rational{200, 1}, ResolutionUnit: 2,
			})
			m := measure(t, "plate.tif", data)[0]
			requireInk(t, onTheSide(stored.Inverted(), shown), 0, m)
			along := map[bool]float64{true: 300, false: 200}
			require.Equal(t, along[orientation < 5], m.DPIX)
			require.Equal(t, along[orientation >= 5], m.DPIY)
		})
	}
}
