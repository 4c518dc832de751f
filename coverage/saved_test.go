package coverage

import (
	"bytes"
	"math"
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

// TestSaveRefusesWhatNoRasterIs changes a Map by hand: what could not be read again
// is refused, in one line, before a byte is written.
func TestSaveRefusesWhatNoRasterIs(t *testing.T) {
	for want, change := range map[string]func(*Map){
		`separation 1 of 1: what it says of "Black" is impossible; measure it anew`:             func(m *Map) { m.Cells = Cells{} },
		`separation 1 of 1: the sums of "Black" are not those of its size; measure it anew`:     func(m *Map) { m.Columns = m.Columns[:1] },
		`separation 1 of 1: the sums of "Black" contradict each other; measure it anew`:         func(m *Map) { m.Rows[0]-- },
		`separation 1 of 1: a sum of "Black" is more than its pixels can hold; measure it anew`: func(m *Map) { m.Columns[0] = 4 },
	} {
		m := &Map{Ink: "Black", Width: 2, Height: 3, Full: 1, Columns: []uint64{3, 3}, Rows: []uint64{2, 2, 2}, Cells: Cells{X: []int{0, 2}, Y: []int{0, 3}, Ink: []uint32{6}}}
		var b bytes.Buffer
		require.NoError(t, Save(&b, []*Map{m}))
		b.Reset()
		change(m)
		require.EqualError(t, Save(&b, []*Map{m}), want)
		require.Zero(t, b.Len())
	}
	for _, change := range []func(*Map){
		func(m *Map) { m.Full = 0 },
		func(m *Map) { m.Full = 1 << 16 },
		func(m *Map) { m.DPIX = math.NaN() },
		func(m *Map) { m.DPIY = math.Inf(1) },
		func(m *Map) { m.DPIX = -1 },
		func(m *Map) { m.Width = -2 },
		func(m *Map) { m.Rows = nil },
		func(m *Map) { m.Cells.Ink = nil },
		func(m *Map) { m.Cells.X = []int{0} },
		func(m *Map) { m.Cells.Y = []int{0, 2, 1, 3} },
		func(m *Map) { m.Cells.Ink[0] = 7 },
		func(m *Map) { m.Ink, m.File = strings.Repeat("{", maxSaved), "" },
		func(m *Map) { m.File = strings.Repeat("a", maxSavedHeader) },
	} {
		m := &Map{Ink: "Black", Width: 2, Height: 3, Full: 1, Columns: []uint64{3, 3}, Rows: []uint64{2, 2, 2}, Cells: Cells{X: []int{0, 2}, Y: []int{0, 3}, Ink: []uint32{6}}}
		change(m)
		require.Error(t, Save(&bytes.Buffer{}, []*Map{m}))
	}
	require.EqualError(t, Save(&bytes.Buffer{}, []*Map{nil}), "separation 1 of 1 is not there; measure it first")
}
