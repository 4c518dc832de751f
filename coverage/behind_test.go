package coverage

import (
	"bytes"
	"errors"
	"io"
	"slices"
	"strings"
	"testing"

	"bladeline/coverage/internal/raster/fax"
	"bladeline/coverage/internal/raster/rastertest"

	"github.com/stretchr/testify/require"
)

// endedPages are pages, in one strip and in several, of all compressions whose
// streams say where they end.
func endedPages(t *testing.T) map[string]rastertest.TIFFPage {
	bits := rastertest.Random(1, rastertest.Halftone, 121, 67, 1, 1)
	tone := rastertest.Random(1, rastertest.Tone, 640, 600, 1, 8) // more than one batch of rows
	strip, _ := jpegStrip(t, rastertest.Random(1, rastertest.Tone, 67, 45, 1, 8))
	return map[string]rastertest.TIFFPage{
		"Group 4":           {Picture: bits, Compression: rastertest.Group4},
		"Group 4 in strips": {Picture: bits, Compression: rastertest.Group4, RowsPerStrip: 20},
		"Group 4 reversed":  {Picture: bits, Compression: rastertest.Group4, FillOrder: 2},
		"Group 3":           {Picture: bits, Compression: rastertest.Group3, G3: fax.G3{RTC: true}},
		"Group 3 tagged":    {Picture: bits, Compression: rastertest.Group3, G3: fax.G3{K: 4, RTC: true}, RowsPerStrip: 20},
		"LZW":               {Picture: tone, Compression: rastertest.LZW},
		"LZW in strips":     {Picture: tone, Compression: rastertest.LZW, RowsPerStrip: 7},
		"Deflate":           {Picture: tone, Compression: rastertest.Deflate},
		"Deflate in strips": {Picture: tone, Compression: rastertest.Deflate, RowsPerStrip: 7},
		"old Deflate":       {Picture: bits, Compression: rastertest.OldDeflate, FillOrder: 2},
		"JPEG": {
			Picture: rastertest.Random(1, rastertest.Tone, 67, 45, 1, 8), Photometric: 1,
			Override: map[uint16]any{259: []uint16{7}}, Blocks: map[int][]byte{0: strip},
		},
	}
}

// stripsOf are a page's strips as they are written.
func stripsOf(t *testing.T, page rastertest.TIFFPage) map[int][]byte {
	var file strings.Builder
	layout, err := rastertest.WriteTIFF(&file, rastertest.Form{}, page)
	require.NoError(t, err)
	strips := map[int][]byte{}
	for i, offset := range layout[0].Offsets {
		strips[i] = []byte(file.String()[offset:][:layout[0].Counts[i]])
	}
	return strips
}

// TestBytesBehindStreams refuses what stands behind the end that a stream states
// itself, but for padding: up to three bytes, or zeros.
func TestBytesBehindStreams(t *testing.T) {
	for name, page := range endedPages(t) {
		want := measure(t, "plate.tif", pages(page))[0]
		strips := stripsOf(t, page)
		for _, c := range []struct {
			behind []byte
			taken  bool
		}{
			{[]byte{0}, true},
			{[]byte("\r\n\xa5"), true},
			{make([]byte, 4), true},
			{make([]byte, 100_000), true},
			{[]byte("\xa5\xa5\xa5\xa5"), false},
			{[]byte("\x00\x00\x00\x00\xa5\xa5\xa5\xa5\xa5"), false},
			{append(make([]byte, 100_000), "\xa5\xa5\xa5\xa5\xa5"...), false},
			{strips[0], false},
			{bytes.Repeat([]byte{0xff}, 100_000), false},
		} {
			last := len(strips) - 1
			page.Blocks = map[int][]byte{}
			for i, strip := range strips {
				page.Blocks[i] = strip
			}
			page.Blocks[last] = append(slices.Clone(strips[last]), c.behind...)
			maps, err := measured(t, written(t, "plate.tif", pages(page)), Options{})
			if !c.taken {
				require.ErrorContains(t, err, "are damaged: bytes behind the", "%s, %d bytes", name, len(c.behind))
				continue
			}
			require.NoError(t, err, "%s, %d bytes", name, len(c.behind))
			require.Equal(t, want.Rows, maps[0].Rows, name)
		}
	}
}

// A broken file cannot be read where it is bad.
type broken struct {
	data string
	bad  int
}

var errBroken = errors.New("the disk is broken")

func (b *broken) ReadAt(p []byte, at int64) (int, error) {
	from := int(at)
	if end := from + len(p); from <= b.bad && b.bad < end {
		return copy(p, b.data[from:b.bad]), errBroken
	}
	n := copy(p, b.data[from:])
	if n < len(p) {
		return n, io.EOF
	}
	return n, nil
}

// TestUnreadBehindRows passes on why what follows the last row cannot be read:
// that it is padding is then not known.
func TestUnreadBehindRows(t *testing.T) {
	all := endedPages(t)
	bits := rastertest.Random(1, rastertest.Halftone, 121, 67, 1, 1)
	all["Group 4 without mark"] = rastertest.TIFFPage{Picture: bits, Compression: rastertest.Group4, NoEOFB: true}
	all["Group 3 without mark"] = rastertest.TIFFPage{Picture: bits, Compression: rastertest.Group3}
	all["Huffman"] = rastertest.TIFFPage{Picture: bits, Compression: rastertest.MH}
	for name, page := range all {
		last := len(stripsOf(t, page)) - 1
		page.Blocks = map[int][]byte{last: append(stripsOf(t, page)[last], make([]byte, 300_000)...)}
		var file strings.Builder
		layout, err := rastertest.WriteTIFF(&file, rastertest.Form{}, page)
		require.NoError(t, err)
		data := &broken{file.String(), int(layout[0].Offsets[last]+layout[0].Counts[last]) - 100_000}
		opened, err := OpenReader("plate.tif", data, int64(file.Len()))
		require.NoError(t, err)
		_, err = opened.Measure(t.Context(), Options{})
		require.ErrorIs(t, err, errBroken, name)
	}
}
