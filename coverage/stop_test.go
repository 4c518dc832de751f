package coverage

import (
	"bytes"
	"context"
	"testing"
	"time"

	"bladeline/coverage/internal/raster/rastertest"

	"github.com/stretchr/testify/require"
)

// stopTime is how long measuring may go on that was stopped.
const stopTime = 500 * time.Millisecond

// slowFiles are small files that keep their decoders at work for much longer than
// stopTime. LZW and JPEG lack: what a strip of them may expand to is bounded, and
// takes less.
func slowFiles() map[string][]byte {
	zeros := rastertest.RepeatedZlib(make([]byte, 1<<20), 1<<10)
	strip := func(compression uint16, bits int, stored []byte) []byte {
		tags := map[uint16]any{257: []uint32{1 << 18}, 278: []uint32{1 << 18}, 259: []uint16{compression}}
		return pages(rastertest.TIFFPage{Picture: rastertest.New(1<<20, 1, 1, bits), Blocks: map[int][]byte{0: stored}, Override: tags})
	}
	hidden := rastertest.TIFFPage{
		Picture: rastertest.New(16, 1, 1, 8), TileWidth: 16, TileHeight: 16, Compression: rastertest.Deflate,
		Blocks: map[int][]byte{0: zeros}, Override: map[uint16]any{322: []uint32{1 << 11}, 323: []uint32{1 << 19}},
	}
	packBits := bytes.Repeat([]byte{0x81, 0}, 1<<23)
	return map[string][]byte{
		"PNG, 16-bit RGB":          slowPNG(rastertest.PNGRGB, 16, false, zeros),
		"PNG, 16-bit RGB, Adam7":   slowPNG(rastertest.PNGRGB, 16, true, zeros),
		"PNG, 1-bit gray":          slowPNG(rastertest.PNGGray, 1, false, zeros),
		"PNG, 1-bit gray, Adam7":   slowPNG(rastertest.PNGGray, 1, true, zeros),
		"Deflate":                  strip(rastertest.Deflate, 8, zeros),
		"Deflate in a hidden tile": pages(hidden),
		"PackBits":                 strip(rastertest.PackBits, 8, packBits),
		"Group 4":                  strip(rastertest.Group4, 1, bytes.Repeat([]byte{0xff}, 1<<15)),
	}
}

// slowPNG is a picture of the stream's zeros, a row of which is 64 kB.
func slowPNG(colour, bits int, interlaced bool, stream []byte) []byte {
	width := 1 << 19 / bits
	if colour == rastertest.PNGRGB {
		width /= 3
	}
	return rastertest.JoinPNG(
		rastertest.PNGChunk{Name: "IHDR", Data: rastertest.PNGHeader(width, 1<<14, bits, colour, interlaced)},
		rastertest.PNGChunk{Name: "IDAT", Data: stream}, rastertest.PNGChunk{Name: "IEND"})
}

// TestStopsSoon stops measuring of every kind of file while it is at work: it
// ends at once, whatever a decoder is about. Of three times the best counts,
// since the machine may be about something else.
func TestStopsSoon(t *testing.T) {
	for name, data := range slowFiles() {
		t.Run(name, func(t *testing.T) {
			best := time.Hour
			for i := 0; i < 3 && best > stopTime; i++ {
				best = min(best, goesOn(t, data))
			}
			require.Less(t, best, stopTime)
		})
	}
}

// goesOn is how long measuring a file goes on that is stopped while it is under
// way.
func goesOn(t *testing.T, data []byte) time.Duration {
	ctx, stop := context.WithCancel(t.Context())
	ended, w := make(chan error, 1), NewWorkers(0)
	f, err := OpenReader("plate", bytes.NewReader(data), int64(len(data)))
	require.NoError(t, err)
	go func() {
		_, err := f.Measure(ctx, Options{Workers: w})
		ended <- err
	}()
	select {
	case err := <-ended:
		require.Fail(t, "the measuring ended before it was stopped", "%v", err)
	case <-time.After(stopTime / 4):
	}
	stopped := time.Now()
	stop()
	require.ErrorIs(t, <-ended, context.Canceled)
	require.Empty(t, w.cores)
	return time.Since(stopped)
}
