package coverage

import (
	"bytes"
	"os/exec"
	"slices"
	"testing"
	"time"

	"bladeline/coverage/raster/rastertest"

	"github.com/stretchr/testify/require"
)

// stopTime is how long measuring may go on that was stopped.
const stopTime = 500 * time.Millisecond

// slowFiles are files of a megabyte or so each, of which every format and
// compression makes as much work as it can.
func slowFiles(t testing.TB) map[string][]byte {
	zeros := rastertest.RepeatedZlib(make([]byte, 1<<20), 1<<10)
	strip := func(compression uint16, bits int, stored []byte) []byte {
		tags := map[uint16]any{257: []uint32{1 << 18}, 278: []uint32{1 << 18}, 259: []uint16{compression}}
		return pages(rastertest.TIFFPage{Picture: rastertest.New(1<<20, 1, 1, bits), Blocks: map[int][]byte{0: stored}, Override: tags})
	}
	hidden := rastertest.TIFFPage{
		Picture: rastertest.New(16, 1, 1, 8), TileWidth: 16, TileHeight: 16, Compression: rastertest.Deflate,
		Blocks: map[int][]byte{0: zeros}, Override: map[uint16]any{322: []uint32{1 << 11}, 323: []uint32{1 << 19}},
	}
	packBits := bytes.Repeat([]byte{0x81, 0}, 1<<20)
	noCodes := slices.Concat([]byte{0x78, 0xda}, bytes.Repeat([]byte{0, 0, 0, 0xff, 0xff}, 1<<18))
	return map[string][]byte{
		"PNG, 16-bit RGB":          slowPNG(rastertest.PNGRGB, 16, false, zeros),
		"PNG, 16-bit RGB, Adam7":   slowPNG(rastertest.PNGRGB, 16, true, zeros),
		"PNG, 1-bit gray":          slowPNG(rastertest.PNGGray, 1, false, zeros),
		"PNG, 1-bit gray, Adam7":   slowPNG(rastertest.PNGGray, 1, true, zeros),
		"PNG, blocks of nothing":   slowPNG(rastertest.PNGGray, 8, false, noCodes),
		"PNG, chunks of nothing":   rastertest.JoinPNG(slices.Concat([]rastertest.PNGChunk{{Name: "IHDR", Data: rastertest.PNGHeader(9, 9, 8, rastertest.PNGGray, false)}}, slices.Repeat(chunks("IDAT", 0), 1<<17))...),
		"Deflate":                  strip(rastertest.Deflate, 8, zeros),
		"Deflate in a hidden tile": pages(hidden),
		"PackBits":                 strip(rastertest.PackBits, 8, packBits),
		"LZW":                      pages(rastertest.TIFFPage{Picture: rastertest.New(1<<14, 1<<13, 1, 8), Compression: rastertest.LZW}),
		"Group 4":                  strip(rastertest.Group4, 1, bytes.Repeat([]byte{0xff}, 1<<15)),
		"JPEG":                     pages(slowJPEG(t)),
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

// slowJPEG is one strip of JPEG data whose last scan, of a few bytes, stands
// there a thousand times.
func slowJPEG(t testing.TB) rastertest.TIFFPage {
	const side = 2048
	said, err := exec.Command("convert", "-size", "2048x2048", "xc:gray50", "-colorspace", "Gray", "-interlace", "JPEG", "jpg:-").Output()
	require.NoError(t, err)
	last := bytes.LastIndex(said, []byte{0xff, 0xda})
	scan := said[last : len(said)-2]
	data := slices.Concat(said[:last], bytes.Repeat(scan, 1000), said[len(said)-2:])
	return rastertest.TIFFPage{
		Picture: rastertest.New(side, side, 1, 8), Photometric: 1,
		Blocks: map[int][]byte{0: data}, Override: map[uint16]any{259: []uint16{7}},
	}
}

// TestStopsSoon stops measuring of every kind of file while it is at work: it
// ends at once, whatever a decoder is about. Of three times the best counts,
// since the machine may be about something else.
func TestStopsSoon(t *testing.T) {
	for name, data := range slowFiles(t) {
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
// way; 0 where it ends before.
func goesOn(t *testing.T, data []byte) time.Duration {
	stop, ended := make(chan struct{}), make(chan error, 1)
	f, err := OpenReader("plate", bytes.NewReader(data), int64(len(data)))
	require.NoError(t, err)
	go func() {
		_, err := f.Measure(Options{Stop: stop})
		ended <- err
	}()
	select {
	case err := <-ended: // refused, or too quick to be stopped
		t.Log("ended before it was stopped:", err)
		return 0
	case <-time.After(stopTime / 4):
	}
	stopped := time.Now()
	close(stop)
	require.ErrorIs(t, <-ended, ErrStopped)
	require.Empty(t, cores)
	return time.Since(stopped)
}
