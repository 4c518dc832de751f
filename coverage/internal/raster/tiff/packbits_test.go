package tiff

import (
	"bytes"
	"io"
	"testing"
	"testing/iotest"

	"bladeline/coverage/internal/raster/rastertest"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// naivePackBits follows TIFF 6.0, section 9, code by code, as far as the data go.
func naivePackBits(data []byte) (out []byte) {
	for len(data) > 0 {
		n := int(int8(data[0]))
		data = data[1:]
		switch {
		case n == -128:
		case n >= 0:
			if len(data) <= n {
				return append(out, data...)
			}
			out = append(out, data[:n+1]...)
			data = data[n+1:]
		case len(data) == 0:
			return out
		default:
			out = append(out, bytes.Repeat(data[:1], 1-n)...)
			data = data[1:]
		}
	}
	return out
}

// noRows is longer than all rows of a test together.
const noRows = 1 << 30

// requirePackBits reads as many bytes as there are, some at a time, and then
// finds that there are no more.
func requirePackBits(t require.TestingT, src io.Reader, want []byte, some int) {
	var r packBitsReader
	r.reset(src, noRows)
	got := make([]byte, len(want))
	for at := 0; at < len(got); at += some {
		_, err := io.ReadFull(&r, got[at:min(at+some, len(got))])
		require.NoError(t, err)
	}
	require.True(t, bytes.Equal(want, got))
	n, err := r.Read(make([]byte, 1))
	require.Zero(t, n)
	require.ErrorIs(t, err, io.ErrUnexpectedEOF)
}

func TestPackBitsRoundTrips(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		data := rows(t)
		strip := rastertest.EncodePackBits(data)
		some := rapid.IntRange(1, len(data)+1).Draw(t, "some")
		requirePackBits(t, bytes.NewReader(strip), data, some)
		requirePackBits(t, iotest.HalfReader(bytes.NewReader(strip)), data, some)
		requirePackBits(t, iotest.DataErrReader(bytes.NewReader(strip)), data, some)
	})
}

// An example often given beside TIFF 6.0, section 9, of a coder of the same form
// (from memory), with a code that does nothing within.
func TestPackBitsExample(t *testing.T) {
	packed := []byte{0xfe, 0xaa, 0x02, 0x80, 0x00, 0x2a, 0x80, 0xfd, 0xaa, 0x03, 0x80, 0x00, 0x2a, 0x22, 0xf7, 0xaa}
	want := []byte{
		0xaa, 0xaa, 0xaa, 0x80, 0x00, 0x2a, 0xaa, 0xaa, 0xaa, 0xaa, 0x80, 0x00,
		0x2a, 0x22, 0xaa, 0xaa, 0xaa, 0xaa, 0xaa, 0xaa, 0xaa, 0xaa, 0xaa, 0xaa,
	}
	requirePackBits(t, iotest.OneByteReader(bytes.NewReader(packed)), want, 5)
}

func TestPackBitsCutShort(t *testing.T) {
	data := rastertest.Random(1, rastertest.Halftone, 8000, 4, 1, 1).PackRow(2)
	data = append(data, make([]byte, 300)...)
	strip := rastertest.EncodePackBits(data)
	for n := range len(strip) {
		var r packBitsReader
		r.reset(bytes.NewReader(strip[:n]), noRows)
		got := make([]byte, len(data))
		read, err := io.ReadFull(&r, got)
		require.ErrorIs(t, err, io.ErrUnexpectedEOF)
		require.Less(t, read, len(data))
		require.True(t, bytes.HasPrefix(data, got[:read]))
	}
}

// TestPackBitsAcrossRows refuses what goes beyond a row's end, wherever it stands,
// with all of the rows before it read.
func TestPackBitsAcrossRows(t *testing.T) {
	const row, sound = 300, 7
	for name, code := range map[string][]byte{"run": {0xd3, 9}, "bytes": append([]byte{45}, make([]byte, 46)...)} {
		for _, behind := range []int{0, 1000} {
			line := append(bytes.Repeat([]byte{0x81, 3}, 2), 0xd5, 5) // 2 · 128 + 44
			strip := append(bytes.Repeat(line, sound), line[:4]...)
			strip = append(strip, code...) // 46 where 44 are left
			strip = append(strip, make([]byte, behind)...)
			var r packBitsReader
			r.reset(bytes.NewReader(strip), row)
			got, err := io.ReadAll(&r)
			require.ErrorIs(t, err, errPackBits, name)
			require.Len(t, got, row*sound+256, name)
		}
	}
}

// FuzzPackBits compares with the naive reader, with reads of any length.
func FuzzPackBits(f *testing.F) {
	f.Add([]byte{0xfe, 0xaa, 0x02, 0x80, 0x00, 0x2a, 0x80, 0x81, 0x01}, 3)
	f.Add(bytes.Repeat([]byte{0x81, 0x00, 0x00, 0x07}, 400), 1000)
	f.Fuzz(func(t *testing.T, data []byte, some int) {
		want := naivePackBits(data)
		requirePackBits(t, bytes.NewReader(data), want, 1+int(uint(some)%5000))
	})
}

func BenchmarkPackBits(b *testing.B) {
	for name, p := range benchmarkPictures() {
		b.Run(name, func(b *testing.B) {
			var strip []byte
			for y := range p.Height {
				strip = append(strip, rastertest.EncodePackBits(p.PackRow(y))...)
			}
			var r packBitsReader
			benchmarkExpand(b, p, func() io.Reader {
				r.reset(bytes.NewReader(strip), len(p.PackRow(0)))
				return &r
			})
		})
	}
}
