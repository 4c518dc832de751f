package coverage

import (
	"bytes"
	"encoding/binary"
	"math"
	"slices"
	"testing"

	"bladeline/coverage/internal/raster/rastertest"

	"github.com/stretchr/testify/require"
)

// A tagFile is a TIFF whose directories are taken apart, to be changed and put
// together again behind its data.
type tagFile struct {
	data  []byte // all of the file, of which the strips stay where they are
	order binary.ByteOrder
	big   bool
	pages []tagPage
}

type tagPage struct {
	fields []tagField
	next   int // the page that follows, from 1; 0 for none
}

type tagField struct {
	tag, kind uint16
	count     uint64
	values    []byte
	at        uint64 // where the values are said to be, 0 for where they are put
}

// kindBytes are the bytes of one value of each field type.
var kindBytes = [19]int{1: 1, 2: 1, 3: 2, 4: 4, 5: 8, 6: 1, 7: 1, 8: 2, 9: 4, 10: 8, 11: 4, 12: 8, 13: 4, 16: 8, 17: 8, 18: 8}

func (f *tagFile) sizes() (count, entry, offset int) {
	if f.big {
		return 8, 20, 8
	}
	return 2, 12, 4
}

func (f *tagFile) number(b []byte, bytes int) uint64 {
	switch bytes {
	case 1:
		return uint64(b[0])
	case 2:
		return uint64(f.order.Uint16(b))
	case 4:
		return uint64(f.order.Uint32(b))
	}
	return f.order.Uint64(b)
}

func (f *tagFile) put(b []byte, bytes int, v uint64) {
	switch bytes {
	case 1:
		b[0] = byte(v)
	case 2:
		f.order.PutUint16(b, uint16(v))
	case 4:
		f.order.PutUint32(b, uint32(v))
	default:
		f.order.PutUint64(b, v)
	}
}

// takeApart reads a sound file.
func takeApart(data []byte) *tagFile {
	f := &tagFile{data: bytes.Clone(data), order: binary.LittleEndian}
	if data[0] == 'M' {
		f.order = binary.BigEndian
	}
	f.big = f.order.Uint16(data[2:]) == 43
	count, entry, offset := f.sizes()
	for at := f.number(data[offset:], offset); at != 0; {
		p := tagPage{next: len(f.pages) + 2}
		n := int(f.number(data[at:], count))
		for i := range n {
			p.fields = append(p.fields, f.field(data[int(at)+count+i*entry:]))
		}
		if at = f.number(data[int(at)+count+n*entry:], offset); at == 0 {
			p.next = 0
		}
		f.pages = append(f.pages, p)
	}
	return f
}

func (f *tagFile) field(entry []byte) tagField {
	_, _, offset := f.sizes()
	t := tagField{tag: f.order.Uint16(entry), kind: f.order.Uint16(entry[2:]), count: f.number(entry[4:], offset)}
	size := int(t.count) * kindBytes[t.kind]
	values := entry[4+offset:]
	if size > offset {
		values = f.data[f.number(values, offset):]
	}
	t.values = bytes.Clone(values[:size])
	return t
}

// joined is the file with its directories behind the data.
func (f *tagFile) joined() []byte {
	data := append(bytes.Clone(f.data), make([]byte, len(f.data)%2)...)
	countBytes, entry, offset := f.sizes()
	var starts, links []int
	for _, p := range f.pages {
		at := len(data)
		starts, links = append(starts, at), append(links, at+countBytes+len(p.fields)*entry)
		data = append(data, make([]byte, countBytes+len(p.fields)*entry+offset)...)
		f.put(data[at:], countBytes, uint64(len(p.fields)))
		for i, t := range p.fields {
			e := at + countBytes + i*entry
			f.put(data[e:], 2, uint64(t.tag))
			f.put(data[e+2:], 2, uint64(t.kind))
			f.put(data[e+4:], offset, t.count)
			switch {
			case t.at != 0:
				f.put(data[e+4+offset:], offset, t.at)
			case len(t.values) <= offset:
				copy(data[e+4+offset:e+4+2*offset], t.values)
			default:
				f.put(data[e+4+offset:], offset, uint64(len(data)))
				data = append(data, t.values...)
			}
		}
	}
	f.put(data[offset:], offset, uint64(starts[0]))
	for i, p := range f.pages {
		if p.next > 0 {
			f.put(data[links[i]:], offset, uint64(starts[(p.next-1)%len(starts)]))
		}
	}
	return data
}

// A script says what to change: numbers that are read off it in turn, and 0
// behind its end.
type script []byte

func (s *script) next() int {
	if len(*s) == 0 {
		return 0
	}
	v := (*s)[0]
	*s = (*s)[1:]
	return int(v)
}

// of is a number below n.
func (s *script) of(n int) int { return (s.next() | s.next()<<8) % max(n, 1) }

// edge is a value at which something may begin or end.
func (s *script) edge(f *tagFile, old uint64) uint64 {
	size := uint64(len(f.data))
	edges := []uint64{
		0, 1, 2, 3, 7, 8, 15, 16, 255, 1<<15 - 1, 1 << 15, 1<<16 - 1, 1 << 16, 1<<20 - 1, 1 << 20, 1<<20 + 1,
		1<<31 - 1, 1 << 31, math.MaxUint32, math.MaxInt64, 1 << 63, math.MaxUint64,
		size - 1, size, size + 1, size / 2, old - 1, old + 1, old * 2, old / 2, size - old, uint64(s.next()),
	}
	return edges[s.of(len(edges))]
}

// change does what the next numbers of the script say.
func (f *tagFile) change(s *script) {
	p := &f.pages[s.of(len(f.pages))]
	if len(p.fields) == 0 {
		return
	}
	op, i, j := s.of(14), s.of(len(p.fields)), s.of(len(p.fields))
	one, other := &p.fields[i], &p.fields[j]
	switch op {
	case 0:
		p.fields = append(p.fields, *one)
	case 1:
		p.fields = slices.Delete(p.fields, i, i+1)
	case 2:
		*one, *other = *other, *one
	case 3:
		one.tag, other.tag = other.tag, one.tag
	case 4:
		one.kind = uint16(s.of(20))
	case 5:
		one.count = s.edge(f, one.count)
	case 6:
		one.values = append(one.values, other.values...)
		one.count += other.count
	case 7:
		one.values, one.count, one.kind = bytes.Clone(other.values), other.count, other.kind
	case 8:
		one.at = s.edge(f, uint64(len(f.data)))
	case 9:
		p.next = s.of(len(f.pages) + 1)
	case 10:
		f.pages = append(f.pages, tagPage{slices.Clone(p.fields), s.of(len(f.pages) + 2)})
	case 11:
		at := s.of(len(f.data))
		f.data[max(at, 16)%len(f.data)] ^= 1 << s.of(8)
	default: // most often
		f.changeValue(one, s)
	}
}

func (f *tagFile) changeValue(t *tagField, s *script) {
	if int(t.kind) >= len(kindBytes) || kindBytes[t.kind] == 0 {
		return
	}
	size := min(4, kindBytes[t.kind])
	if kindBytes[t.kind] == 8 && t.kind != 5 {
		size = 8
	}
	if len(t.values) < size {
		return
	}
	t.values = bytes.Clone(t.values)
	at := s.of(len(t.values)/size) * size
	f.put(t.values[at:], size, s.edge(f, f.number(t.values[at:], size)))
}

// tagSeeds are sound files of all compressions and layouts.
func tagSeeds(t testing.TB) (seeds [][]byte) {
	for _, name := range sortedKeys(compressions) {
		for i, form := range []rastertest.Form{{}, {BigEndian: true}, {Big: true}, {Big: true, BigEndian: true}} {
			page := rastertest.TIFFPage{Picture: small(uint64(i)), Compression: compressions[name], PageName: "Rust"}
			tiled, inks := page, page
			tiled.TileWidth, tiled.TileHeight = 48, 32
			inks.Picture, inks.Photometric, inks.Planar = rastertest.Random(1, rastertest.Halftone, 50, 30, 5, 1), 5, 2
			inks.InkNames, inks.NumberOfInks = []string{"Rust", "Moss", "Sand", "Tar", "Sky"}, 5
			page.RowsPerStrip, page.FillOrder = 9, 1+i%2
			seeds = append(seeds, rastertest.EncodeTIFF(form, page, tiled, inks))
		}
	}
	tone := rastertest.Random(1, rastertest.Tone, 67, 45, 1, 8)
	strip, _ := jpegStrip(t, tone)
	seeds = append(seeds, jpegPage(tone, strip))
	palette := rastertest.TIFFPage{Picture: rastertest.New(40, 30, 1, 4), Photometric: 3, ColorMap: make([]uint16, 48)}
	alpha := rastertest.TIFFPage{Picture: rastertest.New(40, 30, 2, 8), ExtraSamples: []uint16{2}}
	deep := rastertest.TIFFPage{Picture: rastertest.Random(1, rastertest.Tone, 40, 30, 4, 16), Photometric: 5, Compression: rastertest.LZW, Predictor: 2}
	return append(seeds, pages(palette, alpha, deep))
}

// TestTagFilesComeBack holds that a file taken apart and joined is read the same.
func TestTagFilesComeBack(t *testing.T) {
	for _, data := range tagSeeds(t) {
		want, err := measureTIFF(data)
		require.NoError(t, err)
		got, err := measureTIFF(takeApart(data).joined())
		require.NoError(t, err)
		require.Equal(t, want, got)
	}
}
