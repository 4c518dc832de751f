package coverage

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bladeline/coverage/raster"
	"bladeline/coverage/raster/png"
	"bladeline/coverage/raster/rastertest"
	"bladeline/coverage/raster/tiff"

	"github.com/stretchr/testify/require"
)

// seed adds the fixtures that other programs wrote.
func seed(f *testing.F, pattern string) {
	files, err := filepath.Glob("../testdata/" + pattern)
	require.NoError(f, err)
	require.NotEmpty(f, files)
	for _, file := range files {
		data, err := os.ReadFile(file)
		require.NoError(f, err)
		if len(data) < 5000 {
			f.Add(data)
		}
	}
}

// anyBytes measures bytes as a file of a format: the answer is Maps whose sums
// agree, or an error of one line that begins with the file's name.
func anyBytes(t *testing.T, data []byte, open func(io.ReaderAt, int64) (raster.File, error)) {
	pages, err := open(bytes.NewReader(data), int64(len(data)))
	var maps []*Map
	if err == nil {
		f := &File{path: "any", pages: pages}
		maps, err = f.Measure(Options{})
	}
	if err != nil {
		text := raster.InFile(err, "any").Error()
		require.True(t, strings.HasPrefix(text, "any: "), text)
		require.NotContains(t, text, "\n")
		return
	}
	for _, m := range maps {
		requireSound(t, m)
	}
}

func requireSound(t *testing.T, m *Map) {
	t.Helper()
	require.Equal(t, m.Total(), sum(m.Rows))
	require.Equal(t, m.Total(), sum(m.Cells.Ink))
	for _, v := range m.Columns {
		require.LessOrEqual(t, v, m.Full*uint64(m.Height))
	}
}

func FuzzTIFF(f *testing.F) {
	seed(f, "*.tif")
	for _, compression := range compressions {
		f.Add(pages(rastertest.TIFFPage{Picture: small(1), Compression: compression, RowsPerStrip: 9}))
	}
	f.Fuzz(func(t *testing.T, data []byte) { anyBytes(t, data, tiff.Open) })
}

func FuzzPNG(f *testing.F) {
	seed(f, "*.png")
	f.Fuzz(func(t *testing.T, data []byte) { anyBytes(t, data, png.Open) })
}

func FuzzSaved(f *testing.F) {
	_, data := savedExample(f)
	f.Add(data[len(savedMagic):])
	f.Fuzz(func(t *testing.T, data []byte) {
		maps, err := loadSaved(bytes.NewReader(data))
		if err != nil {
			require.NotContains(t, err.Error(), "\n")
			return
		}
		for _, m := range maps {
			requireSound(t, m)
		}
	})
}
