package sheet

import (
	"bytes"
	"context"
	"image/png"
	"os"
	"strings"
	"sync"
	"testing"

	"bladeline/curves"
	"bladeline/zones"
	"bladeline/zones/preset"
	"bladeline/zones/preset/rehearsal"
	"bladeline/zones/press"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// duplicatorRun is a rehearsal of a sample form, and one of its zones alone, on the
// duplicator that ships. Nothing writes to it.
var duplicatorRun = sync.OnceValues(func() (*rehearsal.Rehearsal, error) {
	file := "../../examples/duplicator.press.toml"
	data, err := os.ReadFile(file)
	if err != nil {
		return nil, err
	}
	on, err := press.Parse(file, data)
	if err != nil {
		return nil, err
	}
	on.Inks = map[string]press.Ink{"Black": {DensityLimit: 2.1, DensityRatePerUM: 1.3}}
	small := *sample()
	small.DPIX, small.DPIY = 132, 132 // 246 x 176 mm
	form, err := zones.Lay(&small, on, zones.Placement{LeadEdge: zones.Bottom})
	if err != nil {
		return nil, err
	}
	curve := &curves.Curve{Name: "line", Shape: curves.Straight, Points: []curves.Point{{CoveragePct: 0, OpeningPct: 4}, {CoveragePct: 100, OpeningPct: 91}}}
	if err := curve.Prepare(); err != nil {
		return nil, err
	}
	in := preset.UnitInput{Form: form, Curve: curve, Sweep: new(on.Sweep.Reference)}
	p, err := preset.New(longName, on, []preset.UnitInput{in}, preset.ByKeys)
	if err != nil {
		return nil, err
	}
	alone := p.Units[0]
	alone.Ink = longName
	p.Units = append(p.Units, alone)
	return rehearsal.Of(context.Background(), rehearsal.Input{Preset: p, On: on, Forms: map[string]*zones.Form{"Black": form}})
})

func TestRehearsalPages(t *testing.T) {
	r, err := duplicatorRun()
	require.NoError(t, err)
	for _, size := range []PageSize{A4, Letter} {
		pages, err := RehearsalPages(r, size)
		require.NoError(t, err)
		require.Len(t, pages, 2)
		for i, p := range pages {
			for _, m := range p.Marks {
				b := m.BoxMM()
				assert.True(t, b.Left >= 0 && b.Top >= 0 && b.Right <= p.WidthMM && b.Bottom <= p.HeightMM, "%+v", m)
			}
			said := strings.Join(textsOf(p), "\n")
			assert.Contains(t, said, "trend, not measured on this press")
			assert.Contains(t, said, "Your eye and the densitometer decide")
			assert.Contains(t, said, "sheets, followed until every zone has stood")
			assert.Contains(t, said, "sweep 6 notches")
			assert.Equal(t, i == 1, strings.Contains(said, "Film, of the target, by sheet"), "the train is not fitted")
			assert.NotContains(t, said, "µm")
			assert.Equal(t, i == 0, strings.Contains(said, "Film: black 20 % more"), "the zones alone make no map")
			assert.Equal(t, i == 0, strings.Contains(said, "Density by sheet"), "the law of the other ink is not known")
		}
		var svg bytes.Buffer
		require.NoError(t, WriteSVG(&svg, pages[0]))
		require.NoError(t, WritePDF(&svg, pages))
	}
	_, err = RehearsalPages(r, "a9")
	assert.Error(t, err)
	_, err = RehearsalPages(nil, A4)
	assert.EqualError(t, err, "there is no rehearsal to draw; give one of at least one ink")
}

// TestFilmMap: the picture is white where nothing prints, and elsewhere the darker the
// thicker the film, gripper edge at the bottom.
func TestFilmMap(t *testing.T) {
	r, err := duplicatorRun()
	require.NoError(t, err)
	_, err = FilmMaps(r)
	assert.EqualError(t, err, "ink "+longName+": the coverages of zones alone make no map of the sheet; name the separations")
	only := *r
	only.Inks = r.Inks[:1]
	pages, err := FilmMaps(&only)
	require.NoError(t, err)
	var picture bytes.Buffer
	require.NoError(t, WritePNG(&picture, pages[0], 50))
	_, err = png.Decode(&picture)
	require.NoError(t, err)

	um := func(v float64) *float64 { return &v }
	m := rehearsal.Map{CellLengthMM: 3, CellWidthMM: 6, FilmUM: [][]*float64{{um(1), um(1.2)}, {nil, um(0.9)}}}
	img := filmImage(&m, 1)
	wide, high := img.Bounds().Dx(), img.Bounds().Dy()
	assert.Equal(t, 2*high, wide, "cells are twice as wide as long")
	at := func(x, y int) uint8 { return img.GrayAt(x*(wide-1), y*(high-1)).Y }
	assert.Equal(t, uint8(128), at(0, 1), "the target, at the gripper edge")
	assert.Equal(t, uint8(0), at(1, 1))
	assert.Equal(t, uint8(255), at(0, 0), "paper")
	assert.Equal(t, uint8(166), at(1, 0), "10 % less")
	m.FilmUM[1][1] = um(0.1)
	img = filmImage(&m, 1)
	assert.Equal(t, uint8(204), at(1, 0), "however thin, no film looks like paper")
}

func TestNiceStep(t *testing.T) {
	for _, tc := range []struct{ reach, n, want float64 }{{1.4, 4, 0.5}, {800, 8, 100}, {1000, 8, 200}, {3, 4, 1}, {9.9, 1, 10}} {
		assert.InDelta(t, tc.want, niceStep(tc.reach, tc.n), 1e-12)
	}
}
