package coverage

import (
	"testing"

	"bladeline/coverage/internal/raster"
	"bladeline/coverage/internal/raster/rastertest"

	"github.com/stretchr/testify/require"
)

// Cells of all samples of a page stay about as many, however many samples there
// are, and those of an ordinary plate about 2 mm wide.
func TestCellsOfAPageAreBounded(t *testing.T) {
	cells := func(h raster.Header) int {
		return (len(borders(h.Width, cellSide(&h, h.DPIX))) - 1) * (len(borders(h.Height, cellSide(&h, h.DPIY))) - 1) * h.Samples
	}
	require.LessOrEqual(t, cells(raster.Header{Width: 32768, Height: 32768, Samples: 32, DPIX: 2540, DPIY: 2540}), manyCells)
	require.LessOrEqual(t, cells(raster.Header{Width: 32768, Height: 32768, Samples: 32}), manyCells)
	require.Less(t, cells(raster.Header{Width: 1 << 20, Height: 1 << 18, Samples: 1, DPIX: 1, DPIY: 1}), maxCells*101/100)
	require.Equal(t, 208, cellSide(&raster.Header{Width: 97_200, Height: 75_600, Samples: 12}, 2540))
}

// A file of many small pages is refused before their cells take much memory.
func TestCellsOfAFileAreBounded(t *testing.T) {
	page := rastertest.TIFFPage{
		Picture:     rastertest.Random(1, rastertest.Halftone, 512, 512, 1, 1),
		Compression: rastertest.Deflate, XResolution: rastertest.Rational{1, 1}, YResolution: rastertest.Rational{1, 1}, ResolutionUnit: 2,
	}
	var many []rastertest.TIFFPage
	for range 40 {
		many = append(many, page)
	}
	_, err := measured(t, written(t, "pages.tif", pages(many...)), Options{})
	var refused *raster.UnsupportedError
	require.ErrorAs(t, err, &refused)
	require.Equal(t, 20, refused.Page, "the first beyond maxCells")
	maps, err := measured(t, written(t, "few.tif", pages(many[:12]...)), Options{})
	require.NoError(t, err)
	require.Len(t, maps, 12)
}
