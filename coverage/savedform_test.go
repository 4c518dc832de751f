package coverage

import (
	"bytes"
	"encoding/binary"
	"math"
	"strings"
	"testing"

	"github.com/klauspost/compress/zlib"
	"github.com/stretchr/testify/require"
)

func savedFormExample(t testing.TB) ([]*Map, []byte) {
	rasters, _ := savedExample(t)
	for _, m := range rasters {
		m.Warnings = nil
	}
	form := &Map{Ink: "Black", File: "cards.form.toml", Page: 1, Channel: 1, Sheet: &Sheet{WidthMM: 660, LengthMM: 480, Pieces: []Piece{
		{Number: 1, Map: rasters[1], XMM: 1.25, YMM: 3, Turn: 90, Mirrored: true, Across: 3, Along: 7, StepXMM: 90, StepYMM: 55.5},
		{Number: 2, Map: rasters[0], XMM: 300, Overprint: true},
		{Number: 3, Map: rasters[1], XMM: 400},
	}}}
	form.Warnings = []Warning{{Code: "missing", Text: "piece 2 has no Cyan"}}
	maps := []*Map{rasters[2], form, rasters[3]}
	var b bytes.Buffer
	require.NoError(t, Save(&b, maps))
	return maps, b.Bytes()
}

// A form of several pieces comes back with its pieces, a raster that it has twice
// once, among separations that are none of its.
func TestSavedFormsComeBack(t *testing.T) {
	maps, data := savedFormExample(t)
	require.True(t, bytes.HasPrefix(data, []byte("bladeline.cover/2\n")))
	got := measure(t, "job.cover", data)
	require.Equal(t, maps, got)
	require.Same(t, got[1].Sheet.Pieces[0].Map, got[1].Sheet.Pieces[2].Map)
	require.InDelta(t, (21*solidMM2(maps[1].Sheet.Pieces[0].Map)+solidMM2(maps[1].Sheet.Pieces[1].Map)+solidMM2(maps[1].Sheet.Pieces[2].Map))/660/480, got[1].CoveragePct(), 1e-9)
	light, err := measured(t, written(t, "job.cover", data), Options{InkIsLight: true})
	require.NoError(t, err)
	require.InDelta(t, 100-maps[1].Sheet.Pieces[0].Map.CoveragePct(), light[1].Sheet.Pieces[0].Map.CoveragePct(), 1e-9, "each once")
}

// solidMM2 is the ink of a Map, in mm² of 1 %.
func solidMM2(m *Map) float64 { return m.CoveragePct() * m.WidthMM() * m.HeightMM() }

// Every description of forms that contradicts itself is refused, and never a crash.
func TestSavedFormsDamaged(t *testing.T) {
	_, data := savedFormExample(t)
	for old, bad := range map[string]string{
		`"separation":2`:   `"separation":9`,
		`"at":1`:           `"at":7`,
		`"turn":90`:        `"turn":45`,
		`"across":3`:       `"across":3000000`,
		`"width_mm":660`:   `"width_mm":-1`,
		`"length_mm":480`:  `"length_mm":1e300`,
		`"x_mm":1.25`:      `"x_mm":1e300`,
		`"separation":3,"`: `"separation":-1,"`,
	} {
		_, err := measured(t, written(t, "job.cover", redescribed(t, data, old, bad)), Options{})
		require.ErrorContains(t, err, "the saved coverage is damaged", bad)
	}
	maps, _ := savedFormExample(t)
	maps[1].Sheet.Pieces[0].XMM = math.NaN()
	require.ErrorContains(t, Save(&bytes.Buffer{}, maps), "separation 2 of 3: piece 1: its place is not a number of mm on a sheet")
}

// redescribed is saved coverage whose description says something else.
func redescribed(t testing.TB, data []byte, old, bad string) []byte {
	r, err := zlib.NewReader(bytes.NewReader(data[len(savedMagic):]))
	require.NoError(t, err)
	var plain bytes.Buffer
	_, err = plain.ReadFrom(r)
	require.NoError(t, err)
	n, at := binary.Uvarint(plain.Bytes())
	header := string(plain.Bytes()[at : at+int(n)])
	require.Contains(t, header, old)
	header2 := strings.Replace(header, old, bad, 1)
	out := bytes.NewBuffer([]byte(savedFormsMagic))
	w := zlib.NewWriter(out)
	w.Write(binary.AppendUvarint(nil, uint64(len(header2))))
	w.Write([]byte(header2))
	w.Write(plain.Bytes()[at+int(n):])
	require.NoError(t, w.Close())
	return out.Bytes()
}
