package coverage

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"slices"
	"strings"
	"testing"

	"bladeline/coverage/internal/raster"
	"bladeline/coverage/internal/raster/fax"
	"bladeline/coverage/internal/raster/rastertest"

	"github.com/stretchr/testify/require"
)

// TestSizeContradictsData refuses a page whose size tags do not fit its data:
// the rows would be sheared, or some of them missing.
func TestSizeContradictsData(t *testing.T) {
	p := rastertest.Random(1, rastertest.Tone, 121, 67, 1, 8)
	for name, compression := range compressions {
		if bilevel[compression] {
			continue // a row of runs that does not end at the width is an error in itself
		}
		for size, tags := range map[string]map[uint16]any{
			"narrower": {256: []uint32{120}}, "a strip less": {257: []uint32{60}}, "rows less": {257: []uint32{65}},
		} {
			page := rastertest.TIFFPage{Picture: p, Compression: compression, RowsPerStrip: 20, Override: tags}
			_, err := measured(t, written(t, "plate.tif", pages(page)), Options{})
			var format *raster.FormatError
			require.ErrorAs(t, err, &format, "%s, %s", name, size)
		}
	}
}

// TestFilledStrips takes what real writers add behind the last row: rows up to
// a strip's full height, and some bytes up to a word.
func TestFilledStrips(t *testing.T) {
	p := rastertest.Random(1, rastertest.Tone, 121, 67, 1, 8)
	for name, compression := range compressions {
		if bilevel[compression] {
			continue
		}
		filled := rastertest.New(p.Width, 80, 1, 8)
		copy(filled.Data, p.Data)
		page := rastertest.TIFFPage{Picture: filled, Compression: compression, RowsPerStrip: 20, Override: map[uint16]any{257: []uint32{67}}}
		requireInk(t, p, 0, measure(t, "plate.tif", pages(page))[0])
		if compression == rastertest.NoCompression || compression == rastertest.PackBits {
			page = rastertest.TIFFPage{Picture: p, Compression: compression}
			data := pages(page)
			layout, err := rastertest.WriteTIFF(&strings.Builder{}, rastertest.Form{}, page)
			require.NoError(t, err)
			strip := data[layout[0].Offsets[0]:][:layout[0].Counts[0]]
			page.Blocks = map[int][]byte{0: append(slices.Clone(strip), 0, 0)}
			requireInk(t, p, 0, measure(t, name+".tif", pages(page))[0])
		}
	}
}

// bilevelPages are a picture in all codings of runs, with and without what may
// stand at a strip's end.
func bilevelPages(p *rastertest.Picture) map[string]rastertest.TIFFPage {
	return map[string]rastertest.TIFFPage{
		"Huffman":                {Picture: p, Compression: rastertest.MH},
		"Group 4":                {Picture: p, Compression: rastertest.Group4},
		"Group 4 without mark":   {Picture: p, Compression: rastertest.Group4, NoEOFB: true},
		"Group 3":                {Picture: p, Compression: rastertest.Group3},
		"Group 3 with mark":      {Picture: p, Compression: rastertest.Group3, G3: fax.G3{RTC: true}},
		"Group 3 filled":         {Picture: p, Compression: rastertest.Group3, G3: fax.G3{FillEOL: true, RTC: true}},
		"Group 3 two-dimensions": {Picture: p, Compression: rastertest.Group3, G3: fax.G3{K: 4, RTC: true}},
		"Group 3 two, filled":    {Picture: p, Compression: rastertest.Group3, G3: fax.G3{K: 4, FillEOL: true}},
	}
}

// TestRowsLeftOver refuses a page whose height leaves rows of runs unread, but
// takes a last strip that is filled up to full height, and bytes of 0 behind.
func TestRowsLeftOver(t *testing.T) {
	p := rastertest.Random(1, rastertest.Halftone, 121, 67, 1, 1)
	for name, page := range bilevelPages(p) {
		for _, rows := range []int{0, 9, 20} {
			page.RowsPerStrip = rows
			for less := 1; less <= 8; less++ {
				page.Override = map[uint16]any{257: []uint32{uint32(p.Height - less)}}
				_, err := measured(t, written(t, "plate.tif", pages(page)), Options{})
				require.Error(t, err, "%s, strips of %d, %d rows less", name, rows, less)
				if rows == 0 {
					require.ErrorContains(t, err, "are damaged: more of them than its rows take")
				}
			}
		}
		filled := rastertest.New(p.Width, 80, 1, 1)
		copy(filled.Data, p.Data)
		page.Picture, page.RowsPerStrip, page.Override = filled, 20, map[uint16]any{257: []uint32{67}}
		requireInk(t, p, 0, measure(t, "plate.tif", pages(page))[0])
		page.Picture, page.Override = p, nil
		var file strings.Builder
		layout, err := rastertest.WriteTIFF(&file, rastertest.Form{}, page)
		require.NoError(t, err)
		page.Blocks = map[int][]byte{}
		for i, offset := range layout[0].Offsets {
			page.Blocks[i] = append([]byte(file.String()[offset:][:layout[0].Counts[i]]), make([]byte, 20*i)...)
		}
		requireInk(t, p, 0, measure(t, "plate.tif", pages(page))[0])
	}
}

// TestTilesEndEarly refuses tiles that lack rows below the picture: what is there
// may not be what was written.
func TestTilesEndEarly(t *testing.T) {
	p := rastertest.Random(1, rastertest.Halftone, 48, 20, 1, 1)
	for name, page := range bilevelPages(p) {
		page.TileWidth, page.TileHeight, page.G3.RTC = 48, 32, false
		var file strings.Builder
		layout, err := rastertest.WriteTIFF(&file, rastertest.Form{}, page)
		require.NoError(t, err)
		tile := file.String()[layout[0].Offsets[0]:][:layout[0].Counts[0]]
		page.Blocks = map[int][]byte{0: []byte(tile[:len(tile)-6])}
		_, err = measured(t, written(t, "plate.tif", pages(page)), Options{})
		require.ErrorContains(t, err, "the data of tile 1 of 1", name)
	}
}

// TestColumnOfOneRowStrips refuses a width that is less by one where each strip
// then has a byte too many: that is no padding.
func TestColumnOfOneRowStrips(t *testing.T) {
	p := rastertest.Random(1, rastertest.Tone, 121, 67, 1, 8)
	for _, rows := range []int{1, 2, 3, 67} {
		page := rastertest.TIFFPage{Picture: p, RowsPerStrip: rows, Override: map[uint16]any{256: []uint32{120}}}
		_, err := measured(t, written(t, "plate.tif", pages(page)), Options{})
		require.ErrorContains(t, err, "more of them than its rows take", "strips of %d", rows)
	}
}

// TestPackBitsAcrossRows refuses runs that do not end with their row.
func TestPackBitsAcrossRows(t *testing.T) {
	page := rastertest.TIFFPage{Picture: rastertest.New(80, 8, 1, 8), Compression: rastertest.PackBits}
	page.Blocks = map[int][]byte{0: bytes.Repeat([]byte{0x81, 0}, 5)}
	_, err := measured(t, written(t, "plate.tif", pages(page)), Options{})
	require.ErrorContains(t, err, "page 1, row 1: the data of strip 1 of 1 (PackBits) are damaged: a run across a row's end")
}

// TestStripsUponEachOther refuses strips that share their bytes, with which a
// small file could ask for any amount of work.
func TestStripsUponEachOther(t *testing.T) {
	page := rastertest.TIFFPage{Picture: rastertest.New(60_000, 1, 1, 1), Compression: rastertest.PackBits}
	layout, err := rastertest.WriteTIFF(&strings.Builder{}, rastertest.Form{}, page)
	require.NoError(t, err)
	const rows = 5000
	offset, count := uint32(layout[0].Offsets[0]), uint32(layout[0].Counts[0])
	page.Override = map[uint16]any{
		257: []uint32{rows}, 278: []uint32{1},
		273: slices.Repeat([]uint32{offset}, rows), 279: slices.Repeat([]uint32{count}, rows),
	}
	_, err = measured(t, written(t, "plate.tif", pages(page)), Options{})
	require.ErrorContains(t, err, "page 1: the strips overlap")
}

// TestStripsOfAllPages refuses pages that share their data: each would cost what
// the first did.
func TestStripsOfAllPages(t *testing.T) {
	page := rastertest.TIFFPage{Picture: rastertest.Random(1, rastertest.Noise, 300, 100, 1, 1), Compression: rastertest.LZW}
	layout, err := rastertest.WriteTIFF(&strings.Builder{}, rastertest.Form{}, page)
	require.NoError(t, err)
	shared := []rastertest.TIFFPage{page}
	page.Blocks = map[int][]byte{0: nil}
	page.Override = map[uint16]any{273: []uint32{uint32(layout[0].Offsets[0])}, 279: []uint32{uint32(layout[0].Counts[0])}}
	for range 30 {
		shared = append(shared, page)
	}
	_, err = measured(t, written(t, "plate.tif", pages(shared...)), Options{})
	require.ErrorContains(t, err, "the strips overlap")
}

// TestStripsOnDirectory refuses strips that lie on what describes them.
func TestStripsOnDirectory(t *testing.T) {
	page := rastertest.TIFFPage{Picture: rastertest.New(8, 60, 1, 1), RowsPerStrip: 25}
	var sound strings.Builder
	layout, err := rastertest.WriteTIFF(&sound, rastertest.Form{}, page)
	require.NoError(t, err)
	first, directory := uint32(layout[0].Offsets[0]), uint32(layout[0].IFD)
	length := uint32(layout[0].Counts[0])
	for name, offset := range map[string]uint32{
		"header": 7, "directory": directory + 5, "just before it": directory - length + 1,
		"values": uint32(sound.Len()) - length, "none": first,
	} {
		page.Override = map[uint16]any{273: []uint32{offset, uint32(layout[0].Offsets[1]), uint32(layout[0].Offsets[2])}}
		_, err := measured(t, written(t, "plate.tif", pages(page)), Options{})
		if name == "none" {
			require.NoError(t, err)
			continue
		}
		require.ErrorContains(t, err, "page 1: strip 1 of 3 overlaps the file's header or the page's directory", name)
	}
}

// TestStripsOnOtherPages refuses data that lie on the directory of a page before
// or behind theirs.
func TestStripsOnOtherPages(t *testing.T) {
	for _, form := range []rastertest.Form{{}, {Big: true, BigEndian: true}} {
		for _, tile := range []int{0, 16} {
			page := rastertest.TIFFPage{Picture: rastertest.Random(1, rastertest.Noise, 16, 16, 1, 1), TileWidth: tile, TileHeight: tile}
			three := []rastertest.TIFFPage{page, page, page}
			layout, err := rastertest.WriteTIFF(&strings.Builder{}, form, three...)
			require.NoError(t, err)
			tag := uint16(273)
			if tile > 0 {
				tag = 324
			}
			for on := range three {
				for by := range three {
					if on == by {
						continue
					}
					changed := slices.Clone(three)
					changed[by].Override = map[uint16]any{tag: form.Offsets([]uint64{layout[on].IFD + 4})}
					_, err := measured(t, written(t, "plate.tif", rastertest.EncodeTIFF(form, changed...)), Options{})
					if on == by+1 { // which the page's own directory names
						require.ErrorContains(t, err, "1 of 1 overlaps")
						continue
					}
					require.ErrorContains(t, err, fmt.Sprintf("page %d: ", by+1))
					require.ErrorContains(t, err, "1 of 1 overlaps the directory of another page; copy or export the file again")
				}
			}
		}
	}
}

// TestStripBeforeOtherPages takes a strip of no stated length to end where the
// directory of any page begins.
func TestStripBeforeOtherPages(t *testing.T) {
	form := rastertest.Form{}
	p := rastertest.Random(1, rastertest.Noise, 16, 16, 1, 1)
	page := rastertest.TIFFPage{Picture: p, Compression: rastertest.Group4, NoEOFB: true}
	layout, err := rastertest.WriteTIFF(&strings.Builder{}, form, page)
	require.NoError(t, err)
	without := page
	without.Blocks = map[int][]byte{0: nil}
	without.Drop = []uint16{279}
	without.Override = map[uint16]any{273: form.Offsets(layout[0].Offsets)}
	maps := measure(t, "plate.tif", rastertest.EncodeTIFF(form, page, without))
	require.Len(t, maps, 2)
	requireInk(t, p, 0, maps[1])
}

// TestManyPages reads more pages than anybody prints, each once.
func TestManyPages(t *testing.T) {
	page := rastertest.TIFFPage{Picture: rastertest.Random(1, rastertest.Noise, 9, 3, 1, 1), Compression: rastertest.Group4}
	var many []rastertest.TIFFPage
	for range 1200 {
		many = append(many, page)
	}
	maps := measure(t, "pages.tif", pages(many...))
	require.Len(t, maps, 1200)
	requireInk(t, page.Picture, 0, maps[1199])
}

// TestDirectoriesUponEachOther refuses pages whose directories are the same
// bytes read from different places: each would cost as much as the file is long.
func TestDirectoriesUponEachOther(t *testing.T) {
	const fields, step = 5000, 12
	data := make([]byte, 8+2+step*2*fields+4)
	copy(data, "II*\x00\x08\x00\x00\x00")
	at := func(i int) []byte { return data[8+step*i:] }
	for i := range 2 * fields { // every entry makes a reduced copy of what it stands in
		binary.LittleEndian.PutUint16(at(i), fields)
		copy(at(i)[2:], "\xfe\x00\x04\x00\x01\x00\x00\x00\x01\x00")
	}
	for i := range fields { // and the link behind the directory i leads to i + 1
		binary.LittleEndian.PutUint32(at(i + fields)[2:], uint32(8+step*(i+1)))
	}
	_, err := measured(t, written(t, "pages.tif", data), Options{})
	require.ErrorContains(t, err, "page 3: the pages' directories overlap")
}

// TestLongNames keeps what anybody reads of names, and no more memory.
func TestLongNames(t *testing.T) {
	long := strings.Repeat("é", 1<<18)
	cut := strings.Repeat("é", raster.MaxName)
	page := rastertest.TIFFPage{Picture: small(1), PageName: long}
	require.Equal(t, []string{cut, cut}, inksOf(measure(t, "job.tif", pages(page, page))))
	cmyk := rastertest.TIFFPage{
		Picture: rastertest.Random(3, rastertest.Tone, 20, 20, 4, 8), Photometric: 5,
		InkSet: 2, InkNames: []string{"Rust", long[:1000], "Sand", "Tar"}, NumberOfInks: 4,
	}
	require.Equal(t, []string{"Rust", cut, "Sand", "Tar"}, inksOf(measure(t, "job.tif", pages(cmyk))))
}
