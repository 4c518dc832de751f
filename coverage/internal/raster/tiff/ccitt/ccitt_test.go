package ccitt

import (
	"bytes"
	"fmt"
	"io"
	"slices"
	"testing"
	"testing/iotest"

	"bladeline/coverage/internal/raster/fax"
	"bladeline/coverage/internal/raster/rastertest"

	"github.com/stretchr/testify/require"
	"golang.org/x/image/ccitt"
	"pgregory.net/rapid"
)

// A decoder is what Group4, Group3 and Huffman have in common.
type decoder interface {
	Reset(src io.Reader, width int)
	Row() (ends []int32, err error)
}

// A coding is a decoder with the encoder that it must undo.
type coding struct {
	name   string
	new    func() decoder
	encode func(rows [][]int32, width int) []byte
}

func codings() []coding {
	list := []coding{
		{"Group4", func() decoder { return new(Group4) }, fax.EncodeG4},
		{"Huffman", func() decoder { return new(Huffman) }, fax.EncodeMH},
	}
	for _, g3 := range []fax.G3{
		{},
		{RTC: true},
		{FillEOL: true},
		{FillEOL: true, RTC: true},
		{K: 1},
		{K: 2, RTC: true},
		{K: 4, FillEOL: true},
		{K: 1000, FillEOL: true, RTC: true},
	} {
		list = append(list, coding{
			fmt.Sprintf("Group3 %+v", g3),
			func() decoder { return NewGroup3(options(g3)) },
			func(rows [][]int32, width int) []byte { return fax.EncodeG3(rows, width, g3) },
		})
	}
	return list
}

func options(g3 fax.G3) int64 {
	if g3.K > 0 {
		return twoDimensional
	}
	return 0
}

// paired makes pairs of a picture's run ends: a last run of black ends at the
// width.
func paired(rows [][]int32, width int) [][]int32 {
	pairs := make([][]int32, len(rows))
	for y, row := range rows {
		pairs[y] = slices.Clone(row)
		if len(row)%2 == 1 {
			pairs[y] = append(pairs[y], int32(width))
		}
	}
	return pairs
}

// decodeAll decodes up to height rows and returns those that went well.
func decodeAll(d decoder, src io.Reader, width, height int) (rows [][]int32, err error) {
	d.Reset(src, width)
	for range height {
		ends, err := d.Row()
		if err != nil {
			return rows, err
		}
		rows = append(rows, slices.Clone(ends))
	}
	return rows, nil
}

func requireRows(t require.TestingT, want, got [][]int32) {
	require.Len(t, got, len(want))
	for y := range want {
		if !slices.Equal(want[y], got[y]) {
			require.Fail(t, "rows differ", "row %d: want %v, got %v", y+1, want[y], got[y])
		}
	}
}

func picture(seed uint64, nature rastertest.Nature, width, height int) [][]int32 {
	p := rastertest.Random(seed, nature, width, height, 1, 1)
	var rows [][]int32
	for y := range p.Height {
		rows = append(rows, p.Ends(y, 0))
	}
	return rows
}

func drawPicture(t *rapid.T) (rows [][]int32, width int) {
	width = rapid.OneOf(rapid.IntRange(1, 80), rapid.IntRange(1, 5000)).Draw(t, "width")
	return picture(
		rapid.Uint64().Draw(t, "seed"),
		rastertest.Nature(rapid.IntRange(0, int(rastertest.Natures)-1).Draw(t, "nature")),
		width, rapid.IntRange(1, 30).Draw(t, "height")), width
}

// TestRoundTrip decodes what rastertest's naive coders of T.4 and T.6 encode.
// All pictures go through one decoder: none may leave anything behind.
func TestRoundTrip(t *testing.T) {
	for _, c := range codings() {
		t.Run(c.name, func(t *testing.T) {
			d := c.new()
			rapid.Check(t, func(t *rapid.T) {
				rows, width := drawPicture(t)
				got, err := decodeAll(d, bytes.NewReader(c.encode(rows, width)), width, len(rows))
				require.NoError(t, err)
				requireRows(t, paired(rows, width), got)
			})
		})
	}
}

// TestEveryWidth goes through all narrow widths, where every look-up meets the
// row's end.
func TestEveryWidth(t *testing.T) {
	for _, c := range codings() {
		d := c.new()
		for width := 1; width <= 300; width++ {
			for nature := range rastertest.Natures {
				rows := picture(uint64(width), nature, width, 9)
				got, err := decodeAll(d, bytes.NewReader(c.encode(rows, width)), width, len(rows))
				require.NoError(t, err, "%s, width %d, %v", c.name, width, nature)
				requireRows(t, paired(rows, width), got)
			}
		}
	}
}

// TestReads reads a byte at a time, gets the error beside the last bytes, and
// meets a failure, all of which io.Reader allows.
func TestReads(t *testing.T) {
	for _, c := range codings() {
		rows := picture(1, rastertest.Halftone, 700, 60)
		data := c.encode(rows, 700)
		for _, src := range []io.Reader{
			iotest.OneByteReader(bytes.NewReader(data)),
			iotest.DataErrReader(bytes.NewReader(data)),
		} {
			got, err := decodeAll(c.new(), src, 700, len(rows))
			require.NoError(t, err, c.name)
			requireRows(t, paired(rows, 700), got)
		}
		failing := io.MultiReader(bytes.NewReader(data[:len(data)/2]), iotest.ErrReader(iotest.ErrTimeout))
		_, err := decodeAll(c.new(), failing, 700, len(rows))
		require.ErrorIs(t, err, iotest.ErrTimeout, c.name)
	}
}

// byXImage decodes with golang.org/x/image/ccitt, which knows Group 4 and
// one-dimensional Group 3.
func byXImage(data []byte, format ccitt.SubFormat, width, height int) ([][]int32, error) {
	r := ccitt.NewReader(bytes.NewReader(data), ccitt.MSB, format, width, height, &ccitt.Options{Invert: true})
	plain, err := io.ReadAll(r)
	if err != nil {
		return nil, err
	}
	stride := (width + 7) / 8
	p := rastertest.New(width, height, 1, 1)
	var rows [][]int32
	for y := range height {
		for x := range width {
			p.Set(x, y, 0, uint16(plain[y*stride+x/8]>>(7-x%8)&1))
		}
		rows = append(rows, p.Ends(y, 0))
	}
	return paired(rows, width), nil
}

// TestAgainstXImage compares with another decoder of the same recommendations.
func TestAgainstXImage(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rows, width := drawPicture(t)
		for format, data := range map[ccitt.SubFormat][]byte{
			ccitt.Group3: fax.EncodeG3(rows, width, fax.G3{RTC: true}),
			ccitt.Group4: fax.EncodeG4(rows, width),
		} {
			want, err := byXImage(data, format, width, len(rows))
			require.NoError(t, err)
			d := map[ccitt.SubFormat]decoder{ccitt.Group3: NewGroup3(0), ccitt.Group4: new(Group4)}[format]
			got, err := decodeAll(d, bytes.NewReader(data), width, len(rows))
			require.NoError(t, err)
			requireRows(t, want, got)
		}
	})
}

// TestTruncated cuts the data at every byte: what comes before the cut is
// exact, what is cut is an error and not a row.
func TestTruncated(t *testing.T) {
	for _, c := range codings() {
		for nature := range rastertest.Natures {
			const width, height = 61, 12
			rows := picture(3, nature, width, height)
			want, data := paired(rows, width), c.encode(rows, width)
			var got [][]int32
			for cut := range len(data) + 1 {
				var err error
				got, err = decodeAll(c.new(), bytes.NewReader(data[:cut]), width, height)
				requireRows(t, want[:len(got)], got)
				if len(got) < height {
					require.ErrorIs(t, err, io.ErrUnexpectedEOF, "%s, %v, cut at %d of %d", c.name, nature, cut, len(data))
				}
			}
			require.Len(t, got, height)
		}
	}
}

// same is a stream of left bytes of one value.
type same struct {
	value byte
	left  int
}

func (s *same) Read(p []byte) (int, error) {
	n := min(len(p), s.left)
	if n == 0 {
		return 0, io.EOF
	}
	s.left -= n
	copy(p, bytes.Repeat([]byte{s.value}, n))
	return n, nil
}

// TestSameBytes feeds a megabyte of one byte value. Ones are white Group 4 rows
// of a bit each (T.6, table 1); zeros are fill before an EOL that never comes.
func TestSameBytes(t *testing.T) {
	const size, width = 1 << 20, 1000
	for _, c := range codings() {
		for _, value := range []byte{0x00, 0xff, 0x55, 0x80, 0x01} {
			rows, err := decodeAll(c.new(), &same{value, size}, width, 8*size+1)
			require.Error(t, err, "%s of %#x", c.name, value)
			requireSound(t, rows, width)
			if c.name == "Group4" && value == 0xff {
				require.Len(t, rows, 8*size)
				require.ErrorIs(t, err, io.ErrUnexpectedEOF)
			}
			if _, ok := c.new().(*Group3); ok && value == 0 {
				require.ErrorIs(t, err, io.ErrUnexpectedEOF)
			}
		}
	}
}

// requireSound holds what is true of every row, whatever the input.
func requireSound(t require.TestingT, rows [][]int32, width int) {
	for y, ends := range rows {
		if len(ends)%2 != 0 {
			require.Fail(t, "half a run", "row %d: %v", y+1, ends)
		}
		last := int32(-1)
		for _, end := range ends {
			if end <= last || end > int32(width) {
				require.Fail(t, "not rising within the width", "row %d of %d px: %v", y+1, width, ends)
			}
			last = end
		}
	}
}

// bitString packs codes written as ones and zeros; blanks are for the reader.
func bitString(s string) []byte {
	var out []byte
	n := 0
	for _, c := range s {
		if c == ' ' {
			continue
		}
		if n%8 == 0 {
			out = append(out, 0)
		}
		out[n/8] |= byte(c-'0') << (7 - n%8)
		n++
	}
	return out
}

// TestByHand spells codes out as the tables of T.4 (07/2003) and T.6 (11/88)
// give them, for rows 8 px wide.
func TestByHand(t *testing.T) {
	const (
		eol    = "000000000001 "
		white3 = "1000 "
		white4 = "1011 "
		white8 = "10011 "
		white9 = "10100 "
		black0 = "0000110111 "
		black1 = "010 "
		black5 = "0011 "
		row35  = white3 + black5 // 3 white, 5 black
		level  = "001 "
	)
	row := []int32{3, 8}
	for _, c := range []struct {
		name, bits string
		d          decoder
		want       [][]int32
		err        error
	}{
		{"EOL missing before the first row", row35 + eol + row35, NewGroup3(0), [][]int32{row, row}, nil},
		{"the same where rows carry tags", row35 + eol + "1" + row35, NewGroup3(twoDimensional), [][]int32{row, row}, nil},
		{"fill without T4Options saying so", "00000" + eol + row35 + "0000000" + eol + row35, NewGroup3(0), [][]int32{row, row}, nil},
		{"a first row coded against white", eol + "0" + level + row35 + eol + "0 1 1", NewGroup3(twoDimensional), [][]int32{row, row}, nil},
		{"a row that is short", eol + white4 + eol + row35, NewGroup3(0), nil, ErrRow},
		{"a coded row that is short", eol + "1" + row35 + eol + "0 1 " + eol, NewGroup3(twoDimensional), [][]int32{row}, ErrRow},
		{"a row that is long", eol + white9 + eol + row35, NewGroup3(0), nil, ErrRow},
		{"more codes behind a whole row", eol + row35 + white4 + eol, NewGroup3(0), [][]int32{row}, ErrRow},
		{"RTC too early", eol + row35 + eol + eol + eol + eol + eol + eol, NewGroup3(0), [][]int32{row}, ErrEarlyEnd},
		{"RTC too early, with tags", eol + "1" + row35 + eol + "1" + eol + "1" + eol, NewGroup3(twoDimensional), [][]int32{row}, ErrEarlyEnd},
		{"no code", eol + white3 + "000000001" + eol, NewGroup3(0), nil, ErrCode},
		{"uncompressed mode", eol + "0" + "0000001111", NewGroup3(twoDimensional), nil, ErrUncompressed},
		{"uncompressed mode announced", eol + row35, NewGroup3(uncompressed), nil, ErrUncompressed},
		{"a Huffman row that is short", white4 + "0000" + row35, new(Huffman), nil, ErrRow},
		{"a Huffman row that is long", white9 + "000" + row35, new(Huffman), nil, ErrRow},
		{"Huffman rows on bytes of their own, filled with ones", white8 + "111" + row35, new(Huffman), [][]int32{{}, row}, nil},
		{"Group 4 ends too early", level + row35 + eol + eol, new(Group4), [][]int32{row}, ErrEarlyEnd},
		{"Group 4 uncompressed mode", "0000001111", new(Group4), nil, ErrUncompressed},
		{"Group 4 no code", "00000001", new(Group4), nil, ErrCode},
		{"a pass to the end of the row", "0001", new(Group4), nil, ErrRow},
		{"a pass to the end of the row, then a horizontal code", "0001" + level + white4 + black1, new(Group4), nil, ErrRow},
		{"vertical behind the end", level + row35 + "011 011", new(Group4), [][]int32{row}, ErrRow},
		{"black runs of no length", level + white4 + black0 + level + white4 + black0, new(Group4), [][]int32{{}}, nil},
		{"a black run of no length within white", level + white3 + black0 + level + "0111 " + black1 + "1", new(Group4), [][]int32{{5, 6}}, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			// Bits of no meaning keep the data's end out of the way.
			data := append(bitString(c.bits), bytes.Repeat([]byte{0xaa}, 8)...)
			height := len(c.want)
			if c.err != nil {
				height++
			}
			got, err := decodeAll(c.d, bytes.NewReader(data), 8, height)
			require.ErrorIs(t, err, c.err)
			requireRows(t, c.want, got)
		})
	}
}
