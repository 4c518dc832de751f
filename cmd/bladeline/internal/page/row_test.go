package page

import (
	"bytes"
	"math"
	"strconv"
	"strings"
	"testing"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/coverage"
	"bladeline/zones"
	"bladeline/zones/preset"
	"bladeline/zones/press"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestRowOfForms gives a class the same forms for the same word, however it is
// typed, each harder than the one before.
func TestRowOfForms(t *testing.T) {
	c := newClient(t, testOptions(t))
	row := sent[formRow](c, "/api/row", rowQuestion{"  Tuesday   class "})
	assert.Equal(t, "tuesday class", row.Seed)
	assert.Equal(t, row, sent[formRow](c, "/api/row", rowQuestion{"tuesday class"}))
	assert.NotEqual(t, row.Forms[0].Shapes, sent[formRow](c, "/api/row", rowQuestion{"wednesday class"}).Forms[0].Shapes)
	require.Len(t, row.Forms, rowLength)
	seeds := []string{"tuesday class", "é"}
	for i := range 60 {
		seeds = append(seeds, strconv.Itoa(i))
	}
	for _, seed := range seeds {
		for i, form := range rowOf(seed).Forms {
			require.NoError(t, (&plate{WidthMM: 640, HeightMM: 480, Ink: "Black", Shapes: form.Shapes}).check(), form.Title)
			assert.Equal(t, 3+2*i, changes(form.Shapes), "%s of %s", form.Title, seed)
		}
	}
	for _, wrong := range []string{"", "  ", "\x00", strings.Repeat("a", 300)} {
		refusedWith(t, 422, c.send("/api/row", rowQuestion{wrong}))
	}
}

// changes is how often the demand changes across a plate, by half and more.
func changes(shapes []shape) (n int) {
	before := 0.0
	for i := range 1000 {
		x, covered := (float64(i)+0.5)/1000, 0.0
		for _, s := range shapes {
			if s.X <= x && x < s.X+s.W {
				covered += s.H * s.Tint
			}
		}
		if covered > 1.5*before || before > 1.5*covered {
			n++
		}
		before = covered
	}
	return n
}

// TestRowStays holds one form of a row: a class that shares a word shares it
// whatever version of the program each has.
func TestRowStays(t *testing.T) {
	assert.Equal(t, []shape{{0.02, 0.093, 0.519, 0.596, 80}, {0.539, 0.217, 0.441, 0.704, 30}}, rowOf("harbour").Forms[0].Shapes)
}

// plateFor is a drawn form as the page draws it for a press.
func plateFor(t *testing.T, on *press.Press, shapes []shape) *coverage.Map {
	t.Helper()
	p := plate{WidthMM: math.Floor(on.Fountain.WidthMM() * 0.96), HeightMM: on.PrintLengthMM, Ink: "Black", Shapes: shapes}
	data := p.raster()
	maps, err := measured(t.Context(), "plate.png", bytes.NewReader(data), int64(len(data)), coverage.Options{Inks: []string{p.Ink}})
	require.NoError(t, err)
	return maps[0]
}

// presetOn is its preset at a sweep; nil is one that is found.
func presetOn(t *testing.T, on job.Press, m *coverage.Map, sweep *float64) *preset.Preset {
	t.Helper()
	s := job.Setup{Job: "drawn", Press: on.Press, TakeOffPct: preset.ByKeys}
	require.NoError(t, s.Add(m, zones.Placement{}, on.Curve, sweep))
	require.NoError(t, s.Place(nil))
	p, err := s.Preset()
	require.NoError(t, err)
	return p
}

// TestPreparedFormsDoAsTheySay holds what each prepared form says against the keys
// of it, on every press that ships, at every sweep and the one that is found.
func TestPreparedFormsDoAsTheySay(t *testing.T) {
	for _, on := range options(t).Presses {
		sweeps := []*float64{nil}
		for _, s := range on.Press.Sweep.Settings() {
			sweeps = append(sweeps, &s)
		}
		for _, form := range preparedForms {
			m := plateFor(t, on.Press, form.Shapes)
			for _, sweep := range sweeps {
				p := presetOn(t, on, m, sweep)
				codes := map[string]bool{}
				for _, w := range p.Warnings {
					codes[w.Code] = true
				}
				switch u := p.Units[0]; form.ID {
				case "tint":
					for _, k := range u.Keys[2 : len(u.Keys)-1] {
						assert.Equal(t, u.Keys[1].KeyText, k.KeyText, "%s, sweep %v, zone %d", on.Called, u.Sweep, k.Zone)
					}
					for _, i := range []int{0, len(u.Keys) - 1} {
						assert.Less(t, u.Keys[i].CoveragePct, u.Keys[1].CoveragePct)
					}
				case "heavy-side":
					covered := func(i int) float64 { return u.Keys[i].CoveragePct }
					left, right := len(u.Keys)/4, len(u.Keys)*3/4
					assert.Greater(t, max(covered(left), covered(right)), 5*min(covered(left), covered(right)))
				case "bar":
					assert.False(t, codes[preset.CodeLow], "%s, sweep %v", on.Called, u.Sweep)
				case "band":
					assert.True(t, codes[preset.CodeUneven], "%s, sweep %v", on.Called, u.Sweep)
				}
			}
		}
	}
}
