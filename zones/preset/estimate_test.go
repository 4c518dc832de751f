package preset

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"strings"
	"testing"

	"bladeline/coverage"
	"bladeline/curves/settings"
	"bladeline/zones"
	"bladeline/zones/zonestest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// g = g/m² × m² × coverage × copies, computed: 1020 × 720 mm wholly covered by
// a film of 1.0 µm at 1.0 g/cm³ take 734.4 g a thousand; 20 % of it by a film of
// 1.5 g/m² take 2,203.2 g for 10,000. The low film is 0.7 µm (ISO 2846-1:2006,
// second-hand), the high one a pound to 375,000 square inches, 1.8749 g/m²
// (a rule of the trade, second-hand).
func TestEstimate(t *testing.T) {
	const sheetM2 = 1.020 * 0.720
	e := NewEstimate(10_000, 250, []InkInput{
		{Ink: "Cyan", File: "gull_C.tif", SolidM2: sheetM2},
		{Ink: "Black", File: "gull_K.tif", SolidM2: 0.2 * sheetM2, FilmGM2: 1.5},
		{Ink: "Silver", File: "gull.Silver.tif", SolidM2: 0, SpecificGravity: 1.4},
	})
	cyan, black, silver := e.Inks[0], e.Inks[1], e.Inks[2]
	assert.Equal(t, 1.0, cyan.SpecificGravity)
	assert.InDelta(t, 734.4, cyan.Per1000G.Usual, 1e-9)
	assert.InDelta(t, 7344, cyan.RunG.Usual, 1e-9)
	assert.InDelta(t, 0.7*7344, cyan.RunG.Low, 1e-9)
	assert.InDelta(t, 1.8749*7344, cyan.RunG.High, 0.4) // four decimals of 1.8749
	assert.InDelta(t, 7594, cyan.NeedG.Usual, 1e-9)
	assert.InDelta(t, 2203.2, black.RunG.Usual, 1e-9)
	assert.InDelta(t, 220.32, black.Per1000G.Usual, 1e-9)
	assert.Equal(t, Range{0, 0, 0}, silver.RunG)
	assert.Equal(t, Range{250, 250, 250}, silver.NeedG)
	assert.InDelta(t, 1.4, silver.FilmGM2.Usual, 1e-12)
}

func TestEstimatesFiles(t *testing.T) {
	e := NewEstimate(500, 0, []InkInput{{Ink: "=Red", File: "gull.json", SolidM2: 0.1}})
	m := zonestest.Solid(4, 1, 50.8)
	m.Warnings = append(m.Warnings, coverage.Warning{Code: "polarity", Text: "the mean is high"})
	e.AddForm(lay(t, m, nil, zones.Placement{}))
	var b bytes.Buffer
	require.NoError(t, e.WriteJSON(&b))
	s := schema(t, EstimateSchema)
	assert.NoError(t, holds(t, s, b.String()))
	assert.Error(t, holds(t, s, strings.Replace(b.String(), `"usual"`, `"mean"`, 1)))
	assert.Error(t, holds(t, s, strings.Replace(b.String(), `"copies": 500`, `"copies": 0`, 1)))
	var back Estimate
	require.NoError(t, json.Unmarshal(b.Bytes(), &back))
	e.Warnings[0].Facts = nil // are not written
	assert.Equal(t, *e, back)

	b.Reset()
	require.NoError(t, e.WriteCSV(&b))
	assert.True(t, strings.HasSuffix(b.String(), "\r\n"))
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 2)
	assert.Equal(t, []string{"'=Red", "gull.json", "500", "0", "0.1", "1", "0.7", "1"}, rows[1][:8])
	assert.Equal(t, "run_usual_g", rows[0][13])
	assert.Equal(t, "50", rows[1][13])
}

// However a separation lies, its preset bears the same ink area.
func TestSolidOfAPresetIsThatOfItsSeparation(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := zonestest.AnyMap(t)
		m.DPIX = rapid.Float64Range(1, 6).Draw(t, "dpi across") // zones are 1 mm wide at least
		on := zonestest.Press(9, m.WidthMM()/4)
		on.PrintLengthMM = m.HeightMM() * rapid.Float64Range(1, 2).Draw(t, "length")
		p := look(t, m, on, zones.Placement{ShiftMM: rapid.Float64Range(-0.6, 0.6).Draw(t, "shift") * m.WidthMM()}, 45, 0)
		form := lay(t, m, nil, zones.Placement{})
		want, err := InkOf(form)
		require.NoError(t, err)
		require.Equal(t, []string{m.Ink, m.File}, []string{want.Ink, want.File})
		got, err := p.Units[0].SolidM2("p.json", on.PrintLengthMM)
		require.NoError(t, err)
		require.InEpsilon(t, want.SolidM2, got, 1e-9)
	})
	u := Unit{Ink: "Black", Keys: []Key{{Zone: 1}}}
	_, err := u.SolidM2("p.csv", 480)
	assert.EqualError(t, err, `p.csv: ink "Black", zone 1: the zone's borders in mm are not known; give a preset that states them, or the separations`)
	_, file := errors.AsType[*settings.FileError](err)
	assert.True(t, file)
}

// The length that coverages refer to is a preset's own, or that which is said.
func TestSolidOfALengthThatIsSaid(t *testing.T) {
	u := Unit{Ink: "Black", Keys: []Key{{Zone: 1, CoveragePct: 50, LeftMM: new(0.0), RightMM: new(10.0)}}}
	m2, err := u.SolidM2("p.csv", 1)
	require.NoError(t, err)
	assert.InDelta(t, 5e-6, m2, 1e-18)
	u.LengthMM = new(2.0)
	m2, err = u.SolidM2("p.csv", 1)
	require.NoError(t, err)
	assert.InDelta(t, 10e-6, m2, 1e-18)
}
