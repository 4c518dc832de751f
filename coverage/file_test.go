package coverage

import (
	"bytes"
	"encoding/binary"
	"errors"
	"slices"
	"strings"
	"testing"

	"bladeline/coverage/raster"
	"bladeline/coverage/raster/rastertest"

	"github.com/stretchr/testify/require"
)

func TestInkFromName(t *testing.T) {
	for name, ink := range map[string]string{
		"job_C.tif": "Cyan", "job-m.tif": "Magenta", "job.y.tif": "Yellow", "job(K).tif": "Black",
		"job(Black).tif": "Black", "job.Harbour Red.tif": "Harbour Red", "job_cyan.TIFF": "Cyan",
		"dir.with.dots/job(Harbour Red).tif": "Harbour Red",
		"programme.tif":                      "programme",
		"job_front.tif":                      "job_front", // no ink, as far as one can tell
		"job.2.tif":                          "job.2",
		"job 2540.png":                       "job 2540",
		"K.tif":                              "K",
		"Kräuter(Grün).tif":                  "Grün",
	} {
		require.Equal(t, ink, InkFromName(name), name)
	}
}

// pages makes a file of small pages.
func pages(p ...rastertest.TIFFPage) []byte {
	return rastertest.EncodeTIFF(rastertest.Form{}, p...)
}

func small(seed uint64) *rastertest.Picture {
	return rastertest.Random(seed, rastertest.Halftone, 90, 70, 1, 1)
}

func inksOf(maps []*Map) (inks []string) {
	for _, m := range maps {
		inks = append(inks, m.Ink)
	}
	return inks
}

func TestInkNames(t *testing.T) {
	cmyk := rastertest.Random(3, rastertest.Tone, 20, 20, 4, 8)
	require.Equal(t, []string{"Cyan", "Magenta", "Yellow", "Black"},
		inksOf(measure(t, "job_K.tif", pages(rastertest.TIFFPage{Picture: cmyk, Photometric: 5}))), "CMYK order")
	require.Equal(t, []string{"Rust", "Moss", "Sand", "Tar"},
		inksOf(measure(t, "job.tif", pages(rastertest.TIFFPage{Picture: cmyk, Photometric: 5, InkSet: 2, InkNames: []string{"Rust", "Moss", "Sand", "Tar"}, NumberOfInks: 4}))))
	require.Equal(t, []string{"job 1", "job 2", "job 3", "job 4"},
		inksOf(measure(t, "job.tif", pages(rastertest.TIFFPage{Picture: cmyk, Photometric: 5, InkSet: 2}))))
	one := rastertest.TIFFPage{Picture: small(1), PageName: "Rust"}
	two := rastertest.TIFFPage{Picture: small(2), PageName: "Moss"}
	require.Equal(t, []string{"Rust", "Moss"}, inksOf(measure(t, "job.tif", pages(one, two))), "page names")
	require.Equal(t, []string{"Black"}, inksOf(measure(t, "job_K.tif", pages(one))), "the name of an only page is often that of a file")
	one.PageName, two.PageName = "", ""
	require.Equal(t, []string{"job page 1", "job page 2"}, inksOf(measure(t, "job.tif", pages(one, two))))

	path := written(t, "job_K.tif", pages(one, two))
	maps, err := measured(t, path, Options{Inks: []string{"Rust", "Moss"}})
	require.NoError(t, err)
	require.Equal(t, []string{"Rust", "Moss"}, inksOf(maps))
	_, err = measured(t, path, Options{Inks: []string{"Rust"}})
	require.ErrorContains(t, err, "1 ink name is given for the file's 2 separations")
}

// TestPages reads every page and passes over thumbnails and masks.
func TestPages(t *testing.T) {
	kind := func(v uint16) map[uint16]any { return map[uint16]any{254: []uint32{uint32(v)}} }
	maps := measure(t, "job.tif", pages(
		rastertest.TIFFPage{Picture: small(1)},
		rastertest.TIFFPage{Picture: small(9), Override: kind(1)},
		rastertest.TIFFPage{Picture: small(9), Override: kind(4)},
		rastertest.TIFFPage{Picture: small(2), Compression: rastertest.Group4},
	))
	require.Len(t, maps, 2)
	requireInk(t, small(1), 0, maps[0])
	requireInk(t, small(2), 0, maps[1])
	require.Equal(t, 4, maps[1].Page)
}

func TestInkIsLight(t *testing.T) {
	for photometric := range 2 {
		path := written(t, "plate.tif", pages(rastertest.TIFFPage{Picture: small(1), Photometric: photometric}))
		maps, err := measured(t, path, Options{InkIsLight: true})
		require.NoError(t, err)
		ink := small(1)
		if photometric == 0 { // 0 is white, so light is where the samples are 0
			ink = ink.Inverted()
		}
		requireInk(t, ink, 0, maps[0])
	}
}

func TestPolarityWarning(t *testing.T) {
	solid := rastertest.Random(0, rastertest.Solid, 50, 50, 1, 8)
	warned := measure(t, "plate.tif", pages(rastertest.TIFFPage{Picture: solid}))[0].Warnings
	require.Len(t, warned, 1)
	require.Equal(t, "polarity", warned[0].Code)
	require.Empty(t, measure(t, "plate.tif", pages(rastertest.TIFFPage{Picture: solid, Photometric: 1}))[0].Warnings)
}

func TestResolution(t *testing.T) {
	for name, c := range map[string]struct {
		unit int
		dpi  float64
	}{"inch": {2, 1000}, "centimetre": {3, 2540}, "none": {1, 0}, "absent is inch": {0, 1000}} {
		p := rastertest.TIFFPage{Picture: small(1), XResolution: rastertest.Rational{2000, 2}, YResolution: rastertest.Rational{1000, 1}, ResolutionUnit: c.unit}
		m := measure(t, "plate.tif", pages(p))[0]
		require.InDelta(t, c.dpi, m.DPIX, 1e-9, name)
		require.InDelta(t, c.dpi, m.DPIY, 1e-9, name)
	}
	// 2000 px/m = 50.8 dpi and 100000 px/m = 2540 dpi, since an inch is 25.4 mm.
	for perMetre, dpi := range map[uint32]float64{2000: 50.8, 100_000: 2540} {
		m := measure(t, "plate.png", rastertest.EncodePNG(rastertest.PNGFile{Picture: small(1), PHYs: [2]uint32{perMetre, perMetre}}))[0]
		require.InDelta(t, dpi, m.DPIX, 1e-9)
	}
}

// TestDamage holds that data that end early or are damaged are an error that
// names page and row, and the same one every time, never a number.
func TestDamage(t *testing.T) {
	p := rastertest.Random(5, rastertest.Halftone, 300, 400, 1, 1)
	for name, compression := range compressions {
		t.Run(name, func(t *testing.T) {
			page := rastertest.TIFFPage{Picture: p, Compression: compression, RowsPerStrip: 20}
			data := pages(page)
			layout, err := rastertest.WriteTIFF(&strings.Builder{}, rastertest.Form{}, page)
			require.NoError(t, err)
			strip := func(i int) []byte { return data[layout[0].Offsets[i]:][:layout[0].Counts[i]] }
			page.Blocks = map[int][]byte{12: strip(12)[:len(strip(12))/2], 7: strip(7)[:len(strip(7))*2/3]}
			short := pages(page)
			for range 5 {
				_, err := measured(t, written(t, "plate.tif", short), Options{})
				var format *raster.FormatError
				require.ErrorAs(t, err, &format)
				require.Equal(t, 1, format.Page)
				require.GreaterOrEqual(t, format.Row, 7*20+1)
				require.LessOrEqual(t, format.Row, 8*20)
				require.Contains(t, err.Error(), "plate.tif: page 1, row ")
				require.Contains(t, err.Error(), "the data of strip 8 of 20")
			}
			_, err = measured(t, written(t, "plate.tif", data[:len(data)-1]), Options{})
			require.Error(t, err)
		})
	}
}

func TestNoSeparation(t *testing.T) {
	for name, c := range map[string]struct{ data, says string }{
		"empty.tif": {"", "the file is empty"},
		"a.pdf":     {"%PDF-1.4\n", "a PDF is no separation"},
		"a.jpg":     {"\xff\xd8\xff\xe0", "a JPEG is no separation"},
		"a.txt":     {"hello", "neither TIFF nor PNG"},
		"a.tif":     {"II*\x00", "the file ends within its header"},
		"a.png":     {rastertest.PNGSignature, "the file ends early"},
		"b.tif":     {"II*\x00\x00\x00\x00\x00", "the file holds no page"},
		"c.tif":     {"II*\x00\x08\x00\x00\x00", "lies outside the file"},
	} {
		path := written(t, name, []byte(c.data))
		_, err := measured(t, path, Options{})
		require.ErrorContains(t, err, c.says, name)
		require.True(t, strings.HasPrefix(err.Error(), path+": "), err)
		require.NotContains(t, err.Error(), "\n")
	}
	_, err := Open(t.TempDir())
	require.ErrorContains(t, err, "is a folder; name the separations in it")
	_, err = Open("no such file")
	require.ErrorContains(t, err, "there is no such file")
}

// TestLyingHeaders holds that what a header claims is neither believed nor
// allocated: all of these are refused at once.
func TestLyingHeaders(t *testing.T) {
	for name, c := range map[string]struct {
		override map[uint16]any
		says     string
	}{
		"4 gigapixels":          {map[uint16]any{256: []uint32{65_535}, 257: []uint32{65_535}, 278: []uint32{65_535}}, "end early"},
		"2^31 columns":          {map[uint16]any{256: []uint32{1 << 31}}, "more than 1048576 on a side"},
		"a square of 2^20":      {map[uint16]any{256: []uint32{1 << 20}, 257: []uint32{1<<20 - 1}}, "more than is held at once"},
		"no rows":               {map[uint16]any{257: []uint32{0}}, "has no area"},
		"strips beyond the end": {map[uint16]any{273: []uint32{1 << 31}}, "end early"},
		"strip of no rows":      {map[uint16]any{278: []uint32{0}}, "a strip has 0 rows"},
		"too few strips":        {map[uint16]any{278: []uint32{1}}, "names 1"},
		"values outside":        {map[uint16]any{273: rastertest.Field{Type: 4, Count: 1 << 18}}, "outside the file"},
		"a billion values":      {map[uint16]any{273: rastertest.Field{Type: 4, Count: 1 << 30}}, "claims 1073741824 values"},
		"text for a number":     {map[uint16]any{256: "wide"}, "not a whole number"},
	} {
		page := rastertest.TIFFPage{Picture: small(1), Override: c.override}
		_, err := measured(t, written(t, "plate.tif", pages(page)), Options{})
		require.ErrorContains(t, err, c.says, name)
		require.ErrorContains(t, err, "plate.tif: page 1", name)
	}
}

func TestRefusedByName(t *testing.T) {
	tone := func(samples, bits int) *rastertest.Picture {
		return rastertest.Random(1, rastertest.Tone, 9, 9, samples, bits)
	}
	for says, page := range map[string]rastertest.TIFFPage{
		"a YCbCr picture is no separation":                          {Picture: tone(3, 8), Photometric: 6},
		"a Lab picture is no separation":                            {Picture: tone(3, 8), Photometric: 8},
		"a gray picture with 2 samples a pixel, which are not said": {Picture: tone(2, 8), ExtraSamples: []uint16{0}},
		"a separated picture with an alpha channel is not read":     {Picture: tone(5, 8), Photometric: 5, ExtraSamples: []uint16{2}},
		"a separated picture with 33 samples a pixel is not read":   {Picture: tone(33, 8), Photometric: 5},
		"an RGB picture with a plane a sample is not read":          {Picture: tone(3, 8), Photometric: 2, Planar: 2},
		"compression 9999 is not read":                              {Picture: small(1), Override: map[uint16]any{259: []uint16{9999}}},
		"old-style JPEG is not read":                                {Picture: tone(1, 8), Override: map[uint16]any{259: []uint16{6}}},
		"samples of format 3":                                       {Picture: tone(1, 16), Override: map[uint16]any{339: []uint16{3}}},
		"samples of different depths":                               {Picture: tone(4, 8), Photometric: 5, Override: map[uint16]any{258: []uint16{8, 8, 8, 4}}},
		"a palette of 16-bit samples":                               {Picture: tone(1, 16), Photometric: 3, ColorMap: make([]uint16, 3)},
		"predictor 3 of 8-bit samples":                              {Picture: tone(1, 8), Compression: rastertest.LZW, Override: map[uint16]any{317: []uint16{3}}},
		"predictor 2 of 1-bit samples":                              {Picture: small(1), Compression: rastertest.LZW, Override: map[uint16]any{317: []uint16{2}}},
	} {
		_, err := measured(t, written(t, "plate.tif", pages(page)), Options{})
		require.ErrorContains(t, err, says)
		var unsupported *raster.UnsupportedError
		require.True(t, errors.As(err, &unsupported), says)
	}
}

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
		"Group 3 with mark":      {Picture: p, Compression: rastertest.Group3, G3: rastertest.G3{RTC: true}},
		"Group 3 filled":         {Picture: p, Compression: rastertest.Group3, G3: rastertest.G3{FillEOL: true, RTC: true}},
		"Group 3 two-dimensions": {Picture: p, Compression: rastertest.Group3, G3: rastertest.G3{K: 4, RTC: true}},
		"Group 3 two, filled":    {Picture: p, Compression: rastertest.Group3, G3: rastertest.G3{K: 4, FillEOL: true}},
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
	require.ErrorContains(t, err, "page 1: the strips lie upon each other")
}

// TestStripsOfAllPages refuses pages that share their data: each would cost what
// the first did.
func TestStripsOfAllPages(t *testing.T) {
	page := rastertest.TIFFPage{Picture: rastertest.New(60_000, 500, 1, 1), Compression: rastertest.LZW}
	layout, err := rastertest.WriteTIFF(&strings.Builder{}, rastertest.Form{}, page)
	require.NoError(t, err)
	shared := []rastertest.TIFFPage{page}
	page.Blocks = map[int][]byte{0: nil}
	page.Override = map[uint16]any{273: []uint32{uint32(layout[0].Offsets[0])}, 279: []uint32{uint32(layout[0].Counts[0])}}
	for range 30 {
		shared = append(shared, page)
	}
	_, err = measured(t, written(t, "plate.tif", pages(shared...)), Options{})
	require.ErrorContains(t, err, "the strips lie upon each other")
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
		require.ErrorContains(t, err, "page 1: strip 1 of 3 lies on the file's header or the page's directory", name)
	}
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
	require.ErrorContains(t, err, "page 3: the pages' directories lie upon each other")
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

// TestEndlessPages refuses a chain of directories that bites its own tail.
func TestEndlessPages(t *testing.T) {
	page := rastertest.TIFFPage{Picture: small(1)}
	data := pages(page, page)
	layout, err := rastertest.WriteTIFF(&strings.Builder{}, rastertest.Form{}, page, page)
	require.NoError(t, err)
	next := int(layout[1].IFD) + 2 + 12*int(data[layout[1].IFD])
	copy(data[next:], data[4:8]) // to the first directory
	_, err = measured(t, written(t, "plate.tif", data), Options{})
	require.ErrorContains(t, err, "page 3: the chain of pages does not end")
}
