package bilevel

import (
	"bytes"
	"encoding/binary"
	"io"
	"math"

	"bladeline/coverage/internal/raster/fax"
)

// Tags of TIFF 6.0, and what is written into them.
const (
	tagWidth       = 256
	tagHeight      = 257
	tagBits        = 258
	tagCompression = 259 // 4: Group 4
	tagPhotometric = 262 // 0: white is zero, ink is one
	tagDescription = 270
	tagOffsets     = 273
	tagSamples     = 277
	tagRows        = 278
	tagCounts      = 279
	tagXResolution = 282
	tagYResolution = 283
	tagT6Options   = 293
	tagUnit        = 296 // 2: inch
)

// Types of TIFF 6.0, section 2.
const (
	typeASCII    = 2
	typeShort    = 3
	typeLong     = 4
	typeRational = 5
)

// rowsAStrip makes strips that are decoded side by side.
const rowsAStrip = 1024

// WriteTIFF writes a picture as TIFF 6.0, in Group 4 (section 11) and strips of
// 1024 rows. The resolution is stated to 1/10,000 dpi.
func WriteTIFF(w io.Writer, p *Picture) error {
	if err := p.check(); err != nil {
		return err
	}
	data, counts, err := p.strips()
	if err != nil {
		return err
	}
	d := directory{at: 8 + uint32(len(data))}
	offsets, at := make([]uint32, len(counts)), uint32(8)
	for i, n := range counts {
		offsets[i], at = at, at+n
	}
	const parts = 10_000
	resolution := []uint32{uint32(math.Round(p.DPI * parts)), parts}
	d.add(tagWidth, typeLong, uint32(p.Width))
	d.add(tagHeight, typeLong, uint32(p.Height))
	d.add(tagBits, typeShort, 1)
	d.add(tagCompression, typeShort, 4)
	d.add(tagPhotometric, typeShort, 0)
	d.text(tagDescription, p.Description)
	d.add(tagOffsets, typeLong, offsets...)
	d.add(tagSamples, typeShort, 1)
	d.add(tagRows, typeLong, rowsAStrip)
	d.add(tagCounts, typeLong, counts...)
	d.add(tagXResolution, typeRational, resolution...)
	d.add(tagYResolution, typeRational, resolution...)
	d.add(tagT6Options, typeLong, 0)
	d.add(tagUnit, typeShort, 2)
	head := binary.LittleEndian.AppendUint32([]byte{'I', 'I', 42, 0}, d.start())
	for _, part := range [][]byte{head, data, d.bytes()} {
		if _, err := w.Write(part); err != nil {
			return err
		}
	}
	return nil
}

// strips are the coded rows, every strip at an even length, and how long each is.
func (p *Picture) strips() (data []byte, counts []uint32, err error) {
	var b bytes.Buffer
	var ends []int32
	for top := 0; top < p.Height; top += rowsAStrip {
		from := b.Len()
		e := fax.NewG4Encoder(&b, p.Width)
		for y := top; y < min(top+rowsAStrip, p.Height); y++ {
			ends = p.Row(y, ends[:0])
			e.Row(ends)
		}
		if err := e.Close(); err != nil {
			return nil, nil, err
		}
		if b.Len()%2 == 1 { // where the directory begins must be even; behind the end mark nothing is read
			b.WriteByte(0)
		}
		counts = append(counts, uint32(b.Len()-from))
	}
	return b.Bytes(), counts, nil
}

// directory is the one directory of a file, with what its entries refer to before it.
type directory struct {
	at      uint32 // where values stands in the file
	values  []byte
	entries []byte
	count   uint16
}

func (d *directory) text(tag uint16, s string) {
	if s != "" {
		d.entry(tag, typeASCII, uint32(len(s)+1), append([]byte(s), 0))
	}
}

func (d *directory) add(tag, kind uint16, values ...uint32) {
	var data []byte
	for _, v := range values {
		if kind == typeShort {
			data = binary.LittleEndian.AppendUint16(data, uint16(v))
		} else {
			data = binary.LittleEndian.AppendUint32(data, v)
		}
	}
	n := uint32(len(values))
	if kind == typeRational {
		n /= 2
	}
	d.entry(tag, kind, n, data)
}

func (d *directory) entry(tag, kind uint16, n uint32, data []byte) {
	d.count++
	d.entries = binary.LittleEndian.AppendUint16(d.entries, tag)
	d.entries = binary.LittleEndian.AppendUint16(d.entries, kind)
	d.entries = binary.LittleEndian.AppendUint32(d.entries, n)
	if len(data) <= 4 {
		d.entries = append(d.entries, append(data, make([]byte, 4-len(data))...)...)
		return
	}
	d.entries = binary.LittleEndian.AppendUint32(d.entries, d.at+uint32(len(d.values)))
	d.values = append(d.values, data...)
	if len(data)%2 == 1 {
		d.values = append(d.values, 0)
	}
}

// start is where the directory itself begins.
func (d *directory) start() uint32 { return d.at + uint32(len(d.values)) }

func (d *directory) bytes() []byte {
	all := binary.LittleEndian.AppendUint16(d.values, d.count)
	return append(append(all, d.entries...), 0, 0, 0, 0)
}
