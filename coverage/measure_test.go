package coverage

import (
	"bytes"
	"context"
	"errors"
	"io"
	"runtime"
	"sync/atomic"
	"testing"
	"time"

	"bladeline/coverage/internal/raster/rastertest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// stopsAfter calls stop once so many bytes were read, and counts on.
type stopsAfter struct {
	io.ReaderAt
	bytes int64
	stop  func()
	read  atomic.Int64
}

func (s *stopsAfter) ReadAt(p []byte, offset int64) (int, error) {
	n, err := s.ReaderAt.ReadAt(p, offset)
	if read := s.read.Add(int64(n)); read >= s.bytes && read-int64(n) < s.bytes {
		s.stop()
	}
	return n, err
}

// TestStop stops the measuring of files of one part and of many, plain ones and
// ones that are gray underneath, when a tenth is read: most of the rest is not.
func TestStop(t *testing.T) {
	bits := rastertest.Random(1, rastertest.Noise, 4000, 8000, 1, 1)
	tone := rastertest.Random(1, rastertest.Noise, 2000, 2000, 1, 8)
	gray := make([]byte, 3*256)
	for i := range gray {
		gray[i] = byte(i / 3)
	}
	for name, data := range map[string][]byte{
		"one strip of Group 4":      pages(rastertest.TIFFPage{Picture: bits, Compression: rastertest.Group4}),
		"one strip of LZW":          pages(rastertest.TIFFPage{Picture: bits, Compression: rastertest.LZW}),
		"one strip of Deflate":      pages(rastertest.TIFFPage{Picture: bits, Compression: rastertest.Deflate}),
		"one strip, not compressed": pages(rastertest.TIFFPage{Picture: bits}),
		"strips":                    pages(rastertest.TIFFPage{Picture: bits, RowsPerStrip: 100}),
		"tiles":                     pages(rastertest.TIFFPage{Picture: tone, TileWidth: 256, TileHeight: 256}),
		"PNG":                       rastertest.EncodePNG(rastertest.PNGFile{Picture: bits}),
		"interlaced PNG":            rastertest.EncodePNG(rastertest.PNGFile{Picture: tone, Interlaced: true}),
		"PNG of a palette":          rastertest.EncodePNG(rastertest.PNGFile{Picture: tone, Colour: rastertest.PNGPalette, Palette: gray}),
	} {
		t.Run(name, func(t *testing.T) {
			size := int64(len(data))
			ctx, stop := context.WithCancel(t.Context())
			from := &stopsAfter{ReaderAt: bytes.NewReader(data), bytes: size / 10, stop: stop}
			f, err := OpenReader("plate", from, size)
			require.NoError(t, err)
			_, err = f.Measure(ctx, Options{})
			require.ErrorIs(t, err, context.Canceled)
			require.Less(t, from.read.Load(), size/10*7, "of %d bytes", size)
		})
	}
}

// TestStopBetweenPages reads no page of many after the stop.
func TestStopBetweenPages(t *testing.T) {
	data := pages(rastertest.TIFFPage{Picture: small(1)}, rastertest.TIFFPage{Picture: small(2)})
	f, err := OpenReader("plate.tif", bytes.NewReader(data), int64(len(data)))
	require.NoError(t, err)
	ctx, stop := context.WithCancelCause(t.Context())
	gone := errors.New("the client has gone")
	stop(gone)
	_, err = f.Measure(ctx, Options{})
	require.ErrorIs(t, err, gone)
	require.EqualError(t, err, "measuring was stopped; measure the file again")
}

// TestCoresAreWaitedFor measures while other files have every core: what has
// workers of its own is measured, and what is stopped does not wait any longer.
func TestCoresAreWaitedFor(t *testing.T) {
	w := NewWorkers(2)
	for range 2 {
		w.cores <- struct{}{}
	}
	data := pages(rastertest.TIFFPage{Picture: small(1)})
	measure := func(ctx context.Context, o Options) ([]*Map, error) {
		f, err := OpenReader("plate.tif", bytes.NewReader(data), int64(len(data)))
		require.NoError(t, err)
		return f.Measure(ctx, o)
	}
	for _, own := range []*Workers{nil, {}} {
		maps, err := measure(t.Context(), Options{Workers: own})
		require.NoError(t, err)
		requireInk(t, small(1), 0, maps[0])
	}

	ctx, stop := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	go func() {
		_, err := measure(ctx, Options{Workers: w})
		ended <- err
	}()
	assert.Never(t, func() bool { return len(ended) > 0 }, 50*time.Millisecond, time.Millisecond)
	stop()
	require.ErrorIs(t, <-ended, context.Canceled)
}

// TestWorkersAreAsManyAsMemoryIsEnoughFor asks for none, some and too many.
func TestWorkersAreAsManyAsMemoryIsEnoughFor(t *testing.T) {
	for asked, got := range map[int]int{-1: min(runtime.GOMAXPROCS(0), 16), 0: min(runtime.GOMAXPROCS(0), 16), 1: 1, 16: 16, 17: 16} {
		require.Equal(t, got, cap(NewWorkers(asked).cores), "%d asked for", asked)
	}
}

// TestFewMemoryBoundDecodersAtOnce measures LZW, whose decoders take much memory,
// while others like it are at work: it waits, and leaves the cores to others.
func TestFewMemoryBoundDecodersAtOnce(t *testing.T) {
	w := NewWorkers(0)
	for range cap(w.memoryBound) {
		w.memoryBound <- struct{}{}
	}
	data := pages(rastertest.TIFFPage{Picture: small(1), Compression: rastertest.LZW})
	measure := func(ctx context.Context) ([]*Map, error) {
		f, err := OpenReader("plate.tif", bytes.NewReader(data), int64(len(data)))
		require.NoError(t, err)
		return f.Measure(ctx, Options{Workers: w})
	}
	ctx, stop := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	go func() {
		_, err := measure(ctx)
		ended <- err
	}()
	assert.Never(t, func() bool { return len(w.cores) > 0 || len(ended) > 0 }, 100*time.Millisecond, time.Millisecond)
	stop()
	require.ErrorIs(t, <-ended, context.Canceled)
	require.Empty(t, w.cores)
	for range cap(w.memoryBound) {
		<-w.memoryBound
	}
	maps, err := measure(t.Context())
	require.NoError(t, err)
	requireInk(t, small(1), 0, maps[0])
	require.Empty(t, w.memoryBound)
}
