package press

import (
	"math"
	"os"
	"strings"
	"testing"

	"bladeline/curves/rollers"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// trained is a press whose file states everything that a train can.
const trained = twoColour + `[train]
plate_mm = 158
image_mm = 420
paper_share = 0.6
split = 0.48
oscillation_turns = 3
[train.ductor]
diameter_mm = 40
touches = "top"
at_deg = 80
every_sheets = 1
duty = 0.3
[train.feed]
film_full_um = 90
strip_mm = 24
fitted_from = ["jobs of May"]
[[train.rollers]]
name = "first"
kind = "form"
surface = "rubber"
diameter_mm = 44
at_deg = 107
stripe_mm = 4
[[train.rollers]]
name = "last"
kind = "form"
surface = "rubber"
diameter_mm = 48
[[train.rollers]]
name = "top"
kind = "oscillator"
surface = "hard"
diameter_mm = 52
touches = ["first", "last"]
stroke_mm = 25
`

func TestParseTrain(t *testing.T) {
	p, err := Parse("p.toml", []byte(trained))
	require.NoError(t, err)
	assert.Equal(t, &rollers.Train{
		PlateMM: 158, ImageMM: 420, Paper: 0.6, Split: 0.48, Turns: 3,
		Ductor: rollers.Ductor{DiameterMM: 40, Touches: "top", AtDeg: new(80.0), EverySheets: 1, Duty: 0.3},
		Feed:   rollers.Feed{FilmFullUM: 90, StripMM: 24, FittedFrom: []string{"jobs of May"}},
		Rollers: []rollers.Roller{
			{Name: "first", Kind: rollers.FormRoller, Surface: rollers.Rubber, DiameterMM: 44, AtDeg: new(107.0), StripeMM: 4},
			{Name: "last", Kind: rollers.FormRoller, Surface: rollers.Rubber, DiameterMM: 48},
			{Name: "top", Kind: rollers.Oscillator, Surface: rollers.Hard, DiameterMM: 52, Touches: []string{"first", "last"}, StrokeMM: 25},
		},
	}, p.Train)
	assert.NoError(t, p.Validate())
	none, err := Parse("p.toml", []byte(twoColour))
	require.NoError(t, err)
	assert.Nil(t, none.Train)
}

// What a train leaves out is common practice, and its image is the print's length.
func TestParseTrainWithDefaults(t *testing.T) {
	text := trained
	for _, line := range []string{"image_mm = 420\n", "paper_share = 0.6\n", "split = 0.48\n", "oscillation_turns = 3\n", "every_sheets = 1\n", "duty = 0.3\n", "at_deg = 80\n", "film_full_um = 90\n", "strip_mm = 24\n", "fitted_from = [\"jobs of May\"]\n"} {
		require.Contains(t, text, line)
		text = strings.Replace(text, line, "", 1)
	}
	p, err := Parse("p.toml", []byte(text))
	require.NoError(t, err)
	assert.Equal(t, 480.0, p.Train.ImageMM)
	assert.Equal(t, []float64{0.5, 0.5, 2, 0.4}, []float64{p.Train.Paper, p.Train.Split, p.Train.Turns, p.Train.Ductor.Duty})
	assert.Equal(t, 2, p.Train.Ductor.EverySheets)
	assert.Zero(t, p.Train.Feed)
	assert.NoError(t, p.Validate())
}

// trainBounds are lines of the file, and what they can be changed to and what not, at
// each bound.
var trainBounds = map[string]bounds{
	"plate_mm = 158":                {[]string{"plate_mm = 250"}, []string{"plate_mm = 49.9", "plate_mm = 1000.1", "plate_mm = nan", "plate_mm = 133"}},
	"image_mm = 420":                {[]string{"image_mm = 496"}, []string{"image_mm = 0", "image_mm = 497"}},
	"paper_share = 0.6":             {[]string{"paper_share = 0.1", "paper_share = 0.7"}, []string{"paper_share = 0.09", "paper_share = 0.71"}},
	"split = 0.48":                  {[]string{"split = 0.45", "split = 0.55"}, []string{"split = 0.449", "split = 0.551"}},
	"oscillation_turns = 3":         {[]string{"oscillation_turns = 1", "oscillation_turns = 5"}, []string{"oscillation_turns = 0.9", "oscillation_turns = 5.1"}},
	"every_sheets = 1":              {[]string{"every_sheets = 4"}, []string{"every_sheets = 0", "every_sheets = 5", "every_sheets = 1.5"}},
	"duty = 0.3":                    {[]string{"duty = 0.2", "duty = 0.5"}, []string{"duty = 0.19", "duty = 0.51"}},
	"diameter_mm = 40":              {[]string{"diameter_mm = 10"}, []string{"diameter_mm = 9.9", "diameter_mm = 1e-9", "diameter_mm = 501"}},
	"film_full_um = 90":             {[]string{"film_full_um = 0.001", "film_full_um = 2000"}, []string{"film_full_um = 0", "film_full_um = 2001"}},
	"strip_mm = 24":                 {[]string{"strip_mm = 0.001", "strip_mm = 500"}, []string{"strip_mm = 0", "strip_mm = 501"}},
	`fitted_from = ["jobs of May"]`: {[]string{"fitted_from = []"}, []string{`fitted_from = [""]`}},
	"stripe_mm = 4":                 {[]string{"stripe_mm = 0.001", "stripe_mm = 20"}, []string{"stripe_mm = 0", "stripe_mm = 20.1"}},
	"stroke_mm = 25":                {[]string{"stroke_mm = 0", "stroke_mm = 35"}, []string{"stroke_mm = -1", "stroke_mm = 35.1", ""}},
	`kind = "oscillator"`:           {nil, []string{`kind = "vibrator"`, `kind = "ductor"`, `kind = "rider"`}},
	`surface = "hard"`:              {[]string{`surface = "rubber"`}, []string{`surface = "steel"`, ""}},
}

func TestTrainAtItsBounds(t *testing.T) {
	requireBounds(t, trained, trainBounds)
}

// hostileTrains are trains that must be refused: what is exchanged for what, and how
// the message must begin.
var hostileTrains = map[string]struct{ old, new, want string }{
	"unknown key":         {"stripe_mm", "strip_mm", `p.toml: line 54, column 1: unknown key "train.rollers.strip_mm"; did you mean "stripe_mm"?`},
	"ductor in the list":  {`kind = "oscillator"`, `kind = "ductor"`, `p.toml: train.rollers: roller "top": kind: the ductor is no roller of the list; describe it under [train.ductor]`},
	"stroke of a form":    {"stripe_mm = 4", "stroke_mm = 4", `p.toml: train.rollers: roller "first": stroke_mm: only an oscillator has a stroke; `},
	"image of more":       {"image_mm = 420", "image_mm = 500", "p.toml: train.plate_mm: it is 496.4 mm round, and the image is 500 mm long; "},
	"stroke of more":      {"zone_width_mm = 31.75", "zone_width_mm = 1", `p.toml: train.rollers: roller "top": stroke_mm: a stroke of 25 mm is wider than the fountain, 21 mm; `},
	"no ductor":           {`touches = "top"`, "", "p.toml: train.ductor.touches: is missing; "},
	"ductor on none":      {`touches = "top"`, `touches = "tip"`, `p.toml: train.ductor.touches: there is no roller "tip"; name one of these: "first", "last", "top"`},
	"nothing holds it":    {"[[train.rollers]]\nname = \"last\"", "[[train.rollers]]\nname = \"odd\"\nkind = \"rider\"\nsurface = \"hard\"\ndiameter_mm = 30\n[[train.rollers]]\nname = \"last\"", `p.toml: train.rollers: roller "odd": touches: nothing holds it; `},
	"against one another": {"[[train.rollers]]\nname = \"top\"", "[[train.rollers]]\nname = \"x\"\nkind = \"rider\"\nsurface = \"hard\"\ndiameter_mm = 30\ntouches = [\"first\", \"top\"]\n[[train.rollers]]\nname = \"top\"", `p.toml: train.rollers: roller "x": touches: it touches "top", and the rollers between them turn both clockwise, one against the other; `},
	"nameless":            {`name = "last"`, `name = ""`, "p.toml: train.rollers: roller 2: name: is missing; "},
}

func TestParseRefusesTrains(t *testing.T) {
	for name, tc := range hostileTrains {
		t.Run(name, func(t *testing.T) {
			require.Contains(t, trained, tc.old)
			requireRefused(t, strings.Replace(trained, tc.old, tc.new, 1), tc.want)
		})
	}
}

// A press that was made by hand has a train by the same rules.
func TestValidateHoldsATrain(t *testing.T) {
	p, err := Parse("p.toml", []byte(trained))
	require.NoError(t, err)
	p.Train.Rollers[2].DiameterMM = math.NaN()
	assert.EqualError(t, p.Validate(), `train.rollers: roller "top": diameter_mm: NaN is outside 10 to 500; correct it`)
	p.Train = &rollers.Train{}
	assert.Error(t, p.Validate())
}

// A fountain that is tried narrower than a stroke is refused.
func TestWithAFountainUnderTheStroke(t *testing.T) {
	p, err := Parse("p.toml", []byte(trained))
	require.NoError(t, err)
	_, err = p.With(Change{Zones: new(1), ZoneWidthMM: new(20.0)})
	assert.EqualError(t, err, `train.rollers: roller "top": stroke_mm: a stroke of 25 mm is wider than the fountain, 20 mm; write the way from end to end, or correct the fountain`)
	narrow, err := p.With(Change{Zones: new(1)})
	require.NoError(t, err)
	assert.Same(t, p.Train, narrow.Train)
}

// The trains that ship are those that their comments say: rollers that touch are
// hard and soft by turns, and of oscillators and forms no two are alike.
func TestShippedTrains(t *testing.T) {
	for name, count := range map[string]struct{ rollers, forms int }{"two-colour": {17, 4}, "duplicator": {8, 2}, "four-colour": {20, 4}} {
		file := "../../examples/" + name + ".press.toml"
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		p, err := Parse(file, data)
		require.NoError(t, err)
		require.NotNil(t, p.Train, name)
		assert.Empty(t, p.Train.Feed.FittedFrom, "they are invented")
		assert.Len(t, p.Train.Rollers, count.rollers)
		assert.False(t, p.Train.InStep(), name)
		l, err := rollers.Lay(*p.Train)
		require.NoError(t, err)
		forms, diameters := 0, map[rollers.Kind][]float64{}
		for _, r := range p.Train.Rollers {
			if r.Kind == rollers.FormRoller {
				forms++
			}
			if r.Kind == rollers.FormRoller || r.Kind == rollers.Oscillator {
				assert.NotContains(t, diameters[r.Kind], r.DiameterMM, r.Name)
				diameters[r.Kind] = append(diameters[r.Kind], r.DiameterMM)
			}
		}
		assert.Equal(t, count.forms, forms)
		for _, nip := range l.Nips {
			if nip.A >= 0 && nip.B >= 0 {
				a, b := p.Train.Rollers[nip.A], p.Train.Rollers[nip.B]
				assert.NotEqual(t, a.Surface, b.Surface, "%s: %s on %s", name, a.Name, b.Name)
			}
		}
	}
}
