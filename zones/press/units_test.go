package press

import (
	"strings"
	"testing"

	"bladeline/curves"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// inUnits is twoColour with its units, and curves for two papers.
const inUnits = twoColour + `
[[units]]
name = "1"
inks = ["Black", "Magenta", "Yellow"]
zero = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20, 21]

[[units]]
name = "Back"
inks = ["Cyan"]
sweep = { reference = 40, to = 80 }

[curves.uncoated]
default = "uncoated.curve.toml"
Black = "uncoated-black.curve.toml"

[curves."Matt art"]
cyan = "matt-cyan.curve.toml"
`

func parsedUnits(t *testing.T) *Press {
	p, err := Parse("p.toml", []byte(inUnits))
	require.NoError(t, err)
	require.NoError(t, p.Validate())
	return p
}

// A unit's keys have its zeros, where it states any, and its sweep what differs
// from the press's.
func TestUnitsOfAPress(t *testing.T) {
	p := parsedUnits(t)
	first, back := p.InUnit("1"), p.InUnit("BACK")
	assert.Equal(t, []string{"1", "Back"}, p.UnitNames())
	assert.Equal(t, 53.0, first.Keys.Key(3, 50), "50 % open, with a zero of 3")
	assert.Equal(t, 50.0, back.Keys.Key(3, 50), "the press's zeros: none")
	assert.Equal(t, p.Sweep, first.Sweep)
	assert.Equal(t, curves.SweepScale{Unit: "%", From: 10, To: 80, Step: 1, Reference: 40}, back.Sweep)
	assert.Equal(t, 40.0, back.ReferenceSweep(&curves.Curve{}))
	assert.Same(t, p, p.InUnit(""))
	assert.Nil(t, p.InUnit("2"))
	assert.Equal(t, "1", p.UnitOf("magenta"))
	assert.Empty(t, p.UnitOf("Harbour Red"))
}

// Four inks on a press of two units are two passes.
func TestStations(t *testing.T) {
	p := parsedUnits(t)
	for _, tc := range []struct{ inks, asked, want string }{
		// Unit 1 names Black, Magenta, Yellow in this order; Back names Cyan.
		{"Cyan Magenta Yellow Black", "- - - -", "Back/1 1/2 1/3 1/1"},
		{"Yellow Magenta", "- -", "1/2 1/1"}, // among those that are there
		{"Black Cyan", "- -", "1/1 Back/1"},
		{"Black Red Green Blue", "- - - -", "1/1 Back/1 1/2 Back/2"}, // the rest fill what is free, pass by pass
		{"Red Green", "- -", "1/1 Back/1"},
		{"Black Cyan Magenta Yellow", "- 1 Back -", "1/1 1/3 Back/1 1/2"}, // asked for: behind those named there
		{"black", "back", "Back/1"},
		{"Red", "1", "1/1"},
		{"", "", ""},
	} {
		asked := strings.Fields(strings.ReplaceAll(tc.asked, "-", "\u200b"))
		for i := range asked {
			asked[i] = strings.Trim(asked[i], "\u200b")
		}
		stations, err := p.Stations(strings.Fields(tc.inks), asked)
		require.NoError(t, err)
		var got []string
		for _, s := range stations {
			got = append(got, s.Unit+"/"+string(rune('0'+s.Pass)))
		}
		assert.Equal(t, tc.want, strings.Join(got, " "), tc.inks)
	}
	_, err := p.Stations([]string{"Black"}, []string{"3"})
	assert.EqualError(t, err, `press "Two-colour 26-inch" has no unit "3"; name one of these: "1", "Back"`)
	without := *p
	without.Units = nil
	stations, err := without.Stations([]string{"Black"}, []string{""})
	assert.NoError(t, err)
	assert.Nil(t, stations, "a press without units has no stations")

	assert.Negative(t, p.Order(Station{"1", 1}, Station{"Back", 1}))
	assert.Negative(t, p.Order(Station{"Back", 1}, Station{"1", 2}))
	assert.Zero(t, p.Order(Station{"1", 2}, Station{"1", 2}))
}

func TestCurvesByPaper(t *testing.T) {
	p := parsedUnits(t)
	assert.Equal(t, []string{"Matt art", "uncoated"}, p.Papers())
	for _, tc := range []struct {
		paper, ink, file string
		known            bool
	}{
		{"", "Black", "black.curve.toml", true},
		{"uncoated", "black", "uncoated-black.curve.toml", true},
		{"Uncoated", "Cyan", "uncoated.curve.toml", true},
		{"matt art", "Cyan", "matt-cyan.curve.toml", true},
		{"Matt art", "Black", "black.curve.toml", false}, // it has no curve of black, nor one of all inks
		{"Matt art", "Yellow", "coated.curve.toml", false},
		{"board", "Black", "black.curve.toml", false},
	} {
		file, known := p.CurveFileOn(tc.paper, tc.ink)
		assert.Equal(t, tc.file, file, tc)
		assert.Equal(t, tc.known, known, tc)
	}
}

func TestParseRefusesUnitsAndPapers(t *testing.T) {
	for _, tc := range []struct{ old, new, want string }{
		{`name = "Back"`, "", "p.toml: units: unit 2: name: is missing"},
		{`name = "Back"`, `name = "a\nb"`, `p.toml: units: unit 2: name: "a\nb" is not a single line`},
		{`name = "Back"`, "name = 2", "p.toml: line 39, column 8: units.name cannot be an integer"},
		{`name = "1"`, `name = "BACK"`, `p.toml: units: unit "Back": name: two units have this name: capitals make no difference; name them apart`},
		{`["Cyan"]`, `["Cyan", "BLACK"]`, `p.toml: units: unit "Back": inks: "BLACK" is named in unit "1" already; name it in one unit`},
		{`["Cyan"]`, `["Cyan", "cyan"]`, `p.toml: units: unit "Back": inks: "cyan" is named twice`},
		{`["Cyan"]`, `["Cyan", ""]`, `p.toml: units: unit "Back": inks: ink 2: is missing`},
		{"20, 21]", "20]", `p.toml: units: unit "1": zero: 20 values for 21 keys; write one for every key, from zone 1, or none`},
		{"20, 21]", "20, 101]", `p.toml: units: unit "1": zero: zone 21: 101 is outside -100 to 100`},
		{"reference = 40", "reference = 95", `p.toml: units: unit "Back": sweep.reference: 95 is above to = 80; correct reference or to`},
		{"to = 80", "to = 5", `p.toml: units: unit "Back": sweep.to: 5 is not above from = 10`},
		{"to = 80", `unit = "notch"`, `p.toml: line 41, column 27: unknown key "units.unit"`},
		{"inks = [", "ink = [", `p.toml: line 35, column 1: unknown key "units.ink"; did you mean "inks"?`},
		{`"uncoated-black.curve.toml"`, "3", `p.toml: curves.uncoated.Black: 3 is no file; write the curve's file in quotes`},
		{`"uncoated-black.curve.toml"`, `""`, "p.toml: curves.uncoated.Black: is missing"},
		{"[curves.uncoated]", "[curves.default]", "p.toml: line 43, column 2: "},
		{"[curves.uncoated]", "[curves.Default]", "p.toml: curves.default: is the same ink as \"Default\""},
		{"[curves.uncoated]", "[curves.uncoated]\nBLACK = \"b\"", `p.toml: curves.uncoated.Black: is the same ink as "BLACK"`},
		{"[curves.uncoated]", `[curves.""]`, "p.toml: curves.: is missing"},
	} {
		require.Contains(t, inUnits, tc.old)
		requireRefused(t, strings.Replace(inUnits, tc.old, tc.new, 1), tc.want)
	}
}

// A press that is changed keeps its units, with zeros for the keys that it has.
func TestUnitsOfAChangedPress(t *testing.T) {
	p := parsedUnits(t)
	changed, err := p.With(Change{Zones: new(3)})
	require.NoError(t, err)
	assert.Equal(t, []float64{1, 2, 3}, changed.InUnit("1").Keys.Zero)
	assert.Len(t, p.Units[0].Zero, 21, "the press itself stays")
	require.NoError(t, changed.Validate())
}
