package coverage

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/jpeg"
	"os"
	"path/filepath"
	"testing"

	"bladeline/coverage/internal/raster"
	"bladeline/coverage/internal/raster/rastertest"

	"github.com/stretchr/testify/require"
)

// jpegStrip is a gray picture of 8 bits as JPEG, and where in it the codes begin.
func jpegStrip(t testing.TB, p *rastertest.Picture) (data []byte, codes int) {
	t.Helper()
	img := image.NewGray(image.Rect(0, 0, p.Width, p.Height))
	for i, v := range p.Data {
		img.Pix[i] = byte(v)
	}
	var b bytes.Buffer
	require.NoError(t, jpeg.Encode(&b, img, &jpeg.Options{Quality: 90}))
	scan := bytes.Index(b.Bytes(), []byte("\xff\xda"))
	return b.Bytes(), scan + 2 + int(binary.BigEndian.Uint16(b.Bytes()[scan+2:]))
}

// jpegPage is a page in one strip of JPEG data.
func jpegPage(p *rastertest.Picture, data []byte) []byte {
	page := rastertest.TIFFPage{Picture: p, Photometric: 1, Override: map[uint16]any{259: []uint16{7}}, Blocks: map[int][]byte{0: data}}
	if p.Samples == 4 {
		page.Photometric = 5
	}
	return pages(page)
}

// TestJPEGDamage sees data that are left over or missing, of which libjpeg warns.
func TestJPEGDamage(t *testing.T) {
	p := rastertest.Random(1, rastertest.Tone, 67, 45, 1, 8)
	sound, codes := jpegStrip(t, p)
	end := len(sound) - 2
	_, err := measured(t, written(t, "plate.tif", jpegPage(p, sound)), Options{})
	require.NoError(t, err)
	join := func(parts ...[]byte) []byte { return bytes.Join(parts, nil) }
	table := bytes.Index(sound, []byte("\xff\xc4"))
	tables := bytes.Repeat(sound[table:table+2+int(binary.BigEndian.Uint16(sound[table+2:]))], 30)
	taller := bytes.Clone(sound)
	size := bytes.Index(sound, []byte("\xff\xc0")) + 5
	taller[size+1] -= 8
	changed := func(marker string, at int, to ...byte) []byte {
		data := bytes.Clone(sound)
		copy(data[bytes.Index(data, []byte(marker))+at:], to)
		return data
	}
	for name, c := range map[string]struct {
		data []byte
		says string
	}{
		"a range of coefficients": {changed("\xff\xda", 8, 0x20), "its scan"},
		"a category of 27":        {changed("\xff\xc4", 32, 0x1b), "a table of codes"},
		"steps of no table":       {changed("\xff\xc0", 12, 3), "codes without a table"},
		"no table of steps":       {changed("\xff\xdb", 4, 2), "codes without a table"},
		"a code of ones":          {changed("\xff\xc4", 12, 2, 0), "a table of codes"},
		"bytes behind":            {join(sound[:end], []byte{7}, sound[end:]), "data after its last block"},
		"a code behind":           {join(sound[:end], sound[codes:codes+40], sound[end:]), "data after its last block"},
		"bytes of one":            {join(sound[:end], []byte{0xff, 0}, sound[end:]), "data after its last block"},
		"no end":                  {sound[:end], "no end"},
		"a byte less":             {join(sound[:end-1], sound[end:]), "its data end early"},
		"half":                    {join(sound[:(codes+end)/2], sound[end:]), "its data end early"},
		"nothing":                 {join(sound[:codes], sound[end:]), "its data end early"},
		"between segments":        {join(sound[:2], []byte{0}, sound[2:]), "bytes between its segments"},
		"rows less":               {taller, "data after its last block"},
		"many tables":             {join(sound[:2], tables, sound[2:]), "a table of codes"},
		"two scans":               {join(sound[:end], sound[bytes.Index(sound, []byte("\xff\xda")):]), "its scans"},
		"a restart too many":      {join(sound[:codes], []byte{0xff, 0xd0}, sound[codes:]), "its data end early"},
	} {
		page := p
		if name == "rows less" {
			page = rastertest.New(p.Width, p.Height-8, 1, 8)
		}
		_, err := measured(t, written(t, "plate.tif", jpegPage(page, c.data)), Options{})
		var format *raster.FormatError
		require.ErrorAs(t, err, &format, name)
		require.ErrorContains(t, err, c.says, name)
	}
}

// TestJPEGRestarts reads strips of eight rows as one, restarts between them.
func TestJPEGRestarts(t *testing.T) {
	p := rastertest.Random(1, rastertest.Tone, 40, 96, 1, 8)
	var joined []byte
	for y := 0; y < p.Height; y += 8 {
		data, codes := jpegStrip(t, p.Crop(0, y, p.Width, 8))
		if y == 0 {
			data[bytes.Index(data, []byte("\xff\xc0"))+6] = byte(p.Height)
			joined = append(joined, data[:2]...)
			joined = append(joined, "\xff\xdd\x00\x04\x00\x05"...) // five MCUs
			joined = append(joined, data[2:codes]...)
		} else {
			joined = append(joined, 0xff, byte(0xd0+(y/8-1)%8))
		}
		joined = append(joined, data[codes:len(data)-2]...)
	}
	sound := append(bytes.Clone(joined), 0xff, 0xd9)
	maps := measure(t, "plate.tif", jpegPage(p, sound))
	require.InDelta(t, float64(p.Inverted().Total(0)), float64(maps[0].Total()), float64(2*p.Width*p.Height))
	swapped := bytes.Clone(sound)
	swapped[bytes.Index(sound, []byte("\xff\xd4"))+1] = 0xd5
	_, err := measured(t, written(t, "plate.tif", jpegPage(p, swapped)), Options{})
	require.ErrorContains(t, err, "no restart where one is due")
}

// TestJPEGKinds refuses by name what costs many times the picture's size.
func TestJPEGKinds(t *testing.T) {
	p := rastertest.Random(1, rastertest.Tone, 67, 45, 1, 8)
	sound, _ := jpegStrip(t, p)
	for kind, marker := range map[string]byte{"progressive": 0xc2, "of type 9": 0xc9} {
		data := bytes.Clone(sound)
		data[bytes.Index(data, []byte("\xff\xc0"))+1] = marker
		_, err := measured(t, written(t, "plate.tif", jpegPage(p, data)), Options{})
		var unread *raster.UnsupportedError
		require.ErrorAs(t, err, &unread)
		require.ErrorContains(t, err, "uses a kind of JPEG ("+kind+"), which is not read")
	}
}

// TestJPEGColours has TIFF's tags rule over what a strip says of its colours.
func TestJPEGColours(t *testing.T) {
	file, err := os.ReadFile(filepath.Join("../testdata", "cmyk-jpeg.tif"))
	require.NoError(t, err)
	plain := measure(t, "plate.tif", file)
	start := bytes.Index(file, []byte("\xff\xd8\xff\xc0"))
	require.Positive(t, start)
	adobe := func(transform byte) []byte {
		return append([]byte("\xff\xee\x00\x0eAdobe\x00\x64\x00\x00\x00\x00"), transform)
	}
	tables := tableOf(t, file)
	for transform := range byte(3) {
		strip := append([]byte("\xff\xd8"), adobe(transform)...)
		strip = append(strip, tables...)
		strip = append(strip, file[start+2:start+2+bytes.Index(file[start+2:], []byte("\xff\xd9"))+2]...)
		p := rastertest.New(plain[0].Width, plain[0].Height, 4, 8)
		rows := rowsOf(strip)
		p = p.Crop(0, 0, p.Width, rows)
		for i, m := range measure(t, "plate.tif", jpegPage(p, strip)) {
			require.Equal(t, plain[i].Rows[:rows], m.Rows, "transform %d, sample %d", transform, i)
		}
	}
}

// tableOf is what stands in the JPEGTables of a file, between its start and end.
func tableOf(t *testing.T, file []byte) []byte {
	start := bytes.Index(file, []byte("\xff\xd8\xff\xdb"))
	require.Positive(t, start)
	return file[start+2 : start+bytes.Index(file[start:], []byte("\xff\xd9"))]
}

// rowsOf is the height of a JPEG picture.
func rowsOf(data []byte) int {
	return int(binary.BigEndian.Uint16(data[bytes.Index(data, []byte("\xff\xc0"))+5:]))
}
