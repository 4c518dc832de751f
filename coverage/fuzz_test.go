package coverage

import (
	"bytes"
	"compress/zlib"
	"context"
	"encoding/binary"
	"errors"
	"io"
	"maps"
	"os"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"bladeline/coverage/internal/raster"
	"bladeline/coverage/internal/raster/png"
	"bladeline/coverage/internal/raster/rastertest"
	"bladeline/coverage/internal/raster/tiff"

	"github.com/stretchr/testify/require"
)

// seed adds the fixtures that other programs wrote, taken and refused.
func seed(f *testing.F, pattern string) {
	for _, file := range fixtures(f, pattern, "refused/"+pattern) {
		data, err := os.ReadFile(file)
		require.NoError(f, err)
		if len(data) < 5000 {
			f.Add(data)
		}
	}
}

// hostile are files whose directories lie: each tag that places or sizes data,
// at values that meet, miss or overflow the file.
func hostile() (files [][]byte) {
	page := rastertest.TIFFPage{Picture: small(1), RowsPerStrip: 9, Compression: rastertest.LZW}
	tiled := rastertest.TIFFPage{Picture: small(1), TileWidth: 32, TileHeight: 16, Compression: rastertest.Group4}
	values := []uint64{0, 1, 7, 8, 1 << 15, 1<<31 - 1, 1 << 31, 1<<32 - 1, 1<<63 - 1, 1 << 63, 1<<64 - 1}
	for tag, p := range map[uint16]rastertest.TIFFPage{
		256: page, 257: page, 258: page, 273: page, 277: page, 278: page, 279: page, 282: page, 338: page, 347: page,
		322: tiled, 323: tiled, 324: tiled, 325: tiled,
	} {
		for _, v := range values {
			p.Override = map[uint16]any{tag: slices.Repeat([]uint64{v}, 20)}
			files = append(files, rastertest.EncodeTIFF(rastertest.Form{Big: true}, p))
			p.Override = map[uint16]any{tag: rastertest.Field{Type: 4, Count: v, Value: make([]byte, 4)}}
			files = append(files, pages(p))
		}
	}
	return append(files, twice(273), twice(279), endless(), sharedStrips())
}

// twice is a file one of whose tags stands twice, the second time for nothing.
func twice(tag uint16) []byte {
	data := pages(rastertest.TIFFPage{Picture: small(1), Override: map[uint16]any{tag + 1: []uint16{0}}})
	entry := binary.LittleEndian.Uint32(data[4:]) + 2
	for binary.LittleEndian.Uint16(data[entry:]) != tag+1 {
		entry += 12
	}
	binary.LittleEndian.PutUint16(data[entry:], tag)
	return data
}

// endless is a file whose only directory names itself as the next.
func endless() []byte {
	data := pages(rastertest.TIFFPage{Picture: small(1)})
	at := binary.LittleEndian.Uint32(data[4:])
	n := binary.LittleEndian.Uint16(data[at:])
	binary.LittleEndian.PutUint32(data[at+2+12*uint32(n):], at)
	return data
}

// sharedStrips is a file all of whose strips are the same few bytes, blown up
// by Deflate: a megapixel out of 1 kB.
func sharedStrips() []byte {
	const side, rows = 1 << 10, 1 << 4
	row := rastertest.TIFFPage{Picture: rastertest.New(side, rows, 1, 8), Compression: rastertest.Deflate}
	layout, err := rastertest.WriteTIFF(io.Discard, rastertest.Form{}, row)
	if err != nil {
		panic(err)
	}
	row.Override = map[uint16]any{
		257: []uint32{side}, 278: []uint32{rows},
		273: slices.Repeat([]uint32{uint32(layout[0].Offsets[0])}, side/rows),
		279: slices.Repeat([]uint32{uint32(layout[0].Counts[0])}, side/rows),
	}
	return pages(row)
}

// anyBytes measures bytes as a file of a format: the answer is Maps whose sums
// agree, or an error of one line that begins with the file's name, and either
// comes before anybody thinks that the program hangs.
func anyBytes(t *testing.T, data []byte, open func(io.ReaderAt, int64) (raster.File, error)) {
	start := time.Now()
	defer func() { require.Less(t, time.Since(start), time.Minute) }()
	pages, err := open(bytes.NewReader(data), int64(len(data)))
	var maps []*Map
	if err == nil {
		f := &File{path: "any", pages: pages}
		maps, err = f.Measure(context.Background(), Options{})
	}
	if err != nil {
		text := raster.InFile(err, "any").Error()
		require.True(t, strings.HasPrefix(text, "any: "), text)
		require.NotContains(t, text, "\n")
		_, fault := errors.AsType[*raster.FaultError](err)
		require.False(t, fault, text)
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
	for _, v := range m.Rows {
		require.LessOrEqual(t, v, m.Full*uint64(m.Width))
	}
	cols := len(m.Cells.X) - 1
	for i, v := range m.Cells.Ink {
		x, y := i%cols, i/cols
		area := (m.Cells.X[x+1] - m.Cells.X[x]) * (m.Cells.Y[y+1] - m.Cells.Y[y])
		require.LessOrEqual(t, uint64(v), m.Full*uint64(area))
	}
}

func FuzzTIFF(f *testing.F) {
	seed(f, "*.tif")
	for _, compression := range compressions {
		f.Add(pages(rastertest.TIFFPage{Picture: small(1), Compression: compression, RowsPerStrip: 9}))
	}
	for _, data := range hostile() {
		f.Add(data)
	}
	f.Fuzz(func(t *testing.T, data []byte) { anyBytes(t, data, tiff.Open) })
}

// FuzzTIFFTags changes the directories of sound files and puts them together
// again, so that it gets behind what any change of bytes runs into.
func FuzzTIFFTags(f *testing.F) {
	seeds := tagSeeds(f)
	for i := range seeds {
		f.Add(uint16(i), []byte{0, 0, 12, 0, byte(i), 0, 0, 0, byte(i), 0, byte(i), 0})
		f.Add(uint16(i), []byte{1, 0, byte(i % 14), 0, byte(i / 14), 0, 3, 0, byte(i), 0, byte(i), 0})
	}
	f.Fuzz(func(t *testing.T, seed uint16, changes []byte) {
		file, s := takeApart(seeds[int(seed)%len(seeds)]), script(changes)
		for range 12 {
			if len(s) > 0 {
				file.change(&s)
			}
		}
		requireAnswer(t, file.joined())
	})
}

// Most that a file of some kB may cost. What pages of the largest size take is
// allocated before their data are found to end early.
const (
	answerTime  = 20 * time.Second
	answerBytes = 600 << 20
)

// requireAnswer measures a TIFF twice: it gets the same Maps or an error of one
// of our types, in time and without allocating much.
func requireAnswer(t *testing.T, data []byte) {
	t.Helper()
	start := time.Now()
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	maps, err := measureTIFF(data)
	runtime.ReadMemStats(&after)
	require.Less(t, time.Since(start), answerTime)
	require.Less(t, after.TotalAlloc-before.TotalAlloc, uint64(answerBytes))
	again, e := measureTIFF(data)
	require.Equal(t, err, e)
	require.Equal(t, maps, again)
	if err == nil {
		for _, m := range maps {
			requireSound(t, m)
		}
		return
	}
	require.True(t, isOurs(err), "%T", err)
	text := err.Error()
	require.True(t, strings.HasPrefix(text, "any: "), text)
	require.NotContains(t, text, "\n")
}

func measureTIFF(data []byte) ([]*Map, error) {
	pages, err := tiff.Open(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return nil, raster.InFile(err, "any")
	}
	f := &File{path: "any", pages: pages}
	return f.Measure(context.Background(), Options{})
}

// isOurs tells if an error says where and what to do.
func isOurs(err error) bool {
	var format *raster.FormatError
	var unsupported *raster.UnsupportedError
	var read *raster.ReadError
	return errors.As(err, &format) || errors.As(err, &unsupported) || errors.As(err, &read)
}

func FuzzPNG(f *testing.F) {
	seed(f, "*.png")
	f.Fuzz(func(t *testing.T, data []byte) { anyBytes(t, data, png.Open) })
}

// FuzzSaved reads saved coverage as it is stored, and what zlib's checksum
// would keep most changes from: the same bytes freshly packed.
func FuzzSaved(f *testing.F) {
	_, data := savedExample(f)
	stream := data[len(savedMagic):]
	f.Add(stream)
	unpacked, err := zlib.NewReader(bytes.NewReader(stream))
	require.NoError(f, err)
	plain, err := io.ReadAll(unpacked)
	require.NoError(f, err)
	f.Add(plain)
	f.Fuzz(func(t *testing.T, data []byte) {
		for _, stream := range [][]byte{data, deflated(data)} {
			maps, err := loadSaved(bytes.NewReader(stream))
			if err != nil {
				require.NotContains(t, err.Error(), "\n")
				continue
			}
			for _, m := range maps {
				requireSound(t, m)
			}
		}
	})
}

func deflated(data []byte) []byte {
	var b bytes.Buffer
	w := zlib.NewWriter(&b)
	_, err := w.Write(data)
	if err := errors.Join(err, w.Close()); err != nil {
		panic(err)
	}
	return b.Bytes()
}

func sortedKeys[V any](m map[string]V) []string { return slices.Sorted(maps.Keys(m)) }
