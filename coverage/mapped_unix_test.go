//go:build unix

package coverage

import (
	"bytes"
	"errors"
	"io"
	"os"
	"testing"

	"bladeline/coverage/internal/raster"
	"bladeline/coverage/internal/raster/rastertest"

	"github.com/stretchr/testify/require"
)

// Uncompressed pages large enough for a window, in strips that begin anywhere in
// the file, are measured as they are where there is none.
func TestMappedRowsAreMeasuredAsReadOnes(t *testing.T) {
	for _, bits := range []int{1, 8, 16} {
		for _, rowsPerStrip := range []int{0, 700, 1999} {
			p := rastertest.Random(uint64(bits), rastertest.Noise, 16_001/bits, 2048, 1, bits)
			data := pages(rastertest.TIFFPage{Picture: p, Compression: compressions["none"], RowsPerStrip: rowsPerStrip})
			want, err := OpenReader("plate.tif", bytes.NewReader(data), int64(len(data)))
			require.NoError(t, err)
			read, err := want.Measure(t.Context(), Options{})
			require.NoError(t, err)
			mapped, err := measured(t, written(t, "plate.tif", data), Options{})
			require.NoError(t, err)
			require.Len(t, mapped, 1)
			require.Equal(t, read[0].Columns, mapped[0].Columns)
			require.Equal(t, read[0].Rows, mapped[0].Rows)
			require.Equal(t, read[0].Cells, mapped[0].Cells)
		}
	}
}

// A file that is made shorter while it is mapped is an error, never a number and
// never a crash, whether its end falls into a page of memory or before it.
func TestAMappedFileMayBecomeShorter(t *testing.T) {
	const size = 3 << 20
	for _, left := range []int64{size - 1, size - 100_000, 5, 0} {
		path := written(t, "plate.tif", make([]byte, size))
		f, err := os.Open(path)
		require.NoError(t, err)
		defer f.Close()
		err = mappedFile{f}.Window(4, size-4, func(data []byte) error {
			require.Len(t, data, size-4)
			require.NoError(t, os.Truncate(path, left))
			newCounted(data)
			return nil
		})
		require.ErrorIs(t, err, io.ErrUnexpectedEOF, "%d bytes left", left)
	}
}

// newCounted counts the bytes as a row of bits, by vectors where there are any.
func newCounted(data []byte) {
	c := newCounter(&raster.Header{Bits: 1}, 1)
	const rowBytes, rows = 4096, 64
	c.reset(8 * rowBytes)
	for ; len(data) >= rows*rowBytes; data = data[rows*rowBytes:] {
		c.add(data[:rows*rowBytes], rowBytes, make([]uint64, rows))
		c.flushCells(nil, &spans{samples: 1})
	}
}

// Other failures pass: what use returns, and what it panics with.
func TestWindowHidesNothing(t *testing.T) {
	f, err := os.Open(written(t, "plate.tif", make([]byte, 10_000)))
	require.NoError(t, err)
	defer f.Close()
	refused := errors.New("refused")
	require.ErrorIs(t, mappedFile{f}.Window(10, 100, func([]byte) error { return refused }), refused)
	require.PanicsWithValue(t, "a bug", func() {
		mappedFile{f}.Window(10, 100, func([]byte) error { panic("a bug") })
	})
	require.Panics(t, func() {
		mappedFile{f}.Window(10, 100, func(data []byte) error { data = data[:len(data):len(data)]; _ = data[len(data)]; return nil })
	})
}

func TestWhatCannotBeMappedHasNoWindow(t *testing.T) {
	r, w, err := os.Pipe()
	require.NoError(t, err)
	defer r.Close()
	defer w.Close()
	require.ErrorIs(t, mappedFile{r}.Window(0, 100, nil), errors.ErrUnsupported)
}

// While as many windows are open as the workers may have, files are read.
func TestFewWindowsAtOnce(t *testing.T) {
	f, err := Open(written(t, "plate.tif", pages(rastertest.TIFFPage{Picture: small(1)})))
	require.NoError(t, err)
	defer f.Close()
	f.data.windows = NewWorkers(0).windows
	shown := func(use func([]byte) error) error { return f.data.Window(0, 8, use) }
	nothing := func([]byte) error { return nil }
	require.NoError(t, shown(func([]byte) error {
		return shown(func([]byte) error {
			require.ErrorIs(t, shown(nothing), errors.ErrUnsupported, "the third at once")
			return nil
		})
	}))
	require.NoError(t, shown(nothing), "all are closed")
	require.Empty(t, f.data.windows)
}

// A tile is mapped a few rows at a time, and the row named where its file ends.
func TestALargeTileIsMappedInPieces(t *testing.T) {
	p := rastertest.Random(1, rastertest.Noise, 6000, 3000, 1, 8)
	path := written(t, "plate.tif", pages(rastertest.TIFFPage{Picture: p, Compression: rastertest.NoCompression, TileWidth: 6000, TileHeight: 3008}))
	f, err := Open(path)
	require.NoError(t, err)
	defer f.Close()
	f.data.windows = NewWorkers(0).windows
	page, err := f.pages.Next()
	require.NoError(t, err)
	sink := &longest{}
	require.NoError(t, page.NewDecoder().Decode(0, sink))
	require.Equal(t, 3000, sink.rows)
	require.Less(t, sink.bytes, 5<<20)
	require.Greater(t, sink.bytes, 1<<20, "mapped")

	cut := &longest{}
	cut.at = func() {
		if cut.rows > 1000 {
			require.NoError(t, os.Truncate(path, 6000*1500))
		}
	}
	err = page.NewDecoder().Decode(0, cut)
	var damaged *raster.FormatError
	require.ErrorAs(t, err, &damaged)
	require.Greater(t, damaged.Row, 1000)
}

// longest is a sink that notes how much came at once.
type longest struct {
	rows, bytes int
	at          func()
}

func (l *longest) Packed(b raster.Block, data []byte, _ int) error {
	l.rows, l.bytes = l.rows+b.H, max(l.bytes, len(data))
	if l.at != nil {
		l.at()
	}
	return nil
}

func (l *longest) Runs(raster.Block, []int32) error { return nil }
