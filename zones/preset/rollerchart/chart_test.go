package rollerchart

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"slices"
	"strings"
	"testing"

	"bladeline/curves/settings"
	"bladeline/zones/preset"
	"bladeline/zones/zonestest"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func chartOf(t require.TestingT, name string) *Chart {
	c, err := Of(zonestest.Shipped(t, name), name)
	require.NoError(t, err)
	return c
}

// A roller of 66 mm goes round 207.345 mm (Archimedes' π, to 9 places 3.141592654),
// and twice within an image of 480 mm.
func TestChart(t *testing.T) {
	c := chartOf(t, "two-colour")
	require.Len(t, c.Rollers, 18)
	assert.Equal(t, "ductor", c.Rollers[0].Name)
	assert.Empty(t, c.Rollers[0].RepeatsMM)
	form := c.Rollers[2]
	assert.Equal(t, "form 2", form.Name)
	assert.InDelta(t, 66*3.141592654, form.CircumferenceMM, 1e-6)
	require.Len(t, form.RepeatsMM, 2)
	assert.InDelta(t, 414.690, form.RepeatsMM[1], 1e-3)
	assert.Equal(t, []string{"plate", "oscillator 3"}, form.Touches)
	at := slices.IndexFunc(c.Rollers, func(r Roller) bool { return r.Name == "oscillator 1" })
	assert.Equal(t, "clockwise, 25 mm to and fro in 4 turns of the plate", c.Rollers[at].Movement())
	assert.ElementsMatch(t, []string{"distributor 1", "ductor"}, c.Rollers[at].Touches)
	for _, p := range c.Stripes() {
		soft := c.Rollers[slices.IndexFunc(c.Rollers, func(r Roller) bool { return r.Name == p.Roller })]
		assert.True(t, soft.Soft(), p)
	}
	assert.Len(t, c.Stripes(), 20, "all 21 nips but the ductor's")
}

func TestPressWithoutTrain(t *testing.T) {
	on := zonestest.Shipped(t, "duplicator")
	on.Train = nil
	_, err := Of(on, "p.toml")
	assert.EqualError(t, err, "p.toml: train: the press's file states no roller train; describe it under [train], as the presses that ship do: press show --file two-colour")
	on = zonestest.Shipped(t, "duplicator")
	on.Train.Rollers[0].DiameterMM = 1e-9
	_, err = Of(on, "p.toml")
	assert.ErrorContains(t, err, `p.toml: train.rollers: roller "form 1": diameter_mm: `)
}

// measured are rows and the codes of what must be found of them, in order.
var measured = map[string]struct {
	row  preset.MeasuredRoller
	want []string
}{
	"all well":            {preset.MeasuredRoller{StripeLeftMM: new(4.0), StripeMM: new(3.9), StripeRightMM: new(4.2), DiameterMM: new(44.3), LeftMM: new(44.2), RightMM: new(44.1), RunOutMM: new(0.1)}, nil},
	"at the least":        {preset.MeasuredRoller{StripeLeftMM: new(3.0), StripeRightMM: new(3.5)}, nil},
	"at the most":         {preset.MeasuredRoller{StripeLeftMM: new(5.0), StripeRightMM: new(4.5)}, nil},
	"light":               {preset.MeasuredRoller{StripeMM: new(2.9)}, []string{CodeLight}},
	"heavy":               {preset.MeasuredRoller{StripeMM: new(5.1)}, []string{CodeHeavy}},
	"nothing to be seen":  {preset.MeasuredRoller{StripeLeftMM: new(0.0), StripeMM: new(0.0), StripeRightMM: new(0.0)}, []string{CodeLight}},
	"not as in the file":  {preset.MeasuredRoller{StripeMM: new(3.4)}, []string{CodeStripe}},
	"not parallel":        {preset.MeasuredRoller{StripeLeftMM: new(3.2), StripeRightMM: new(4.4)}, []string{CodeParallel}},
	"heavy ends":          {preset.MeasuredRoller{StripeLeftMM: new(4.6), StripeMM: new(3.6), StripeRightMM: new(4.4)}, []string{CodeEnds}},
	"heavy in the middle": {preset.MeasuredRoller{StripeLeftMM: new(3.6), StripeMM: new(4.4), StripeRightMM: new(3.4)}, []string{CodeMiddle}},
	"run-out":             {preset.MeasuredRoller{RunOutMM: new(0.11)}, []string{CodeRunOut}},
	"other diameter":      {preset.MeasuredRoller{DiameterMM: new(43.4)}, []string{CodeDiameter}},
	"swollen ends":        {preset.MeasuredRoller{LeftMM: new(44.5), DiameterMM: new(44.0), RightMM: new(44.4)}, []string{CodeSwollen}},
	"crown":               {preset.MeasuredRoller{LeftMM: new(43.6), DiameterMM: new(44.0), RightMM: new(43.5)}, []string{CodeCrown}},
	"taper":               {preset.MeasuredRoller{LeftMM: new(43.6), RightMM: new(44.0)}, []string{CodeTaper}},
	"all wrong":           {preset.MeasuredRoller{StripeLeftMM: new(4.9), StripeMM: new(3.1), StripeRightMM: new(5.6), RunOutMM: new(0.2), LeftMM: new(44.9), DiameterMM: new(43.2), RightMM: new(44.2)}, []string{CodeRunOut, CodeDiameter, CodeTaper, CodeSwollen, CodeHeavy, CodeParallel, CodeEnds}},
}

func TestHold(t *testing.T) {
	for name, m := range measured {
		c := chartOf(t, "duplicator")
		m.row.Roller, m.row.Row = "FORM 1", 2
		require.NoError(t, c.Hold("m.csv", []preset.MeasuredRoller{m.row}), name)
		var codes []string
		for _, f := range c.Findings {
			codes = append(codes, f.Code)
			assert.True(t, strings.HasPrefix(f.Text, "form 1: "), f.Text)
			assert.NotEmpty(t, f.Do)
			assert.Nil(t, f.Against)
		}
		assert.Equal(t, m.want, codes, name)
		assert.True(t, c.Measured)
	}
}

func TestHoldNamesTheStripe(t *testing.T) {
	c := chartOf(t, "duplicator")
	require.NoError(t, c.Hold("m.csv", []preset.MeasuredRoller{{Roller: "form 1", Against: "Plate", Row: 2, StripeMM: new(2.0)}, {Roller: "form 1", Against: "OSCILLATOR 2", Row: 3, StripeMM: new(6.0)}}))
	require.Len(t, c.Findings, 2)
	assert.Equal(t, "form 1: its stripe with the plate is 2 mm at the narrowest; 3 to 5 mm are usual", c.Findings[0].Text)
	assert.Equal(t, "oscillator 2", *c.Findings[1].Against)

	err := c.Hold("m.csv", []preset.MeasuredRoller{{Roller: "form 9", Row: 4}})
	var place *settings.FileError
	require.ErrorAs(t, err, &place)
	assert.True(t, strings.HasPrefix(err.Error(), `m.csv: row 4, column roller: press "Duplicator 11-inch" has no roller "form 9"; name one of these: "ductor", "form 1", `), err.Error())
	err = c.Hold("m.csv", []preset.MeasuredRoller{{Roller: "form 1", Against: "rider", Row: 4}})
	assert.EqualError(t, err, `m.csv: row 4, column against: roller "form 1" does not touch "rider"; name one of these: "plate", "oscillator 2"`)
}

// A figure that no roller grows to is a slip of the pen, of which nothing more is said.
func TestHoldSeesASlip(t *testing.T) {
	c := chartOf(t, "duplicator")
	stated := c.Rollers[1].DiameterMM
	for _, slip := range []float64{10 * stated, stated / 10, 1.6 * stated} {
		c.Findings = nil
		require.NoError(t, c.Hold("m.csv", []preset.MeasuredRoller{{Roller: "form 1", Row: 2, LeftMM: new(slip), DiameterMM: new(stated), RightMM: new(stated)}}))
		require.Len(t, c.Findings, 1)
		assert.Equal(t, CodeSlip, c.Findings[0].Code)
		assert.Contains(t, c.Findings[0].Text, "no roller changes so much")
		assert.Contains(t, c.Findings[0].Do, "measure once more")
	}
}

func TestDoubtOfFormRollersAlone(t *testing.T) {
	c := chartOf(t, "duplicator")
	assert.Empty(t, c.Doubt())
	c.Rollers = c.Rollers[:2] // the ductor and a form roller
	assert.Contains(t, c.Doubt(), "distribute nothing")
}

func TestJSONHoldsItsSchema(t *testing.T) {
	parsed, err := jsonschema.UnmarshalJSON(bytes.NewReader(Schema))
	require.NoError(t, err)
	compiler := jsonschema.NewCompiler()
	require.NoError(t, compiler.AddResource("schema", parsed))
	compiled, err := compiler.Compile("schema")
	require.NoError(t, err)
	holds := func(text string) error {
		v, err := jsonschema.UnmarshalJSON(strings.NewReader(text))
		require.NoError(t, err)
		return compiled.Validate(v)
	}
	for _, name := range []string{"two-colour", "duplicator", "four-colour"} {
		c := chartOf(t, name)
		for _, m := range measured {
			m.row.Roller, m.row.Row = "form 1", 2
			require.NoError(t, c.Hold("m.csv", []preset.MeasuredRoller{m.row}))
		}
		var b bytes.Buffer
		require.NoError(t, c.WriteJSON(&b))
		require.NoError(t, holds(b.String()), name)
		assert.Error(t, holds(strings.Replace(b.String(), "circumference_mm", "round_mm", 1)))
		assert.Error(t, holds(strings.Replace(b.String(), `"rubber"`, `"wood"`, 1)))
	}
}

// A worksheet that is filled in is read back, name by name, whatever the names.
func TestWorksheetIsReadBack(t *testing.T) {
	on := zonestest.Shipped(t, "duplicator")
	on.Train.Rollers[0].Name = "=form; \"first\""
	on.Train.Rollers[2].Touches[0] = on.Train.Rollers[0].Name
	c, err := Of(on, "p.toml")
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, c.WriteWorksheet(&b))
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 1+len(c.Rollers)+len(c.Stripes()))
	for _, row := range rows[1:] {
		for i := 2; i < len(row); i++ {
			row[i] = fmt.Sprint(i)
		}
	}
	var filled bytes.Buffer
	require.NoError(t, csv.NewWriter(&filled).WriteAll(rows))
	read, err := preset.ReadRollers("m.csv", &filled)
	require.NoError(t, err)
	assert.Len(t, read, len(rows)-1)
	assert.NoError(t, c.Hold("m.csv", read))
}

func TestCSVIsOneRowARoller(t *testing.T) {
	c := chartOf(t, "duplicator")
	require.NoError(t, c.Hold("m.csv", []preset.MeasuredRoller{{Roller: "rider", Row: 2, RunOutMM: new(1.0)}}))
	var b bytes.Buffer
	require.NoError(t, c.WriteCSV(&b))
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 1+len(c.Rollers))
	assert.Equal(t, "138.2; 276.5; 414.7", rows[2][slices.Index(rows[0], "repeats_mm")])
	assert.Contains(t, rows[9][slices.Index(rows[0], "findings")], "rider: the indicator moves 1 mm in a turn")
}
