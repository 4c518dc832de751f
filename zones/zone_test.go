package zones

import (
	"testing"

	"bladeline/coverage"

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
	m := mapOf(2, 50.8, 50.8, row)
	want := []float64{0.49505, 99.50495}

	split, err := Split(m, 2, Placement{})
	require.NoError(t, err)
	inDeltas(t, want, coverages(split), 5e-6)
	inDeltas(t, want, coverages(placed(t, m, pressOf(2, 25.25), Placement{})), 5e-6)
}

// XJDF 2.1: the error of a preview at r lines/mm in a zone of z mm is at most
// 100/(4·r·z) %, and that of its n shades 100/(2·n) %. At 2 lines/mm and
// 31.75 mm: 0.3937, with 256 shades 0.1953.
func TestPreviewErrorStaysWithinTheBounds(t *testing.T) {
	const block, zones, bound = 10, 4, 100/(4*2*31.75) + 100.0/(2*256)
	rapid.Check(t, func(t *rapid.T) {
		runs := rapid.SliceOfN(rapid.Uint64Range(0, 1), 2540, 2540).Draw(t, "a row at 508 dpi")
		full := mapOf(1, 508, 508, runs)
		preview := make([]uint64, len(runs)/block)
		for x := range preview {
			for _, v := range runs[x*block : (x+1)*block] {
				preview[x] += v
			}
			preview[x] = (preview[x]*255 + block/2) / block
		}
		a, err := Split(full, zones, Placement{})
		require.NoError(t, err)
		b, err := Split(mapOf(255, 50.8, 50.8, preview), zones, Placement{})
		require.NoError(t, err)
		inDeltas(t, coverages(a), coverages(b), bound)
	})
}

// 1.25 in = 31.75 mm, the usual distance of keys (common practice, no source);
// 32 zones of 32.5 mm = 1040 mm. Computed.
func TestMillimetres(t *testing.T) {
	zones := placed(t, solid(3175, 1, 2540), pressOf(1, 31.75), Placement{})
	assert.Equal(t, []Zone{{Number: 1, LeftMM: new(0.0), RightMM: new(31.75), CoveragePct: 100}}, zones)
	assert.Equal(t, 1040.0, pressOf(32, 32.5).Fountain.WidthMM())

	split, err := Split(solid(3175, 1, 2540), 2, Placement{})
	require.NoError(t, err)
	assert.Equal(t, new(15.875), split[0].RightMM)
}

func TestRasterExactlyAsWideAsTheFountain(t *testing.T) {
	for _, dpi := range []float64{50.8, 254, 1016, 2540} {
		width := int(1040*dpi/25.4 + 0.5)
		for _, z := range placed(t, solid(width, 1, dpi), pressOf(32, 32.5), Placement{}) {
			require.Equal(t, 100.0, z.CoveragePct)
			require.False(t, z.OffSheet)
		}
	}
}

func TestZonesOffTheSheet(t *testing.T) {
	m := solid(195, 1, 50.8) // 97.5 mm: three of five zones of 32.5 mm
	for _, hair := range []float64{0, 1e-9, -1e-9} {
		zones := placed(t, m, pressOf(5, 32.5), Placement{ShiftMM: hair})
		inDeltas(t, []float64{0, 100, 100, 100, 0}, coverages(zones), 1e-4)
		for i, z := range zones {
			assert.Equal(t, i == 0 || i == 4, z.OffSheet, "zone %d", z.Number)
		}
	}
}

// Bench view: what is drawn is seen from the printed side.
func TestLeadEdges(t *testing.T) {
	m := drawn(50.8,
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
		zones, err := Split(m, 2, tc.p)
		require.NoError(t, err)
		assert.Equal(t, tc.want, coverages(zones), name)
	}
}

func TestFirstZoneOnTheRight(t *testing.T) {
	press := pressOf(2, 1)
	m := drawn(50.8, "##..")
	assert.Equal(t, []float64{100, 0}, coverages(placed(t, m, press, Placement{})))
	press.Fountain.FirstZone = Right
	zones := placed(t, m, press, Placement{})
	assert.Equal(t, []float64{0, 100}, coverages(zones))
	assert.Equal(t, 1, zones[0].Number)
	assert.Equal(t, new(1.0), zones[0].LeftMM)
	assert.Equal(t, new(0.0), zones[1].LeftMM)
}

func TestPrintLengthIsTheReference(t *testing.T) {
	press := pressOf(2, 1)
	press.PrintLengthMM = 4
	inDeltas(t, []float64{25, 25}, coverages(placed(t, solid(4, 2, 50.8), press, Placement{})), 1e-9)

	press.PrintLengthMM = 1.25
	m := drawn(50.8, "####", "####", "....", "....") // 2 mm long, half of it bare
	zones, warnings, err := Place(m, press, Placement{})
	require.NoError(t, err)
	inDeltas(t, []float64{80, 80}, coverages(zones), 1e-9)
	require.Len(t, warnings, 1)
	assert.Equal(t, CodeOutside, warnings[0].Code)
	assert.Equal(t, "ink stands up to 0.75 mm beyond the 1.25 mm that the press prints from the lead edge; "+
		"it is counted in its zones, but does not print: shorten the form, or correct print_length_mm or --lead-edge", warnings[0].Text)

	// Ink in a pixel that reaches over the end is let pass: 3 px against 2.5.
	_, warnings, err = Place(drawn(50.8, "....", "####", "####", "####"), press, Placement{})
	require.NoError(t, err)
	require.Len(t, warnings, 1)
	assert.Equal(t, CodeLength, warnings[0].Code)

	// Turned, the ink stands at the lead edge, and prints.
	_, warnings, err = Place(m, press, Placement{LeadEdge: Top})
	require.NoError(t, err)
	require.Len(t, warnings, 1)
	assert.Equal(t, CodeLength, warnings[0].Code)
	assert.Equal(t, "the raster is 2 mm long, more than the 1.25 mm that the press prints", warnings[0].Text)
}

// A print of 4 mm at 300 px an inch is 47.2 px: a raster of 48 px is as long.
func TestPrintLengthWithinAPixel(t *testing.T) {
	press := pressOf(1, 12.7)
	press.PrintLengthMM = 4
	zones := placed(t, solid(150, 48, 300), press, Placement{})
	assert.Equal(t, 100.0, zones[0].CoveragePct)
}

func TestResolutionOverrideIsOfTheRasterAsGiven(t *testing.T) {
	m := solid(4, 2, 0)
	zones := placed(t, m, pressOf(2, 1), Placement{LeadEdge: Left, DPIX: 101.6, DPIY: 25.4})
	assert.Equal(t, []float64{100, 100}, coverages(zones)) // 1 × 2 mm, lying on its side
	split, err := Split(m, 2, Placement{})
	require.NoError(t, err)
	assert.Nil(t, split[0].LeftMM, "no resolution, no mm")
}

func TestBlankRasterBeyondTheFountain(t *testing.T) {
	zones, warnings, err := Place(drawn(50.8, "..##...."), pressOf(2, 1), Placement{ShiftMM: 0.5})
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
		m := solid(100, 100, 50.8)
		clear(m.Columns)
		clear(m.Rows)
		zones, warnings, err := Place(m, pressOf(2, 31.75), Placement{ShiftMM: shift})
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
	m := solid(750, 1, 11_811*0.0254) // 300 dpi; 63.5 mm
	zones, warnings, err := Place(m, pressOf(2, 31.75), Placement{})
	require.NoError(t, err)
	assert.InDelta(t, 100, zones[0].CoveragePct, 1e-3)
	assert.Len(t, warnings, 1)
}

func TestPlaceRefuses(t *testing.T) {
	short := pressOf(2, 1)
	short.PrintLengthMM = 4
	damaged := solid(4, 1, 50.8)
	damaged.Columns = damaged.Columns[:3]
	for want, err := range map[string]error{
		"gull_K.tif: page 1: ink Black: the raster states no resolution, so its place on the fountain is not known; say --dpi":                                 placeError(solid(4, 1, 0), pressOf(2, 1), Placement{}),
		"gull_K.tif: page 1: ink Black: 1000000000 × 1000000000 dpi is no resolution of a plate; say --dpi":                                                    placeError(solid(4, 1, 1e9), pressOf(2, 1), Placement{}),
		"gull_K.tif: page 1: ink Black: ink stands 0.75 mm beyond the fountain's left end; shift it to the right or correct --dpi":                             placeError(solid(4, 1, 50.8), pressOf(2, 1), Placement{ShiftMM: -0.75}),
		"gull_K.tif: page 1: ink Black: ink stands 0.625 mm beyond the fountain's right end; shift it to the left or correct --dpi":                            placeError(solid(4, 1, 50.8), pressOf(2, 1), Placement{ShiftMM: 0.625}),
		"gull_K.tif: page 1: ink Black: in zone 1 the ink covers 200.0 %: the press prints 4 mm and the raster is 8 mm long; correct print_length_mm or --dpi": placeError(solid(4, 16, 50.8), short, Placement{}),
		"lead edge \"front\" is no edge; say bottom, top, left or right":                                                                                       placeError(solid(4, 1, 50.8), pressOf(2, 1), Placement{LeadEdge: "front"}),
		"the resolution is no number of pixels an inch; say one above 0":                                                                                       placeError(solid(4, 1, 50.8), pressOf(2, 1), Placement{DPIX: -1}),
		"gull_K.tif: page 1: ink Black: its sums do not fit its size of 4 × 1 px; measure the raster anew":                                                     placeError(damaged, pressOf(2, 1), Placement{}),
	} {
		assert.EqualError(t, err, want)
	}
	for _, v := range notFinite {
		assert.Error(t, placeError(solid(4, 1, 50.8), pressOf(2, 1), Placement{ShiftMM: v}))
		assert.Error(t, placeError(solid(4, 1, 50.8), pressOf(2, 1), Placement{DPIX: v}))
		assert.Error(t, placeError(solid(4, 1, v), pressOf(2, 1), Placement{}))
	}
	for _, n := range []int{0, -1, 201} {
		_, err := Split(solid(4, 1, 50.8), n, Placement{})
		assert.Error(t, err)
	}
}

func placeError(m *coverage.Map, press *Press, p Placement) error {
	_, _, err := Place(m, press, p)
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

func TestZonesAddUpToTheRaster(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, p := anyMap(t), anyPlacement(t)
		v, err := p.View(m)
		require.NoError(t, err)
		// a fountain of any width from the raster's on, and any shift on it
		n := rapid.IntRange(1, 40).Draw(t, "zones")
		width := v.WidthMM() * rapid.Float64Range(1, 3).Draw(t, "fountain's width in rasters")
		room := (width - v.WidthMM()) / 2
		p.ShiftMM = room * rapid.Float64Range(-1, 1).Draw(t, "shift in rooms")
		press := pressOf(n, width/float64(n))
		press.Fountain.FirstZone = rapid.SampledFrom([]Edge{Left, Right}).Draw(t, "first zone")
		length := v.HeightMM()
		if rapid.Bool().Draw(t, "longer print") {
			press.PrintLengthMM = length * 1.5
			length *= 1.5
		}
		ink := float64(m.Total()) / 255 * v.WidthMM() / float64(v.Width) * v.HeightMM() / float64(v.Height)

		zones, warnings, err := Place(m, press, p)
		require.NoError(t, err)
		require.Empty(t, warnings)
		require.InEpsilon(t, ink, inkArea(zones, press.Fountain.ZoneWidthMM, length), 1e-9)

		zones, err = Split(m, n, p)
		require.NoError(t, err)
		require.InEpsilon(t, ink, inkArea(zones, v.WidthMM()/float64(n), v.HeightMM()), 1e-9)
	})
}

func TestViewsUndoThemselves(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, n := anyMap(t), rapid.IntRange(1, 30).Draw(t, "zones")
		split := func(m *coverage.Map, p Placement) []Zone {
			zones, err := Split(m, n, p)
			require.NoError(t, err)
			return zones
		}
		p := anyPlacement(t)
		twice := p
		twice.Mirrored = !p.Mirrored
		view, err := p.View(m)
		require.NoError(t, err)
		require.Equal(t, split(view, Placement{}), split(m, p))
		require.Equal(t, split(m, p), split(view.Mirror(), Placement{Mirrored: true}), "mirrored twice")
		require.Equal(t, split(m, Placement{LeadEdge: Top}), split(m.Turn(2), Placement{}), "top is half a turn")

		mirrored := split(m, twice)
		for i, z := range split(m, p) {
			require.InDelta(t, z.CoveragePct, mirrored[n-1-i].CoveragePct, 1e-9)
		}
	})
}

func TestShiftByAZoneMovesThePresetByAZone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := anyMap(t)
		press := pressOf(10, m.WidthMM()/4)
		from := float64(rapid.IntRange(-3, 1).Draw(t, "zones shifted")) + rapid.Float64Range(0, 1).Draw(t, "part")
		preset := func(shift float64) []Key {
			zones, _, err := Place(m, press, Placement{ShiftMM: shift * press.Fountain.ZoneWidthMM})
			require.NoError(t, err)
			in := NewUnitInput(m, zones, nil)
			in.Curve, in.Sweep = lineCurve(t), new(45.0)
			p, err := NewPreset("gull", press, []UnitInput{in})
			require.NoError(t, err)
			return p.Units[0].Keys
		}
		here, there := preset(from), preset(from+1)
		for i := range len(here) - 1 {
			require.InDelta(t, here[i].OpeningPct, there[i+1].OpeningPct, 1e-3)
			require.InDelta(t, here[i].CoveragePct, there[i+1].CoveragePct, 1e-3)
		}
	})
}
