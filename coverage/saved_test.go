package coverage

import (
	"bytes"
	"strings"
	"testing"

	"bladeline/coverage/internal/raster"
	"bladeline/coverage/internal/raster/rastertest"

	"github.com/stretchr/testify/require"
)

func savedExample(t testing.TB) ([]*Map, []byte) {
	t.Helper()
	cmyk := rastertest.Random(3, rastertest.Tone, 120, 90, 4, 8)
	maps := measure(t, "job.tif", pages(rastertest.TIFFPage{
		Picture: cmyk, Photometric: 5,
		XResolution: rastertest.Rational{300, 1}, YResolution: rastertest.Rational{150, 1}, ResolutionUnit: 2,
	}, rastertest.TIFFPage{Picture: small(1)}))
	var b bytes.Buffer
	require.NoError(t, Save(&b, maps))
	return maps, b.Bytes()
}

func TestSavedMapsComeBack(t *testing.T) {
	maps, data := savedExample(t)
	require.Equal(t, maps, measure(t, "job.cover", data))
	light, err := measured(t, written(t, "job.cover", data), Options{InkIsLight: true})
	require.NoError(t, err)
	requireInk(t, small(1).Inverted(), 0, light[4])
}

// TestSavedMapsDamaged flips and cuts every byte behind the first line. The
// stream's checksum and the sums' agreement leave none unnoticed, but for flips
// that make the stream say the same in another way.
func TestSavedMapsDamaged(t *testing.T) {
	maps, data := savedExample(t)
	noticed := 0
	for i := len(savedMagic); i < len(data); i++ {
		flipped := bytes.Clone(data)
		flipped[i] ^= 0x10
		got, err := loadSaved(bytes.NewReader(flipped[len(savedMagic):]))
		if err == nil {
			require.Equal(t, maps, got, "byte %d", i)
		} else {
			noticed++
		}
		_, err = loadSaved(bytes.NewReader(data[len(savedMagic):i]))
		require.Error(t, err, "cut at %d", i)
	}
	require.Greater(t, noticed, len(data)*9/10)
}

// TestSavedNamesAreCut keeps of saved names what it keeps of a raster's.
func TestSavedNamesAreCut(t *testing.T) {
	maps, _ := savedExample(t)
	for _, m := range maps {
		m.Ink, m.File = strings.Repeat("ink ", 1000), strings.Repeat("folder/", 1000)
	}
	var b bytes.Buffer
	require.NoError(t, Save(&b, maps))
	for _, m := range measure(t, "job.cover", b.Bytes()) {
		require.Equal(t, maps[0].Ink[:raster.MaxName], m.Ink)
		require.Equal(t, maps[0].File[:maxPath], m.File)
	}
}
