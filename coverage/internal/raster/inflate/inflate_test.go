package inflate

import (
	"bytes"
	"compress/zlib"
	"hash/adler32"
	"io"
	"math/rand/v2"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/require"
)

// TestAdler compares with the standard library on random lengths and pieces,
// and on bytes that fill the fields most.
func TestAdler(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 500 {
		data := make([]byte, r.IntN(5000))
		for i := range data {
			data[i] = byte(r.Uint32())
		}
		if r.IntN(4) == 0 {
			data = bytes.Repeat([]byte{0xff}, len(data))
		}
		sum := newAdler()
		for rest := data; len(rest) > 0; {
			n := 1 + r.IntN(len(rest))
			sum = sum.add(rest[:n])
			rest = rest[n:]
		}
		require.Equal(t, adler32.Checksum(data), sum.value(), "%d bytes", len(data))
	}
}

func deflated(data []byte) []byte {
	var b bytes.Buffer
	w := zlib.NewWriter(&b)
	w.Write(data)
	w.Close()
	return b.Bytes()
}

// TestReader reads streams one after another, cut and damaged ones among them,
// as they come and ahead.
func TestReader(t *testing.T) {
	r := new(Reader)
	read := func(data []byte) ([]byte, error) {
		r.Reset(bytes.NewReader(data))
		return io.ReadAll(r)
	}
	requireStreams(t, read)
	requireStreams(t, func(data []byte) ([]byte, error) {
		r.Reset(bytes.NewReader(data))
		defer r.Ahead()()
		return io.ReadAll(r)
	})
}

func requireStreams(t *testing.T, read func(data []byte) ([]byte, error)) {
	t.Helper()
	for _, n := range []int{0, 1, 100, 200_000} {
		data := bytes.Repeat([]byte("tide and harbour "), n)
		got, err := read(deflated(data))
		require.NoError(t, err)
		require.True(t, bytes.Equal(data, got))
	}
	packed := deflated([]byte("a small harbour by the slack water"))
	for n := range packed {
		_, err := read(packed[:n])
		require.ErrorIs(t, err, io.ErrUnexpectedEOF, "cut at %d", n)
		flipped := bytes.Clone(packed)
		flipped[n] ^= 4
		_, err = read(flipped)
		require.Error(t, err, "byte %d", n)
	}
	_, err := read([]byte("no"))
	require.ErrorIs(t, err, ErrHeader)
	packed[len(packed)-1]++
	_, err = read(packed)
	require.ErrorIs(t, err, ErrChecksum)
}

// FuzzReader holds that a stream which the standard library reads is read the
// same, and that any other is refused.
func FuzzReader(f *testing.F) {
	f.Add(deflated([]byte("harbour")))
	f.Fuzz(func(t *testing.T, data []byte) {
		r := new(Reader)
		r.Reset(bytes.NewReader(data))
		got, err := io.ReadAll(io.LimitReader(r, 1<<20))
		theirs, e := zlib.NewReader(bytes.NewReader(data))
		if e != nil {
			require.Error(t, err)
			return
		}
		want, e := io.ReadAll(io.LimitReader(theirs, 1<<20))
		require.Equal(t, e == nil, err == nil)
		if e == nil {
			require.True(t, bytes.Equal(want, got))
		}
	})
}

func BenchmarkAdler(b *testing.B) {
	data := make([]byte, 1<<20)
	b.SetBytes(1 << 20)
	sum := newAdler()
	for b.Loop() {
		sum = sum.add(data)
	}
}

// TestAhead gives the same bytes and the same error as the stream itself, and
// can be closed at any point.
func TestAhead(t *testing.T) {
	data := make([]byte, 3*aheadBytes*aheadBuffers+17)
	r := rand.New(rand.NewPCG(1, 1))
	for i := range data {
		data[i] = byte(r.Uint32())
	}
	for _, end := range []error{nil, io.ErrUnexpectedEOF, ErrChecksum} {
		src := io.Reader(bytes.NewReader(data))
		if end != nil {
			src = io.MultiReader(src, iotest.ErrReader(end))
		}
		a := NewAhead(src)
		got, err := io.ReadAll(a)
		require.Equal(t, end, err)
		require.True(t, bytes.Equal(data, got))
		a.Close()
	}
	for range 20 {
		a := NewAhead(bytes.NewReader(data))
		io.CopyN(io.Discard, a, int64(r.IntN(len(data))))
		a.Close()
	}
}
