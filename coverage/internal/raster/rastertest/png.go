package rastertest

import (
	"encoding/binary"
	"hash/crc32"
	"io"
	"math/rand/v2"
)

// Colour types of PNG (PNG, third edition, table 8).
const (
	PNGGray      = 0
	PNGRGB       = 2
	PNGPalette   = 3
	PNGGrayAlpha = 4
	PNGRGBA      = 6
)

// Row filters of PNG (PNG, third edition, table 10). PNGAnyFilter chooses anew
// for every row.
const (
	PNGAnyFilter = -1
	PNGNone      = 0
	PNGSub       = 1
	PNGUp        = 2
	PNGAverage   = 3
	PNGPaeth     = 4
)

// PNGSignature are the first bytes of every file.
const PNGSignature = "\x89PNG\r\n\x1a\n"

// A PNGFile is a picture and how it is written; its samples are those of the
// colour type, a palette's indices included.
type PNGFile struct {
	*Picture

	Colour     int
	Palette    []byte // PLTE: red, green, blue
	Alpha      []byte // tRNS, as it stands in the file
	Filter     int
	Seed       uint64 // of PNGAnyFilter
	Interlaced bool
	IDAT       int       // bytes in a chunk of data; 0 is all in one
	PHYs       [2]uint32 // px a metre across and down; left out where zero
	Extra      []byte    // whole chunks to stand before the data
}

// WritePNG writes the file.
func WritePNG(w io.Writer, f PNGFile) error {
	_, err := w.Write(EncodePNG(f))
	return err
}

// EncodePNG returns what WritePNG writes.
func EncodePNG(f PNGFile) []byte {
	file := []byte(PNGSignature)
	file = AppendPNGChunk(file, "IHDR", f.header())
	if f.PHYs != [2]uint32{} {
		file = AppendPNGChunk(file, "pHYs", PNGPhys(f.PHYs[0], f.PHYs[1]))
	}
	if f.Palette != nil {
		file = AppendPNGChunk(file, "PLTE", f.Palette)
	}
	if f.Alpha != nil {
		file = AppendPNGChunk(file, "tRNS", f.Alpha)
	}
	file = append(file, f.Extra...)
	data := encodeZlib(f.filtered())
	for f.IDAT > 0 && len(data) > f.IDAT {
		file = AppendPNGChunk(file, "IDAT", data[:f.IDAT])
		data = data[f.IDAT:]
	}
	file = AppendPNGChunk(file, "IDAT", data)
	return AppendPNGChunk(file, "IEND", nil)
}

// AppendPNGChunk appends a chunk with its length and its CRC.
func AppendPNGChunk(file []byte, name string, data []byte) []byte {
	file = binary.BigEndian.AppendUint32(file, uint32(len(data)))
	at := len(file)
	file = append(file, name...)
	file = append(file, data...)
	return binary.BigEndian.AppendUint32(file, crc32.ChecksumIEEE(file[at:]))
}

// A PNGChunk is one chunk of a file, without its length and its CRC.
type PNGChunk struct {
	Name string
	Data []byte
}

// SplitPNG takes a sound file apart.
func SplitPNG(file []byte) (chunks []PNGChunk) {
	for file = file[len(PNGSignature):]; len(file) > 0; {
		n := binary.BigEndian.Uint32(file)
		chunks = append(chunks, PNGChunk{string(file[4:8]), file[8:][:n:n]})
		file = file[12+n:]
	}
	return chunks
}

// JoinPNG makes a file of any chunks, their lengths and CRCs right.
func JoinPNG(chunks ...PNGChunk) []byte {
	file := []byte(PNGSignature)
	for _, c := range chunks {
		file = AppendPNGChunk(file, c.Name, c.Data)
	}
	return file
}

// PNGHeader returns the data of an IHDR chunk.
func PNGHeader(width, height, bits, colour int, interlaced bool) []byte {
	b := binary.BigEndian.AppendUint32(nil, uint32(width))
	b = binary.BigEndian.AppendUint32(b, uint32(height))
	b = append(b, byte(bits), byte(colour), 0, 0, 0)
	if interlaced {
		b[12] = 1
	}
	return b
}

// PNGPhys returns the data of a pHYs chunk, x and y in px a metre.
func PNGPhys(x, y uint32) []byte {
	b := binary.BigEndian.AppendUint32(nil, x)
	b = binary.BigEndian.AppendUint32(b, y)
	return append(b, 1)
}

func (f *PNGFile) header() []byte {
	return PNGHeader(f.Width, f.Height, f.Bits, f.Colour, f.Interlaced)
}

// filtered returns the rows of the picture, or of its passes, each behind the
// number of its filter.
func (f *PNGFile) filtered() []byte {
	passes := []*Picture{f.Picture}
	if f.Interlaced {
		passes = adam7(f.Picture)
	}
	r := rand.New(rand.NewPCG(f.Seed, 0))
	pixel := max(1, f.Samples*f.Bits/8)
	var out []byte
	for _, p := range passes {
		above := make([]byte, (p.Width*p.Samples*p.Bits+7)/8)
		for y := range p.Height {
			filter := f.Filter
			if filter == PNGAnyFilter {
				filter = r.IntN(5)
			}
			row := p.PackRow(y)
			out = append(out, byte(filter))
			out = AppendPNGFiltered(out, filter, row, above, pixel)
			above = row
		}
	}
	return out
}

// AppendPNGFiltered appends a row less its prediction (PNG, third edition,
// section 9); pixel is a pixel's length in bytes, at least 1.
func AppendPNGFiltered(out []byte, filter int, row, above []byte, pixel int) []byte {
	for i, v := range row {
		var left, corner byte
		if i >= pixel {
			left, corner = row[i-pixel], above[i-pixel]
		}
		out = append(out, v-predicted(filter, left, above[i], corner))
	}
	return out
}

func predicted(filter int, left, up, corner byte) byte {
	switch filter {
	case PNGSub:
		return left
	case PNGUp:
		return up
	case PNGAverage:
		return byte((int(left) + int(up)) / 2)
	case PNGPaeth:
		return paeth(int(left), int(up), int(corner))
	}
	return 0
}

// paeth chooses the neighbour nearest to left + up - corner, in that order
// among equals (PNG, third edition, 9.4).
func paeth(left, up, corner int) byte {
	distance := func(v int) int {
		d := left + up - corner - v
		return max(d, -d)
	}
	switch {
	case distance(left) <= distance(up) && distance(left) <= distance(corner):
		return byte(left)
	case distance(up) <= distance(corner):
		return byte(up)
	}
	return byte(corner)
}

// adam7 returns the passes that are not empty: from pixel x, y on, every dx-th
// pixel of every dy-th row (PNG, third edition, section 8).
func adam7(p *Picture) []*Picture {
	var passes []*Picture
	for _, a := range [7]struct{ x, y, dx, dy int }{
		{0, 0, 8, 8}, {4, 0, 8, 8}, {0, 4, 4, 8}, {2, 0, 4, 4}, {0, 2, 2, 4}, {1, 0, 2, 2}, {0, 1, 1, 2},
	} {
		pass := New((p.Width-a.x+a.dx-1)/a.dx, (p.Height-a.y+a.dy-1)/a.dy, p.Samples, p.Bits)
		if pass.Width == 0 || pass.Height == 0 {
			continue
		}
		for s := range p.Samples {
			pass.fill(s, func(x, y int) uint16 { return p.At(a.x+x*a.dx, a.y+y*a.dy, s) })
		}
		passes = append(passes, pass)
	}
	return passes
}

// A PNGData writer splits what it is given into IDAT chunks as it comes, for
// files too large to hold.
type PNGData struct{ W io.Writer }

// Write writes one chunk.
func (d PNGData) Write(data []byte) (int, error) {
	if _, err := d.W.Write(AppendPNGChunk(nil, "IDAT", data)); err != nil {
		return 0, err
	}
	return len(data), nil
}
