package coverage

import (
	"bytes"
	"io"
	"sync/atomic"
	"testing"
	"time"

	"bladeline/coverage/internal/raster/rastertest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// stopsAfter closes a channel once so many bytes were read, and counts on.
type stopsAfter struct {
	io.ReaderAt
	bytes int64
	stop  chan struct{}
	read  atomic.Int64
}

func (s *stopsAfter) ReadAt(p []byte, offset int64) (int, error) {
	n, err := s.ReaderAt.ReadAt(p, offset)
	if read := s.read.Add(int64(n)); read >= s.bytes && read-int64(n) < s.bytes {
		close(s.stop)
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
			from := &stopsAfter{ReaderAt: bytes.NewReader(data), bytes: size / 10, stop: make(chan struct{})}
			f, err := OpenReader("plate", from, size)
			require.NoError(t, err)
			_, err = f.Measure(Options{Stop: from.stop})
			require.ErrorIs(t, err, ErrStopped)
			require.Less(t, from.read.Load(), size/10*7, "of %d bytes", size)
		})
	}
}

// TestStopBetweenPages reads no page of many after the stop.
func TestStopBetweenPages(t *testing.T) {
	data := pages(rastertest.TIFFPage{Picture: small(1)}, rastertest.TIFFPage{Picture: small(2)})
	f, err := OpenReader("plate.tif", bytes.NewReader(data), int64(len(data)))
	require.NoError(t, err)
	stop := make(chan struct{})
	close(stop)
	_, err = f.Measure(Options{Stop: stop})
	require.ErrorIs(t, err, ErrStopped)
}

// TestCoresAreWaitedFor measures while other files have every core: what is
// wanted at once is, and what is stopped does not wait any longer.
func TestCoresAreWaitedFor(t *testing.T) {
	for range cap(cores) {
		cores <- struct{}{}
	}
	defer func() {
		for range cap(cores) {
			<-cores
		}
	}()
	data := pages(rastertest.TIFFPage{Picture: small(1)})
	measure := func(o Options) ([]*Map, error) {
		f, err := OpenReader("plate.tif", bytes.NewReader(data), int64(len(data)))
		require.NoError(t, err)
		return f.Measure(o)
	}
	maps, err := measure(Options{AtOnce: true})
	require.NoError(t, err)
	requireInk(t, small(1), 0, maps[0])

	stop, ended := make(chan struct{}), make(chan error, 1)
	go func() {
		_, err := measure(Options{Stop: stop})
		ended <- err
	}()
	close(stop)
	require.ErrorIs(t, <-ended, ErrStopped)
}

// TestFewHeavyDecodersAtOnce measures LZW, whose decoders take much memory,
// while others like it are at work: it waits, and leaves the cores to others.
func TestFewHeavyDecodersAtOnce(t *testing.T) {
	for range cap(heavy) {
		heavy <- struct{}{}
	}
	data := pages(rastertest.TIFFPage{Picture: small(1), Compression: rastertest.LZW})
	measure := func(o Options) ([]*Map, error) {
		f, err := OpenReader("plate.tif", bytes.NewReader(data), int64(len(data)))
		require.NoError(t, err)
		return f.Measure(o)
	}
	stop, ended := make(chan struct{}), make(chan error, 1)
	go func() {
		_, err := measure(Options{Stop: stop})
		ended <- err
	}()
	assert.Never(t, func() bool { return len(cores) > 0 || len(ended) > 0 }, 100*time.Millisecond, time.Millisecond)
	close(stop)
	require.ErrorIs(t, <-ended, ErrStopped)
	require.Empty(t, cores)
	for range cap(heavy) {
		<-heavy
	}
	maps, err := measure(Options{})
	require.NoError(t, err)
	requireInk(t, small(1), 0, maps[0])
	require.Empty(t, heavy)
}
