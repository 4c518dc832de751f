package coverage

import (
	"bytes"
	"encoding/binary"
	"strings"
	"testing"

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
