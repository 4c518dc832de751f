package preset

import (
	"math"
	"testing"

	"bladeline/curves"
	"bladeline/curves/ink"
	"bladeline/curves/learn"
	"bladeline/zones"
	"bladeline/zones/press"
	"bladeline/zones/zonestest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func correctTo(target, limit float64) func(string) (ink.CorrectOptions, error) {
	return func(string) (ink.CorrectOptions, error) {
		return ink.CorrectOptions{Target: target, Limit: limit}, nil
	}
}

// A fountain whose film follows the feed of its keys, whatever their zeros and
// their steps, comes to the target by correcting again and again: as near as
// the step of the keys lets it, half a step of the opening either way. The
// sweep stays, and what was given is not written on.
func TestCorrectingConverges(t *testing.T) {
	law := ink.DensityLaw{Limit: 2, Rate: 1}
	rapid.Check(t, func(t *rapid.T) {
		on := zonestest.Press(6, 31.75)
		on.Keys.Zero = rapid.SliceOfN(rapid.Float64Range(-3, 3), 6, 6).Draw(t, "zero")
		p := presetOf(t, on, unitOf(t, "Black", rapid.SliceOfN(rapid.Float64Range(15, 60), 6, 6).Draw(t, "coverages")...))
		sweep := p.Units[0].Sweep
		wanted := rapid.SliceOfN(rapid.Float64Range(20, 90), 6, 6).Draw(t, "openings that are right")
		film := law.Film(1.5)
		for range 30 {
			var densities []SolidDensity
			for i, k := range p.Units[0].Keys {
				open := k.printedOpening(on.Keys)
				densities = append(densities, SolidDensity{Ink: "black", Zone: i + 1, Density: law.At(film * open / wanted[i])})
			}
			before := csvOf(t, p)
			c, err := p.Correct("p.json", on, "d.csv", densities, correctTo(1.5, 2))
			require.NoError(t, err)
			require.Equal(t, before, csvOf(t, p))
			p = c.Preset
		}
		require.Equal(t, sweep, p.Units[0].Sweep)
		for i, k := range p.Units[0].Keys {
			require.InDelta(t, wanted[i], k.printedOpening(on.Keys), 1.01, "within the step where half a correction no longer moves the key")
		}
	})
}

func TestCorrectRefusesKeysBeyondTheScale(t *testing.T) {
	on := zonestest.Press(1, 31.75)
	p := presetOf(t, on, unitOf(t, "Black", 20))
	p.Units[0].Keys[0].OKKey = new(120.0)
	_, err := p.Correct("p.csv", on, "d.csv", []SolidDensity{{Ink: "Black", Zone: 1, Density: 1}}, correctTo(1.5, 2))
	assert.EqualError(t, err, `p.csv: ink "Black", zone 1, column ok_key: 120 is beyond the key's scale, 0 to 100; write the key as it stood`)
}

// A closed key says so, and warnings of the preset stay but those of keys that
// are set anew.
func TestCorrectSaysWhatItCannot(t *testing.T) {
	on := zonestest.Press(2, 31.75)
	on.Limits.FloorPct = 0
	p := presetOf(t, on, unitOf(t, "Black", 0, 20))
	p.Warnings = []zones.Warning{{Ink: "Black", Code: CodeScale, Text: "old"}, {Ink: "Black", Code: CodeNeighbours, Text: "old"}, {Ink: "Black", Code: zones.CodeLength, Text: "kept"}}
	c, err := p.Correct("p.csv", on, "d.csv", []SolidDensity{{Ink: "Black", Zone: 1, Density: 0.5}}, correctTo(1.5, 2))
	require.NoError(t, err)
	require.Len(t, c.Preset.Warnings, 3)
	assert.Equal(t, "kept", c.Preset.Warnings[0].Text)
	assert.Contains(t, c.Preset.Warnings[1].Text, "the key is closed")
	assert.Equal(t, "not measured in zones 2, whose keys stay", c.Preset.Warnings[2].Text)
}

// Worked by hand: 3 turns, 10 % of which are 0.3; a zero of 1/8 and 2 % more
// make 0.125 + 0.06; no zero
// goes beyond the scale, and a key that stood at its floor alone tells none.
func TestZerosWith(t *testing.T) {
	on := zonestest.Press(4, 31.75)
	on.Keys = press.KeyScale{Unit: press.Turn, Travel: 3, Step: 0.125, Zero: []float64{0, 0.125, 0.25, 3}}
	got := ZerosWith(on, []learn.Offset{
		{Zone: 1, ShiftPct: -10, Readings: 3}, {Zone: 2, ShiftPct: 2, ErrorPct: math.NaN(), Readings: 1}, {Zone: 3, ShiftPct: 9}, {Zone: 4, ShiftPct: 50, Readings: 2},
	})
	assert.InDeltaSlice(t, []float64{-0.3, 0.185, 0.25, 3}, got, 1e-3/2)
	assert.Equal(t, on.Keys.Zero, on.Unlearned().Keys.Zero)
	assert.False(t, on.ZerosLearned())

	on.Keys.ZeroByHand = []float64{0, 0, 0.5, 0}
	assert.Equal(t, on.Keys.ZeroByHand, on.Unlearned().Keys.Zero)
	assert.True(t, on.ZerosLearned())
	assert.False(t, on.Unlearned().ZerosLearned())
	assert.Equal(t, 0.125, on.Keys.Zero[1], "the press itself stays")
}

// An ink of which no density was measured is corrected by nothing: its keys and
// what held them stay.
func TestAnInkThatWasNotMeasuredStays(t *testing.T) {
	on := zonestest.Press(3, 31.75)
	given := []laidUnit{unitOf(t, "Black", 10, 40, 20), unitOf(t, "Cyan", 0.5, 40, 20)}
	for i := range given {
		given[i].Sweep = new(45.0)
	}
	p := presetOf(t, on, given...)
	require.Equal(t, curves.Floor, p.Units[1].Keys[0].State)
	c, err := p.Correct("p.json", on, "d.csv", []SolidDensity{{Ink: "Black", Zone: 2, Density: 1.5}}, correctTo(1.5, 2))
	require.NoError(t, err)
	assert.Equal(t, p.Units[1].Keys, c.Preset.Units[1].Keys)
	assert.Equal(t, p.Units[0].Keys, c.Preset.Units[0].Keys, "what was measured is right, and the rest was not")
	for _, k := range c.Units[1].Keys {
		assert.Equal(t, ink.Correction{OpeningPct: p.Units[1].Keys[k.Zone-1].printedOpening(on.Keys), FilmRatio: 1, Note: ink.Unmeasured}, k.Correction)
	}
}
