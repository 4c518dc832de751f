package ccitt

import (
	"bytes"
	"io"
	"slices"
	"testing"
	"testing/iotest"

	"bladeline/coverage/internal/raster/rastertest"

	"github.com/stretchr/testify/require"
)

// ending is what tells if rows are at their end.
type ending interface {
	decoder
	End() (bool, error)
}

// TestEnd finds the end behind the last row and not before it, with and without
// an end mark, and reads on from where it found none.
func TestEnd(t *testing.T) {
	const width, height = 121, 30
	rows := picture(1, rastertest.Halftone, width, height)
	for _, c := range codings() {
		for _, behind := range [][]byte{nil, {0}, make([]byte, 200)} {
			d := c.new().(ending)
			d.Reset(bytes.NewReader(append(c.encode(rows, width), behind...)), width)
			for y, want := range paired(rows, width) {
				got, err := d.Row()
				require.NoError(t, err)
				require.True(t, slices.Equal(want, got), "%s, row %d", c.name, y+1)
				ended, err := d.End()
				require.NoError(t, err)
				require.Equal(t, y == height-1, ended, "%s, row %d, %d bytes behind", c.name, y+1, len(behind))
			}
		}
	}
}

// TestEndUnread keeps why what is behind the last row cannot be read: that there
// is nothing is then not known.
func TestEndUnread(t *testing.T) {
	const width, height = 121, 30
	rows := picture(1, rastertest.Halftone, width, height)
	for _, c := range codings() {
		for _, behind := range []int{0, 1, 50} {
			data := append(c.encode(rows, width), make([]byte, behind)...)
			d := c.new().(ending)
			_, err := decodeAll(d, io.MultiReader(bytes.NewReader(data), iotest.ErrReader(iotest.ErrTimeout)), width, height)
			require.NoError(t, err)
			_, err = d.End()
			require.ErrorIs(t, err, iotest.ErrTimeout, "%s, %d bytes behind", c.name, behind)
		}
	}
}
