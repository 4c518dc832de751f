package rastertest

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"maps"
	"slices"
)

// A Field is the value of a TIFF tag, as it goes into the file.
type Field struct {
	Type  uint16 // TIFF 6.0, section 2
	Count uint64
	Value []byte // in the file's byte order
}

// A Rational is a numerator and a denominator.
type Rational [2]uint32

// A Form is what a TIFF file has once: its byte order and its kind. The zero
// value is little-endian classic TIFF.
type Form struct {
	BigEndian bool // MM
	Big       bool // BigTIFF: offsets of 8 bytes
}

func (f Form) order() binary.AppendByteOrder {
	if f.BigEndian {
		return binary.BigEndian
	}
	return binary.LittleEndian
}

// offset appends a file offset, or a count in an entry.
func (f Form) offset(b []byte, v uint64) []byte {
	if f.Big {
		return f.order().AppendUint64(b, v)
	}
	return f.order().AppendUint32(b, uint32(v))
}

// Offsets returns the value of a tag that holds offsets or byte counts, for
// Directory: LONG, or LONG8 in BigTIFF.
func (f Form) Offsets(v []uint64) any {
	if f.Big {
		return v
	}
	short := make([]uint32, len(v))
	for i := range v {
		short[i] = uint32(v[i])
	}
	return short
}

// Header returns the first bytes of a file whose first IFD stands at ifd.
func (f Form) Header(ifd uint64) []byte {
	mark := "II"
	if f.BigEndian {
		mark = "MM"
	}
	b := []byte(mark)
	if f.Big {
		b = f.order().AppendUint16(b, 43)
		b = f.order().AppendUint16(b, 8)
		b = f.order().AppendUint16(b, 0)
	} else {
		b = f.order().AppendUint16(b, 42)
	}
	return f.offset(b, ifd)
}

// Directory returns an IFD that is to stand at offset at, its long values
// behind it, and where in those bytes the offset of the next IFD stands.
// Values are Field, []byte, string, []uint16, []uint32, []uint64 or []Rational.
func (f Form) Directory(at uint64, tags map[uint16]any, next uint64) (ifd []byte, link int) {
	countSize, entrySize, inline := 2, 12, 4
	if f.Big {
		countSize, entrySize, inline = 8, 20, 8
	}
	behind := at + uint64(countSize+entrySize*len(tags)+inline)
	var values []byte
	if f.Big {
		ifd = f.order().AppendUint64(ifd, uint64(len(tags)))
	} else {
		ifd = f.order().AppendUint16(ifd, uint16(len(tags)))
	}
	for _, tag := range slices.Sorted(maps.Keys(tags)) {
		field := f.field(tags[tag])
		ifd = f.order().AppendUint16(ifd, tag)
		ifd = f.order().AppendUint16(ifd, field.Type)
		ifd = f.offset(ifd, field.Count)
		if len(field.Value) <= inline {
			ifd = append(ifd, field.Value...)
			ifd = append(ifd, make([]byte, inline-len(field.Value))...)
			continue
		}
		ifd = f.offset(ifd, behind+uint64(len(values)))
		values = append(values, field.Value...)
		values = append(values, make([]byte, len(values)%2)...) // values start on even offsets
	}
	link = len(ifd)
	ifd = f.offset(ifd, next)
	return append(ifd, values...), link
}

// field gives a Go value the TIFF type of its own size.
func (f Form) field(v any) Field {
	switch v := v.(type) {
	case Field:
		return v
	case []byte:
		return Field{7, uint64(len(v)), v}
	case string:
		return Field{2, uint64(len(v)) + 1, append([]byte(v), 0)}
	case []uint16:
		return Field{3, uint64(len(v)), f.binary(v)}
	case []uint32:
		return Field{4, uint64(len(v)), f.binary(v)}
	case []Rational:
		return Field{5, uint64(len(v)), f.binary(v)}
	case []uint64:
		return Field{16, uint64(len(v)), f.binary(v)}
	}
	panic(fmt.Sprintf("rastertest: no TIFF type for %T", v))
}

func (f Form) binary(v any) []byte {
	var order binary.ByteOrder = binary.LittleEndian
	if f.BigEndian {
		order = binary.BigEndian
	}
	var b bytes.Buffer
	if err := binary.Write(&b, order, v); err != nil {
		panic(err)
	}
	return b.Bytes()
}
