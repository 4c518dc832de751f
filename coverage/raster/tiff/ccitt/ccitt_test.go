package ccitt

import (
	"bytes"
	"errors"
	"io"
	"math/rand/v2"
	"slices"
	"testing"

	"bladeline/coverage/raster/rastertest"

	"github.com/stretchr/testify/require"
	"golang.org/x/image/ccitt"
)

// A coding is a decoder and the encoder it is held against.
type coding struct {
	name    string
	decoder interface {
		Reset(src io.Reader, width int)
		Row() ([]int32, error)
	}
	encode func(rows [][]int32, width int) []byte
}

func codings() []coding {
	group3 := func(o rastertest.G3) func([][]int32, int) []byte {
		return func(rows [][]int32, width int) []byte { return rastertest.EncodeG3(rows, width, o) }
	}
	return []coding{
		{"Group 4", new(Group4), rastertest.EncodeG4},
		{"modified Huffman", new(Huffman), rastertest.EncodeMH},
		{"Group 3", NewGroup3(0), group3(rastertest.G3{})},
		{"Group 3, filled", NewGroup3(4), group3(rastertest.G3{FillEOL: true, RTC: true})},
		{"Group 3, two-dimensional", NewGroup3(1), group3(rastertest.G3{K: 4})},
		{"Group 3, two-dimensional, filled", NewGroup3(5), group3(rastertest.G3{K: 2, FillEOL: true, RTC: true})},
	}
}

func randomRows(seed uint64, nature rastertest.Nature, width, height int) [][]int32 {
	p := rastertest.Random(seed, nature, width, height, 1, 1)
	var rows [][]int32
	for y := range height {
		ends := p.Ends(y, 0)
		if len(ends)%2 == 1 {
			ends = append(ends, int32(width))
		}
		rows = append(rows, ends)
	}
	return rows
}

// decode decodes up to height rows and checks that each is well formed.
func decode(t testing.TB, c coding, data []byte, width, height int) ([][]int32, error) {
	var rows [][]int32
	c.decoder.Reset(bytes.NewReader(data), width)
	for range height {
		ends, err := c.decoder.Row()
		if err != nil {
			return rows, err
		}
		require.Zero(t, len(ends)%2)
		for i, end := range ends {
			require.True(t, end >= 0 && end <= int32(width) && (i == 0 || end > ends[i-1]), "row %d: %v", len(rows), ends)
		}
		rows = append(rows, slices.Clone(ends))
	}
	return rows, nil
}

func TestRowsComeBack(t *testing.T) {
	for _, c := range codings() {
		t.Run(c.name, func(t *testing.T) {
			for nature := range rastertest.Natures {
				for _, width := range []int{1, 2, 7, 64, 333, 1728, 5000} {
					rows := randomRows(uint64(width), nature, width, 30)
					got, err := decode(t, c, c.encode(rows, width), width, 30)
					require.NoError(t, err)
					for y := range rows {
						require.True(t, slices.Equal(rows[y], got[y]), "%v, width %d, row %d", nature, width, y)
					}
				}
			}
		})
	}
}

// TestCutShort holds that rows decoded from a stream that ends early are right
// as far as they go, and that the end is then an error.
func TestCutShort(t *testing.T) {
	for _, c := range codings() {
		t.Run(c.name, func(t *testing.T) {
			rows := randomRows(1, rastertest.Halftone, 200, 12)
			data := c.encode(rows, 200)
			for n := range data {
				got, err := decode(t, c, data[:n], 200, 12)
				for y := range got {
					require.True(t, slices.Equal(rows[y], got[y]), "cut at %d, row %d", n, y)
				}
				if len(got) < len(rows) {
					require.ErrorIs(t, err, io.ErrUnexpectedEOF, "cut at %d", n)
				}
			}
		})
	}
}

// TestAnyBits holds that whatever bytes come, rows are well formed and the end
// is one of the package's errors.
func TestAnyBits(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for _, c := range codings() {
		for range 3000 {
			data := make([]byte, r.IntN(60))
			for i := range data {
				half := r.Uint32()
				data[i] = byte(half | half>>8) // more ones: more codes that fit
			}
			_, err := decode(t, c, data, 1+r.IntN(300), 10_000)
			require.True(t, errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, ErrCode) || errors.Is(err, ErrRow) ||
				errors.Is(err, ErrEarlyEnd) || errors.Is(err, ErrUncompressed), "%v", err)
		}
	}
}

// TestBrokenFile passes on what a stream itself reports.
func TestBrokenFile(t *testing.T) {
	broken := errors.New("broken")
	rows := randomRows(1, rastertest.Noise, 2000, 50)
	for _, c := range codings() {
		data := c.encode(rows, 2000)
		c.decoder.Reset(io.MultiReader(bytes.NewReader(data[:len(data)/2]), brokenReader{broken}), 2000)
		var err error
		for range rows {
			if _, err = c.decoder.Row(); err != nil {
				break
			}
		}
		require.ErrorIs(t, err, broken, c.name)
	}
}

type brokenReader struct{ error }

func (r brokenReader) Read([]byte) (int, error) { return 0, r.error }

// fuzzCoding feeds any bytes: rows are well formed whatever comes, and the work
// is bounded by the bytes.
func fuzzCoding(f *testing.F, which ...int) {
	for _, i := range which {
		c := codings()[i]
		for nature := range rastertest.Natures {
			f.Add(c.encode(randomRows(9, nature, 100, 8), 100), uint16(100))
		}
	}
	f.Add(bytes.Repeat([]byte{0xff}, 40), uint16(3))
	f.Add(make([]byte, 40), uint16(3))
	f.Fuzz(func(t *testing.T, data []byte, width uint16) {
		for _, i := range which {
			decode(t, codings()[i], data, int(width)+1, 8*len(data)+2)
		}
	})
}

func FuzzHuffman(f *testing.F) { fuzzCoding(f, 1) }
func FuzzGroup3(f *testing.F)  { fuzzCoding(f, 2, 4) }

// FuzzGroup4 also compares with golang.org/x/image/ccitt where that reads all
// rows.
func FuzzGroup4(f *testing.F) {
	for nature := range rastertest.Natures {
		f.Add(rastertest.EncodeG4(randomRows(9, nature, 100, 8), 100), uint16(99), uint16(7))
	}
	f.Fuzz(func(t *testing.T, data []byte, w, h uint16) {
		width, height := int(w%2000)+1, int(h%500)+1
		rows, err := decode(t, codings()[0], data, width, height)
		if err != nil {
			return
		}
		theirs, err := io.ReadAll(ccitt.NewReader(bytes.NewReader(data), ccitt.MSB, ccitt.Group4, width, height, nil))
		if err != nil {
			return // it takes no row that follows an end mark, and no run codes beyond 2560
		}
		rowBytes := (width + 7) / 8
		for y, row := range rows {
			require.Equal(t, theirs[y*rowBytes:][:rowBytes], painted(row, width), "row %d", y)
		}
	})
}

// painted packs a row, white being 1 as x/image has it.
func painted(ends []int32, width int) []byte {
	row := bytes.Repeat([]byte{0xff}, (width+7)/8)
	for i := 0; i < len(ends); i += 2 {
		for x := ends[i]; x < ends[i+1]; x++ {
			row[x/8] &^= 0x80 >> (x % 8)
		}
	}
	if spare := -width & 7; spare > 0 {
		row[len(row)-1] &= 0xff << spare
	}
	return row
}

func BenchmarkRow(b *testing.B) {
	for _, c := range codings() {
		b.Run(c.name, func(b *testing.B) {
			const width, height = 20_000, 200
			data := c.encode(randomRows(1, rastertest.Halftone, width, height), width)
			b.SetBytes(int64(len(data)))
			for b.Loop() {
				c.decoder.Reset(bytes.NewReader(data), width)
				for range height {
					if _, err := c.decoder.Row(); err != nil {
						b.Fatal(err)
					}
				}
			}
		})
	}
}
