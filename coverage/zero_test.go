package coverage

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestZeroValues has what nobody filled in answer, or refuse, and not panic.
func TestZeroValues(t *testing.T) {
	var f File
	_, err := f.Measure(t.Context(), Options{})
	require.EqualError(t, err, "the file is not open; open it first")
	require.NoError(t, f.Close())

	var m Map
	require.Zero(t, m.Total())
	require.Zero(t, m.CoveragePct())
	require.Zero(t, m.WidthMM())
	require.ErrorContains(t, Save(&bytes.Buffer{}, []*Map{{}}), "0 × 0 pixels")
	require.Error(t, Save(&bytes.Buffer{}, nil))

	require.Empty(t, JobName(nil))
	require.Empty(t, JobName([]*Map{{}}))
	require.Empty(t, InkFromName(""))
	_, _, doubled := DoubledKey(nil)
	require.False(t, doubled)
	require.Equal(t, "light", Warning{}.OtherShade())
	require.NotEmpty(t, (&InkCountError{}).Error())
	require.NotEmpty(t, (&ReadError{}).Error())
}
