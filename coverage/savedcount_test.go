package coverage

import (
	"bytes"
	"encoding/binary"
	"slices"
	"strings"
	"testing"

	"bladeline/coverage/internal/raster"

	"github.com/klauspost/compress/zlib"
	"github.com/stretchr/testify/require"
)

// TestSavedSeparationsAreCounted reads a description of a million separations,
// which packs to a few kB, without making them.
func TestSavedSeparationsAreCounted(t *testing.T) {
	text := `{"separations":[` + strings.Repeat("{},", 1<<20) + "{}]}"
	var b bytes.Buffer
	packed := zlib.NewWriter(&b)
	_, err := packed.Write(append(binary.AppendUvarint(nil, uint64(len(text))), text...))
	require.NoError(t, err)
	require.NoError(t, packed.Close())
	_, err = loadSaved(&b)
	require.EqualError(t, err, "it holds more separations than fit")
}

// TestNothingIsSavedThatCannotBeRead saves more plates than are read again:
// they are refused before a byte is written.
func TestNothingIsSavedThatCannotBeRead(t *testing.T) {
	const width, height = 97_200, 75_600
	plate := &Map{
		Width: width, Height: height, Full: 1, Columns: make([]uint64, width), Rows: make([]uint64, height),
		Cells: Cells{X: borders(width, maxCell), Y: borders(height, maxCell)},
	}
	plate.Cells.Ink = make([]uint32, (len(plate.Cells.X)-1)*(len(plate.Cells.Y)-1))
	most := raster.MaxSums / (width + height)

	var b bytes.Buffer
	require.NoError(t, Save(&b, slices.Repeat([]*Map{plate}, most)))
	read, err := loadSaved(bytes.NewReader(b.Bytes()[len(savedMagic):]))
	require.NoError(t, err)
	require.Len(t, read, most)

	b.Reset()
	require.ErrorIs(t, Save(&b, slices.Repeat([]*Map{plate}, most+1)), ErrTooMany)
	require.Zero(t, b.Len())
}
