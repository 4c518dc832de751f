package bilevel

import (
	"encoding/binary"
	"hash/crc32"
	"io"

	"github.com/klauspost/compress/zlib"
)

// WritePNG writes a picture as gray PNG of 1 bit (ISO/IEC 15948), ink black. The
// standard library's writer would hold a byte a pixel, and states no resolution.
// DPI must be one that DPIOfPNG gives.
func WritePNG(w io.Writer, p *Picture) error {
	if err := p.check(); err != nil {
		return err
	}
	c := &chunks{w: w}
	c.plain("\x89PNG\r\n\x1a\n")
	header := binary.BigEndian.AppendUint32(nil, uint32(p.Width))
	header = binary.BigEndian.AppendUint32(header, uint32(p.Height))
	c.chunk("IHDR", append(header, 1, 0, 0, 0, 0)) // 1 bit, gray, Deflate, filters by row, not interlaced
	perMetre := binary.BigEndian.AppendUint32(nil, uint32(pixelsAMetre(p.DPI)))
	c.chunk("pHYs", append(append(perMetre, perMetre...), 1))
	p.deflate(c)
	c.chunk("IEND", nil)
	return c.err
}

// filterUp says of a row that its bytes are less those of the row above: of rows
// that are alike nothing is left.
const filterUp = 2

func (p *Picture) deflate(c *chunks) {
	z := zlib.NewWriter(c)
	size := (p.Width + 7) / 8
	row, above, out := make([]byte, size), make([]byte, size), make([]byte, 1+size)
	var ends []int32
	out[0] = filterUp
	for y := 0; y < p.Height && c.err == nil; y++ {
		ends = p.Row(y, ends[:0])
		p.paint(row, ends)
		for i, v := range row {
			out[1+i] = v - above[i]
		}
		if _, err := z.Write(out); err != nil {
			break // c keeps it
		}
		row, above = above, row
	}
	if err := z.Close(); err != nil && c.err == nil {
		c.err = err
	}
}

// paint makes bits of run ends: paper is one, ink zero.
func (p *Picture) paint(row []byte, ends []int32) {
	for i := range row {
		row[i] = 0xff
	}
	for i := 0; i < len(ends); i += 2 {
		to := p.Width
		if i+1 < len(ends) {
			to = min(to, int(ends[i+1]))
		}
		clearBits(row, int(ends[i]), to)
	}
}

// clearBits makes zeros of the bits from one to before another.
func clearBits(row []byte, from, to int) {
	for ; from < to && from%8 != 0; from++ {
		row[from/8] &^= 0x80 >> (from % 8)
	}
	for ; from+8 <= to; from += 8 {
		row[from/8] = 0
	}
	for ; from < to; from++ {
		row[from/8] &^= 0x80 >> (from % 8)
	}
}

// chunks writes chunks, and what is written to it as chunks of data. It keeps the first error.
type chunks struct {
	w   io.Writer
	err error
}

func (c *chunks) Write(data []byte) (int, error) {
	c.chunk("IDAT", data)
	return len(data), c.err
}

func (c *chunks) chunk(kind string, data []byte) {
	sum := crc32.NewIEEE()
	io.WriteString(sum, kind)
	sum.Write(data)
	c.plain(string(binary.BigEndian.AppendUint32(nil, uint32(len(data)))) + kind)
	c.plain(string(data))
	c.plain(string(binary.BigEndian.AppendUint32(nil, sum.Sum32())))
}

func (c *chunks) plain(s string) {
	if c.err == nil {
		_, c.err = io.WriteString(c.w, s)
	}
}
