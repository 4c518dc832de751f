package coverage

import (
	"errors"
	"io/fs"
	"strings"
	"testing"

	"bladeline/coverage/internal/raster"
	"bladeline/coverage/internal/raster/rastertest"

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
		"K.tif":                              "Black",
		"form/cyan.tif":                      "Cyan",
		"k2.tif":                             "k2",
		"Kräuter(Grün).tif":                  "Grün",
	} {
		require.Equal(t, ink, InkFromName(name), name)
	}
}

func TestNameParts(t *testing.T) {
	for name, want := range map[string][2]string{
		"week/job_C.tif": {"job", "Cyan"}, "job 7 (Black).tif": {"job 7", "Black"}, "job.Harbour Red.tif": {"job", "Harbour Red"},
		"Cyan.tif": {"", "Cyan"}, "week/k.png": {"", "Black"}, "(Gold).tif": {"", "Gold"},
		"job_front.tif": {"job_front", ""}, "programme.tif": {"programme", ""}, "job.2.tif": {"job.2", ""}, "--.tif": {"--", ""},
	} {
		job, ink := NameParts(name)
		require.Equal(t, want, [2]string{job, ink}, name)
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
	require.Equal(t, []string{`A/B "deep" (Grün)`},
		inksOf(measure(t, "job_K.tif", pages(rastertest.TIFFPage{Picture: small(1), InkNames: []string{`A/B "deep" (Grün)`}}))), "of a gray picture")
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
	require.EqualError(t, err, path+": 1 ink name is given for the file's 2 separations")
	require.Equal(t, &InkCountError{path, 1, 2}, err)
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
	require.Equal(t, Warning{Code: CodePolarity, Text: "100.0 % of the raster is ink, so it may be inverted", CoveragePct: 100}, warned[0])
	require.Equal(t, "light", warned[0].OtherShade())

	dark := rastertest.TIFFPage{Picture: solid, Photometric: 1}
	require.Empty(t, measure(t, "plate.tif", pages(dark))[0].Warnings)
	maps, err := measured(t, written(t, "plate.tif", pages(dark)), Options{InkIsLight: true})
	require.NoError(t, err)
	require.Equal(t, "dark", maps[0].Warnings[0].OtherShade())
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
		"a.pdf":     {"%PDF-1.4\n", "a PDF is not a separation"},
		"a.jpg":     {"\xff\xd8\xff\xe0", "a JPEG is not a separation"},
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
	require.EqualError(t, err, "no such file: there is no such file; check the name and the folder")
	require.ErrorIs(t, err, fs.ErrNotExist)
	_, err = MeasureFiles(t.Context(), []Input{{Path: "no such file"}}, Options{})
	require.ErrorIs(t, err, fs.ErrNotExist)
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
		"a square of 2^20":      {map[uint16]any{256: []uint32{1 << 20}, 257: []uint32{1<<20 - 1}}, "more than can be held at once"},
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

// TestNumbersBeyond32Bits: a number is not taken for what a processor of 32 bits
// would make of it, here the very width of the picture.
func TestNumbersBeyond32Bits(t *testing.T) {
	p := small(1)
	page := rastertest.TIFFPage{Picture: p, Override: map[uint16]any{256: []uint64{1<<32 + uint64(p.Width)}}}
	_, err := measured(t, written(t, "plate.tif", rastertest.EncodeTIFF(rastertest.Form{Big: true}, page)), Options{})
	require.ErrorContains(t, err, "more than 1048576 on a side")
}

func TestRefusedByName(t *testing.T) {
	tone := func(samples, bits int) *rastertest.Picture {
		return rastertest.Random(1, rastertest.Tone, 9, 9, samples, bits)
	}
	for says, page := range map[string]rastertest.TIFFPage{
		"a YCbCr picture is not a separation":                           {Picture: tone(3, 8), Photometric: 6},
		"a Lab picture is not a separation":                             {Picture: tone(3, 8), Photometric: 8},
		"a gray picture with 2 samples per pixel, which are not marked": {Picture: tone(2, 8), ExtraSamples: []uint16{0}},
		"a separated picture with an alpha channel is not read":         {Picture: tone(5, 8), Photometric: 5, ExtraSamples: []uint16{2}},
		"a separated picture with 33 samples per pixel is not read":     {Picture: tone(33, 8), Photometric: 5},
		"an RGB picture with one plane per sample is not read":          {Picture: tone(3, 8), Photometric: 2, Planar: 2},
		"compression 9999 is not read":                                  {Picture: small(1), Override: map[uint16]any{259: []uint16{9999}}},
		"old-style JPEG is not read":                                    {Picture: tone(1, 8), Override: map[uint16]any{259: []uint16{6}}},
		"samples of format 3":                                           {Picture: tone(1, 16), Override: map[uint16]any{339: []uint16{3}}},
		"samples of different depths":                                   {Picture: tone(4, 8), Photometric: 5, Override: map[uint16]any{258: []uint16{8, 8, 8, 4}}},
		"a palette of 16-bit samples":                                   {Picture: tone(1, 16), Photometric: 3, ColorMap: make([]uint16, 3)},
		"predictor 3 of 8-bit samples":                                  {Picture: tone(1, 8), Compression: rastertest.LZW, Override: map[uint16]any{317: []uint16{3}}},
		"predictor 2 of 1-bit samples":                                  {Picture: small(1), Compression: rastertest.LZW, Override: map[uint16]any{317: []uint16{2}}},
	} {
		_, err := measured(t, written(t, "plate.tif", pages(page)), Options{})
		require.ErrorContains(t, err, says)
		var unsupported *raster.UnsupportedError
		require.True(t, errors.As(err, &unsupported), says)
	}
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
