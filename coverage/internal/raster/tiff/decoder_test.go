package tiff

import (
	"errors"
	"io"
	"testing"

	"bladeline/coverage/internal/raster"

	"github.com/stretchr/testify/require"
)

// A readFrom notes where a file is read first.
type readFrom struct{ offset int64 }

var errRead = errors.New("cannot be read")

func (r *readFrom) ReadAt(_ []byte, offset int64) (int, error) {
	r.offset = offset
	return 0, errRead
}

// TestPartsBeyondTwoGigabytes finds a part of a strip that is longer than an int
// of 32 bits says.
func TestPartsBeyondTwoGigabytes(t *testing.T) {
	const rowBytes, rows, first = 1 << 17, 1 << 18, 8
	file := new(readFrom)
	p := &page{
		in:          &input{r: file, size: 1 << 40},
		header:      raster.Header{Page: 1, Width: 8 * rowBytes, Height: rows, Bits: 1, Samples: 1},
		compression: compressionNone,
		segments: segments{
			kind: "strip", width: 8 * rowBytes, height: rows, across: 1, down: 1, planes: 1, samples: 1,
			offsets: []int64{first}, counts: []int64{rowBytes * rows}, partRows: 32,
		},
	}
	err := p.NewDecoder().Decode(p.Parts()-1, nil)
	require.ErrorIs(t, err, errRead)
	require.Equal(t, int64(first+rowBytes*(rows-32)), file.offset)
}

// A failing stream gives some bytes, and then an error.
type failing struct {
	left int
	err  error
}

func (f *failing) Read(p []byte) (int, error) {
	if f.left == 0 {
		return 0, f.err
	}
	n := min(f.left, len(p))
	f.left -= n
	return n, nil
}

// TestUnreadEnd keeps why the end of a strip cannot be read: that it holds no
// more rows is then not known.
func TestUnreadEnd(t *testing.T) {
	for _, compression := range []int64{compressionNone, compressionLZW, compressionPackBits, compressionDeflate} {
		d := &decoder{page: &page{
			header: raster.Header{Width: 80, Height: 9, Bits: 8, Samples: 1}, compression: compression,
			segments: segments{width: 80, height: 9, samples: 1},
		}}
		require.ErrorIs(t, d.checkEnd(&failing{err: errRead}, 0, 0), errRead)
		require.ErrorIs(t, d.checkEnd(&failing{left: 80, err: errRead}, 2, 0), errRead)
		require.NoError(t, d.checkEnd(&failing{err: io.EOF}, 0, 0))
	}
}
