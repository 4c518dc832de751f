package unseen

import (
	"bladeline/coverage/internal/raster/fax"
	"bladeline/coverage/internal/raster/rastertest"
)

const (
	compressionTag = 259
	jpegNumber     = 7
)

// Kinds are all compressions: a halftone of 1 bit, a continuous tone of 8 bits.
func Kinds() []Kind {
	bits := rastertest.Random(1, rastertest.Halftone, 301, 200, 1, 1)
	tone := rastertest.Random(1, rastertest.Tone, 121, 100, 1, 8)
	kinds := []Kind{
		kind("Group 4", rastertest.TIFFPage{Picture: bits, Compression: rastertest.Group4}),
		kind("Group 4 without end marks", rastertest.TIFFPage{Picture: bits, Compression: rastertest.Group4, NoEOFB: true}),
		kind("Group 3", rastertest.TIFFPage{Picture: bits, Compression: rastertest.Group3}),
		kind("Group 3 in two dimensions", rastertest.TIFFPage{Picture: bits, Compression: rastertest.Group3, G3: fax.G3{K: 4, RTC: true}}),
		kind("modified Huffman", rastertest.TIFFPage{Picture: bits, Compression: rastertest.MH}),
	}
	for _, c := range []struct {
		name   string
		number int
	}{{"LZW", rastertest.LZW}, {"Deflate", rastertest.Deflate}, {"PackBits", rastertest.PackBits}, {"uncompressed", rastertest.NoCompression}} {
		kinds = append(kinds,
			kind(c.name+", 1 bit", rastertest.TIFFPage{Picture: bits, Compression: c.number}),
			kind(c.name+", 8 bits", rastertest.TIFFPage{Picture: tone, Compression: c.number}))
	}
	inks := rastertest.Random(1, rastertest.Tone, 121, 100, 4, 8)
	return append(kinds, jpegKind("JPEG", tone, 1), jpegKind("JPEG of four inks", inks, 5))
}

// kind has the page in strips that do not go into its height, in such that do,
// in one, and in one a row.
func kind(name string, page rastertest.TIFFPage) Kind {
	k := Kind{Name: name}
	for _, rows := range []int{48, 50, page.Height, 1} {
		page.RowsPerStrip = rows
		k.Pages = append(k.Pages, page)
	}
	return k
}

func jpegKind(name string, p *rastertest.Picture, photometric int) Kind {
	page := rastertest.TIFFPage{Picture: p, Photometric: photometric, Override: map[uint16]any{compressionTag: []uint16{jpegNumber}}}
	k := kind(name, page)
	for i := range k.Pages {
		page := &k.Pages[i]
		page.Blocks = map[int][]byte{}
		for y := 0; y < p.Height; y += page.RowsPerStrip {
			page.Blocks[y/page.RowsPerStrip] = encodeJPEG(p.Crop(0, y, p.Width, min(page.RowsPerStrip, p.Height-y)))
		}
	}
	return k
}
