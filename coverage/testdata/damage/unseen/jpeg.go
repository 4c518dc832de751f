package unseen

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/jpeg"

	"bladeline/coverage/internal/raster/rastertest"
)

// Markers of JPEG: ITU-T T.81 (09/92), table B.1.
const (
	markerSOF0 = 0xc0
	markerDHT  = 0xc4
	markerSOS  = 0xda
	markerDQT  = 0xdb
)

// encodeJPEG returns a picture of one sample or several as JPEG.
func encodeJPEG(p *rastertest.Picture) []byte {
	if p.Samples == 1 {
		return encodeGray(p)
	}
	var planes [][]byte
	for s := range p.Samples {
		planes = append(planes, encodeGray(p.Plane(s)))
	}
	return interleaved(planes)
}

func encodeGray(p *rastertest.Picture) []byte {
	img := image.NewGray(image.Rect(0, 0, p.Width, p.Height))
	for i, v := range p.Data {
		img.Pix[i] = byte(v)
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, &jpeg.Options{Quality: 90}); err != nil {
		panic(err)
	}
	return b.Bytes()
}

// interleaved makes of gray pictures of one size and quality one picture, a
// block of each in turn (T.81, A.2.3): all have the same tables, so that their
// codes can be copied.
func interleaved(planes [][]byte) []byte {
	segments, _ := segmentsOf(planes[0])
	frame := append(segments[markerSOF0][:9:9], byte(len(planes)))
	scan := []byte{byte(len(planes))}
	var from []*blocks
	for i, plane := range planes {
		frame = append(frame, byte(i+1), 0x11, 0)
		scan = append(scan, byte(i+1), 0)
		_, codes := segmentsOf(plane)
		from = append(from, &blocks{bits: bitsOf(codes), codes: codesOf(segments[markerDHT])})
	}
	binary.BigEndian.PutUint16(frame[2:], uint16(len(frame)-2))
	height, width := int(binary.BigEndian.Uint16(frame[5:])), int(binary.BigEndian.Uint16(frame[7:]))
	var bits []byte
	for range (height + 7) / 8 * ((width + 7) / 8) {
		for _, b := range from {
			bits = append(bits, b.next()...)
		}
	}
	scan = append(scan, 0, 63, 0)
	return bytes.Join([][]byte{
		[]byte("\xff\xd8"), segments[markerDQT], frame, segments[markerDHT],
		{0xff, markerSOS, 0, byte(len(scan) + 2)}, scan, stuffed(bits), []byte("\xff\xd9"),
	}, nil)
}

// segmentsOf are the segments of a JPEG by their markers, and the codes behind
// them: T.81, B.1.1.
func segmentsOf(data []byte) (segments map[byte][]byte, codes []byte) {
	segments = map[byte][]byte{}
	for data = data[2:]; ; {
		marker, n := data[1], 2+int(binary.BigEndian.Uint16(data[2:]))
		segments[marker] = append(segments[marker], data[:n]...)
		if data = data[n:]; marker == markerSOS {
			return segments, data[:len(data)-2]
		}
	}
}

// A code is its bits behind a 1, which tells codes of different lengths apart.
type code int

// codesOf are the tables of DC and of AC coefficients: T.81, B.2.4.2 and annex C.
func codesOf(segment []byte) (tables [2]map[code]byte) {
	for rest := segment[4:]; len(rest) > 0; {
		table, values := map[code]byte{}, rest[17:]
		next := code(1)
		for _, n := range rest[1:17] {
			next <<= 1
			for range n {
				table[next], values = values[0], values[1:]
				next++
			}
		}
		tables[rest[0]>>4], rest = table, values
	}
	return tables
}

// blocks are those of a gray picture, bit by bit.
type blocks struct {
	bits  []byte
	codes [2]map[code]byte
}

// next returns the bits of the next block: T.81, F.1.2.
func (b *blocks) next() []byte {
	at, v := b.value(0, 0)
	for k := 1; k < 64; k++ {
		if at, v = b.value(at, 1); v == 0 {
			break
		}
		k += int(v >> 4)
	}
	block := b.bits[:at]
	b.bits = b.bits[at:]
	return block
}

// value reads the code at a bit, and returns where what belongs to it ends.
func (b *blocks) value(at, table int) (end int, v byte) {
	for c := code(1); ; {
		c = c<<1 | code(b.bits[at])
		at++
		if v, found := b.codes[table][c]; found {
			return at + int(v&15), v
		}
	}
}

// bitsOf are the bits of codes, without the zeros behind bytes of ones: T.81,
// B.1.1.5.
func bitsOf(codes []byte) (bits []byte) {
	for _, b := range bytes.ReplaceAll(codes, []byte{0xff, 0}, []byte{0xff}) {
		for i := 7; i >= 0; i-- {
			bits = append(bits, b>>i&1)
		}
	}
	return bits
}

// stuffed is what bitsOf undoes; the last byte is filled with ones.
func stuffed(bits []byte) (codes []byte) {
	for len(bits)%8 != 0 {
		bits = append(bits, 1)
	}
	for ; len(bits) > 0; bits = bits[8:] {
		var b byte
		for _, bit := range bits[:8] {
			b = b<<1 | bit
		}
		codes = append(codes, b)
	}
	return bytes.ReplaceAll(codes, []byte{0xff}, []byte{0xff, 0})
}
