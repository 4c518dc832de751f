package sheet

import (
	"fmt"
	"math"
	"sync"
	"testing"

	"bladeline/coverage"
	"bladeline/curves"
	"bladeline/zones"
	"bladeline/zones/preset"
	"bladeline/zones/press"

	"github.com/stretchr/testify/require"
)

const job, longName = "Ollerquay harbour fair, outer form", "Harbour Red for the quay wall, the bunting, the lifeboat and all seven ferries of the summer line"

// sample is a separation with a bare margin, tints, a solid block and text.
// Nothing writes to it.
var sample = sync.OnceValue(func() *coverage.Map {
	const width, height, cell = 1280, 914, 4 // 640 × 457 mm at 50.8 dpi
	m := &coverage.Map{
		Ink: "Black", File: "fair_K.tif", Page: 1, Channel: 1, Width: width, Height: height, DPIX: 50.8, DPIY: 50.8,
		Full: 255, Columns: make([]uint64, width), Rows: make([]uint64, height),
	}
	for x := 0; x < width; x += cell {
		m.Cells.X = append(m.Cells.X, x)
	}
	for y := 0; y < height; y += cell {
		m.Cells.Y = append(m.Cells.Y, y)
	}
	m.Cells.X, m.Cells.Y = append(m.Cells.X, width), append(m.Cells.Y, height)
	cols := len(m.Cells.X) - 1
	m.Cells.Ink = make([]uint32, cols*(len(m.Cells.Y)-1))
	for y := range height {
		for x := range width {
			v := shadeAt(float64(x)/width, float64(y)/height)
			m.Columns[x] += v
			m.Rows[y] += v
			m.Cells.Ink[y/cell*cols+x/cell] += uint32(v)
		}
	}
	return m
})

// shadeAt is 0 to 255 at a place given in parts of width and height, from the
// upper left.
func shadeAt(x, y float64) uint64 {
	switch {
	case x < 0.04 || x > 0.96 || y < 0.03 || y > 0.97:
		return 0
	case x > 0.12 && x < 0.2 && y > 0.1 && y < 0.9:
		return 40
	case math.Hypot((x-0.42)*1.4, y-0.5) < 0.2:
		return 255
	case x > 0.6 && x < 0.9 && y > 0.5:
		return uint64(255 * (x - 0.6) / 0.3)
	case x > 0.6 && int(y*60)%2 == 0:
		return 110
	}
	return 0
}

// pressOf is a press under the sample: as wide as it, and a little wider.
func pressOf(n int, unit press.KeyUnit, blade press.Blade) *press.Press {
	scale := map[press.KeyUnit]press.KeyScale{
		press.Percent: {Unit: press.Percent, Travel: 100, Step: 1},
		press.Notch:   {Unit: press.Notch, Travel: 24, Step: 1},
		press.Turn:    {Unit: press.Turn, Travel: 3, Step: 0.125},
	}[unit]
	p := &press.Press{
		Name:     "Two-colour 26-inch",
		Fountain: press.Fountain{Zones: n, ZoneWidthMM: 666.75 / float64(n), FirstZone: press.Left, Blade: blade},
		Keys:     scale, Limits: curves.Limits{FloorPct: 4, CeilingPct: 90},
		Sweep: curves.SweepScale{Unit: "%", From: 10, To: 90, Step: 1, Reference: 45},
	}
	if blade == press.OnePiece {
		p.Limits.NeighbourPct = 300 / float64(n)
	}
	return p
}

func lay(t require.TestingT, m *coverage.Map, on *press.Press, at zones.Placement) *zones.Form {
	f, err := zones.Lay(m, on, at)
	require.NoError(t, err)
	return f
}

// presetOf presets the sample.
func presetOf(t require.TestingT, on *press.Press, sweep float64) (*preset.Preset, Options) {
	m := sample()
	form := lay(t, m, on, zones.Placement{})
	curve := &curves.Curve{Name: "coated", Shape: curves.Smooth, Points: []curves.Point{{CoveragePct: 0, OpeningPct: 2}, {CoveragePct: 10, OpeningPct: 18}, {CoveragePct: 40, OpeningPct: 46}, {CoveragePct: 100, OpeningPct: 80}}}
	require.NoError(t, curve.Prepare())
	p, err := preset.New(job, on, []preset.UnitInput{{Form: form, Curve: curve, Sweep: &sweep}}, 0)
	require.NoError(t, err)
	p.Warnings = []zones.Warning{} // tests add their own
	return p, Options{
		Forms: map[string]*zones.Form{"Black": form},
		Inks:  map[string][]string{"Black": {"412 g for 5,000 sheets (330 to 560 g)", "82 g for each further 1000"}},
	}
}

// A look is a kind of sheet.
type look struct {
	name   string
	preset *preset.Preset
	Options
}

// looks are the kinds of sheet that differ.
func looks(t *testing.T) []look {
	var all []look
	for _, paper := range []PageSize{A4, Letter} {
		for _, n := range map[PageSize][]int{A4: {8, 15, 21, 32, 64}, Letter: {21, 64}}[paper] {
			for _, unit := range []press.KeyUnit{press.Percent, press.Notch, press.Turn} {
				for _, blade := range []press.Blade{press.Segmented, press.OnePiece} {
					p, o := presetOf(t, pressOf(n, unit, blade), 30)
					o.PageSize = paper
					word := map[press.KeyUnit]string{press.Percent: "percent", press.Notch: "notch", press.Turn: "turn"}[unit]
					all = append(all, look{fmt.Sprintf("%d-%s-%s-%s", n, word, blade, paper), p, o})
				}
			}
		}
	}
	for _, on := range []*press.Press{
		pressOf(8, press.Turn, press.OnePiece), pressOf(21, press.Percent, press.Segmented), pressOf(64, press.Turn, press.Segmented), pressOf(64, press.Percent, press.OnePiece),
	} {
		all = append(all, ran(t, on))
	}
	return append(all, bare(t), long(t))
}

// ran is a sheet of a run: every key a step or two from its preset, but every fifth,
// which was not read, and the sweep longer.
func ran(t *testing.T, on *press.Press) look {
	p, o := presetOf(t, on, 30)
	p.Date = new("2026-11-26")
	u := &p.Units[0]
	u.OKSweep = new(36.0)
	for i := range u.Keys {
		if k := &u.Keys[i]; i%5 != 4 {
			k.OKKey = new(min(on.Keys.Travel, max(0, k.Key+on.Keys.Step*float64(i%3-1)*2)))
		}
	}
	o.Press = on
	return look{fmt.Sprintf("run-%d-%s-%s", on.Fountain.Zones, map[press.KeyUnit]string{press.Percent: "percent", press.Turn: "turn"}[on.Keys.Unit], on.Fountain.Blade), p, o}
}

// bare is a sheet of a preset that says as little as one can.
func bare(t *testing.T) look {
	p, _ := presetOf(t, pressOf(21, press.Percent, press.Segmented), 45)
	p.Job, p.Press.ZoneWidthMM, p.Press.FirstZone, p.Press.Blade = "", nil, nil, nil
	u := &p.Units[0]
	u.File, u.Page, u.Channel, u.Curve, u.SweepChosen, u.SweepReason, u.CoveragePct = nil, nil, nil, nil, nil, nil, nil
	for i := range u.Keys {
		u.Keys[i].LeftMM, u.Keys[i].RightMM = nil, nil
	}
	return look{"bare", p, Options{}}
}

// long is a sheet on which everything is longer than its place.
func long(t *testing.T) look {
	p, _ := presetOf(t, pressOf(32, press.Turn, press.OnePiece), 20)
	p.Job, p.Press.Name, p.Units[0].Ink = longName+", "+longName, longName, longName
	right := press.Right
	p.Press.FirstZone = &right
	for i := range 12 {
		p.Warnings = append(p.Warnings, zones.Warning{Ink: longName, Zone: &[]int{i + 1}[0], Code: "take-off", Text: "only 2.1 % of this zone prints, and colour drifts where less than 10 % does; a take-off bar 4 mm wide along the tail edge would bring it to 10 %"})
	}
	return look{"long", p, Options{}}
}
