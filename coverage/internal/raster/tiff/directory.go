package tiff

import (
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"unicode/utf8"

	"bladeline/coverage/internal/raster"
)

// typeSizes are the bytes one value of each field type takes: TIFF 6.0,
// section 2; 16 to 18 are BigTIFF's.
var typeSizes = [...]int64{1: 1, 2: 1, 3: 2, 4: 4, 5: 8, 6: 1, 7: 1, 8: 2, 9: 4, 10: 8, 11: 4, 12: 8, 13: 4, 16: 8, 17: 8, 18: 8}

// maxValues is how many values a field may have: one strip a row of the
// tallest page.
const maxValues = raster.MaxSide

const (
	typeByte     = 1
	typeASCII    = 2
	typeShort    = 3
	typeLong     = 4
	typeRational = 5
	typeIFD      = 13
	typeLong8    = 16
	typeIFD8     = 18
)

// A field is one entry of a directory; its values are read when asked for.
type field struct {
	kind   uint16
	count  int64
	offset int64 // of the first value in the file
}

// A directory is the fields of one page (IFD).
type directory struct {
	in     *input
	page   int
	fields map[uint16]field
	read   []span // of the header, the directory, and the values that were asked for
	next   int64  // offset of the next directory, 0 where there is none
}

// input is the file, whose every read is checked against its length, so that
// nothing is allocated on a header's word.
type input struct {
	r     io.ReaderAt
	size  int64
	order binary.ByteOrder
	big   bool // BigTIFF: counts and offsets of 8 bytes
	lzw   lzwReaders

	directories spans // the header and the directories of all pages
}

// sizes are the bytes that a directory's count of entries, an entry, and a
// count or offset take.
func (in *input) sizes() (count, entry, offset int64) {
	if in.big {
		return 8, 20, 8
	}
	return 2, 12, 4
}

func (in *input) headerSize() int64 {
	if in.big {
		return 16
	}
	return 8
}

// offset reads a count or offset; one beyond any file is -1.
func (in *input) offset(b []byte) int64 {
	if !in.big {
		return int64(in.order.Uint32(b))
	}
	if v := in.order.Uint64(b); v <= math.MaxInt64 {
		return int64(v)
	}
	return -1
}

// bytes reads n bytes at offset.
func (in *input) bytes(offset, n int64) ([]byte, error) {
	if offset < 0 || n < 0 || offset > in.size-n {
		return nil, io.ErrUnexpectedEOF
	}
	b := make([]byte, n)
	if _, err := in.r.ReadAt(b, offset); err != nil && err != io.EOF {
		return nil, err
	}
	return b, nil
}

// readDirectory reads the directory at offset.
func (in *input) readDirectory(offset int64, page int) (*directory, error) {
	d := &directory{in: in, page: page, fields: map[uint16]field{}}
	_, entrySize, offsetSize := in.sizes()
	at, n, err := in.countEntries(offset)
	if err != nil {
		return nil, d.damaged(err, "the page's directory, at byte %d, lies outside the file", offset)
	}
	if n < 1 || n > maxFields {
		return nil, d.damaged(nil, "the page's directory, at byte %d, claims %d fields", offset, n)
	}
	entries, err := in.bytes(at, n*entrySize+offsetSize)
	if err != nil {
		return nil, d.damaged(err, "the page's directory of %d fields, at byte %d, runs past the end of the file", n, offset)
	}
	d.read = append(d.read, span{0, in.headerSize()}, span{offset, at + int64(len(entries))})
	for i := range n {
		d.add(entries[i*entrySize:], at+i*entrySize)
	}
	if d.next = in.offset(entries[n*entrySize:]); d.next < 0 {
		return nil, d.damaged(nil, "the offset of the next page lies beyond any file")
	}
	return d, nil
}

// maxFields is what the count of classic TIFF holds.
const maxFields = 1<<16 - 1

// add enters the entry that stands at the given offset. Unknown field types
// are passed over, as TIFF 6.0 asks of readers; of a tag that stands twice the
// first counts.
func (d *directory) add(entry []byte, at int64) {
	in := d.in
	tag, kind := in.order.Uint16(entry), in.order.Uint16(entry[2:])
	if int(kind) >= len(typeSizes) || typeSizes[kind] == 0 {
		return
	}
	_, _, offsetSize := in.sizes()
	f := field{kind: kind, count: in.offset(entry[4:]), offset: at + 4 + offsetSize}
	if f.count < 0 || f.count > maxValues || f.count*typeSizes[kind] > offsetSize {
		f.offset = in.offset(entry[4+offsetSize:])
	}
	if _, twice := d.fields[tag]; !twice {
		d.fields[tag] = f
	}
}

// size is how many bytes the directory itself takes.
func (d *directory) size() int64 { return d.read[1].to - d.read[1].from }

// describes tells if bytes lie on what was read of the page, or on where the
// next directory begins.
func (d *directory) describes(data span) bool {
	for _, s := range d.read {
		if data.from < s.to && s.from < data.to {
			return true
		}
	}
	return d.next > data.from && d.next < data.to
}

// behind is where the first of what is known in the file begins behind offset,
// at most where the file ends.
func (d *directory) behind(offset int64) int64 {
	end := d.in.size
	if i := d.in.directories.endingBehind(offset); i < len(d.in.directories) {
		end = d.in.directories[i].from
	}
	for _, s := range append(d.read, span{from: d.next}) {
		if s.from >= offset {
			end = min(end, s.from)
		}
	}
	return max(end, offset)
}

func (d *directory) has(tag uint16) bool {
	_, ok := d.fields[tag]
	return ok
}

// raw reads the bytes of a field's first values, at most so many of them. That
// the others lie in the file, too, is checked.
func (d *directory) raw(tag uint16, most int64) (field, []byte, error) {
	f := d.fields[tag]
	if f.count < 0 || f.count > maxValues {
		return f, nil, d.damaged(nil, "tag %d claims %d values", tag, f.count)
	}
	outside := func(err error) error {
		return d.damaged(err, "the %d values of tag %d lie outside the file", f.count, tag)
	}
	size := f.count * typeSizes[f.kind]
	if f.offset < 0 || f.offset > d.in.size-size {
		return f, nil, outside(io.ErrUnexpectedEOF)
	}
	d.read = append(d.read, span{f.offset, f.offset + size})
	f.count = min(f.count, most)
	b, err := d.in.bytes(f.offset, f.count*typeSizes[f.kind])
	if err != nil {
		return f, nil, outside(err)
	}
	return f, b, nil
}

// ints returns the first whole-number values of a field, at most so many, nil
// where it is absent.
func (d *directory) ints(tag uint16, most int) ([]int64, error) {
	if !d.has(tag) {
		return nil, nil
	}
	f, b, err := d.raw(tag, int64(most))
	if err != nil {
		return nil, err
	}
	order := d.in.order
	values := make([]int64, f.count)
	for i := range values {
		switch f.kind {
		case typeByte:
			values[i] = int64(b[i])
		case typeShort:
			values[i] = int64(order.Uint16(b[2*i:]))
		case typeLong, typeIFD:
			values[i] = int64(order.Uint32(b[4*i:]))
		case typeLong8, typeIFD8:
			if values[i] = d.in.offset(b[8*i:]); values[i] < 0 {
				return nil, d.damaged(nil, "tag %d holds a number beyond any file", tag)
			}
		default:
			return nil, d.damaged(nil, "tag %d is of field type %d, not a whole number", tag, f.kind)
		}
	}
	return values, nil
}

// one returns a field's first whole number, or absent where there is none.
func (d *directory) one(tag uint16, absent int64) (int64, error) {
	values, err := d.ints(tag, 1)
	if err != nil || len(values) == 0 {
		return absent, err
	}
	return values[0], nil
}

// rational returns a field's first fraction, 0 where it is absent, of another
// type, or divides by 0.
func (d *directory) rational(tag uint16) (float64, error) {
	if f := d.fields[tag]; f.kind != typeRational || f.count < 1 {
		return 0, nil
	}
	_, b, err := d.raw(tag, 1)
	if err != nil {
		return 0, err
	}
	numerator, denominator := d.in.order.Uint32(b), d.in.order.Uint32(b[4:])
	if denominator == 0 {
		return 0, nil
	}
	return float64(numerator) / float64(denominator), nil
}

// names returns the first strings of an ASCII field, which NUL bytes end, at
// most so many, and none longer than a name is kept.
func (d *directory) names(tag uint16, most int) (names []string, err error) {
	if d.fields[tag].kind != typeASCII {
		return nil, nil
	}
	_, b, err := d.raw(tag, int64(most)*(raster.MaxName*utf8.UTFMax+1))
	if err != nil {
		return nil, err
	}
	for _, name := range strings.SplitN(strings.TrimRight(string(b), "\x00"), "\x00", most+1) {
		names = append(names, raster.Name(name))
	}
	return names[:min(len(names), most)], nil
}

// damaged makes the error for a directory that cannot be right, or could not
// be read.
func (d *directory) damaged(cause error, format string, a ...any) error {
	if cause != nil && !errors.Is(cause, io.ErrUnexpectedEOF) {
		return &raster.ReadError{Where: raster.Where{Page: d.page}, Err: cause}
	}
	return &raster.FormatError{Where: raster.Where{Page: d.page}, What: fmt.Sprintf(format, a...), Do: exportAgain, Err: cause}
}

// unread makes the error for a page of a kind that is not read.
func (d *directory) unread(do, format string, a ...any) error {
	return &raster.UnsupportedError{Where: raster.Where{Page: d.page}, What: fmt.Sprintf(format, a...), Do: do}
}

const exportAgain = "copy or export the file again"
