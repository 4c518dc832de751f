package rastertest

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"image"
	"image/color"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/image/tiff"
	"pgregory.net/rapid"
)

// grayAt reads one pixel of a decoded gray picture as a sample of so many bits.
func grayAt(img image.Image, x, y, bits int) uint16 {
	v := color.Gray16Model.Convert(img.At(x, y)).(color.Gray16).Y
	return v >> (16 - bits)
}

// requireSame names the first sample that differs.
func requireSame(t require.TestingT, want, got *Picture) {
	require.Len(t, got.Data, len(want.Data))
	for i, v := range want.Data {
		if v != got.Data[i] {
			row := want.Width * want.Samples
			require.Equal(t, v, got.Data[i], "row %d, sample %d of it", i/row, i%row)
		}
	}
}

// TestTIFFAgainstXImage reads pages back with golang.org/x/image/tiff. It takes
// white to be zero: with BlackIsZero that reader turns T.4 and T.6 data round,
// which libtiff does not.
func TestTIFFAgainstXImage(t *testing.T) {
	for _, compression := range []int{NoCompression, Group3, Group4, LZW, Deflate, OldDeflate, PackBits} {
		for _, bits := range []int{1, 8, 16} {
			if bits > 1 && (compression == Group3 || compression == Group4) {
				continue
			}
			for nature := range Natures {
				t.Run(fmt.Sprintf("compression %d/%d bit/%v", compression, bits, nature), func(t *testing.T) {
					p := Random(uint64(compression), nature, 203, 41, 1, bits)
					page := TIFFPage{Picture: p, Compression: compression, RowsPerStrip: 16}
					for _, f := range []Form{{}, {BigEndian: true}} {
						img, err := tiff.Decode(bytes.NewReader(EncodeTIFF(f, page)))
						require.NoError(t, err)
						require.Equal(t, image.Rect(0, 0, p.Width, p.Height), img.Bounds())
						got := New(p.Width, p.Height, 1, bits)
						got.fill(0, func(x, y int) uint16 { return grayAt(img, x, y, bits) })
						requireSame(t, p.Inverted(), got)
					}
				})
			}
		}
	}
}

// TestTIFFAgainstLibtiff has tiffcp (of libtiff) take pages of every kind
// apart, and reads the plain strips that it writes.
func TestTIFFAgainstLibtiff(t *testing.T) {
	dir := t.TempDir()
	rapid.Check(t, func(t *rapid.T) {
		form := Form{rapid.Bool().Draw(t, "big-endian"), rapid.Bool().Draw(t, "BigTIFF")}
		page := drawPage(t)
		if page.Compression == MH { // libtiff loses a last row whose byte it has looked ahead at
			page.Blocks = map[int][]byte{}
			for i, block := range page.blocks(form) {
				page.Blocks[i] = append(block, 0, 0)
			}
		}
		requireSame(t, page.Picture, throughLibtiff(t, dir, EncodeTIFF(form, page), 0))
	})
}

// drawPage draws a page of a kind that TIFF knows.
func drawPage(t *rapid.T) TIFFPage {
	page := TIFFPage{Picture: drawPicture(t)}
	page.Planar = rapid.SampledFrom([]int{0, 1, 2}).Draw(t, "planar")
	kinds := []int{0, NoCompression, LZW, Deflate, OldDeflate, PackBits}
	if page.Bits == 1 && (page.Samples == 1 || page.Planar == 2) {
		kinds = append(kinds, MH, Group3, Group4)
	}
	page.Compression = rapid.SampledFrom(kinds).Draw(t, "compression")
	if page.Bits >= 8 && (page.Compression == LZW || page.Compression == Deflate) {
		page.Predictor = rapid.IntRange(0, 2).Draw(t, "predictor")
	}
	if page.Compression == Group3 {
		page.G3.K = rapid.SampledFrom([]int{0, 1, 2, 4}).Draw(t, "K")
		page.G3.FillEOL = rapid.Bool().Draw(t, "fill before EOL")
		page.G3.RTC = rapid.Bool().Draw(t, "RTC")
	}
	page.NoEOFB = rapid.Bool().Draw(t, "no EOFB")
	page.FillOrder = rapid.IntRange(0, 2).Draw(t, "fill order")
	page.Photometric = rapid.IntRange(0, 1).Draw(t, "photometric")
	if page.Samples > 1 {
		page.ExtraSamples = make([]uint16, page.Samples-1)
	}
	widest := 9
	if page.Planar == 2 {
		widest = page.Width / 16 // tiffcp takes no wider tiles of planes, and none but of eight bits
	}
	if rapid.Bool().Draw(t, "tiled") && widest > 0 && (page.Planar != 2 || page.Bits == 8) {
		page.TileWidth = 16 * rapid.IntRange(1, widest).Draw(t, "tile width/16")
		page.TileHeight = 16 * rapid.IntRange(1, 4).Draw(t, "tile height/16")
	} else {
		page.RowsPerStrip = rapid.IntRange(0, 60).Draw(t, "rows per strip")
	}
	return page
}

func drawPicture(t *rapid.T) *Picture {
	return Random(
		rapid.Uint64().Draw(t, "seed"),
		Nature(rapid.IntRange(0, int(Natures)-1).Draw(t, "nature")),
		rapid.OneOf(rapid.IntRange(1, 100), rapid.IntRange(1, 100), rapid.IntRange(2500, 4000)).Draw(t, "width"),
		rapid.IntRange(1, 50).Draw(t, "height"),
		rapid.SampledFrom([]int{1, 1, 1, 2, 3, 4, 7, 32}).Draw(t, "samples"),
		rapid.SampledFrom([]int{1, 1, 2, 4, 8, 16}).Draw(t, "bits"))
}

// throughLibtiff returns page n of a file as libtiff reads it.
func throughLibtiff(t require.TestingT, dir string, file []byte, n int) *Picture {
	in, out := filepath.Join(dir, "in.tif"), filepath.Join(dir, "out.tif")
	require.NoError(t, os.WriteFile(in, file, 0o600))
	said, err := exec.Command("tiffcp", "-c", "none", "-L", "-s", "-f", "msb2lsb",
		fmt.Sprintf("%s,%d", in, n), out).CombinedOutput()
	require.NoError(t, err, "%s", said)
	plain, err := os.ReadFile(out)
	require.NoError(t, err)
	return readPlain(plain)
}

// readPlain reads the first page of a little-endian TIFF with uncompressed
// strips, without any check.
func readPlain(file []byte) *Picture {
	tags := readTags(file)
	p := New(int(tags[256][0]), int(tags[257][0]), int(tags[277][0]), int(tags[258][0]))
	var data []byte
	for i, at := range tags[273] {
		data = append(data, file[at:at+tags[279][i]]...)
	}
	if tags[284][0] != 2 {
		unpack(data, p.Width*p.Samples, p.Height, p.Bits, func(i int, v uint16) { p.Data[i] = v })
		return p
	}
	plane := len(data) / p.Samples
	for s := range p.Samples {
		unpack(data[s*plane:], p.Width, p.Height, p.Bits, func(i int, v uint16) { p.Data[i*p.Samples+s] = v })
	}
	return p
}

// readTags reads the first directory of a classic little-endian TIFF; values
// are whole numbers of one, two or four bytes.
func readTags(file []byte) map[uint16][]uint32 {
	le := binary.LittleEndian
	at := le.Uint32(file[4:])
	tags := map[uint16][]uint32{}
	for i := range uint32(le.Uint16(file[at:])) {
		entry := file[at+2+12*i:]
		size := map[uint16]uint32{1: 1, 2: 1, 3: 2, 4: 4}[le.Uint16(entry[2:])]
		count := le.Uint32(entry[4:])
		value := entry[8:]
		if size*count > 4 {
			value = file[le.Uint32(value):]
		}
		var list []uint32
		for j := range count {
			var v uint32
			for b := range size {
				v |= uint32(value[j*size+b]) << (8 * b)
			}
			list = append(list, v)
		}
		tags[le.Uint16(entry)] = list
	}
	return tags
}

// unpack splits rows of packed samples, 16-bit ones little-endian.
func unpack(data []byte, width, height, bits int, put func(i int, v uint16)) {
	stride := (width*bits + 7) / 8
	for y := range height {
		row := data[y*stride:]
		for x := range width {
			var v uint16
			switch bit := x * bits; bits {
			case 16:
				v = binary.LittleEndian.Uint16(row[2*x:])
			default:
				v = uint16(row[bit/8]) >> (8 - bits - bit%8) & (1<<bits - 1)
			}
			put(y*width+x, v)
		}
	}
}

// TestTIFFPages follows the chain of directories.
func TestTIFFPages(t *testing.T) {
	var pages []TIFFPage
	for nature := range Natures {
		pages = append(pages, TIFFPage{Picture: Random(1, nature, 31, 17, 1, 8), RowsPerStrip: 5})
	}
	for _, form := range []Form{{}, {Big: true}, {BigEndian: true}, {BigEndian: true, Big: true}} {
		file := EncodeTIFF(form, pages...)
		for i, page := range pages {
			requireSame(t, page.Picture, throughLibtiff(t, t.TempDir(), file, i))
		}
	}
}

// TestTIFFTags reads tags with tiffinfo (of libtiff).
func TestTIFFTags(t *testing.T) {
	page := TIFFPage{
		Picture: New(5, 5, 5, 8), Photometric: 5, InkSet: 2, NumberOfInks: 5,
		InkNames:     []string{"Cyan", "Magenta", "Yellow", "Black", "Harbour Red"},
		ExtraSamples: []uint16{0}, Orientation: 6, PageName: "front",
		XResolution: Rational{2540, 1}, YResolution: Rational{2400, 2}, ResolutionUnit: 2,
	}
	for _, form := range []Form{{}, {BigEndian: true, Big: true}} {
		name := filepath.Join(t.TempDir(), "tags.tif")
		require.NoError(t, os.WriteFile(name, EncodeTIFF(form, page), 0o600))
		said, err := exec.Command("tiffinfo", name).CombinedOutput()
		require.NoError(t, err)
		for _, line := range []string{
			"Resolution: 2540, 1200 pixels/inch",
			"Photometric Interpretation: separated",
			"Ink Names: Cyan, Magenta, Yellow, Black, Harbour Red",
			"Orientation: row 0 rhs, col 0 top",
			"PageName: front",
			"Extra Samples: 1<unspecified>",
		} {
			require.Contains(t, string(said), line, "%s", said)
		}
	}
}

func TestTIFFOverrideDropBlocks(t *testing.T) {
	page := TIFFPage{
		Picture: New(8, 4, 1, 8), RowsPerStrip: 2,
		Override: map[uint16]any{257: []uint32{1 << 31}, 65000: Field{1, 1 << 30, []byte{1, 2, 3, 4}}},
		Drop:     []uint16{277},
		Blocks:   map[int][]byte{1: {0xaa, 0xbb, 0xcc}},
	}
	var b bytes.Buffer
	layouts, err := WriteTIFF(&b, Form{}, page)
	require.NoError(t, err)
	file := b.Bytes()
	require.Equal(t, []uint64{16, 3}, layouts[0].Counts)
	at := layouts[0].Offsets[1]
	require.Equal(t, []byte{0xaa, 0xbb, 0xcc}, file[at:at+3])
	require.Equal(t, uint32(layouts[0].IFD), binary.LittleEndian.Uint32(file[4:]))
	page.Override[65000] = Field{1, 4, []byte{1, 2, 3, 4}}
	tags := readTags(EncodeTIFF(Form{}, page))
	require.Equal(t, []uint32{1 << 31}, tags[257])
	require.Equal(t, []uint32{1, 2, 3, 4}, tags[65000])
	require.NotContains(t, tags, uint16(277))
}
