package zones

import (
	"testing"

	"bladeline/coverage"
	"bladeline/zones/press"
	"bladeline/zones/zonestest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// finer is a part of a raster of 1 mm pixels, every pixel of which is times × times.
func finer(rows [][]uint64, x0, x1, y0, y1, times int) *coverage.Map {
	full := uint64(255 * times)
	var fine [][]uint64
	for _, row := range rows[y0:y1] {
		var line []uint64
		for _, v := range row[x0:x1] {
			for range times {
				line = append(line, v*uint64(times))
			}
		}
		for range times {
			fine = append(fine, line)
		}
	}
	m := zonestest.MapOf(full, 25.4*float64(times), 25.4*float64(times), fine...)
	m.Cells = zonestest.CellsOf(fine, times, times)
	return m
}

// A form that is cut in four, each piece with a turn, a resolution and a full ink of
// its own, answers as the whole does.
func TestPiecesAnswerAsTheWhole(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		width, height := rapid.IntRange(2, 9).Draw(t, "width"), rapid.IntRange(2, 9).Draw(t, "height")
		rows := make([][]uint64, height)
		for y := range rows {
			rows[y] = rapid.SliceOfN(rapid.Uint64Range(0, 255), width, width).Draw(t, "row")
		}
		on := zonestest.Press(4, 3)
		on.PrintLengthMM = rapid.SampledFrom([]float64{0, 20}).Draw(t, "print length")
		shift := rapid.Float64Range(-1, 1).Draw(t, "shift")
		whole := lay(t, finer(rows, 0, width, 0, height, 1), on, Placement{ShiftMM: shift})
		x, y := rapid.IntRange(1, width-1).Draw(t, "cut across"), rapid.IntRange(1, height-1).Draw(t, "cut along")
		var maps []laidMap
		for _, c := range [][4]int{{0, x, 0, y}, {x, width, 0, y}, {0, x, y, height}, {x, width, y, height}} {
			at := anyPlacement(t)
			m := finer(rows, c[0], c[1], c[2], c[3], rapid.IntRange(1, 3).Draw(t, "times finer"))
			if at.Mirrored {
				m = zonestest.Mirrored(m)
			}
			at.ShiftMM = shift + float64(c[0]+c[1]-width)/2
			maps = append(maps, laidMap{zonestest.Turned(m, -quarters[at.LeadEdge]), at, float64(height - c[3])})
		}
		cut, err := layPieces(on, maps...)
		require.NoError(t, err)
		requireAlike(t, whole, cut)
	})
}

func requireAlike(t *rapid.T, whole, cut *Form) {
	const tiny = 1e-9
	want, warned, err := whole.Zones()
	require.NoError(t, err)
	got, warnings, err := cut.Zones()
	require.NoError(t, err)
	require.Equal(t, warned, warnings)
	inDeltas(t, coverages(want), coverages(got), tiny)
	for i, z := range want {
		if z.OffSheet != got[i].OffSheet { // hairPX is of px, and theirs are finer
			require.InDelta(t, 0, whole.Part(*z.LeftMM, *z.RightMM), 1e-5)
		}
	}
	require.InDelta(t, whole.CoveragePct(), cut.CoveragePct(), tiny)
	require.InDelta(t, whole.ReferenceMM(), cut.ReferenceMM(), tiny)
	require.InDelta(t, whole.Outline().LeftMM, cut.Outline().LeftMM, tiny)
	require.InDelta(t, whole.Outline().WidthMM, cut.Outline().WidthMM, tiny)
	require.Equal(t, whole.Blank(), cut.Blank())
	solid, err := whole.SolidM2()
	require.NoError(t, err)
	cutSolid, err := cut.SolidM2()
	require.NoError(t, err)
	require.InDelta(t, solid, cutSolid, tiny)

	from := rapid.Float64Range(-2, 12).Draw(t, "from")
	to := from + rapid.Float64Range(0.1, 9).Draw(t, "width of a place")
	require.InDelta(t, whole.InkMM2(from, to), cut.InkMM2(from, to), tiny)
	require.InDelta(t, whole.Part(from, to), cut.Part(from, to), tiny)
	length := rapid.Float64Range(0.1, 12).Draw(t, "band")
	require.InDelta(t, whole.Fullest(from, to, length).CoveragePct, cut.Fullest(from, to, length).CoveragePct, 1e-6)

	n := rapid.IntRange(1, 5).Draw(t, "split")
	wantSplit, err := whole.Split(n)
	require.NoError(t, err)
	gotSplit, err := cut.Split(n)
	require.NoError(t, err)
	inDeltas(t, coverages(wantSplit), coverages(gotSplit), tiny)
	a, b := whole.Cells(), cut.Cells()
	columns, rows := a.Size()
	cutColumns, cutRows := b.Size()
	require.Positive(t, columns*rows)
	require.Equal(t, []int{columns, rows}, []int{cutColumns, cutRows})
	for x := range columns {
		require.InDelta(t, a.Left(x), b.Left(x), tiny)
		for y := range rows {
			require.InDelta(t, a.Top(y), b.Top(y), tiny)
			require.InDelta(t, a.Ink(x, y), b.Ink(x, y), tiny)
		}
	}
}

// Between pieces that lie apart there is no form; nothing is counted there, and
// nothing drawn.
func TestPiecesApart(t *testing.T) {
	on := zonestest.Press(3, 2)
	solid := zonestest.Solid(2, 2, 25.4)
	f, err := layPieces(on, laidMap{solid, Placement{ShiftMM: -2}, 0}, laidMap{solid, Placement{ShiftMM: 2}, 3})
	require.NoError(t, err)
	zones, warnings, err := f.Zones()
	require.NoError(t, err)
	assert.Empty(t, warnings)
	assert.Equal(t, Outline{0, 6, 5}, f.Outline())
	inDeltas(t, []float64{40, 0, 40}, coverages(zones), 1e-9) // 2 of 5 mm
	assert.Equal(t, []bool{false, true, false}, []bool{zones[0].OffSheet, zones[1].OffSheet, zones[2].OffSheet})
	assert.InDelta(t, 0.5, f.Part(1, 3), 1e-9)
	assert.InDelta(t, 2.0/3, f.Part(0, 6), 1e-9)
	assert.Equal(t, Band{FromMM: 3, ToMM: 5, CoveragePct: 100}, f.Fullest(4, 6, 2))
	assert.InDelta(t, 100.0, f.CoveragePct(), 1e-9)
	var drawn [][]float64
	c := f.Cells()
	columns, rows := c.Size()
	for y := range rows {
		drawn = append(drawn, nil)
		for x := range columns {
			drawn[y] = append(drawn[y], c.Ink(x, y))
		}
	}
	assert.Equal(t, [][]float64{{0, 0, 1}, {0, 0, 0}, {1, 0, 0}}, drawn) // tail edge first
	assert.Nil(t, f.Placement(), "they lie in two ways")
	assert.Equal(t, "gull_K.tif", f.Source().File)
	solid.Warnings = []coverage.Warning{{Code: "polarity", Text: "a doubt"}}
	f, err = layPieces(on, laidMap{solid, Placement{}, 0}, laidMap{solid, Placement{}, 2})
	require.NoError(t, err)
	assert.Len(t, f.Doubts(), 1, "one doubt of one raster")
}

// What is wrong with a piece is told of it.
func TestPiecesRefuse(t *testing.T) {
	on := zonestest.Press(3, 2)
	solid, other := zonestest.Solid(2, 2, 25.4), zonestest.Solid(2, 2, 0)
	other.File, other.Page = "tern_K.tif", 2
	_, err := layPieces(on, laidMap{solid, Placement{}, 0}, laidMap{other, Placement{}, 2})
	assert.EqualError(t, err, "tern_K.tif: page 2: ink Black: the raster states no resolution, so its place in the form is not known")
	other.DPIX, other.DPIY = 25.4, 25.4
	f, err := layPieces(on, laidMap{solid, Placement{}, 0}, laidMap{other, Placement{ShiftMM: 4}, 2})
	require.NoError(t, err)
	_, _, err = f.Zones()
	assert.EqualError(t, err, "tern_K.tif: page 2: ink Black: ink stands 2 mm beyond the fountain's right end")
	assert.Equal(t, Source{Ink: "Black", Channel: 1, WidthPX: 2, HeightPX: 2, DPIX: 25.4, DPIY: 25.4, WidthMM: 2, HeightMM: 2}, f.Source(), "what they share")

	on.PrintLengthMM = 4
	f, err = layPieces(on, laidMap{solid, Placement{}, 0}, laidMap{other, Placement{}, 4})
	require.NoError(t, err)
	_, warnings, err := f.Zones()
	require.NoError(t, err)
	require.Len(t, warnings, 1)
	assert.Equal(t, Outside{BeyondMM: 2, PrintMM: 4}, warnings[0].Facts)
	assert.True(t, f.LiesOn(on))
	assert.False(t, f.LiesOn(&press.Press{Fountain: on.Fountain}))
}
