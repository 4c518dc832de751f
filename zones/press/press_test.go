package press

import (
	"math"
	"strings"
	"testing"

	"bladeline/curves"
	"bladeline/curves/settings"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const twoColour = `name = "Two-colour 26-inch"
print_length_mm = 480
[fountain]
zones = 21
zone_width_mm = 31.75
first_zone = "left"
blade = "segmented"
neighbour_limit_pct = 100
[keys]
unit = "%"
travel = 100
step = 1
floor_pct = 2
ceiling_pct = 100
off_sheet_pct = 0
zero = []
[sweep]
unit = "%"
from = 10
to = 90
step = 1
reference = 45
[curves]
default = "coated.curve.toml"
Black = "black.curve.toml"
[inks.Black]
target_density = 1.7
density_limit = 2.1
density_rate_per_um = 1.3
film_um = 1.1
specific_gravity = 1.05
`

func TestParse(t *testing.T) {
	p, err := Parse("two-colour.toml", []byte(twoColour))
	require.NoError(t, err)
	assert.Equal(t, &Press{
		Name: "Two-colour 26-inch", PrintLengthMM: 480,
		Fountain:     Fountain{Zones: 21, ZoneWidthMM: 31.75, FirstZone: Left, Blade: Segmented},
		Keys:         KeyScale{Unit: Percent, Travel: 100, Step: 1, Zero: []float64{}},
		Limits:       curves.Limits{FloorPct: 2, CeilingPct: 100},
		Sweep:        curves.SweepScale{Unit: "%", From: 10, To: 90, Step: 1, Reference: 45},
		DefaultCurve: "coated.curve.toml",
		Curves:       map[string]string{"Black": "black.curve.toml"},
		Inks:         map[string]Ink{"Black": {TargetDensity: 1.7, DensityLimit: 2.1, DensityRatePerUM: 1.3, FilmUM: 1.1, SpecificGravity: 1.05}},
	}, p)
	assert.Equal(t, "black.curve.toml", p.CurveFile("BLACK"))
	assert.Equal(t, "coated.curve.toml", p.CurveFile("Harbour Red"))
	ink, ok := p.Ink("black")
	assert.True(t, ok)
	assert.Equal(t, 1.1, ink.FilmUM)
	_, ok = p.Ink("Harbour Red")
	assert.False(t, ok)
}

const smallest = `name = "Duplicator"
[fountain]
zones = 18
zone_width_mm = 19.05
first_zone = "right"
blade = "one-piece"
neighbour_limit_pct = 25
[keys]
unit = "turn"
travel = 3
step = 0.125
[sweep]
unit = "notch"
from = 1
to = 12
step = 1
reference = 6
`

func TestParseWithDefaults(t *testing.T) {
	p, err := Parse("duplicator.toml", []byte(smallest))
	require.NoError(t, err)
	assert.Zero(t, p.PrintLengthMM)
	assert.Equal(t, curves.Limits{CeilingPct: 100, NeighbourPct: 25}, p.Limits)
	assert.Equal(t, Right, p.Fountain.FirstZone)
	assert.Empty(t, p.CurveFile("Black"))
}

// hostilePresses are presses that must be refused: what is exchanged for what,
// and how the message must begin.
var hostilePresses = map[string]struct{ old, new, want string }{
	"unknown key":         {"zone_width_mm", "zone_widht_mm", `p.toml: line 5, column 1: unknown key "fountain.zone_widht_mm"; did you mean "zone_width_mm"?`},
	"unknown table":       {"[sweep]", "[sweeps]", `p.toml: line 17, column 2: unknown key "sweeps`},
	"unknown ink key":     {"film_um", "film_mm", `p.toml: line 30, column 1: unknown key "inks.Black.film_mm"; did you mean "film_um"?`},
	"key far from any":    {"film_um", "colour", `p.toml: line 30, column 1: unknown key "inks.Black.colour"; remove or correct it`},
	"broken":              {"[keys]", "[keys", "p.toml: line 9, column 6: "},
	"zones half":          {"zones = 21", "zones = 20.5", "p.toml: line 4, column 9: fountain.zones is a whole number; write it without a fraction"},
	"text zero":           {"zero = []", `zero = ["a"]`, "p.toml: line 16, column 9: keys.zero cannot be a string"},
	"curve no text":       {`"black.curve.toml"`, "3", "p.toml: line 25, column 9: curves.Black cannot be an integer"},
	"no name":             {`name = "Two-colour 26-inch"`, "", "p.toml: name: is missing"},
	"name of two lines":   {"Two-colour ", `Two\n`, `p.toml: name: "Two\n26-inch" is not a single line of text; write one, in UTF-8`},
	"length 0":            {"= 480", "= 0", "p.toml: print_length_mm: 0 is outside"},
	"length nan":          {"= 480", "= nan", "p.toml: print_length_mm: NaN is outside"},
	"zones 0":             {"zones = 21", "zones = 0", "p.toml: fountain.zones: 0 keys"},
	"zones 201":           {"zones = 21", "zones = 201", "p.toml: fountain.zones: 201 keys"},
	"zones missing":       {"zones = 21", "", "p.toml: fountain.zones: is missing"},
	"width inf":           {"31.75", "inf", "p.toml: fountain.zone_width_mm: +Inf"},
	"width below 0":       {"31.75", "-1", "p.toml: fountain.zone_width_mm: -1"},
	"width of nothing":    {"31.75", "1e-9", "p.toml: fountain.zone_width_mm: 0.000000001 is outside 1 to 1000; correct it"},
	"first zone missing":  {`first_zone = "left"`, "", "p.toml: fountain.first_zone: is missing"},
	"first zone unknown":  {`"left"`, `"top"`, `p.toml: fountain.first_zone: "top" is not known; write left or right`},
	"blade unknown":       {`"segmented"`, `"steel"`, `p.toml: fountain.blade: "steel" is not known`},
	"no neighbour limit":  {"blade = \"segmented\"\nneighbour_limit_pct = 100", "blade = \"one-piece\"", "p.toml: fountain.neighbour_limit_pct: is missing"},
	"neighbour limit 0":   {"limit_pct = 100", "limit_pct = 0", "p.toml: fountain.neighbour_limit_pct: 0"},
	"unit unknown":        {"[keys]\nunit = \"%\"", "[keys]\nunit = \"mm\"", `p.toml: keys.unit: "mm" is not known; write % or notch or turn`},
	"travel 0":            {"travel = 100", "travel = 0", "p.toml: keys.travel: 0"},
	"step 0":              {"step = 1\nfloor", "step = 0\nfloor", "p.toml: keys.step: 0"},
	"step above travel":   {"step = 1\nfloor", "step = 101\nfloor", "p.toml: keys.step: 101"},
	"step beside travel":  {"step = 1\nfloor", "step = 3\nfloor", "p.toml: keys.step: a travel of 100 is not a whole number of steps of 3"},
	"floor above ceiling": {"floor_pct = 2", "floor_pct = 60\n#", "p.toml: keys.floor_pct: the floor, 60, is above the ceiling, 50"},
	"floor below 0":       {"floor_pct = 2", "floor_pct = -2", "p.toml: keys.floor_pct: -2"},
	"ceiling above 100":   {"ceiling_pct = 100", "ceiling_pct = 101", "p.toml: keys.ceiling_pct: 101"},
	"off sheet":           {"off_sheet_pct = 0", "off_sheet_pct = 101", "p.toml: keys.off_sheet_pct: 101"},
	"too few zeros":       {"zero = []", "zero = [1, 2]", "p.toml: keys.zero: 2 values for 21 keys"},
	"too few by hand":     {"zero = []", "zero_by_hand = [1]", "p.toml: keys.zero_by_hand: 1 values for 21 keys"},
	"zero nan":            {"zero = []", "zero = [" + strings.Repeat("0, ", 20) + "nan]", "p.toml: keys.zero: zone 21: NaN"},
	"sweep unit missing":  {"[sweep]\nunit = \"%\"", "[sweep]", "p.toml: sweep.unit: is missing"},
	"sweep unit long":     {"[sweep]\nunit = \"%\"", "[sweep]\nunit = \"degrees of the ductor's turn\"", "p.toml: sweep.unit: "},
	"sweep from 0":        {"from = 10", "from = 0", "p.toml: sweep.from: 0"},
	"sweep backwards":     {"to = 90", "to = 9", "p.toml: sweep.to: 9 is not above from = 10"},
	"sweep step":          {"step = 1\nreference", "step = 0.0001\nreference", "p.toml: sweep.step: 0.0001 makes more"},
	"sweep reference":     {"reference = 45", "reference = 95", "p.toml: sweep.reference: 95 is above to = 90; correct reference or to"},
	"sweep to":            {"to = 90", "to = 40", "p.toml: sweep.reference: 45 is above to = 40; correct reference or to"},
	"working from":        {"reference = 45", "reference = 45\nworking_from = 50", "p.toml: sweep.working_from: 50 is above reference = 45; correct working_from or reference"},
	"working to":          {"reference = 45", "reference = 45\nworking_to = 0", "p.toml: sweep.working_to: 0 is outside what it can be"},
	"curve empty":         {`"black.curve.toml"`, `""`, "p.toml: curves.Black: is missing"},
	"curve twice":         {"Black = ", "black = \"a\"\nBlack = ", "p.toml: curves.black: is the same ink as \"Black\""},
	"ink twice":           {"[inks.Black]", "[inks.BLACK]\n[inks.Black]", "p.toml: inks.Black: is the same ink as \"BLACK\""},
	"density 0":           {"target_density = 1.7", "target_density = 0", "p.toml: inks.Black.target_density: 0"},
	"density limit":       {"target_density = 1.7", "target_density = 2.2", "p.toml: inks.Black.target_density: 2.2 is not below"},
	"film":                {"film_um = 1.1", "film_um = -1", "p.toml: inks.Black.film_um: -1"},
	"gravity":             {"gravity = 1.05", "gravity = inf", "p.toml: inks.Black.specific_gravity: +Inf"},
}

func hostilePress(old, new string) string {
	if strings.HasSuffix(new, "#") { // also lowers the ceiling
		return strings.Replace(strings.Replace(twoColour, old, strings.TrimSuffix(new, "\n#"), 1), "ceiling_pct = 100", "ceiling_pct = 50", 1)
	}
	return strings.Replace(twoColour, old, new, 1)
}

func TestParseRefuses(t *testing.T) {
	for name, tc := range hostilePresses {
		t.Run(name, func(t *testing.T) {
			require.Contains(t, twoColour, tc.old)
			requireRefused(t, hostilePress(tc.old, tc.new), tc.want)
		})
	}
}

// requireRefused asks for one line that begins as wanted, and says what to do.
func requireRefused(t *testing.T, text, want string) {
	p, err := Parse("p.toml", []byte(text))
	require.Nil(t, p)
	var place *settings.FileError
	require.ErrorAs(t, err, &place, want)
	assert.True(t, strings.HasPrefix(err.Error(), want), "%s\n%s", want, err)
	assert.NotContains(t, err.Error(), "\n")
	assert.NotEmpty(t, place.Do)
}

func FuzzParse(f *testing.F) {
	f.Add([]byte(twoColour))
	f.Add([]byte(smallest))
	for _, tc := range hostilePresses {
		f.Add([]byte(hostilePress(tc.old, tc.new)))
	}
	f.Add([]byte(trained))
	for _, tc := range hostileTrains {
		f.Add([]byte(strings.Replace(trained, tc.old, tc.new, 1)))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := Parse("p.toml", data)
		if err != nil {
			assert.NotContains(t, err.Error(), "\n")
			return
		}
		require.NoError(t, p.Validate())
		for zone := range p.Fountain.Zones {
			for _, opening := range []float64{p.Limits.FloorPct, 50, p.Limits.CeilingPct} {
				require.False(t, math.IsNaN(p.Keys.Key(zone+1, opening)))
			}
		}
	})
}

// A press that was made by hand, too, has names that go on labels.
func TestValidateRefusesATextThatIsNotUTF8(t *testing.T) {
	p, err := Parse("p.toml", []byte(twoColour))
	require.NoError(t, err)
	p.Name = "Hall\xff"
	assert.EqualError(t, p.Validate(), `name: "Hall\xff" is not a single line of text; write one, in UTF-8`)
}

func TestAmount(t *testing.T) {
	assert.Equal(t, "1 notch", Amount(1, string(Notch)))
	assert.Equal(t, "2 notches", Amount(2, string(Notch)))
	assert.Equal(t, "1 %", Amount(1, "%"))
}

// A press keeps its id when it is renamed; one that states none has none.
func TestPressID(t *testing.T) {
	p, err := Parse("p.toml", []byte("id = \"two-colour-26\"\n"+twoColour))
	require.NoError(t, err)
	assert.Equal(t, "two-colour-26", p.ID)
	assert.NoError(t, p.Validate())
	for id, want := range map[string]string{`""`: "p.toml: id: is missing", `"a\nb"`: "p.toml: id: \"a\\nb\" is not a single line", "26": "p.toml: line 1, column 6: id cannot be an integer"} {
		_, err := Parse("p.toml", []byte("id = "+id+"\n"+twoColour))
		require.Error(t, err)
		assert.True(t, strings.HasPrefix(err.Error(), want), err.Error())
	}
}
