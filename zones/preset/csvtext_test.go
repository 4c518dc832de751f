package preset

import (
	"bytes"
	"encoding/csv"
	"regexp"
	"strings"
	"testing"

	"bladeline/curves/settings"
	"bladeline/zones"
	"bladeline/zones/zonestest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// formulas are texts that a spreadsheet may run, and what a cell has of them.
var formulas = map[string]string{
	"=1+1":           "'=1+1",
	"+1":             "'+1",
	"-1":             "'-1",
	"@SUM(1)":        "'@SUM(1)",
	"'=1":            "''=1",
	" =1+1":          "' =1+1",
	"\u00a0=1+1":     "'\u00a0=1+1",
	"\u200b=1+1":     "'\u200b=1+1",
	"\ufeff=1+1":     "'\ufeff=1+1",
	"＝1+1":           "'＝1+1",
	"\r=1+1":         "' =1+1",
	"\n=1+1":         "' =1+1",
	"\t=1+1":         "' =1+1",
	"\x1b[31m":       " [31m",
	"Red\r\n=1":      "Red  =1",
	"Harbour Red":    "Harbour Red",
	"0042":           "'0042",
	"1.50":           "'1.50",
	"5/8":            "'5/8",
	"1e5":            "'1e5",
	"2026-05-08":     "'2026-05-08",
	"May 8":          "'May 8",
	"20":             "20",
	"0":              "0",
	"4711 poster":    "4711 poster",
	"Red -1":         "Red -1",
	"'":              "''",
	" 'x":            " 'x",
	"":               "",
	" ":              " ",
	"x;=1+1":         "x;=1+1",
	"a\u2028b\u202e": "a\u2028b\u202e",
}

func TestGuarded(t *testing.T) {
	for text, want := range formulas {
		assert.Equal(t, want, Guarded(text), "%q", text)
	}
}

// TestPresetTextsRoundTrip: what a preset may be called comes back from its CSV.
func TestPresetTextsRoundTrip(t *testing.T) {
	for text := range formulas {
		if !settings.IsName(text) {
			continue
		}
		p := gull(t)
		p.Job, p.Press.Name, p.Press.SweepUnit, p.Units[0].Ink = text, text, text, text
		require.Nil(t, p.validate(), "%q", text)
		back, err := ReadCSV("gull.csv", strings.NewReader(csvOf(t, p)))
		require.NoError(t, err, "%q", text)
		assert.Equal(t, asCSVStates(p), back, "%q", text)
	}
}

// TestCSVCells: another reader finds the cells that were written, and where a
// cell holds a semicolon or tab it is quoted.
func TestCSVCells(t *testing.T) {
	quotedCell := regexp.MustCompile(`^"[^"]*[;\t][^"]*"$`)
	for _, cell := range []string{"x;=1+1", "x\t=1+1", ";", "a;b\tc"} {
		assert.Regexp(t, quotedCell, csvCell(cell))
	}
	rapid.Check(t, func(t *rapid.T) {
		cell := rapid.StringOfN(rapid.SampledFrom([]rune("ab ,;\t\"'\n=\\.é\u00a0")), 0, 6, -1)
		rows := rapid.SliceOfN(rapid.SliceOfN(cell, 2, 2), 1, 4).Draw(t, "rows")
		var b bytes.Buffer
		require.NoError(t, EncodeCSV(&b, rows))
		read, err := csv.NewReader(&b).ReadAll()
		require.NoError(t, err)
		assert.Equal(t, rows, read)
	})
}

// TestReportTexts: the tables of what may be called anything hold to the rule.
func TestReportTexts(t *testing.T) {
	for text, want := range formulas {
		m := zonestest.Drawn(0, "#.")
		m.Ink, m.File = text, text
		r := NewReport()
		r.Add(lay(t, m, nil, zones.Placement{}), nil, nil)
		e := NewEstimate(1, 0, []InkInput{{Ink: text, File: text, SolidM2: 1}})
		for _, write := range []func(*bytes.Buffer) error{
			func(b *bytes.Buffer) error { return r.WriteCSV(b) },
			func(b *bytes.Buffer) error { return e.WriteCSV(b) },
		} {
			var b bytes.Buffer
			require.NoError(t, write(&b))
			rows, err := csv.NewReader(&b).ReadAll()
			require.NoError(t, err)
			assert.Equal(t, []string{want, want}, rows[1][:2])
		}
	}
}
