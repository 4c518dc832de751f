package preset

import (
	"strings"
	"testing"

	"bladeline/curves"
	"bladeline/zones/press"
	"bladeline/zones/zonestest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestReadCoverage(t *testing.T) {
	for name, text := range map[string]string{
		"as a program writes it":     "zone,coverage_pct\n1,12.5\n2,0\n3,\n",
		"as a spreadsheet writes it": "\ufeffcoverage_pct;Zone\r\n;3\r\n12,5;1\r\n0;2\r\n",
	} {
		all, err := ReadCoverage("eye.csv", strings.NewReader(text))
		require.NoError(t, err, name)
		assert.Equal(t, []InkCoverage{{ZonesPct: []*float64{new(12.5), new(0.0), nil}}}, all, name)
	}
	all, err := ReadCoverage("eye.csv", strings.NewReader("ink,zone,coverage_pct\nRed,1,1\nBlack,2,4\nred,2,2\nBlack,1,3\n"))
	require.NoError(t, err)
	assert.Equal(t, []InkCoverage{{"Red", []*float64{new(1.0), new(2.0)}}, {"Black", []*float64{new(3.0), new(4.0)}}}, all)
}

func TestReadCoverageRefuses(t *testing.T) {
	for text, want := range map[string]string{
		"zone,coverage_pct\n":                 "eye.csv: row 1: no coverage follows the header; write one row for every zone",
		"zone,coverage\n1,2\n":                `eye.csv: row 1: "coverage" is not a column of coverages, or is there twice; keep to the columns zone, coverage_pct`,
		"zone,coverage_pct\n1,101\n":          "eye.csv: row 2, column coverage_pct: 101 is outside 0 to 100; write how much of the zone is covered, in %",
		"zone,coverage_pct\n1,NaN\n":          `eye.csv: row 2, column coverage_pct: "NaN" is not a number; write one, without its unit`,
		"zone,coverage_pct\n1,2\n1,3\n":       "eye.csv: row 3, column zone: zone 1 stands in row 2 already; keep one row for every zone of an ink",
		"zone,coverage_pct\n1,2\n3,3\n":       "eye.csv: column zone: no row for zone 2; write 0 for a bare zone, and leave coverage_pct empty where a zone lies off the sheet",
		"ink,zone,coverage_pct\nRed,2,3\n":    `eye.csv: column zone: ink "Red" has no row for zone 1; write 0 for a bare zone, and leave coverage_pct empty where a zone lies off the sheet`,
		"ink,zone,coverage_pct\n,1,3\n":       `eye.csv: row 2, column ink: "" is not the name of an ink; write one in every row, or leave the column out`,
		"zone,coverage_pct\n0,3\n":            `eye.csv: row 2, column zone: "0" is not a zone; zones count from 1, up to 200`,
		"zone,coverage_pct,opening\n1,3,10\n": `eye.csv: row 1: "opening" is not a column of coverages, or is there twice; keep to the columns zone, coverage_pct`,
	} {
		_, err := ReadCoverage("eye.csv", strings.NewReader(text))
		assert.EqualError(t, err, want)
	}
}

// The keys are those that a separation of these coverages is preset to.
func TestFromCoverageIsAsMeasured(t *testing.T) {
	on := zonestest.Press(4, 31.75)
	coverages := []float64{3, 40, 12.25, 0}
	curve := startCurve(t)
	in := unitOf(t, "Black", coverages...)
	in.Curve = curve
	want, err := newPreset("eye", on, []laidUnit{in})
	require.NoError(t, err)
	table := InkCoverage{Ink: "Black"}
	for _, c := range coverages {
		table.ZonesPct = append(table.ZonesPct, &c)
	}
	got, err := FromCoverage("eye", on, []CoverageInput{{InkCoverage: table, File: "eye.csv", Curve: curve}})
	require.NoError(t, err)
	for i, k := range got.Units[0].Keys {
		assert.Equal(t, want.Units[0].Keys[i].OpeningPct, k.OpeningPct)
		assert.Equal(t, want.Units[0].Keys[i].Key, k.Key)
	}
	assert.Equal(t, want.Units[0].Sweep, got.Units[0].Sweep)
	assert.Nil(t, got.Units[0].CoveragePct, "of the whole sheet nothing is known")
	assert.Nil(t, got.Units[0].File)
	assert.Nil(t, got.Placement)
	table.ZonesPct[0], table.ZonesPct[1] = nil, new(95.0)
	got, err = FromCoverage("eye", on, []CoverageInput{{InkCoverage: table, Curve: curve}})
	require.NoError(t, err)
	assert.Equal(t, curves.OffSheet, got.Units[0].Keys[0].State)
	require.Len(t, got.Warnings, 1)
	assert.Equal(t, CodeHigh, got.Warnings[0].Code)
}

func TestFromCoverageRefuses(t *testing.T) {
	on := zonestest.Press(2, 31.75)
	in := func(pct ...*float64) []CoverageInput {
		return []CoverageInput{{InkCoverage: InkCoverage{"Black", pct}, File: "eye.csv", Curve: startCurve(t)}}
	}
	_, err := FromCoverage("eye", on, in(new(1.0)))
	assert.EqualError(t, err, `eye.csv: column zone: its zones end at 1, and press "Two-colour 26-inch" has 2; write one row for every zone of the press`)
	_, err = FromCoverage("eye", on, in(nil, nil))
	assert.EqualError(t, err, "eye.csv: column coverage_pct: all zones lie off the sheet; write how much of each is covered, in %")
	elsewhere := in(new(1.0), new(2.0))
	elsewhere[0].Station = press.Station{Unit: "3"}
	_, err = FromCoverage("eye", on, elsewhere)
	assert.ErrorContains(t, err, `has no unit "3"`)
	_, err = FromCoverage("eye", nil, nil)
	assert.Error(t, err)
}
