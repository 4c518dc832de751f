package zones

import (
	"errors"
	"testing"

	"bladeline/coverage"
	"bladeline/zones/press"
	"bladeline/zones/zonestest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// XJDF 2.1 (CIP4): a preview pixel on the border of two ink zones is shared in
// proportion to area. A row of 101 pixels at 2 px/mm over two zones of
// 25.25 mm: pixels 0–49 bare, 50 half inked, 51–100 solid. Computed from that
// rule: 0.25/50.5 and 50.25/50.5.
func TestBorderPixelIsShared(t *testing.T) {
	row := make([]uint64, 101)
	row[50] = 1
	for x := 51; x < 101; x++ {
		row[x] = 2
	}
	m := zonestest.MapOf(2, 50.8, 50.8, row)
	want := []float64{0.49505, 99.50495}

	split, err := splitIn(m, 2, Placement{})
	require.NoError(t, err)
	inDeltas(t, want, coverages(split), 5e-6)
	inDeltas(t, want, coverages(placed(t, m, zonestest.Press(2, 25.25), Placement{})), 5e-6)
}

// XJDF 2.1: the error of a preview at r lines/mm in a zone of z mm is at most
// 100/(4·r·z) %, and that of its n shades 100/(2·n) %. At 2 lines/mm and
// 31.75 mm: 0.3937, with 256 shades 0.1953.
func TestPreviewErrorStaysWithinTheBounds(t *testing.T) {
	const block, zones, bound = 10, 4, 100/(4*2*31.75) + 100.0/(2*256)
	rapid.Check(t, func(t *rapid.T) {
		runs := rapid.SliceOfN(rapid.Uint64Range(0, 1), 2540, 2540).Draw(t, "a row at 508 dpi")
		full := zonestest.MapOf(1, 508, 508, runs)
		preview := make([]uint64, len(runs)/block)
		for x := range preview {
			for _, v := range runs[x*block : (x+1)*block] {
				preview[x] += v
			}
			preview[x] = (preview[x]*255 + block/2) / block
		}
		a, err := splitIn(full, zones, Placement{})
		require.NoError(t, err)
		b, err := splitIn(zonestest.MapOf(255, 50.8, 50.8, preview), zones, Placement{})
		require.NoError(t, err)
		inDeltas(t, coverages(a), coverages(b), bound)
	})
}

// 1.25 in = 31.75 mm, the usual distance of keys (common practice, no source);
// 32 zones of 32.5 mm = 1040 mm. Computed.
func TestMillimetres(t *testing.T) {
	zones := placed(t, zonestest.Solid(3175, 1, 2540), zonestest.Press(1, 31.75), Placement{})
	assert.Equal(t, []Zone{{Number: 1, LeftMM: new(0.0), RightMM: new(31.75), CoveragePct: 100}}, zones)
	assert.Equal(t, 1040.0, zonestest.Press(32, 32.5).Fountain.WidthMM())

	split, err := splitIn(zonestest.Solid(3175, 1, 2540), 2, Placement{})
	require.NoError(t, err)
	assert.Equal(t, new(15.875), split[0].RightMM)
}

func TestRasterExactlyAsWideAsTheFountain(t *testing.T) {
	for _, dpi := range []float64{50.8, 254, 1016, 2540} {
		width := int(1040*dpi/25.4 + 0.5)
		for _, z := range placed(t, zonestest.Solid(width, 1, dpi), zonestest.Press(32, 32.5), Placement{}) {
			require.Equal(t, 100.0, z.CoveragePct)
			require.False(t, z.OffSheet)
		}
	}
}

func TestZonesOffTheSheet(t *testing.T) {
	m := zonestest.Solid(195, 1, 50.8) // 97.5 mm: three of five zones of 32.5 mm
	for _, hair := range []float64{0, 1e-9, -1e-9} {
		zones := placed(t, m, zonestest.Press(5, 32.5), Placement{ShiftMM: hair})
		inDeltas(t, []float64{0, 100, 100, 100, 0}, coverages(zones), 1e-4)
		for i, z := range zones {
			assert.Equal(t, i == 0 || i == 4, z.OffSheet, "zone %d", z.Number)
		}
	}
}

// Bench view: what is drawn is seen from the printed side.
func TestLeadEdges(t *testing.T) {
	m := zonestest.Drawn(50.8,
		"##..",
		"....")
	for name, tc := range map[string]struct {
		p    Placement
		want []float64
	}{
		"bottom: as seen":                           {Placement{LeadEdge: Bottom}, []float64{50, 0}},
		"top: turned by half":                       {Placement{LeadEdge: Top}, []float64{0, 50}},
		"left comes to the bottom, top to the left": {Placement{LeadEdge: Left}, []float64{50, 0}},
		"right comes to the bottom, top to right":   {Placement{LeadEdge: Right}, []float64{0, 50}},
		"wrong-reading":                             {Placement{Mirrored: true}, []float64{0, 50}},
		"wrong-reading, top":                        {Placement{LeadEdge: Top, Mirrored: true}, []float64{50, 0}},
		"wrong-reading, left":                       {Placement{LeadEdge: Left, Mirrored: true}, []float64{0, 50}},
	} {
		zones, err := splitIn(m, 2, tc.p)
		require.NoError(t, err)
		assert.Equal(t, tc.want, coverages(zones), name)
	}
}

func TestFirstZoneOnTheRight(t *testing.T) {
	on := zonestest.Press(2, 1)
	m := zonestest.Drawn(50.8, "##..")
	assert.Equal(t, []float64{100, 0}, coverages(placed(t, m, on, Placement{})))
	on.Fountain.FirstZone = press.Right
	zones := placed(t, m, on, Placement{})
	assert.Equal(t, []float64{0, 100}, coverages(zones))
	assert.Equal(t, 1, zones[0].Number)
	assert.Equal(t, new(1.0), zones[0].LeftMM)
	assert.Equal(t, new(0.0), zones[1].LeftMM)
}

func TestPrintLengthIsTheReference(t *testing.T) {
	on := zonestest.Press(2, 1)
	on.PrintLengthMM = 4
	inDeltas(t, []float64{25, 25}, coverages(placed(t, zonestest.Solid(4, 2, 50.8), on, Placement{})), 1e-9)

	on.PrintLengthMM = 1.25
	m := zonestest.Drawn(50.8, "####", "####", "....", "....") // 2 mm long, half of it bare
	zones, warnings, err := zonesOf(m, on, Placement{})
	require.NoError(t, err)
	inDeltas(t, []float64{80, 80}, coverages(zones), 1e-9)
	require.Len(t, warnings, 1)
	assert.Equal(t, CodeOutside, warnings[0].Code)
	assert.Equal(t, "ink stands up to 0.75 mm beyond the 1.25 mm that the press prints from the gripper edge; "+
		"it is counted in its zones, but does not print", warnings[0].Text)
	assert.Equal(t, Outside{BeyondMM: 0.75, PrintMM: 1.25}, warnings[0].Facts)

	// Ink in a pixel that reaches over the end is let pass: 3 px against 2.5.
	_, warnings, err = zonesOf(zonestest.Drawn(50.8, "....", "####", "####", "####"), on, Placement{})
	require.NoError(t, err)
	require.Len(t, warnings, 1)
	assert.Equal(t, CodeLength, warnings[0].Code)

	// Turned, the ink stands at the lead edge, and prints.
	_, warnings, err = zonesOf(m, on, Placement{LeadEdge: Top})
	require.NoError(t, err)
	require.Len(t, warnings, 1)
	assert.Equal(t, CodeLength, warnings[0].Code)
	assert.Equal(t, "the raster is 2 mm long, more than the 1.25 mm that the press prints", warnings[0].Text)
}

// A print of 4 mm at 300 px an inch is 47.2 px: a raster of 48 px is as long.
func TestPrintLengthWithinAPixel(t *testing.T) {
	on := zonestest.Press(1, 12.7)
	on.PrintLengthMM = 4
	zones := placed(t, zonestest.Solid(150, 48, 300), on, Placement{})
	assert.Equal(t, 100.0, zones[0].CoveragePct)
}

func TestResolutionOverrideIsOfTheRasterAsGiven(t *testing.T) {
	m := zonestest.Solid(4, 2, 0)
	zones := placed(t, m, zonestest.Press(2, 1), Placement{LeadEdge: Left, DPIX: 101.6, DPIY: 25.4})
	assert.Equal(t, []float64{100, 100}, coverages(zones)) // 1 × 2 mm, lying on its side
	split, err := splitIn(m, 2, Placement{})
	require.NoError(t, err)
	assert.Nil(t, split[0].LeftMM, "no resolution, no mm")
}

func TestBlankRasterBeyondTheFountain(t *testing.T) {
	zones, warnings, err := zonesOf(zonestest.Drawn(50.8, "..##...."), zonestest.Press(2, 1), Placement{ShiftMM: 0.5})
	require.NoError(t, err)
	assert.Equal(t, []float64{50, 50}, coverages(zones))
	require.Len(t, warnings, 1)
	assert.Equal(t, CodeBeyond, warnings[0].Code)
	assert.Equal(t, "the raster reaches beyond the fountain, by 0.5 mm on the left and 1.5 mm on the right; nothing prints there", warnings[0].Text)
}

// TestBlankSeparationOffTheFountain is warned of and not refused: it has no ink
// that could be lost.
func TestBlankSeparationOffTheFountain(t *testing.T) {
	for _, shift := range []float64{-800, 800} {
		m := zonestest.Solid(100, 100, 50.8)
		clear(m.Columns)
		clear(m.Rows)
		zones, warnings, err := zonesOf(m, zonestest.Press(2, 31.75), Placement{ShiftMM: shift})
		require.NoError(t, err)
		require.Len(t, warnings, 1)
		assert.Equal(t, CodeBeyond, warnings[0].Code)
		assert.True(t, zones[0].OffSheet)
		assert.Zero(t, zones[0].CoveragePct)
	}
}

// TestPlaceRoundedResolution lays a solid form that is as wide as the fountain,
// at the resolution that PNG rounds to whole pixels a metre: it reaches over
// both ends by a hair, and passes.
func TestPlaceRoundedResolution(t *testing.T) {
	m := zonestest.Solid(750, 1, 11_811*0.0254) // 300 dpi; 63.5 mm
	zones, warnings, err := zonesOf(m, zonestest.Press(2, 31.75), Placement{})
	require.NoError(t, err)
	assert.InDelta(t, 100, zones[0].CoveragePct, 1e-3)
	assert.Len(t, warnings, 1)
}

func TestPlaceRefuses(t *testing.T) {
	short := zonestest.Press(2, 1)
	short.PrintLengthMM = 4
	damaged := zonestest.Solid(4, 1, 50.8)
	damaged.Columns = damaged.Columns[:3]
	for want, err := range map[string]error{
		"gull_K.tif: page 1: ink Black: the raster states no resolution, so its place on the fountain is not known":          placeError(zonestest.Solid(4, 1, 0), zonestest.Press(2, 1), Placement{}),
		"gull_K.tif: page 1: ink Black: 1000000000 × 1000000000 dpi is not the resolution of a plate":                        placeError(zonestest.Solid(4, 1, 1e9), zonestest.Press(2, 1), Placement{}),
		"gull_K.tif: page 1: ink Black: ink stands 0.75 mm beyond the fountain's left end":                                   placeError(zonestest.Solid(4, 1, 50.8), zonestest.Press(2, 1), Placement{ShiftMM: -0.75}),
		"gull_K.tif: page 1: ink Black: ink stands 0.625 mm beyond the fountain's right end":                                 placeError(zonestest.Solid(4, 1, 50.8), zonestest.Press(2, 1), Placement{ShiftMM: 0.625}),
		"gull_K.tif: page 1: ink Black: in zone 1 the ink covers 200.0 %: the press prints 4 mm and the raster is 8 mm long": placeError(zonestest.Solid(4, 16, 50.8), short, Placement{}),
		"gripper edge (lead edge) \"front\" is not an edge; give bottom, top, left or right":                                 placeError(zonestest.Solid(4, 1, 50.8), zonestest.Press(2, 1), Placement{LeadEdge: "front"}),
		"the resolution is not a number of pixels per inch; give one above 0":                                                placeError(zonestest.Solid(4, 1, 50.8), zonestest.Press(2, 1), Placement{DPIX: -1}),
		"gull_K.tif: page 1: ink Black: its sums do not fit its size of 4 × 1 px; measure the raster anew":                   placeError(damaged, zonestest.Press(2, 1), Placement{}),
	} {
		assert.EqualError(t, err, want)
	}
	for _, v := range notFinite {
		assert.Error(t, placeError(zonestest.Solid(4, 1, 50.8), zonestest.Press(2, 1), Placement{ShiftMM: v}))
		assert.Error(t, placeError(zonestest.Solid(4, 1, 50.8), zonestest.Press(2, 1), Placement{DPIX: v}))
		assert.Error(t, placeError(zonestest.Solid(4, 1, v), zonestest.Press(2, 1), Placement{}))
	}
	for _, cells := range []coverage.Cells{
		{},
		{X: []int{0}, Y: []int{0}},
		{X: []int{0, 5}, Y: []int{0, 1}, Ink: []uint32{0}},
		{X: []int{0, 4}, Y: []int{0, 1}},
		{X: []int{0, 3, 2, 4}, Y: []int{0, 1}, Ink: []uint32{0, 0, 0}},
		{X: []int{1, 4}, Y: []int{0, 1}, Ink: []uint32{0}},
	} {
		m := zonestest.Solid(4, 1, 50.8)
		m.Cells = cells
		assert.ErrorContains(t, placeError(m, zonestest.Press(2, 1), Placement{LeadEdge: Left}), "its sums do not fit its size")
	}
	for _, n := range []int{0, -1, 201} {
		_, err := splitIn(zonestest.Solid(4, 1, 50.8), n, Placement{})
		assert.Error(t, err)
	}
}

func placeError(m *coverage.Map, on *press.Press, p Placement) error {
	_, _, err := zonesOf(m, on, p)
	return err
}

// anyPlacement draws a placement without its shift.
func anyPlacement(t *rapid.T) Placement {
	return Placement{
		LeadEdge: rapid.SampledFrom([]Edge{Bottom, Top, Left, Right}).Draw(t, "lead edge"),
		Mirrored: rapid.Bool().Draw(t, "mirrored"),
	}
}

// inkArea is the zones' ink in mm², reckoned back from their coverage.
func inkArea(zones []Zone, zoneMM, lengthMM float64) (sum float64) {
	for _, z := range zones {
		sum += z.CoveragePct / 100 * zoneMM * lengthMM
	}
	return sum
}

// seen is a Map turned as a whole into bench view, which a Form only looks at in
// another order.
func seen(m *coverage.Map, p Placement) *coverage.Map {
	m = zonestest.Turned(m, quarters[p.LeadEdge])
	if p.Mirrored {
		m = zonestest.Mirrored(m)
	}
	return m
}

func TestZonesAddUpToTheRaster(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, p := zonestest.AnyMap(t), anyPlacement(t)
		v := seen(m, p)
		// a fountain of any width from the raster's on, and any shift on it
		n := rapid.IntRange(1, 40).Draw(t, "zones")
		width := v.WidthMM() * rapid.Float64Range(1, 3).Draw(t, "fountain's width in rasters")
		room := (width - v.WidthMM()) / 2
		p.ShiftMM = room * rapid.Float64Range(-1, 1).Draw(t, "shift in rooms")
		on := zonestest.Press(n, width/float64(n))
		on.Fountain.FirstZone = rapid.SampledFrom([]press.End{press.Left, press.Right}).Draw(t, "first zone")
		length := v.HeightMM()
		if rapid.Bool().Draw(t, "longer print") {
			on.PrintLengthMM = length * 1.5
			length *= 1.5
		}
		ink := float64(m.Total()) / 255 * v.WidthMM() / float64(v.Width) * v.HeightMM() / float64(v.Height)

		zones, warnings, err := zonesOf(m, on, p)
		require.NoError(t, err)
		require.Empty(t, warnings)
		require.InEpsilon(t, ink, inkArea(zones, on.Fountain.ZoneWidthMM, length), 1e-9)

		zones, err = splitIn(m, n, p)
		require.NoError(t, err)
		require.InEpsilon(t, ink, inkArea(zones, v.WidthMM()/float64(n), v.HeightMM()), 1e-9)
	})
}

func TestViewsUndoThemselves(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, n := zonestest.AnyMap(t), rapid.IntRange(1, 30).Draw(t, "zones")
		split := func(m *coverage.Map, p Placement) []Zone {
			zones, err := splitIn(m, n, p)
			require.NoError(t, err)
			return zones
		}
		p := anyPlacement(t)
		twice := p
		twice.Mirrored = !p.Mirrored
		view := seen(m, p)
		require.Equal(t, split(view, Placement{}), split(m, p))
		require.Equal(t, split(m, p), split(zonestest.Mirrored(view), Placement{Mirrored: true}), "mirrored twice")
		require.Equal(t, split(m, Placement{LeadEdge: Top}), split(zonestest.Turned(m, 2), Placement{}), "top is half a turn")

		mirrored := split(m, twice)
		for i, z := range split(m, p) {
			require.InDelta(t, z.CoveragePct, mirrored[n-1-i].CoveragePct, 1e-9)
		}
	})
}

// What a front end words a cure of comes as numbers, under a code.
func TestRefusalsAreData(t *testing.T) {
	short := zonestest.Press(2, 1)
	short.PrintLengthMM = 4
	for _, tc := range []struct {
		err  error
		code string
		want error
	}{
		{placeError(zonestest.Solid(4, 1, 0), short, Placement{}), CodeNoResolution, &ResolutionError{DPIX: 0, DPIY: 0, Unknown: "its place on the fountain"}},
		{placeError(zonestest.Solid(4, 1, 50.8), short, Placement{LeadEdge: Left, DPIX: 200_000}), CodeBadResolution, &ResolutionError{DPIX: 50.8, DPIY: 200_000, Unknown: "its place on the fountain"}},
		{placeError(zonestest.Solid(4, 16, 50.8), short, Placement{}), CodeOverfull, &OverfullError{Zone: 1, CoveragePct: 200, PrintMM: 4, RasterMM: 8}},
		{placeError(zonestest.Solid(4, 1, 50.8), short, Placement{ShiftMM: -0.75}), CodeInkBeyond, &InkBeyondError{LeftMM: 0.75, FountainMM: 2}},
		{placeError(zonestest.Solid(4, 1, 50.8), short, Placement{ShiftMM: 1}), CodeInkBeyond, &InkBeyondError{RightMM: 1, FountainMM: 2}},
		{placeError(zonestest.Solid(8, 1, 50.8), short, Placement{}), CodeInkBeyond, &InkBeyondError{LeftMM: 1, RightMM: 1, FountainMM: 2}},
		{Distinct([]*coverage.Map{zonestest.Solid(1, 1, 1), zonestest.Solid(1, 1, 1)}), CodeSameInk, &SameInkError{"Black", "gull_K.tif", "gull_K.tif"}},
	} {
		coded, is := errors.AsType[interface {
			error
			Code() string
		}](tc.err)
		require.True(t, is, tc.want)
		assert.Equal(t, tc.want, coded)
		assert.Equal(t, tc.code, coded.Code())
		assert.Contains(t, Codes, tc.code)
	}
}

func TestSplitAtItsBounds(t *testing.T) {
	m := zonestest.Solid(4, 1, 1)
	for n, ok := range map[int]bool{1: true, 200: true, 0: false, 201: false} {
		_, err := splitIn(m, n, Placement{})
		assert.Equal(t, ok, err == nil, "%d", n)
	}
	split, err := splitIn(m, 2, Placement{})
	require.NoError(t, err)
	assert.Equal(t, new(2*25.4), split[1].LeftMM, "1 px an inch is a resolution")
}

// A resolution that is stated one way only, or that no plate has one way, gives
// no place; 1 px an inch does.
func TestPlacedByHalfAResolution(t *testing.T) {
	on := zonestest.Press(2, 25.4)
	for dpi, says := range map[[2]float64]string{
		{0, 25.4}: "states no resolution", {25.4, 0}: "states no resolution",
		{0.5, 25.4}: "is not the resolution of a plate", {25.4, 0.5}: "is not the resolution of a plate",
	} {
		_, _, err := zonesOf(zonestest.MapOf(1, dpi[0], dpi[1], []uint64{1, 1}), on, Placement{})
		assert.ErrorContains(t, err, says, "%v", dpi)
	}
	assert.Equal(t, []float64{100, 100}, coverages(placed(t, zonestest.MapOf(1, 1, 1, []uint64{1, 1}), on, Placement{})))
}

// A solid that is a pixel longer than the print fills it; two are too many.
// The print is 100 px long.
func TestSolidLongerThanThePrint(t *testing.T) {
	on := zonestest.Press(1, 10)
	on.PrintLengthMM = 100
	for rows, ok := range map[int]bool{100: true, 101: true, 102: false} {
		zones, _, err := zonesOf(zonestest.Solid(10, rows, 25.4), on, Placement{})
		require.Equal(t, ok, err == nil, "%d rows", rows)
		if ok {
			assert.Equal(t, []float64{100}, coverages(zones))
		}
	}
}
