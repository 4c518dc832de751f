package preset

import (
	"math"
	"testing"

	"bladeline/curves"
	"bladeline/curves/ink"
	"bladeline/curves/learn"
	"bladeline/curves/settings"
	"bladeline/zones"
	"bladeline/zones/press"
	"bladeline/zones/zonestest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What is made by hand and cannot be is refused in one line, and ends no program.
func TestNewRefusesWhatIsMadeByHand(t *testing.T) {
	good := zonestest.Press(2, 10)
	form := lay(t, zonestest.Solid(20, 1, 25.4), good, zones.Placement{})
	wide, long := zonestest.Press(2, 11), zonestest.Press(2, 10)
	long.PrintLengthMM = 100
	zeros := zonestest.Press(2, 10)
	zeros.Keys.Zero = []float64{1}
	for name, tc := range map[string]struct {
		on      *press.Press
		units   []UnitInput
		takeOff float64
		want    string
	}{
		"no press":            {nil, []UnitInput{{Form: form}}, 0, "there is no press; give one"},
		"a zero press":        {&press.Press{}, []UnitInput{{Form: form}}, 0, "press: name: is missing; the press's file must state it"},
		"a zero too few":      {zeros, []UnitInput{{Form: form}}, 0, "press: keys.zero: 1 values for 2 keys; write one for every key, from zone 1, or none"},
		"no form":             {good, []UnitInput{{}}, 0, "unit 1 has no form; lay its separation on the press"},
		"a zero form":         {good, []UnitInput{{Form: &zones.Form{}}}, 0, "ink : the form is laid on another press; lay it on this one"},
		"on another fountain": {wide, []UnitInput{{Form: form}}, 0, "ink Black: the form is laid on another press; lay it on this one"},
		"for another print":   {long, []UnitInput{{Form: form}}, 0, "ink Black: the form is laid on another press; lay it on this one"},
		"no curve":            {good, []UnitInput{{Form: form}}, 0, "ink Black has no curve; give one"},
		"no take-off":         {good, []UnitInput{{Form: form}}, math.NaN(), "a take-off of NaN % is outside 0 to 100; correct it"},
	} {
		p, err := New("gull", tc.on, tc.units, tc.takeOff)
		assert.Nil(t, p, name)
		assert.EqualError(t, err, tc.want, name)
	}
}

// A preset that lacks a key is refused by all that takes it.
func TestPresetsMadeByHandAreRefused(t *testing.T) {
	on := zonestest.Press(2, 31.75)
	whole := presetOf(t, on, unitOf(t, "Black", 10, 20))
	require.NoError(t, whole.Validate())
	short := presetOf(t, on, unitOf(t, "Black", 10, 20))
	short.Units[0].Keys = short.Units[0].Keys[:1]
	var place *settings.FileError
	require.ErrorAs(t, short.Validate(), &place)
	assert.Equal(t, "units[0].keys", place.Place)

	all := func(string) (ink.CorrectOptions, error) { return ink.CorrectOptions{}, nil }
	for name, call := range map[string]func(*Preset) error{
		"compare":      func(p *Preset) error { _, err := Compare(Compared{"a", whole}, Compared{"b", p}, on); return err },
		"compare with": func(p *Preset) error { _, err := Compare(Compared{"a", p}, Compared{"b", whole}, nil); return err },
		"correct":      func(p *Preset) error { _, err := p.Correct("p", on, "d", nil, all); return err },
		"learn":        func(p *Preset) error { _, err := p.OKRun("p", on, "Black"); return err },
		"of a press":   func(p *Preset) error { return p.IsFor(on, "p") },
	} {
		assert.ErrorContains(t, call(short), `ink "Black" has 1 keys where the press has 2 zones`, name)
		assert.Error(t, call(nil), name)
	}
	assert.ErrorContains(t, whole.IsFor(nil, "p"), "there is no press; give one")
	assert.ErrorContains(t, whole.IsFor(&press.Press{}, "p"), "it is for \"Two-colour 26-inch\", not for \"\"")
}

// Zones and keys that are none, in what is measured, found and tried.
func TestZonesThatAreNone(t *testing.T) {
	on := zonestest.Press(2, 31.75)
	p := presetOf(t, on, unitOf(t, "Black", 10, 20))
	all := func(string) (ink.CorrectOptions, error) { return ink.CorrectOptions{}, nil }
	for _, zone := range []int{-1, 0, 3} {
		_, err := p.Correct("p.csv", on, "d.csv", []SolidDensity{{Ink: "Black", Zone: zone, Density: 1}}, all)
		assert.ErrorContains(t, err, "is not one of the preset's 2")
		assert.Equal(t, []float64{0, 0}, ZerosWith(on, []learn.Offset{{Zone: zone, Readings: 1, ShiftPct: 5}}))
		assert.Equal(t, 50.0, on.Keys.Key(zone, 50))
		assert.Equal(t, 50.0, on.Keys.Opening(zone, 50))
	}
	on.Keys.Zero = []float64{1, 2}
	assert.Equal(t, 50.0, on.Keys.Key(0, 50))

	u := &p.Units[0]
	for name, trial := range map[string]func() (*Trial, error){
		"no press": func() (*Trial, error) { return NewTrial(nil, u, lineCurve(t), []float64{1, 1}, 45) },
		"no unit":  func() (*Trial, error) { return NewTrial(on, nil, lineCurve(t), []float64{1, 1}, 45) },
		"no curve": func() (*Trial, error) { return NewTrial(on, u, nil, []float64{1, 1}, 45) },
		"no shape": func() (*Trial, error) { return NewTrial(on, u, &curves.Curve{}, []float64{1, 1}, 45) },
	} {
		_, err := trial()
		assert.Error(t, err, name)
	}
}

func lineCurve(t *testing.T) *curves.Curve { return zonestest.LineCurve(t) }
