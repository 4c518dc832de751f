package coverage

import (
	"bytes"
	"sync/atomic"
	"testing"

	"bladeline/coverage/internal/raster/rastertest"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// pxMM is a pixel of the resolution that crops are tested at, 254 px an inch.
const pxMM = 0.1

// anyCrop draws what is left of a picture, and the crop that leaves it.
func anyCrop(r *rapid.T, p *rastertest.Picture) (x, y, w, h int, c *Crop) {
	w, h = rapid.IntRange(1, p.Width).Draw(r, "width left"), rapid.IntRange(1, p.Height).Draw(r, "height left")
	x, y = rapid.IntRange(0, p.Width-w).Draw(r, "left"), rapid.IntRange(0, p.Height-h).Draw(r, "top")
	mm := func(px int) float64 { return float64(px) * pxMM }
	return x, y, w, h, &Crop{LeftMM: mm(x), RightMM: mm(p.Width - x - w), TopMM: mm(y), BottomMM: mm(p.Height - y - h), DPIX: 254, DPIY: 254}
}

// A cropped raster of every kind is counted as the cropped picture is, pixel by
// pixel.
func TestCropEqualsNaiveCount(t *testing.T) {
	for _, name := range []string{"none", "PackBits", "Group 4", "Group 3"} { // packed rows and runs
		compression := compressions[name]
		t.Run(name, func(t *testing.T) {
			rapid.Check(t, func(r *rapid.T) {
				page := drawPage(r, compression)
				ink := page.Picture
				if page.Photometric == 1 {
					ink = ink.Inverted()
				}
				requireCrops(t, r, ink, written(t, "plate.tif", rastertest.EncodeTIFF(rastertest.Form{}, page)))
			})
		})
	}
	t.Run("PNG", func(t *testing.T) {
		rapid.Check(t, func(r *rapid.T) {
			f := drawPNG(r, rapid.SampledFrom([]int{1, 2, 4, 8, 16}).Draw(r, "bits"))
			requireCrops(t, r, f.Picture.Inverted(), written(t, "plate.png", rastertest.EncodePNG(f)))
		})
	})
}

// requireCrops measures some crops of a file in one reading, beside the whole, and
// compares each with what is left of the picture.
func requireCrops(t *testing.T, r *rapid.T, ink *rastertest.Picture, path string) {
	left, crops := []*rastertest.Picture{ink}, []*Crop{nil}
	for range rapid.IntRange(1, 3).Draw(r, "crops") {
		x, y, w, h, c := anyCrop(r, ink)
		left, crops = append(left, ink.Crop(x, y, w, h)), append(crops, c)
	}
	maps, err := measured(t, path, Options{Crops: crops})
	require.NoError(t, err)
	require.Len(t, maps, len(crops)*ink.Samples)
	for i, m := range maps {
		requireInk(t, left[i/ink.Samples], i%ink.Samples, m)
	}
}

// bytesRead counts what is read of a file.
type bytesRead struct {
	*bytes.Reader
	n atomic.Int64
}

func (b *bytesRead) ReadAt(p []byte, offset int64) (int, error) {
	n, err := b.Reader.ReadAt(p, offset)
	b.n.Add(int64(n))
	return n, err
}

// However often a page is cropped, it is read once; twice where it is so wide that the
// counters of two crops take more than a worker may have.
func TestCropsAreReadTogether(t *testing.T) {
	read := func(p *rastertest.Picture, crops ...*Crop) ([]*Map, int64) {
		data := rastertest.EncodeTIFF(rastertest.Form{}, rastertest.TIFFPage{Picture: p})
		from := &bytesRead{Reader: bytes.NewReader(data)}
		f, err := OpenReader("plate.tif", from, int64(len(data)))
		require.NoError(t, err)
		opened := from.n.Load()
		maps, err := f.Measure(t.Context(), Options{Crops: crops, Workers: NewWorkers(1)})
		require.NoError(t, err)
		return maps, from.n.Load() - opened
	}
	left, right := &Crop{RightMM: 3, DPIX: 254, DPIY: 254}, &Crop{LeftMM: 3, DPIX: 254, DPIY: 254}
	narrow := rastertest.Random(7, rastertest.Tone, 600, 400, 1, 8)
	whole, once := read(narrow, nil)
	maps, n := read(narrow, left, nil, right)
	require.Equal(t, once, n)
	require.Equal(t, whole[0], maps[1])
	require.Equal(t, whole[0].Columns[:570], maps[0].Columns)
	require.Equal(t, whole[0].Columns[30:], maps[2].Columns)

	wide := rastertest.Random(7, rastertest.Tone, 1<<20, 1, 1, 1)
	whole, once = read(wide, nil)
	maps, n = read(wide, left, right)
	require.Greater(t, n, once)
	require.LessOrEqual(t, n, 2*once)
	require.Equal(t, whole[0].Columns[:1<<20-30], maps[0].Columns)
	require.Equal(t, whole[0].Columns[30:], maps[1].Columns)
}

// What is cut off is of the picture as it is seen, however it is stored.
func TestCropOfEveryOrientation(t *testing.T) {
	for orientation := range 9 {
		p := rastertest.Random(7, rastertest.Tone, 61, 43, 1, 8)
		data := rastertest.EncodeTIFF(rastertest.Form{}, rastertest.TIFFPage{
			Picture: p, Orientation: orientation,
			XResolution: rastertest.Rational{254, 1}, YResolution: rastertest.Rational{508, 1}, ResolutionUnit: 2,
		})
		whole := measure(t, "plate.tif", data)[0]
		path := written(t, "plate.tif", data)
		across, err := measured(t, path, Options{Crops: []*Crop{{LeftMM: 10 / whole.DPIX * 25.4, RightMM: 3 / whole.DPIX * 25.4}}})
		require.NoError(t, err)
		require.Equal(t, whole.Columns[10:whole.Width-3], across[0].Columns, orientation)
		down, err := measured(t, path, Options{Crops: []*Crop{{TopMM: 11 / whole.DPIY * 25.4, BottomMM: 5 / whole.DPIY * 25.4}}})
		require.NoError(t, err)
		require.Equal(t, whole.Rows[11:whole.Height-5], down[0].Rows, orientation)
		stated, err := measured(t, path, Options{Crops: []*Crop{{LeftMM: 1, DPIX: 508, DPIY: 508}}})
		require.NoError(t, err)
		require.Equal(t, whole.Columns[20:], stated[0].Columns, orientation)
	}
}

func TestCropRefuses(t *testing.T) {
	p := rastertest.Random(7, rastertest.Tone, 60, 40, 1, 8)
	unresolved := written(t, "plate.tif", pages(rastertest.TIFFPage{Picture: p}))
	_, err := measured(t, unresolved, Options{Crops: []*Crop{{LeftMM: 1}}})
	require.ErrorContains(t, err, "plate.tif: page 1: the raster states no resolution, so it is not known where to crop it; state the resolution of the piece")
	for _, c := range []Crop{{LeftMM: 6}, {LeftMM: 3, RightMM: 3}, {TopMM: -1}, {BottomMM: 1e300}} {
		c.DPIX, c.DPIY = 254, 254
		_, err := measured(t, unresolved, Options{Crops: []*Crop{&c}})
		require.ErrorContains(t, err, "cannot be cut off")
	}
	_, err = measured(t, unresolved, Options{Crops: []*Crop{{LeftMM: 5.96, DPIX: 254, DPIY: 254}}})
	require.ErrorContains(t, err, "nothing is left of 60 pixels")
	_, data := savedExample(t)
	_, err = measured(t, written(t, "job.cover", data), Options{Crops: []*Crop{{LeftMM: 1}}})
	require.ErrorContains(t, err, "saved coverage cannot be cropped; crop the raster that it was measured from")
}
