package coverage

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bladeline/coverage/internal/raster"
	"bladeline/coverage/internal/raster/rastertest"

	"github.com/stretchr/testify/require"
)

// A faulty is a file of one page of many parts, and its decoder, that panics at
// one place.
type faulty struct {
	at   string
	next int
}

func (f *faulty) panicAt(at string) {
	if f.at == at {
		panic("a mistake\nof the reader's: " + at)
	}
}

func (f *faulty) Next() (raster.Page, error) {
	f.panicAt("next page")
	if f.next++; f.next > 1 {
		return nil, io.EOF
	}
	return f, nil
}

func (f *faulty) Header() *raster.Header {
	f.panicAt("header")
	return &raster.Header{Page: 3, Width: 8, Height: 64, Bits: 8, Samples: 1, Orientation: 1}
}

func (f *faulty) Parts() int { return 64 }

func (f *faulty) Part(i int) raster.Block {
	f.panicAt("part")
	return raster.Block{Y: i, W: 8, H: 1, Step: 1, Samples: 1}
}

func (f *faulty) NewDecoder() raster.Decoder {
	f.panicAt("new decoder")
	return f
}

func (f *faulty) DecoderBytes() int { return memoryBoundBytes }

func (f *faulty) Decode(part int, to raster.Sink) error {
	row := make([]byte, 8)
	if part >= 40 {
		f.panicAt("decoder")
		if f.at == "sink" { // which counts on rows as long as they are said to be
			row = row[:5:5]
		}
	}
	return to.Packed(f.Part(part), row, 8)
}

// requireFault wants the one line that a panic becomes, and no core held.
func requireFault(t *testing.T, err error, says string, w *Workers) {
	t.Helper()
	var fault *raster.FaultError
	require.ErrorAs(t, err, &fault)
	require.Regexp(t, `^plate\.tif: (page [13]: )?the reader failed on this file \(.+\); please report this, with the file$`, err.Error())
	require.Contains(t, err.Error(), says)
	require.Empty(t, w.cores)
	require.Empty(t, w.memoryBound)
}

// TestPanicIsTheFilesError has a file panic wherever it is asked: that is its
// error, and other files are measured.
func TestPanicIsTheFilesError(t *testing.T) {
	w := NewWorkers(0)
	for _, at := range []string{"next page", "header", "part", "new decoder", "decoder", "sink"} {
		_, err := (&File{path: "plate.tif", pages: &faulty{at: at}}).Measure(t.Context(), Options{Workers: w})
		says := "a mistake of the reader's: " + at
		if at == "sink" {
			says = "slice bounds out of range"
		}
		requireFault(t, err, says, w)
		if at != "next page" && at != "header" {
			require.ErrorContains(t, err, "page 3: ")
		}
	}
	_, err := (&File{path: "plate.tif", pages: &faulty{}}).Measure(t.Context(), Options{Workers: w, Progress: func(float64) { panic("of who looks on") }})
	requireFault(t, err, "of who looks on", w)
	maps, err := (&File{path: "plate.tif", pages: &faulty{}}).Measure(t.Context(), Options{Workers: w})
	require.NoError(t, err)
	require.Zero(t, maps[0].Total())
}

// panicsFrom is a file whose reading panics from an offset on, as a reader's
// does that expands a stream in a goroutine of its own.
type panicsFrom struct {
	io.ReaderAt
	offset int64
}

func (p panicsFrom) ReadAt(b []byte, offset int64) (int, error) {
	if offset >= p.offset {
		panic("nothing is there")
	}
	return p.ReaderAt.ReadAt(b, offset)
}

// TestPanicAheadIsTheFilesError has streams panic that are read ahead.
func TestPanicAheadIsTheFilesError(t *testing.T) {
	bits := rastertest.Random(1, rastertest.Noise, 1000, 9000, 1, 1)
	for name, data := range map[string][]byte{
		"PNG":      rastertest.EncodePNG(rastertest.PNGFile{Picture: bits}),
		"Deflate":  pages(rastertest.TIFFPage{Picture: bits, Compression: rastertest.Deflate}),
		"LZW":      pages(rastertest.TIFFPage{Picture: bits, Compression: rastertest.LZW}),
		"PackBits": pages(rastertest.TIFFPage{Picture: bits, Compression: rastertest.PackBits}),
		"Group 4":  pages(rastertest.TIFFPage{Picture: bits, Compression: rastertest.Group4}),
	} {
		t.Run(name, func(t *testing.T) {
			size := int64(len(data))
			from := &panicsFrom{bytes.NewReader(data), size}
			f, err := OpenReader("plate.tif", from, size)
			require.NoError(t, err)
			if name != "PNG" { // the directory may stand behind
				pages, err := f.pages.Next()
				require.NoError(t, err)
				f.pages = &already{pages}
			}
			from.offset = size / 2
			w := NewWorkers(0)
			_, err = f.Measure(t.Context(), Options{Workers: w})
			requireFault(t, err, "nothing is there", w)
		})
	}
}

// already is a file of a page that was read before.
type already struct{ raster.Page }

func (a *already) Next() (raster.Page, error) {
	if a.Page == nil {
		return nil, io.EOF
	}
	page := a.Page
	a.Page = nil
	return page, nil
}

// TestPanicOnOpening has the very first bytes panic.
func TestPanicOnOpening(t *testing.T) {
	_, err := OpenReader("plate.tif", panicsFrom{}, 100)
	requireFault(t, err, "nothing is there", NewWorkers(0))
}

// TestStackIsShownForDebuggingAlone looks at standard error.
func TestStackIsShownForDebuggingAlone(t *testing.T) {
	shown := func(value string) string {
		t.Setenv(raster.DebugVariable, value)
		file, err := os.Create(filepath.Join(t.TempDir(), "stderr"))
		require.NoError(t, err)
		stderr := os.Stderr
		os.Stderr = file
		defer func() { os.Stderr = stderr }()
		for _, at := range []string{"decoder", "sink"} {
			(&File{path: "plate.tif", pages: &faulty{at: at}}).Measure(t.Context(), Options{})
		}
		data := rastertest.EncodePNG(rastertest.PNGFile{Picture: rastertest.Random(1, rastertest.Noise, 1000, 9000, 1, 1)})
		f, err := OpenReader("plate.tif", panicsFrom{bytes.NewReader(data), 200_000}, int64(len(data)))
		require.NoError(t, err)
		f.Measure(t.Context(), Options{})
		require.NoError(t, file.Close())
		text, err := os.ReadFile(file.Name())
		require.NoError(t, err)
		return string(text)
	}
	require.Empty(t, shown(""))
	require.Empty(t, shown("0"))
	text := shown("1")
	require.Contains(t, text, "a mistake")
	require.Contains(t, text, "coverage.(*faulty).Decode")
	require.Contains(t, text, "coverage.(*accumulator).Packed")
	require.Contains(t, text, "coverage.panicsFrom.ReadAt", "of the goroutine that read ahead")
	require.GreaterOrEqual(t, strings.Count(text, "goroutine "), 3)
}
