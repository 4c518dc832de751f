package preset

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bladeline/curves"
	"bladeline/zones"
	"bladeline/zones/press"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const officeFolder = "testdata/libreoffice/"

// officePreset has what spreadsheets change: a name with leading zeros, letters
// beyond ASCII, fractions of turns or per cents, places with decimals, a day.
func officePreset(unit press.KeyUnit) *Preset {
	p := &Preset{
		Format: Format, Job: "0042", Paper: new("coated"), RunLength: new(5000), Date: new("2026-11-26"),
		Press: StatedPress{Name: "Hafenpresse, groß", Zones: 6, KeyUnit: unit, SweepUnit: "notches"}, Warnings: []zones.Warning{},
	}
	keys := []float64{0.625, 0.125, 1.375, 2, 0, 1.5}
	travel := 3.0
	if unit == press.Percent {
		keys, travel = []float64{21, 4, 46, 67, 0, 50}, 100
	}
	for i, name := range []string{"Black", "Möwengrau"} {
		u := Unit{Ink: name, Sweep: 6, Curve: new("coated"), Unit: new(string("12"[i])), Pass: new(1)}
		for j, key := range keys {
			opening := 100*key/travel + 1.0/3
			u.Keys = append(u.Keys, Key{
				Zone: j + 1, LeftMM: new(19.05 * float64(j)), RightMM: new(19.05 * float64(j+1)),
				CoveragePct: opening / 1.7, OpeningPct: opening, Key: key, KeyText: press.KeyText(unit, key), State: curves.Set,
			})
		}
		p.Units = append(p.Units, u)
	}
	return p
}

// typed are the cells of ok_key, ok_sweep and remarks of officePreset's rows as an
// operator typed them, and the keys that they are.
var typed = map[press.KeyUnit]struct {
	file  string
	cells []string
	keys  [2][]*float64
}{
	press.Turn: {
		"turns",
		[]string{"5/8,7,thin at first", "1 5/8,,", "1-5/8,,", "1⅝,,", "–,,", ",,", "3/4,,rest as preset", ",,", ",,", ",,", ",,", ",,"},
		[2][]*float64{
			{new(0.625), new(1.625), new(1.625), new(1.625), nil, nil},
			{new(0.75), new(0.125), new(1.375), new(2.0), new(0.0), new(1.5)},
		},
	},
	press.Percent: {
		"percent",
		[]string{"22,7,\"fat, at first\"", "4,,", "45,,", "70,,", "–,,", ",,", "20,,rest as preset", ",,", ",,", ",,", ",,", ",,"},
		[2][]*float64{
			{new(22.0), new(4.0), new(45.0), new(70.0), nil, nil},
			{new(20.0), new(4.0), new(46.0), new(67.0), new(0.0), new(50.0)},
		},
	},
}

// officeSource is the file that LibreOffice opened.
func officeSource(t *testing.T, unit press.KeyUnit) string {
	rows := strings.Split(strings.TrimSuffix(csvOf(t, officePreset(unit)), "\r\n"), "\r\n")
	for i := range rows {
		if i == 0 {
			rows[i] += ",remarks"
			continue
		}
		rows[i] = strings.TrimSuffix(rows[i], ",") + typed[unit].cells[i-1]
	}
	return strings.Join(rows, "\r\n") + "\r\n"
}

// officeSays are how files that LibreOffice saved are refused; the others read as
// the preset that was written, with the keys that were typed.
var officeSays = map[string]string{
	"turns-de.csv":        "row 2, column key: 625 stands for 5/8: a spreadsheet took the decimal point for a thousands mark; " + cureThousands,
	"turns-de-commas.csv": "row 2, column key: 625 stands for 5/8: a spreadsheet took the decimal point for a thousands mark; " + cureThousands,
	"turns-de-typed.csv":  "row 2, column key: 625 stands for 5/8: a spreadsheet took the decimal point for a thousands mark; " + cureThousands,
	"turns-de-xlsx.csv":   "row 2, column key: 625 stands for 5/8: a spreadsheet took the decimal point for a thousands mark; " + cureThousands,
	"turns-en-typed.csv":  `row 2, column ok_key: "05/08/2026" is a date: a spreadsheet made it of a fraction; ` + cureDate,
	"turns-fr-typed.csv":  `row 2, column ok_key: "05/08/2026" is a date: a spreadsheet made it of a fraction; ` + cureDate,
	"turns-fr-ansi.csv":   "row 1: the text is not UTF-8; save it as CSV in UTF-8",
	"percent-fr-ansi.csv": "row 1: the text is not UTF-8; save it as CSV in UTF-8",
}

// TestLibreOffice reads what a real LibreOffice made of a preset's CSV: every file
// is the preset that was written, or is refused with what to do.
func TestLibreOffice(t *testing.T) {
	for unit, as := range typed {
		source, err := os.ReadFile(officeFolder + as.file + ".csv")
		require.NoError(t, err)
		require.Equal(t, officeSource(t, unit), string(source), "WRITE_LIBREOFFICE=1 writes it; make.sh makes the others anew")
		saved, err := filepath.Glob(officeFolder + as.file + "-*.csv")
		require.NoError(t, err)
		require.GreaterOrEqual(t, len(saved), 11)
		for _, path := range append(saved, officeFolder+as.file+".csv") {
			data, err := os.ReadFile(path)
			require.NoError(t, err)
			assert.True(t, HoldsOK(strings.NewReader(string(data))), path)
			p, err := ReadCSV("", strings.NewReader(string(data)))
			if want := officeSays[filepath.Base(path)]; want != "" {
				assert.EqualError(t, err, want, path)
				continue
			}
			require.NoError(t, err, path)
			for i, keys := range as.keys {
				got := p.Units[i]
				for j := range got.Keys {
					assert.Equal(t, keys[j], got.Keys[j].OKKey, "%s, %s, zone %d", path, got.Ink, j+1)
				}
			}
			assert.Equal(t, new(7.0), p.Units[0].OKSweep, path)
			assert.Equal(t, officePreset(unit), rounded(t, officePreset(unit), p.AsPreset()), path)
		}
	}
}

// rounded is a preset with the numbers of another where the two differ by no more
// than a spreadsheet rounds, at its 15th digit. A day whose month is in doubt is
// not read, and so is not compared.
func rounded(t *testing.T, want, got *Preset) *Preset {
	near := func(a float64, b *float64) {
		if math.Abs(a-*b) <= 1e-13*max(1, math.Abs(a)) {
			*b = a
		}
	}
	require.Len(t, got.Units, len(want.Units))
	for i := range want.Units {
		require.Len(t, got.Units[i].Keys, len(want.Units[i].Keys))
		for j, k := range want.Units[i].Keys {
			g := &got.Units[i].Keys[j]
			near(*k.LeftMM, g.LeftMM)
			near(*k.RightMM, g.RightMM)
			near(k.CoveragePct, &g.CoveragePct)
			near(k.OpeningPct, &g.OpeningPct)
		}
	}
	return got
}

// TestWriteLibreOfficeSources writes what make.sh starts from, when it is asked to.
func TestWriteLibreOfficeSources(t *testing.T) {
	for unit, as := range typed {
		text := officeSource(t, unit)
		assert.Equal(t, 13, strings.Count(text, "\r\n"))
		if os.Getenv("WRITE_LIBREOFFICE") != "" {
			require.NoError(t, os.WriteFile(officeFolder+as.file+".csv", []byte(text), 0o666))
		}
	}
}
