package preset

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"bladeline/coverage"
	"bladeline/zones"
	"bladeline/zones/zonestest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestReport(t *testing.T) {
	m := zonestest.Drawn(100, "#...", "#...")
	m.Warnings = []coverage.Warning{{Code: "polarity", Text: "a doubt"}}
	zoned, err := lay(t, m, nil, zones.Placement{}).Split(2)
	require.NoError(t, err)
	bare := zonestest.Drawn(0, "#.")
	bare.Ink = "=Red"
	r := NewReport()
	r.Add(lay(t, m, nil, zones.Placement{}), zoned, []zones.Warning{{Ink: "Black", Zone: new(2), Code: zones.CodeLength, Text: "long"}})
	r.Add(lay(t, bare, nil, zones.Placement{}), nil, nil)

	var b bytes.Buffer
	require.NoError(t, r.WriteCSV(&b))
	assert.Equal(t, strings.ReplaceAll(`ink,file,page,channel,zone,left_mm,right_mm,coverage_pct
Black,gull_K.tif,1,1,1,0,0.508,50
Black,gull_K.tif,1,1,2,0.508,1.016,0
'=Red,gull_K.tif,1,1,,,,50
`, "\n", "\r\n"), b.String())

	b.Reset()
	require.NoError(t, r.WriteJSON(&b))
	assert.NoError(t, holds(t, schema(t, CoverageSchema), b.String()))
	assert.Error(t, holds(t, schema(t, CoverageSchema), strings.Replace(b.String(), "dpi_x", "dpi", 1)))
	var back Report
	require.NoError(t, json.Unmarshal(b.Bytes(), &back))
	r.Warnings[0].Facts = nil // are not written
	require.Equal(t, *r, back)
	assert.Nil(t, back.Separations[1].DPIX)
	assert.Nil(t, back.Separations[1].WidthMM)
	assert.Equal(t, new(1.016), back.Separations[0].WidthMM) // 4 px at 100 px an inch
	assert.Equal(t, 25.0, back.Separations[0].CoveragePct)
	require.Len(t, back.Warnings, 2)
	assert.Equal(t, []string{"polarity", zones.CodeLength}, []string{back.Warnings[0].Code, back.Warnings[1].Code})
}

func TestEmptyReportHoldsItsSchema(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, NewReport().WriteJSON(&b))
	assert.NoError(t, holds(t, schema(t, CoverageSchema), b.String()))
}

func TestReportAtAnotherResolution(t *testing.T) {
	r := NewReport()
	r.Add(lay(t, zonestest.Solid(4, 2, 50.8), nil, zones.Placement{LeadEdge: zones.Left, DPIX: 25.4, DPIY: 101.6}), nil, nil)
	assert.InDelta(t, 4, valueOf(t, r.Separations[0].WidthMM), 1e-12, "as given, not turned")
	assert.InDelta(t, 0.5, valueOf(t, r.Separations[0].HeightMM), 1e-12)
}
