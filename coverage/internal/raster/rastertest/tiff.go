package rastertest

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"io"
	"maps"
	"math/bits"
	"strings"

	"bladeline/coverage/internal/raster/fax"
)

// Compression schemes of TIFF (TIFF 6.0, section 3; the technical notes of 2002
// to it for Deflate).
const (
	NoCompression = 1
	MH            = 2 // Modified Huffman
	Group3        = 3
	Group4        = 4
	LZW           = 5
	Deflate       = 8
	PackBits      = 32773
	OldDeflate    = 32946
)

// Tags of TIFF 6.0 that pages are written with.
const (
	tagWidth           = 256
	tagHeight          = 257
	tagBits            = 258
	tagCompression     = 259
	tagPhotometric     = 262
	tagFillOrder       = 266
	tagStripOffsets    = 273
	tagOrientation     = 274
	tagSamples         = 277
	tagRowsPerStrip    = 278
	tagStripByteCounts = 279
	tagXResolution     = 282
	tagYResolution     = 283
	tagPageName        = 285
	tagPlanar          = 284
	tagT4Options       = 292
	tagResolutionUnit  = 296
	tagPredictor       = 317
	tagColorMap        = 320
	tagTileWidth       = 322
	tagTileLength      = 323
	tagTileOffsets     = 324
	tagTileByteCounts  = 325
	tagInkSet          = 332
	tagInkNames        = 333
	tagNumberOfInks    = 334
	tagExtraSamples    = 338
)

// A TIFFPage is a picture and how it is written. Fields left at zero take the
// format's default and, unless a reader needs the tag, leave it out.
type TIFFPage struct {
	*Picture

	Compression  int    // 0 is NoCompression
	G3           fax.G3 // choices of Group3
	Predictor    int    // 2 is horizontal differencing, of 8 or 16 bits
	FillOrder    int    // 2 turns the bits of every byte of data round
	NoEOFB       bool   // leaves the end of Group 4 blocks out
	RowsPerStrip int    // 0 is one strip
	TileWidth    int    // px, a multiple of 16; 0 is strips
	TileHeight   int    // px, a multiple of 16
	Planar       int    // 2 is one plane a sample

	Photometric  int // 0 white is zero, 1 black is zero, 2 RGB, 3 palette, 5 separated
	ColorMap     []uint16
	ExtraSamples []uint16
	InkSet       int
	InkNames     []string
	NumberOfInks int
	Orientation  int
	PageName     string

	XResolution, YResolution Rational // left out where zero
	ResolutionUnit           int      // 1 none, 2 inch, 3 cm

	// Blocks replaces the data of the strips or tiles it has an entry for; with
	// the Compression tag overridden, by data of a scheme not known here.
	Blocks map[int][]byte
	// Override adds or replaces tags (values as in Form.Directory), Drop
	// takes them away.
	Override map[uint16]any
	Drop     []uint16
}

// A TIFFLayout says where a page went.
type TIFFLayout struct {
	IFD     uint64   // offset of the directory
	Offsets []uint64 // of the strips or tiles
	Counts  []uint64 // their lengths in bytes
}

// WriteTIFF writes the pages in their order, each one's data before its
// directory.
func WriteTIFF(w io.Writer, f Form, pages ...TIFFPage) ([]TIFFLayout, error) {
	file := f.Header(0)
	link := len(file) - len(f.offset(nil, 0))
	var layouts []TIFFLayout
	for _, p := range pages {
		l := TIFFLayout{}
		for i, block := range p.blocks(f) {
			if given, ok := p.Blocks[i]; ok {
				block = given
			}
			l.Offsets = append(l.Offsets, uint64(len(file)))
			l.Counts = append(l.Counts, uint64(len(block)))
			file = append(file, block...)
		}
		file = append(file, make([]byte, len(file)%2)...)
		l.IFD = uint64(len(file))
		copy(file[link:], f.offset(nil, l.IFD))
		ifd, next := f.Directory(l.IFD, p.tags(f, l), 0)
		link = len(file) + next
		file = append(file, ifd...)
		file = append(file, make([]byte, len(file)%2)...)
		layouts = append(layouts, l)
	}
	_, err := w.Write(file)
	return layouts, err
}

// EncodeTIFF returns what WriteTIFF writes.
func EncodeTIFF(f Form, pages ...TIFFPage) []byte {
	var b bytes.Buffer
	if _, err := WriteTIFF(&b, f, pages...); err != nil {
		panic(err)
	}
	return b.Bytes()
}

// blocks returns the strips or tiles, coded: for Planar 2 all of the first
// plane, then all of the second, and so on.
func (p *TIFFPage) blocks(f Form) [][]byte {
	planes := []*Picture{p.Picture}
	if p.Planar == 2 {
		planes = nil
		for s := range p.Samples {
			planes = append(planes, p.Plane(s))
		}
	}
	w, h := p.Width, p.RowsPerStrip
	if h == 0 {
		h = p.Height
	}
	if p.TileWidth > 0 {
		w, h = p.TileWidth, p.TileHeight
	}
	var all [][]byte
	for _, plane := range planes {
		for y := 0; y < p.Height; y += h {
			for x := 0; x < p.Width; x += w {
				all = append(all, p.encode(f, p.cut(plane, x, y, w, h)))
			}
		}
	}
	return all
}

// cut returns a strip, of no more rows than are left, or a tile, padded with
// a pattern that nobody should come to count.
func (p *TIFFPage) cut(plane *Picture, x, y, w, h int) *Picture {
	inW, inH := min(w, plane.Width-x), min(h, plane.Height-y)
	in := plane.Crop(x, y, inW, inH)
	if p.TileWidth == 0 {
		return in
	}
	tile := New(w, h, plane.Samples, plane.Bits)
	for i := range tile.Data {
		tile.Data[i] = uint16(i&1) * plane.Full()
	}
	row := inW * plane.Samples
	for y := range inH {
		copy(tile.Data[y*w*plane.Samples:], in.Data[y*row:(y+1)*row])
	}
	return tile
}

// encode returns one strip or tile as it stands in the file.
func (p *TIFFPage) encode(f Form, block *Picture) []byte {
	var data []byte
	switch p.Compression {
	case MH, Group3, Group4:
		data = p.encodeRuns(block)
	case PackBits:
		for _, row := range p.rows(f, block) {
			data = append(data, EncodePackBits(row)...)
		}
	default:
		data = p.encodeBytes(bytes.Join(p.rows(f, block), nil))
	}
	if p.FillOrder == 2 {
		for i, b := range data {
			data[i] = bits.Reverse8(b)
		}
	}
	return data
}

func (p *TIFFPage) encodeRuns(block *Picture) []byte {
	if block.Bits != 1 || block.Samples != 1 {
		panic("rastertest: T.4 and T.6 code one bit a pixel")
	}
	var rows [][]int32
	for y := range block.Height {
		rows = append(rows, block.Ends(y, 0))
	}
	switch p.Compression {
	case MH:
		return fax.EncodeMH(rows, block.Width)
	case Group3:
		return fax.EncodeG3(rows, block.Width, p.G3)
	}
	data := fax.EncodeG4(rows, block.Width)
	if p.NoEOFB {
		data = data[:len(data)-3]
	}
	return data
}

func (p *TIFFPage) encodeBytes(raw []byte) []byte {
	switch p.Compression {
	case 0, NoCompression:
		return raw
	case LZW:
		return EncodeLZW(raw)
	case Deflate, OldDeflate:
		return encodeZlib(raw)
	}
	panic(fmt.Sprintf("rastertest: no compression %d", p.Compression))
}

func encodeZlib(raw []byte) []byte {
	var b bytes.Buffer
	z := zlib.NewWriter(&b)
	if _, err := z.Write(raw); err != nil {
		panic(err)
	}
	if err := z.Close(); err != nil {
		panic(err)
	}
	return b.Bytes()
}

// rows returns the packed rows of a block after the predictor, 16-bit samples
// in the file's byte order.
func (p *TIFFPage) rows(f Form, block *Picture) [][]byte {
	if p.Predictor == 2 {
		block = differences(block)
	}
	var rows [][]byte
	for y := range block.Height {
		row := block.PackRow(y)
		if block.Bits == 16 && !f.BigEndian {
			for i := 0; i < len(row); i += 2 {
				row[i], row[i+1] = row[i+1], row[i]
			}
		}
		rows = append(rows, row)
	}
	return rows
}

// differences is TIFF's predictor 2 (TIFF 6.0, section 14): every sample less
// the same sample of the pixel to its left.
func differences(p *Picture) *Picture {
	if p.Bits < 8 {
		panic("rastertest: predictor 2 is for 8 and 16 bits")
	}
	d := New(p.Width, p.Height, p.Samples, p.Bits)
	copy(d.Data, p.Data)
	for y := range p.Height {
		for x := 1; x < p.Width; x++ {
			for s := range p.Samples {
				d.Set(x, y, s, (p.At(x, y, s)-p.At(x-1, y, s))&p.Full())
			}
		}
	}
	return d
}

// tags returns the page's directory.
func (p *TIFFPage) tags(f Form, l TIFFLayout) map[uint16]any {
	tags := map[uint16]any{
		tagWidth:       []uint32{uint32(p.Width)},
		tagHeight:      []uint32{uint32(p.Height)},
		tagCompression: []uint16{uint16(max(p.Compression, 1))},
		tagPhotometric: []uint16{uint16(p.Photometric)},
		tagSamples:     []uint16{uint16(p.Samples)},
	}
	bitsPerSample := make([]uint16, p.Samples)
	for i := range bitsPerSample {
		bitsPerSample[i] = uint16(p.Bits)
	}
	tags[tagBits] = bitsPerSample
	p.placeTags(tags, f, l)
	p.optionalTags(tags)
	maps.Copy(tags, p.Override)
	for _, tag := range p.Drop {
		delete(tags, tag)
	}
	return tags
}

func (p *TIFFPage) placeTags(tags map[uint16]any, f Form, l TIFFLayout) {
	if p.TileWidth > 0 {
		tags[tagTileWidth] = []uint32{uint32(p.TileWidth)}
		tags[tagTileLength] = []uint32{uint32(p.TileHeight)}
		tags[tagTileOffsets] = f.Offsets(l.Offsets)
		tags[tagTileByteCounts] = f.Offsets(l.Counts)
		return
	}
	if p.RowsPerStrip > 0 {
		tags[tagRowsPerStrip] = []uint32{uint32(p.RowsPerStrip)}
	}
	tags[tagStripOffsets] = f.Offsets(l.Offsets)
	tags[tagStripByteCounts] = f.Offsets(l.Counts)
}

func (p *TIFFPage) optionalTags(tags map[uint16]any) {
	for tag, v := range map[uint16]int{
		tagPredictor:      p.Predictor,
		tagFillOrder:      p.FillOrder,
		tagPlanar:         p.Planar,
		tagInkSet:         p.InkSet,
		tagNumberOfInks:   p.NumberOfInks,
		tagOrientation:    p.Orientation,
		tagResolutionUnit: p.ResolutionUnit,
	} {
		if v != 0 {
			tags[tag] = []uint16{uint16(v)}
		}
	}
	for tag, v := range map[uint16][]uint16{tagColorMap: p.ColorMap, tagExtraSamples: p.ExtraSamples} {
		if v != nil {
			tags[tag] = v
		}
	}
	for tag, v := range map[uint16]Rational{tagXResolution: p.XResolution, tagYResolution: p.YResolution} {
		if v != (Rational{}) {
			tags[tag] = []Rational{v}
		}
	}
	if p.PageName != "" {
		tags[tagPageName] = p.PageName
	}
	if p.InkNames != nil {
		tags[tagInkNames] = strings.Join(p.InkNames, "\x00")
	}
	if p.Compression == Group3 {
		tags[tagT4Options] = []uint32{optionsOf(p.G3)}
	}
}

// optionsOf is the T4Options tag (TIFF 6.0, section 11).
func optionsOf(o fax.G3) uint32 {
	var v uint32
	if o.K > 0 {
		v |= 1
	}
	if o.FillEOL {
		v |= 4
	}
	return v
}
