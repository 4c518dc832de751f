package rastertest

import (
	"bytes"
	"compress/zlib"
	"io"
	"testing"

	"bladeline/coverage/internal/raster/fax"

	"github.com/stretchr/testify/require"
	"golang.org/x/image/ccitt"
	"pgregory.net/rapid"
)

func drawRows(t *rapid.T) (p *Picture, rows [][]int32) {
	p = Random(
		rapid.Uint64().Draw(t, "seed"),
		Nature(rapid.IntRange(0, int(Natures)-1).Draw(t, "nature")),
		rapid.OneOf(rapid.IntRange(1, 100), rapid.IntRange(2500, 9000)).Draw(t, "width"),
		rapid.IntRange(1, 40).Draw(t, "height"), 1, 1)
	for y := range p.Height {
		rows = append(rows, p.Ends(y, 0))
	}
	return p, rows
}

// TestFaxAgainstXImage decodes with golang.org/x/image/ccitt, where white is 1
// unless inverted.
func TestFaxAgainstXImage(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, rows := drawRows(t)
		for format, data := range map[ccitt.SubFormat][]byte{
			ccitt.Group3: fax.EncodeG3(rows, p.Width, fax.G3{RTC: true}),
			ccitt.Group4: fax.EncodeG4(rows, p.Width),
		} {
			r := ccitt.NewReader(bytes.NewReader(data), ccitt.MSB, format, p.Width, p.Height, &ccitt.Options{Invert: true})
			plain, err := io.ReadAll(r)
			require.NoError(t, err)
			got := New(p.Width, p.Height, 1, 1)
			unpack(plain, p.Width, p.Height, 1, func(i int, v uint16) { got.Data[i] = v })
			requireSame(t, p, got)
		}
	})
}

func TestG4EncoderStreams(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, rows := drawRows(t)
		var b bytes.Buffer
		e := fax.NewG4Encoder(&b, p.Width)
		for _, row := range rows {
			e.Row(append(row, int32(p.Width))) // no change at the width is one
		}
		require.NoError(t, e.Close())
		require.Equal(t, fax.EncodeG4(rows, p.Width), b.Bytes())
	})
}

// TestPackBits packs the usual worked example of the coding (from memory;
// libtiff checks the coder besides).
func TestPackBits(t *testing.T) {
	require.Equal(t,
		[]byte{0xfe, 0xaa, 2, 0x80, 0, 0x2a, 0xfd, 0xaa, 3, 0x80, 0, 0x2a, 0x22, 0xf7, 0xaa},
		EncodePackBits([]byte("\xaa\xaa\xaa\x80\x00\x2a\xaa\xaa\xaa\xaa\x80\x00\x2a\x22\xaa\xaa\xaa\xaa\xaa\xaa\xaa\xaa\xaa\xaa")))
}

func TestSums(t *testing.T) {
	p := New(3, 2, 2, 4)
	p.Set(0, 0, 0, 1)
	p.Set(2, 0, 0, 2)
	p.Set(2, 1, 0, 4)
	p.Set(1, 1, 1, 15)
	require.Equal(t, []uint64{1, 0, 6}, p.Columns(0))
	require.Equal(t, []uint64{3, 4}, p.Rows(0))
	require.Equal(t, uint64(7), p.Total(0))
	require.Equal(t, []uint64{0, 15, 0}, p.Columns(1))
	require.Equal(t, uint64(75), p.Inverted().Total(1))
	require.Equal(t, []int32{0, 1, 2}, p.Ends(0, 0))
	require.Equal(t, []byte{0x10, 0x00, 0x20}, p.PackRow(0))
	require.Equal(t, p.Plane(1).Data, []uint16{0, 0, 0, 0, 15, 0})
	require.Equal(t, []uint16{2, 0, 4, 0}, p.Crop(2, 0, 1, 2).Data)
}

// TestRepeatedZlib reads a repeated block back.
func TestRepeatedZlib(t *testing.T) {
	for _, block := range [][]byte{make([]byte, 100_000), []byte("harbour"), bytes.Repeat([]byte{4, 0, 0, 1}, 50_000)} {
		for _, times := range []int{1, 2, 9} {
			r, err := zlib.NewReader(bytes.NewReader(RepeatedZlib(block, times)))
			require.NoError(t, err)
			got, err := io.ReadAll(r)
			require.NoError(t, err)
			require.True(t, bytes.Equal(bytes.Repeat(block, times), got))
		}
	}
}
