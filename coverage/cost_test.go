package coverage

import (
	"bytes"
	"runtime"
	"slices"
	"testing"

	"bladeline/coverage/internal/raster/rastertest"

	"github.com/stretchr/testify/require"
)

// allocated is how many bytes f asks for.
func allocated(f func()) uint64 {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	f()
	runtime.ReadMemStats(&after)
	return after.TotalAlloc - before.TotalAlloc
}

// TestSmallPagesAreCheap holds that a page of LZW uses the decoders of the one
// before it, each of which may take megabytes.
func TestSmallPagesAreCheap(t *testing.T) {
	var many []rastertest.TIFFPage
	for seed := range uint64(300) {
		many = append(many, rastertest.TIFFPage{Picture: rastertest.Random(seed, rastertest.Noise, 20, 20, 1, 1), Compression: rastertest.LZW})
	}
	data := pages(many...)
	require.Less(t, allocated(func() {
		maps := measure(t, "plate.tif", data)
		require.Len(t, maps, 300)
		requireInk(t, many[299].Picture, 0, maps[299])
	}), uint64(100<<20))
}

// TestSharedValuesAreCheap holds that of a tag whose one value counts only that
// is read, however many it claims.
func TestSharedValuesAreCheap(t *testing.T) {
	const values = 1 << 19
	many := rastertest.Field{Type: 4, Count: values, Value: make([]byte, 4*values)}
	for i := range values {
		many.Value[4*i] = 1
	}
	page := rastertest.TIFFPage{Picture: small(1), Override: map[uint16]any{}}
	for _, tag := range []uint16{266, 274, 277, 284, 292, 296, 317, 332, 338, 339} {
		page.Override[tag] = many
	}
	data := pages(page)
	require.Less(t, allocated(func() { measure(t, "plate.tif", data) }), uint64(len(data)/4))
}

// TestSaveStreams holds that Maps are not copied whole to be saved.
func TestSaveStreams(t *testing.T) {
	const width = 1 << 20
	m := &Map{Width: width, Height: 1, Full: 1, Columns: slices.Repeat([]uint64{1}, width), Rows: []uint64{width}}
	m.Cells = Cells{X: borders(width, maxCell), Y: []int{0, 1}}
	for i, x := range m.Cells.X[1:] {
		m.Cells.Ink = append(m.Cells.Ink, uint32(x-m.Cells.X[i]))
	}
	require.Less(t, allocated(func() { require.NoError(t, Save(discard{}, []*Map{m})) }), uint64(4<<20)) // of 8
}

type discard struct{}

func (discard) Write(p []byte) (int, error) { return len(p), nil }

// TestTilesByColumns holds that tiles are counted column by column, and that of
// several that are damaged the first in the file is named all the same.
func TestTilesByColumns(t *testing.T) {
	p := rastertest.Random(1, rastertest.Halftone, 400, 400, 1, 1)
	page := rastertest.TIFFPage{Picture: p, Compression: rastertest.Group4, TileWidth: 208, TileHeight: 16}
	file, err := OpenReader("plate.tif", bytes.NewReader(pages(page)), int64(len(pages(page))))
	require.NoError(t, err)
	opened, err := file.pages.Next()
	require.NoError(t, err)
	w := &work{page: opened}
	require.Equal(t, []int{4, 6, 3, 5}, w.byColumns(3, 7))
	page.Blocks = map[int][]byte{5: {0}, 8: {0}, 7: {0}, 12: {0}}
	for range 5 {
		_, err := measured(t, written(t, "plate.tif", pages(page)), Options{})
		require.ErrorContains(t, err, "the data of tile 6 of 50")
	}
}
