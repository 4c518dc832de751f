package preset

import (
	"strings"
	"testing"

	"bladeline/curves/ink"
	"bladeline/zones"
	"bladeline/zones/press"
	"bladeline/zones/zonestest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// inTwoUnits is a press of two units: the keys of the first read 3 % too high in
// zone 2, and the second is swept from 20 on, its curves holding at 30.
func inTwoUnits() *press.Press {
	on := zonestest.Press(3, 31.75)
	first, second := on.Sweep, on.Sweep
	second.From, second.Reference = 20, 30
	on.Units = []press.Unit{
		{Name: "1", Inks: []string{"Black"}, Zero: []float64{0, 3, 0}, Sweep: first},
		{Name: "2", Inks: []string{"Cyan"}, Sweep: second},
	}
	return on
}

func onTwoUnits(t *testing.T) *Preset {
	on := inTwoUnits()
	var units []laidUnit
	for _, name := range []string{"Black", "Cyan"} {
		in := unitOf(t, name, 10, 20, 40)
		in.Sweep, in.Station = new(45.0), press.Station{Unit: on.UnitOf(name), Pass: 1}
		units = append(units, in)
	}
	return presetOf(t, on, units...)
}

func keysOf(u Unit) (keys []float64) {
	for _, k := range u.Keys {
		keys = append(keys, k.Key)
	}
	return keys
}

// The curve asks for as much as is covered at the reference: 45 in unit 1, 30 in
// unit 2, where a sweep of 45 then needs two thirds of the opening. The zero of a
// unit moves its keys alone.
func TestPresetInUnits(t *testing.T) {
	p := onTwoUnits(t)
	assert.Equal(t, []float64{10, 20 + 3, 40}, keysOf(p.Units[0]))
	assert.Equal(t, []float64{7, 13, 27}, keysOf(p.Units[1]), "10, 20 and 40 × 30/45")
	assert.Equal(t, []any{new("1"), new(1), new("2"), new(1)}, []any{p.Units[0].Unit, p.Units[0].Pass, p.Units[1].Unit, p.Units[1].Pass})
	require.NoError(t, p.IsFor(inTwoUnits(), "p.json"))

	feed := p.Units[0].Feed(inTwoUnits(), zonestest.LineCurve(t))
	assert.Equal(t, []float64{10 * 45, 20 * 45, 40 * 45}, feed.Supply, "without the zero")
	assert.Equal(t, 30.0, p.Units[1].Feed(inTwoUnits(), zonestest.LineCurve(t)).ReferenceSweep)
}

// Unit 2 does not sweep below 20.
func TestSweepOfAUnit(t *testing.T) {
	in := unitOf(t, "Cyan", 10, 20, 40)
	in.Sweep, in.Station = new(15.0), press.Station{Unit: "2", Pass: 1}
	_, err := newPreset("job", inTwoUnits(), []laidUnit{in})
	assert.ErrorContains(t, err, "ink Cyan: a sweep of 15 cannot be set: the press sweeps from 20 to 90")
	in.Station.Unit = "1"
	_, err = newPreset("job", inTwoUnits(), []laidUnit{in})
	assert.NoError(t, err)
	_, err = New("job", inTwoUnits(), []UnitInput{{
		Form: lay(t, formOf(95, 100, block{0, 40, 0, 10}), inTwoUnits(), zones.Placement{}), Curve: zonestest.LineCurve(t), Station: press.Station{Unit: "3"},
	}}, 10)
	assert.ErrorContains(t, err, `press "Two-colour 26-inch" has no unit "3"; name one that it has`)
}

// What was run is read on the keys of its unit: 23 in zone 2 of unit 1 is open by
// 20 %, in unit 2 by 23 %. Without a unit it is that of the ink.
func TestOKRunInUnits(t *testing.T) {
	p := onTwoUnits(t)
	opening := func(unit *string, ink string) float64 {
		u := p.Unit(ink)
		u.Unit, u.Keys[1].OKKey = unit, new(23.0)
		run, err := p.OKRun("p.csv", inTwoUnits(), ink)
		require.NoError(t, err)
		require.Len(t, run.Readings, 1)
		return run.Readings[0].OpeningPct
	}
	assert.Equal(t, 20.0, opening(new("1"), "Black"))
	assert.Equal(t, 23.0, opening(new("2"), "Black"))
	assert.Equal(t, 20.0, opening(nil, "Black"))
	assert.Equal(t, 23.0, opening(nil, "Cyan"))

	p.Units[0].Unit = new("3")
	_, err := p.OKRun("p.csv", inTwoUnits(), "Black")
	assert.EqualError(t, err, `p.csv: ink "Black", unit: "3" is no unit of press "Two-colour 26-inch"; name the unit here as the press's file does: "1", "2"`)
	single := inTwoUnits()
	single.Units = nil
	_, err = p.OKRun("p.csv", single, "Black")
	assert.NoError(t, err, "a press whose file names no units knows none")
}

// A key is corrected on the scale of its unit: 23 is 20 % open, and half as much
// film again, all of it at once, makes that 30 %, which is 33 on the scale.
func TestCorrectInUnits(t *testing.T) {
	p := onTwoUnits(t)
	// D = D0(1 − e^(−mw)): densities 0.5 and 1 − 0.5^1.5 of a limit of 1 are films as 1 to 1.5.
	options := func(string) (ink.CorrectOptions, error) {
		return ink.CorrectOptions{Target: 1 - 0.3535533905932738, Limit: 1, Damping: 1}, nil
	}
	c, err := p.Correct("p.csv", inTwoUnits(), "d.csv", []SolidDensity{{Row: 2, Ink: "Black", Zone: 2, Density: 0.5}}, options)
	require.NoError(t, err)
	assert.Equal(t, []float64{10, 33, 40}, keysOf(c.Preset.Units[0]))
	assert.Equal(t, keysOf(p.Units[1]), keysOf(c.Preset.Units[1]))
	assert.Equal(t, new("1"), c.Preset.Units[0].Unit)
}

// What was run is compared on the scales of both units: a's 23 in unit 1 and b's
// 20 in unit 2 are both 20 % open.
func TestCompareInUnits(t *testing.T) {
	a, b := onTwoUnits(t), onTwoUnits(t)
	b.Units[0].Unit, b.Units[0].Keys[1].OKKey = new("2"), new(20.0)
	c, err := Compare(Compared{"a.csv", a}, Compared{"b.csv", b}, inTwoUnits())
	require.NoError(t, err)
	assert.Equal(t, new(-3.0), c.Units[0].Keys[1].KeyDifference)
	assert.InDelta(t, 0, valueOf(t, c.Units[0].Keys[1].FeedDifferencePoints), 1e-9)
}

// A press that was renamed keeps its OK files by its id; one of another id is
// another press, whatever it is called.
func TestRenamedPress(t *testing.T) {
	p := onTwoUnits(t)
	p.Press.ID = new("two-colour-26")
	renamed := inTwoUnits()
	renamed.Name, renamed.ID = "Slipway press", "two-colour-26"
	require.NoError(t, p.IsFor(renamed, "p.csv"))
	read, err := ReadCSV("p.csv", strings.NewReader(csvOf(t, p)))
	require.NoError(t, err)
	require.NoError(t, read.IsFor(renamed, "p.csv"), "the CSV says so, too")

	named := inTwoUnits()
	require.NoError(t, p.IsFor(named, "p.csv"), "the name, where the press has no id")
	assert.True(t, p.SamePress(renamed))
	named.ID = "another"
	assert.False(t, p.SamePress(named))
	assert.EqualError(t, p.IsFor(named, "p.csv"), `p.csv: press: it is for "Two-colour 26-inch", id "two-colour-26", not for "Two-colour 26-inch", id "another"; name the press that it is for`)
	p.Press.ID, renamed.ID = nil, ""
	assert.ErrorContains(t, p.IsFor(renamed, "p.csv"), `p.csv: press: it is for "Two-colour 26-inch", not for "Slipway press"`)

	other := onTwoUnits(t)
	other.Press.Name = "Slipway press"
	_, err = Compare(Compared{"a.csv", p}, Compared{"b.csv", other}, nil)
	assert.ErrorContains(t, err, `b.csv: press: "Slipway press" here`)
	p.Press.ID, other.Press.ID = new("two-colour-26"), new("two-colour-26")
	_, err = Compare(Compared{"a.csv", p}, Compared{"b.csv", other}, nil)
	assert.NoError(t, err)
}

// Black's unit sweeps from 10, Cyan's from 20: at 15 the first can have run, and not
// the second.
func TestChangeHoldsAUnitsOwnSweep(t *testing.T) {
	last, this := onTwoUnits(t), onTwoUnits(t)
	last.Units[0].OKSweep = new(15.0)
	_, err := Change(Compared{"last.csv", last}, Compared{"this.csv", this}, nil, inTwoUnits())
	require.NoError(t, err)
	last.Units[1].OKSweep = new(15.0)
	_, err = Change(Compared{"last.csv", last}, Compared{"this.csv", this}, nil, inTwoUnits())
	assert.ErrorContains(t, err, "last.csv: ink \"Cyan\", column ok_sweep: 15 cannot be set")
}
