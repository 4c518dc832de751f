package ccitt

import (
	"bytes"
	"io"
	"testing"

	"bladeline/coverage/internal/raster/fax"
	"bladeline/coverage/internal/raster/rastertest"

	"github.com/stretchr/testify/require"
	"golang.org/x/image/ccitt"
)

// fuzz holds a decoder of any bytes to its promise: an error or sound rows, the
// same with vectors and without. It returns the rows if there are as many as asked
// for.
func fuzz(t *testing.T, d decoder, data []byte, width, height int) [][]int32 {
	rows, err := decodeAll(d, bytes.NewReader(data), width, height)
	requireSound(t, rows, width)
	withoutVectors(func() {
		same, sameErr := decodeAll(d, bytes.NewReader(data), width, height)
		require.Equal(t, err, sameErr)
		requireRows(t, rows, same)
	})
	if err != nil {
		return nil
	}
	// How much a read returns changes nothing.
	again, err := decodeAll(d, &trickle{data: data}, width, height)
	require.NoError(t, err)
	requireRows(t, rows, again)
	return rows
}

// A trickle reads 1, 2, 3 … 13 bytes, then 1 again.
type trickle struct {
	data []byte
	n    int
}

func (r *trickle) Read(p []byte) (int, error) {
	r.n = r.n%13 + 1
	if len(r.data) == 0 {
		return 0, io.EOF
	}
	n := copy(p, r.data[:min(r.n, len(r.data))])
	r.data = r.data[n:]
	return n, nil
}

// size limits what a fuzzer asks for; the width reaches past make-up codes.
func size(width uint16, height uint8) (int, int) { return int(width)%6000 + 1, int(height) + 1 }

func seeds(f *testing.F, add func(data []byte, width uint16, height uint8), encode func([][]int32, int) []byte) {
	for nature := range rastertest.Natures {
		for _, width := range []int{1, 9, 64, 700, 3000} {
			add(encode(picture(1, nature, width, 5), width), uint16(width-1), 4)
		}
	}
	add(bytes.Repeat([]byte{0}, 40), 8, 4)
	add(bytes.Repeat([]byte{0xff}, 40), 8, 200)
}

// FuzzGroup4 also compares with golang.org/x/image/ccitt where both decode. Of
// vertical codes that do not move on, that one makes runs of no length; here
// they are an error. It takes a pass code that reaches the row's end for the
// end of the row, which is an error here. Else it accepts no more and no less.
func FuzzGroup4(f *testing.F) {
	seeds(f, func(data []byte, width uint16, height uint8) { f.Add(data, width, height) }, fax.EncodeG4)
	f.Fuzz(func(t *testing.T, data []byte, width uint16, height uint8) {
		w, h := size(width, height)
		compare(t, fuzz(t, new(Group4), data, w, h), data, ccitt.Group4, w, h)
	})
}

// FuzzGroup3 also compares with golang.org/x/image/ccitt, which knows no fill
// and no missing EOL, and wants an EOL behind each row.
func FuzzGroup3(f *testing.F) {
	for _, g3 := range []fax.G3{{}, {RTC: true}, {FillEOL: true}, {K: 2}, {K: 4, FillEOL: true, RTC: true}} {
		seeds(f, func(data []byte, width uint16, height uint8) { f.Add(data, width, height, byte(options(g3))) },
			func(rows [][]int32, width int) []byte { return fax.EncodeG3(rows, width, g3) })
	}
	f.Fuzz(func(t *testing.T, data []byte, width uint16, height uint8, options byte) {
		w, h := size(width, height)
		rows := fuzz(t, NewGroup3(int64(options)), data, w, h)
		if options&twoDimensional == 0 {
			compare(t, rows, data, ccitt.Group3, w, h)
		}
	})
}

// FuzzHuffman has no other decoder to compare with.
func FuzzHuffman(f *testing.F) {
	seeds(f, func(data []byte, width uint16, height uint8) { f.Add(data, width, height) }, fax.EncodeMH)
	f.Fuzz(func(t *testing.T, data []byte, width uint16, height uint8) {
		w, h := size(width, height)
		fuzz(t, new(Huffman), data, w, h)
	})
}

// compare holds rows against golang.org/x/image/ccitt if both decoded them.
func compare(t *testing.T, rows [][]int32, data []byte, format ccitt.SubFormat, width, height int) {
	if rows == nil {
		return
	}
	if want, err := byXImage(data, format, width, height); err == nil {
		requireRows(t, want, rows)
	}
}
