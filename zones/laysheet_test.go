package zones

import (
	"errors"
	"slices"
	"testing"
	"time"

	"bladeline/coverage"
	"bladeline/zones/press"
	"bladeline/zones/zonestest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// flopped and clockwise turn pictures pixel by pixel.
func flopped(rows [][]uint64) [][]uint64 {
	var out [][]uint64
	for _, row := range rows {
		row = slices.Clone(row)
		slices.Reverse(row)
		out = append(out, row)
	}
	return out
}

func clockwise(rows [][]uint64) [][]uint64 {
	out := make([][]uint64, len(rows[0]))
	for x := range out {
		for y := len(rows) - 1; y >= 0; y-- {
			out[x] = append(out[x], rows[y][x])
		}
	}
	return out
}

// mapOfMM is the Map of a raster of 1 mm pixels, each of which is times × times.
func mapOfMM(rows [][]uint64, times int) *coverage.Map {
	return finer(rows, 0, len(rows[0]), 0, len(rows), times)
}

func anyRows(t *rapid.T, width, height int) [][]uint64 {
	rows := make([][]uint64, height)
	for y := range rows {
		rows[y] = rapid.SliceOfN(rapid.Uint64Range(0, 255), width, width).Draw(t, "row")
	}
	return rows
}

// anySheet draws a form, each piece in a place of its own, and paints it.
func anySheet(t *rapid.T) (form *coverage.Map, painted [][]uint64) {
	const slot, across, along = 6, 3, 2
	painted = make([][]uint64, slot*along)
	for y := range painted {
		painted[y] = make([]uint64, slot*across)
	}
	s := &coverage.Sheet{WidthMM: slot * across, LengthMM: slot * along}
	paint := func(rows [][]uint64, x, y int) { // y from the lead edge
		for i, row := range rows {
			copy(painted[len(painted)-y-len(rows)+i][x:], row)
		}
	}
	add := func(p coverage.Piece, x, y, wide, long int) {
		w, h := rapid.IntRange(1, wide).Draw(t, "width"), rapid.IntRange(1, long).Draw(t, "height")
		rows := anyRows(t, w, h)
		p.Map = mapOfMM(rows, rapid.IntRange(1, 3).Draw(t, "times finer"))
		p.Number, p.Turn, p.Mirrored = len(s.Pieces)+1, 90*rapid.IntRange(0, 3).Draw(t, "turn"), rapid.Bool().Draw(t, "mirrored")
		if p.Mirrored {
			rows = flopped(rows)
		}
		for range p.Turn / 90 {
			rows = clockwise(rows)
		}
		p.XMM, p.YMM = float64(x), float64(y)
		for i := range max(1, p.Across) {
			for j := range max(1, p.Along) {
				paint(rows, x+i*int(p.StepXMM), y+j*int(p.StepYMM))
			}
		}
		s.Pieces = append(s.Pieces, p)
	}
	if rapid.Bool().Draw(t, "repeated") {
		add(coverage.Piece{Across: across, Along: along, StepXMM: slot, StepYMM: slot}, 0, 0, slot, slot)
	} else {
		for i := range across {
			add(coverage.Piece{}, i*slot, rapid.IntRange(0, slot).Draw(t, "y"), slot, slot)
		}
	}
	return &coverage.Map{Ink: "Black", File: "gulls.form.toml", Page: 1, Channel: 1, Sheet: s}, painted
}

// A form of pieces answers as the one raster does that is painted of them, however
// it is placed.
func TestASheetAnswersAsTheWhole(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		form, painted := anySheet(t)
		on := zonestest.Press(9, 3)
		on.PrintLengthMM = rapid.SampledFrom([]float64{0, 20}).Draw(t, "print length")
		at := anyPlacement(t)
		at.ShiftMM = rapid.Float64Range(-1, 1).Draw(t, "shift")
		got, whole := lay(t, form, on, at), lay(t, mapOfMM(painted, 1), on, at)
		requireSame(t, whole, got)
	})
}

func requireSame(t *rapid.T, whole, got *Form) {
	const tiny = 1e-9
	want, warned, err := whole.Zones()
	require.NoError(t, err)
	zones, warnings, err := got.Zones()
	require.NoError(t, err)
	require.Equal(t, warned, warnings)
	inDeltas(t, coverages(want), coverages(zones), tiny)
	for i := range want {
		require.Equal(t, want[i].OffSheet, zones[i].OffSheet)
	}
	for _, n := range []int{1, 4, 7} {
		want, err := whole.Split(n)
		require.NoError(t, err)
		zones, err := got.Split(n)
		require.NoError(t, err)
		inDeltas(t, coverages(want), coverages(zones), tiny)
	}
	require.InDelta(t, whole.CoveragePct(), got.CoveragePct(), tiny)
	a, b := whole.Outline(), got.Outline()
	inDeltas(t, []float64{a.LeftMM, a.WidthMM, a.LengthMM}, []float64{b.LeftMM, b.WidthMM, b.LengthMM}, tiny)
	require.Equal(t, whole.Placement(), got.Placement())
	require.Equal(t, whole.Blank(), got.Blank())
	solid, err := whole.SolidM2()
	require.NoError(t, err)
	gotSolid, err := got.SolidM2()
	require.NoError(t, err)
	require.InDelta(t, solid, gotSolid, tiny)
	from := rapid.Float64Range(0, 20).Draw(t, "from")
	to := from + rapid.Float64Range(0.1, 9).Draw(t, "width of a place")
	require.InDelta(t, whole.InkMM2(from, to), got.InkMM2(from, to), tiny)
	require.InDelta(t, whole.Part(from, to), got.Part(from, to), tiny)
	require.InDelta(t, whole.FreeMM(from, to), got.FreeMM(from, to), 1e-6)
	length := rapid.Float64Range(0.1, 12).Draw(t, "band")
	require.InDelta(t, whole.Fullest(from, to, length).CoveragePct, got.Fullest(from, to, length).CoveragePct, 1e-6)
	requireSamePicture(t, whole, got)
}

// requireSamePicture holds the sheet's grid, of 2 mm, against the pixels, of 1 mm.
func requireSamePicture(t *rapid.T, whole, got *Form) {
	fine, c := whole.Cells(), got.Cells()
	columns, rows := c.Size()
	width, length := fine.Size()
	require.Equal(t, []int{(width + 1) / 2, (length + 1) / 2}, []int{columns, rows})
	for y := range rows {
		for x := range columns {
			want := fine.Ink(2*x, 2*y) + fine.Ink(2*x+1, 2*y) + fine.Ink(2*x, 2*y+1) + fine.Ink(2*x+1, 2*y+1)
			require.InDelta(t, want/4, c.Ink(x, y), 1e-9)
		}
	}
}

// onSheet is a form of 20 × 10 mm of pieces of a solid of 4 × 4 mm.
func onSheet(pieces ...coverage.Piece) *coverage.Map {
	for i := range pieces {
		if pieces[i].Map == nil {
			pieces[i].Map = zonestest.Solid(4, 4, 25.4)
		}
		pieces[i].Number = i + 1
	}
	return &coverage.Map{Ink: "Black", File: "gulls.form.toml", Page: 1, Channel: 1, Sheet: &coverage.Sheet{WidthMM: 20, LengthMM: 10, Pieces: pieces}}
}

func TestSheetsRefuse(t *testing.T) {
	for _, c := range []struct {
		form *coverage.Map
		at   Placement
		want string
	}{
		{onSheet(coverage.Piece{}, coverage.Piece{XMM: 2.5, YMM: 2}), Placement{}, "piece 2 (gull_K.tif) lies over piece 1 (gull_K.tif) by 1.5 × 2 mm; move one of them, crop it, or write overprint = true where their inks print over each other"},
		{onSheet(coverage.Piece{Across: 3, StepXMM: 2}), Placement{}, "piece 1 (gull_K.tif), copy 2 across and 1 along, lies over piece 1 (gull_K.tif), copy 1 across and 1 along, by 2 × 4 mm; move one of them, crop it, or write overprint = true where their inks print over each other"},
		{onSheet(coverage.Piece{XMM: 17.5}), Placement{}, "ink of piece 1 (gull_K.tif) stands 1.5 mm beyond the sheet's right edge; move it, crop it, or correct the sheet's size"},
		{onSheet(coverage.Piece{XMM: -3}), Placement{}, "ink of piece 1 (gull_K.tif) stands 3 mm beyond the sheet's left edge; move it, crop it, or correct the sheet's size"},
		{onSheet(coverage.Piece{YMM: -3}), Placement{}, "ink of piece 1 (gull_K.tif) stands 3 mm beyond the sheet's gripper edge; move it, crop it, or correct the sheet's size"},
		{onSheet(coverage.Piece{YMM: 8}), Placement{}, "ink of piece 1 (gull_K.tif) stands 2 mm beyond the sheet's tail edge; move it, crop it, or correct the sheet's size"},
		{onSheet(coverage.Piece{}), Placement{DPIX: 100}, "the form states the resolution of each of its pieces, and none is for all of them"},
		{onSheet(), Placement{}, "there is no separation; measure one"},
		{onSheet(coverage.Piece{Turn: 45}), Placement{}, "piece 1: a turn of 45 degrees is none; give 0, 90, 180 or 270"},
		{onSheet(coverage.Piece{Across: 1_000_000, Along: 1_000_000}), Placement{}, "more than 10000 pieces do not go on one sheet; correct the repeats, or measure some of them together as one raster"},
	} {
		_, err := Lay(c.form, zonestest.Press(5, 4), c.at)
		assert.EqualError(t, err, "gulls.form.toml: ink Black: "+c.want)
	}
	_, err := Lay(onSheet(coverage.Piece{Map: zonestest.Solid(4, 4, 0)}), zonestest.Press(5, 4), Placement{})
	require.ErrorContains(t, err, "the raster states no resolution, so its place in the form is not known")
	e, is := errors.AsType[*ResolutionError](err)
	require.True(t, is)
	assert.Equal(t, CodeNoResolution, e.Code())
}

// Ink beyond the fountain is told of the whole form, as far as the farthest piece's.
func TestSheetBeyondTheFountain(t *testing.T) {
	on := zonestest.Press(3, 4) // 12 mm, of a sheet of 20
	f := lay(t, onSheet(coverage.Piece{}, coverage.Piece{XMM: 15, YMM: 5}, coverage.Piece{XMM: 16}), on, Placement{})
	_, _, err := f.Zones()
	assert.EqualError(t, err, "gulls.form.toml: ink Black: ink stands beyond the fountain's ends, 4 mm at the left and 4 mm at the right: the form is wider than the 12 mm that it inks")
	e, is := errors.AsType[*InkBeyondError](err)
	require.True(t, is)
	assert.True(t, e.InForm)
}

// Ink adds up where it is said to overprint, and is a solid at most.
func TestOverprint(t *testing.T) {
	on := zonestest.Press(5, 4)
	f := lay(t, onSheet(coverage.Piece{}, coverage.Piece{XMM: 2, YMM: 2, Overprint: true}, coverage.Piece{XMM: 2, YMM: 6, Overprint: true}), on, Placement{})
	zones, _, err := f.Zones()
	require.NoError(t, err)
	inDeltas(t, []float64{80, 40, 0, 0, 0}, coverages(zones), 1e-9) // 16 + 8 + 8 of 40 mm²; 8 + 8
	f = lay(t, onSheet(coverage.Piece{Across: 1, Along: 5, Overprint: true}), on, Placement{})
	zones, _, err = f.Zones()
	require.NoError(t, err)
	inDeltas(t, []float64{100, 0, 0, 0, 0}, coverages(zones), 0) // 5 solids of 40 %
}

// Blank paper beyond the sheet is warned of once.
func TestBlankBeyondTheSheet(t *testing.T) {
	m := zonestest.Drawn(25.4, "  ##", "  ##", "    ", "    ")
	f := lay(t, onSheet(coverage.Piece{Map: m, XMM: -2, YMM: 2}, coverage.Piece{Map: m, XMM: 6, YMM: -2}), zonestest.Press(5, 4), Placement{})
	require.Len(t, f.Doubts(), 1)
	assert.Equal(t, Warning{Ink: "Black", Code: CodeBeyondSheet, Text: "piece 1 (gull_K.tif) reaches 2 mm beyond the sheet's left edge, where nothing prints; there are 1 more such: move it, or crop it"}, f.Doubts()[0])
	zones, warnings, err := f.Zones()
	require.NoError(t, err)
	assert.Empty(t, f.Outline().LeftMM)
	require.Len(t, warnings, 1, "beyond the fountain, too")
	inDeltas(t, []float64{10, 0, 10, 0, 0}, coverages(zones), 1e-9)
}

// A raster that stands on a sheet ten times is turned and summed up once.
func TestCopiesShareTheirSums(t *testing.T) {
	m := zonestest.Plate(4000, 2000)
	form := &coverage.Map{Ink: "Black", File: "gulls.form.toml", Sheet: &coverage.Sheet{WidthMM: 1000, LengthMM: 700, Pieces: []coverage.Piece{
		{Map: m, Across: 20, Along: 30, StepXMM: 45, StepYMM: 22},
	}}}
	f := lay(t, form, zonestest.Press(40, 25), Placement{})
	require.Len(t, f.pieces, 600)
	for _, p := range f.pieces {
		require.Same(t, f.pieces[0].turned, p.turned)
	}
}

// fiveHundred is a form of 500 pieces of four rasters, each a card at 2400 px an
// inch.
func fiveHundred() *coverage.Map {
	var pieces []coverage.Piece
	var cards []*coverage.Map
	for range 4 {
		cards = append(cards, zonestest.Plate(3500, 2000)) // 37 × 21 mm
	}
	for i := range 500 {
		pieces = append(pieces, coverage.Piece{Map: cards[i%4], XMM: float64(i%25) * 40, YMM: float64(i/25) * 34, Turn: 180 * (i % 2)})
	}
	return &coverage.Map{Ink: "Black", File: "cards.form.toml", Sheet: &coverage.Sheet{WidthMM: 1000, LengthMM: 700, Pieces: pieces}}
}

func preset500(t require.TestingT, form *coverage.Map, on *press.Press) {
	f := lay(t, form, on, Placement{})
	zones, _, err := f.Zones()
	require.NoError(t, err)
	for _, z := range zones {
		f.Fullest(*z.LeftMM, *z.RightMM, 70)
		f.Part(*z.LeftMM, *z.RightMM)
	}
	f.Cells()
}

// What a preset asks of a form of 500 pieces takes far less than a second, in the
// best of some tries: the machine has other work.
func TestFiveHundredPieces(t *testing.T) {
	form, on := fiveHundred(), zonestest.Press(32, 32)
	best := time.Hour
	for range 5 {
		start := time.Now()
		preset500(t, form, on)
		best = min(best, time.Since(start))
	}
	assert.Less(t, best, time.Second)
}

func BenchmarkFiveHundredPieces(b *testing.B) {
	form, on := fiveHundred(), zonestest.Press(32, 32)
	for b.Loop() {
		preset500(b, form, on)
	}
}
