package tiff

import (
	"bytes"
	"io"
	"math/rand/v2"
	"slices"
	"testing"
	"testing/iotest"

	"bladeline/coverage/internal/raster/rastertest"

	"github.com/stretchr/testify/require"
	"golang.org/x/image/tiff/lzw"
	"pgregory.net/rapid"
)

// expandLZW reads all that a strip gives, with a reader used before.
func expandLZW(r *lzwReader, strip []byte) ([]byte, error) {
	if err := r.reset(bytes.NewReader(strip)); err != nil {
		return nil, err
	}
	return io.ReadAll(r)
}

// peerLZW does the same with golang.org/x/image, which is not ours.
func peerLZW(strip []byte) ([]byte, error) {
	r := lzw.NewReader(bytes.NewReader(strip), lzw.MSB, 8)
	defer r.Close()
	return io.ReadAll(r)
}

// rows draws bytes as they come in plates: random ones, long runs, and
// repeated pieces.
func rows(t *rapid.T) []byte {
	rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 0))
	kinds := rapid.IntRange(1, 256).Draw(t, "values")
	var data []byte
	for range rapid.IntRange(0, 60).Draw(t, "pieces") {
		switch n := 1 + rng.IntN(2000); rng.IntN(3) {
		case 0:
			data = append(data, bytes.Repeat([]byte{byte(rng.IntN(kinds))}, n)...)
		case 1:
			for range n {
				data = append(data, byte(rng.IntN(kinds)))
			}
		default:
			from := rng.IntN(len(data) + 1)
			data = append(data, data[from:min(from+n, len(data))]...)
		}
	}
	return data
}

func TestLZWRoundTrips(t *testing.T) {
	var r lzwReader
	rapid.Check(t, func(t *rapid.T) {
		data := rows(t)
		strip := rastertest.EncodeLZW(data)
		got, err := expandLZW(&r, strip)
		require.NoError(t, err)
		require.True(t, bytes.Equal(data, got))
		peer, err := peerLZW(strip)
		require.NoError(t, err)
		require.True(t, bytes.Equal(data, peer))
	})
}

// A source may give a byte at a time, and its last ones with its end.
func TestLZWReadsAnySource(t *testing.T) {
	data := rastertest.Random(1, rastertest.Halftone, 800, 300, 1, 1).PackRow(7)
	data = bytes.Repeat(data, 50)
	strip := rastertest.EncodeLZW(data)
	for _, source := range []func(io.Reader) io.Reader{iotest.OneByteReader, iotest.HalfReader, iotest.DataErrReader} {
		var r lzwReader
		require.NoError(t, r.reset(struct {
			io.Reader
			io.Seeker
		}{source(bytes.NewReader(strip)), nowhere{}}))
		r.src = source(bytes.NewReader(strip)) // the strip from its first byte
		got, err := io.ReadAll(&r)
		require.NoError(t, err)
		require.True(t, bytes.Equal(data, got))
	}
}

type nowhere struct{}

func (nowhere) Seek(int64, int) (int64, error) { return 0, nil }

// What is read of a cut strip is the beginning of its rows, and never all of
// them unless only the end code was cut.
func TestLZWCutShort(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	data := make([]byte, 3000)
	for i := range data {
		data[i] = byte(rng.IntN(3))
	}
	data = append(data, make([]byte, 500)...) // codes of zeros, as padding would be
	strip := rastertest.EncodeLZW(data)
	var r lzwReader
	for n := range len(strip) {
		got, err := expandLZW(&r, strip[:n])
		require.Error(t, err)
		require.True(t, bytes.HasPrefix(data, got), "cut at %d", n)
		if n < len(strip)-3 { // the last code and the end code are of 24 bits at most
			require.Less(t, len(got), len(data), "cut at %d", n)
		}
	}
}

// A strip may lack its end code, when the rows are there, and be followed by
// whatever.
func TestLZWWithoutEndCodeAndWithMoreBehindIt(t *testing.T) {
	var r lzwReader
	strip := lzwCodes(lzwClear, 'a', 'b', 258)
	require.NoError(t, r.reset(bytes.NewReader(strip)))
	got := make([]byte, 4)
	_, err := io.ReadFull(&r, got)
	require.NoError(t, err)
	require.Equal(t, "abab", string(got))

	got, err = expandLZW(&r, append(lzwCodes(lzwClear, 'a', lzwEnd), 0xff, 0x12, 0x34))
	require.NoError(t, err)
	require.Equal(t, "a", string(got))
	require.Equal(t, 3, r.unused())
}

// lzwCodes packs codes of 9 bits, which all are below entry 511.
func lzwCodes(codes ...int) (out []byte) {
	var acc, n uint
	for _, c := range codes {
		acc, n = acc<<lzwMinBits|uint(c), n+lzwMinBits
		for ; n >= 8; n -= 8 {
			out = append(out, byte(acc>>(n-8)))
		}
	}
	return append(out, byte(acc<<(8-n)))
}

func TestLZWRefusesWhatIsNotInTheTable(t *testing.T) {
	var r lzwReader
	for name, codes := range map[string][]int{
		"the first code is a string":        {lzwClear, 258},
		"an entry that comes only later":    {lzwClear, 'a', 259},
		"an entry from before a clear code": {lzwClear, 'a', 'b', 258, lzwClear, 'a', 259},
	} {
		_, err := expandLZW(&r, lzwCodes(append(codes, lzwEnd)...))
		require.ErrorIs(t, err, errLZW, name)
	}
	_, err := expandLZW(&r, []byte{0x00, 0x01, 0x02, 0x03})
	require.ErrorIs(t, err, errOldLZW)
}

// A full table that is cleared late keeps its strings: TIFF 6.0 has writers clear
// it, yet coders that also write other formats' LZW are slow to. One that is not
// cleared is refused, as libtiff 4.5 does ("Using code not yet in table"). What
// is kept of the output stays bounded.
func TestLZWOfATableThatIsClearedLate(t *testing.T) {
	for late, refused := range map[int]error{lzwMostFull: nil, lzwMostFull + 2: errLZWFull, 9000: errLZWFull} {
		strip, want := fullTable(late)
		var r lzwReader
		require.NoError(t, r.reset(bytes.NewReader(strip)))
		n, err := io.Copy(zeros{t}, &r)
		require.ErrorIs(t, err, refused)
		if refused == nil {
			require.EqualValues(t, want, n)
		}
		require.Less(t, cap(r.window), 11<<20)
	}
}

// fullTable fills the table with strings of zeros, puts the longest so many
// times, and then clears; it returns how many zeros these are.
func fullTable(late int) (strip []byte, zeros int) {
	var b codeWriter
	b.put(lzwClear, 9)
	b.put(0, 9)
	next, width, size := 258, 9, 0
	zeros = 1
	for next < lzwMaxCodes { // each string is one zero longer than the one before
		b.put(next, width)
		next++
		size = next - 258 + 1
		zeros += size
		if next == 1<<width-1 && width < lzwMaxBits {
			width++
		}
	}
	for range late {
		b.put(lzwMaxCodes-1, width)
		zeros += size
	}
	b.put(lzwClear, width)
	b.put(lzwEnd, 9)
	return b.bytes(), zeros
}

// Any codes that a table can hold, among them entries just made, with and
// without clear codes, against a reader that stores every string.
func TestLZWEqualsATableOfStrings(t *testing.T) {
	var r lzwReader
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 0))
		clears := rapid.SampledFrom([]int{1000, 4000, 4800}).Draw(t, "codes from clear to clear")
		strip, want := randomCodes(rng, rapid.IntRange(1, 40_000).Draw(t, "codes"), clears)
		got, err := expandLZW(&r, strip)
		require.NoError(t, err)
		require.True(t, bytes.Equal(want, got))
	})
}

func randomCodes(rng *rand.Rand, count, clears int) (strip, want []byte) {
	var w codeWriter
	var strings [][]byte
	var before []byte
	width := lzwMinBits
	for i := range count {
		if i == 0 || clears > 0 && i%clears == 0 {
			w.put(lzwClear, width)
			strings, before, width = nil, nil, lzwMinBits
		}
		code, s := rng.IntN(256), []byte(nil)
		if n := len(strings); before != nil && rng.IntN(8) > 0 {
			room := min(n, lzwMaxCodes-258-1) // the highest entry that may be named
			code = 258 + rng.IntN(room+1)
			if rng.IntN(8) == 0 {
				code = 258 + room
			}
		}
		switch {
		case code < 256:
			s = []byte{byte(code)}
		case code-258 < len(strings):
			s = strings[code-258]
		default:
			s = append(slices.Clone(before), before[0])
		}
		w.put(code, width)
		if before != nil && len(strings) < lzwMaxCodes-258 {
			strings = append(strings, append(slices.Clone(before), s[0]))
		}
		// One entry early: TIFF 6.0, section 13.
		if len(strings)+258 == 1<<width-1 && width < lzwMaxBits {
			width++
		}
		before, want = s, append(want, s...)
	}
	w.put(lzwEnd, width)
	return w.bytes(), want
}

// A codeWriter packs codes of any length.
type codeWriter struct {
	out []byte
	acc uint64
	n   int
}

func (w *codeWriter) put(code, bits int) {
	w.acc, w.n = w.acc<<bits|uint64(code), w.n+bits
	for ; w.n >= 8; w.n -= 8 {
		w.out = append(w.out, byte(w.acc>>(w.n-8)))
	}
}

func (w *codeWriter) bytes() []byte { return append(w.out, byte(w.acc<<(8-w.n))) }

// zeros takes nothing else.
type zeros struct{ t *testing.T }

func (z zeros) Write(p []byte) (int, error) {
	require.Zero(z.t, len(bytes.Trim(p, "\x00")))
	return len(p), nil
}

// FuzzLZW compares with golang.org/x/image where both read a strip to its end.
func FuzzLZW(f *testing.F) {
	f.Add(rastertest.EncodeLZW([]byte("abababababab aaaaaaaaaaaaaaaaa")))
	f.Add(rastertest.EncodeLZW(make([]byte, 70_000)))
	f.Add(lzwCodes(lzwClear, 'a', 258, 259, lzwClear, 'b', lzwEnd))
	var r lzwReader
	f.Fuzz(func(t *testing.T, strip []byte) {
		got, err := expandLZW(&r, strip)
		peer, peerErr := peerLZW(strip)
		if err == nil && peerErr == nil {
			require.True(t, bytes.Equal(peer, got), "%d and %d bytes", len(peer), len(got))
		}
	})
}

// BenchmarkLZW expands rows of a halftone and of tones, in bytes of rows a
// second.
func BenchmarkLZW(b *testing.B) {
	for name, p := range benchmarkPictures() {
		b.Run(name, func(b *testing.B) {
			strip := rastertest.EncodeLZW(packedRows(p))
			var r lzwReader
			benchmarkExpand(b, p, func() io.Reader {
				require.NoError(b, r.reset(bytes.NewReader(strip)))
				return &r
			})
		})
	}
}

func benchmarkPictures() map[string]*rastertest.Picture {
	return map[string]*rastertest.Picture{
		"1-bit": rastertest.Random(1, rastertest.Halftone, 24_000, 256, 1, 1),
		"8-bit": rastertest.Random(1, rastertest.Tone, 4000, 256, 1, 8),
	}
}

func packedRows(p *rastertest.Picture) (data []byte) {
	for y := range p.Height {
		data = append(data, p.PackRow(y)...)
	}
	return data
}

func benchmarkExpand(b *testing.B, p *rastertest.Picture, open func() io.Reader) {
	out := make([]byte, len(packedRows(p)))
	b.SetBytes(int64(len(out)))
	for b.Loop() {
		if _, err := io.ReadFull(open(), out); err != nil {
			b.Fatal(err)
		}
	}
}
