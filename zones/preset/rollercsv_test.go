package preset

import (
	"strings"
	"testing"
	"unicode/utf16"

	"bladeline/curves/settings"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestReadRollers(t *testing.T) {
	want := []MeasuredRoller{
		{Roller: "form 1", Row: 2, LeftMM: new(60.25), DiameterMM: new(60.0), RightMM: new(60.1), RunOutMM: new(0.05)},
		{Roller: "form 1", Against: "plate", Row: 4, StripeLeftMM: new(3.5), StripeMM: new(4.0), StripeRightMM: new(0.0)},
	}
	pointed := strings.Join(RollerColumns, ",") + "\r\n" +
		"form 1,,60.25,60,60.1,,,,0.05\r\n" +
		"form 2,,,-,,,,,\r\n" +
		"form 1,plate,,,,3.5 mm,4,0\r\n\r\n,,,,,,,,\r\n"
	commas := strings.NewReplacer(",", ";", ".", ",").Replace(pointed)
	var wide []byte
	for _, v := range utf16.Encode([]rune("\ufeff" + strings.ReplaceAll(commas, ";", "\t"))) {
		wide = append(wide, byte(v), byte(v>>8))
	}
	for name, text := range map[string]string{
		"as written": pointed, "semicolons and decimal commas": commas, "byte order mark": "\ufeff" + pointed,
		"tabs in UTF-16": string(wide), "capitals": strings.Replace(pointed, "roller,against", "Roller,Against", 1),
		"names that a spreadsheet guards": strings.ReplaceAll(pointed, "form 1", "'form 1"),
	} {
		got, err := ReadRollers("m.csv", strings.NewReader(text))
		require.NoError(t, err, name)
		assert.Equal(t, want, got, name)
	}
	short, err := ReadRollers("m.csv", strings.NewReader("diameter_mm,roller\n44,form 1\n"))
	require.NoError(t, err)
	assert.Equal(t, []MeasuredRoller{{Roller: "form 1", Row: 2, DiameterMM: new(44.0)}}, short)
}

func TestReadRollersRefuses(t *testing.T) {
	for name, tc := range map[string]struct{ text, want string }{
		"nothing":      {"", "m.csv: row 1: there is no header; give the CSV of measured rollers"},
		"no roller":    {"diameter_mm\n44\n", "m.csv: row 1, column roller: is missing; "},
		"other column": {"roller,diameter\nform 1,44\n", `m.csv: row 1: "diameter" is not a column of measured rollers, or is there twice; `},
		"no figure":    {"roller,diameter_mm\nform 1,\n", "m.csv: row 2: no measured figure follows the header; write what was measured, in mm"},
		"word":         {"roller,diameter_mm\nform 1,thick\n", `m.csv: row 2, column diameter_mm: "thick" is not a number; write one, without its unit`},
		"no thickness": {"roller,diameter_mm\nform 1,0\n", "m.csv: row 2, column diameter_mm: 0 is not a length that a roller shows there; write what was measured in mm, up to 2000"},
		"below 0":      {"roller,run_out_mm\nform 1,-0.1\n", "m.csv: row 2, column run_out_mm: -0.1 is not a length"},
		"not a number": {"roller,stripe_mm\nform 1,NaN\n", `m.csv: row 2, column stripe_mm: "NaN" is not a number; `},
		"of microns":   {"roller,stripe_mm\nform 1,4000\n", "m.csv: row 2, column stripe_mm: 4000 is not a length that a roller shows there; write what was measured in mm, up to 100"},
		"twice":        {"roller,stripe_mm\nform 1,4\nForm 1,3\n", `m.csv: row 3, column roller: "Form 1" stands in row 2 already; `},
		"comma":        {"roller,stripe_mm\nform 1,3,5\n", "m.csv: row 2: wrong number of fields; write a point for a decimal comma, or part the cells by semicolons"},
		"broken":       {"roller,stripe_mm\n\"form 1,4\n", "m.csv: row "},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := ReadRollers("m.csv", strings.NewReader(tc.text))
			var place *settings.FileError
			require.ErrorAs(t, err, &place)
			assert.True(t, strings.HasPrefix(err.Error(), tc.want), err.Error())
			assert.NotContains(t, err.Error(), "\n")
			assert.NotEmpty(t, place.Do)
		})
	}
}

func FuzzReadRollers(f *testing.F) {
	f.Add([]byte(strings.Join(RollerColumns, ",") + "\nform 1,plate,60,60,60,4,4,4,0.1\n"))
	f.Add([]byte("roller;stripe_mm\nform 1;3,5\n"))
	f.Add([]byte("roller\tstripe_mm\n'=1\t3\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		rows, err := ReadRollers("m.csv", strings.NewReader(string(data)))
		if err != nil {
			assert.NotContains(t, err.Error(), "\n")
			return
		}
		for _, m := range rows {
			assert.True(t, m.anyMeasured())
			for _, v := range []*float64{m.LeftMM, m.DiameterMM, m.RightMM, m.StripeLeftMM, m.StripeMM, m.StripeRightMM, m.RunOutMM} {
				assert.True(t, v == nil || *v >= 0 && *v <= maxDiameterMM)
			}
		}
	})
}
