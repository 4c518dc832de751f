package preset

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"

	"bladeline/zones/press"
	"bladeline/zones/zonestest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// turns is a press of five keys in eighths of a turn; the second closes at 1/4.
func turns() *press.Press {
	on := zonestest.Press(5, 31.75)
	on.Keys = press.KeyScale{Unit: press.Turn, Travel: 4, Step: 0.125, Zero: []float64{0, 0.25, 0, 0, 0}}
	on.Limits.FloorPct = 0
	return on
}

// pairOf are a preset at 45 and its twin to be changed. Keys: 1/2, 3/4 (from
// 1/4), 1, 3 and, off the sheet, 0.
func pairOf(t require.TestingT) (a, b *Preset) {
	made := func() *Preset {
		in := unitOf(t, "Black", 12.5, 12.5, 25, 75, 0)
		in.Zones[4].OffSheet = true
		in.Sweep = new(45.0)
		return presetOf(t, turns(), in)
	}
	return made(), made()
}

func compared(t require.TestingT, a, b *Preset, on *press.Press) *Comparison {
	c, err := Compare(Compared{"a.json", a}, Compared{"b.csv", b}, on)
	require.NoError(t, err)
	return c
}

// Worked by hand. What was run: 5/8, 3/4, 1 1/2 and zone 4 not read, at a sweep
// of 54. Openings in a are 12.5, 12.5 and 25 %, in b 15.625, 12.5 and 37.5 %.
// Feeds in b are 843.75, 675 and 2025, in a 562.5, 562.5 and 1125; the
// differences over 45 are 6.25, 2.5 and 20 points.
func TestCompareWithWhatWasRun(t *testing.T) {
	a, b := pairOf(t)
	u := &b.Units[0]
	u.OKSweep = new(54.0)
	u.Keys[0].OKKey, u.Keys[1].OKKey, u.Keys[2].OKKey = new(0.625), new(0.75), new(1.5)
	c := compared(t, a, b, turns())
	assert.True(t, c.BWasRun)
	assert.Equal(t, new(0.125), c.KeyStep)
	got := c.Units[0]
	assert.Equal(t, []float64{45, 54}, []float64{got.SweepA, got.SweepB})
	assert.Equal(t, 3, got.Compared)
	want := []struct{ keyA, keyB, difference, feedA, feedB, points float64 }{
		{0.5, 0.625, 0.125, 562.5, 843.75, 6.25}, {0.75, 0.75, 0, 562.5, 675, 2.5}, {1, 1.5, 0.5, 1125, 2025, 20},
	}
	for i, w := range want {
		k := got.Keys[i]
		assert.InDeltaSlice(t, []float64{w.keyA, w.keyB, w.difference, w.feedA, w.feedB, w.points},
			[]float64{valueOf(t, k.KeyA), valueOf(t, k.KeyB), valueOf(t, k.KeyDifference), valueOf(t, k.FeedA), valueOf(t, k.FeedB), valueOf(t, k.FeedDifferencePoints)}, 1e-9)
	}
	assert.Equal(t, new("1 1/2"), got.Keys[2].KeyBText)
	assert.Equal(t, KeyComparison{Zone: 4, KeyA: new(3.0), KeyAText: new("3")}, got.Keys[3], "was not read")
	assert.Equal(t, new(0.5), got.KeyLargest)
	assert.Equal(t, new(3), got.KeyLargestZone)
	assert.InDelta(t, 0.625/3, valueOf(t, got.KeyMean), 1e-12)
	assert.InDelta(t, 200/3.0, valueOf(t, got.WithinStepPct), 1e-9)
	assert.InDelta(t, 20, valueOf(t, got.FeedLargestPoints), 1e-9)
	assert.Equal(t, new(3), got.FeedLargestZone)
	assert.InDelta(t, 28.75/3, valueOf(t, got.FeedMeanPoints), 1e-9)
	assert.InDelta(t, 100/3.0, valueOf(t, got.Within5PointsPct), 1e-9)

	// Without the press its scale is not known, and nothing is invented.
	got = compared(t, a, b, nil).Units[0]
	assert.Equal(t, new(0.125), got.Keys[0].KeyDifference)
	assert.Nil(t, got.Keys[0].FeedA)
	assert.Nil(t, got.Keys[0].FeedB)
	assert.Nil(t, got.FeedLargestPoints)
	assert.Nil(t, got.Within5PointsPct)
	assert.Nil(t, got.WithinStepPct)
	assert.Equal(t, new(0.5), got.KeyLargest)
}

// Two presets are compared in their exact openings, with or without the press.
// A zone that no sheet lies over counts for nothing.
func TestCompareTwoPresets(t *testing.T) {
	a, b := pairOf(t)
	b.Units[0].Sweep = 90
	b.Units[0].Keys[3].OpeningPct = 30
	b.Units[0].Keys[3].Key, b.Units[0].Keys[3].KeyText = 1.25, "1 1/4"
	for _, on := range []*press.Press{nil, turns()} {
		c := compared(t, a, b, on)
		assert.False(t, c.BWasRun)
		u := c.Units[0]
		assert.Equal(t, 4, u.Compared)
		assert.True(t, u.Keys[4].OffSheet)
		assert.Equal(t, new(-1.75), u.KeyLargest)
		assert.InDelta(t, 25, valueOf(t, u.FeedLargestPoints), 1e-9) // 25·90/45 − 25
		assert.Equal(t, new(3), u.FeedLargestZone)
		assert.InDelta(t, -15, valueOf(t, u.Keys[3].FeedDifferencePoints), 1e-9) // 30·90/45 − 75
		assert.Equal(t, new(0.0), u.Within5PointsPct)
		assert.Equal(t, on == nil, u.WithinStepPct == nil)
	}
}

func TestComparisonsFiles(t *testing.T) {
	a, b := pairOf(t)
	b.Units[0].Keys[0].OKKey = new(0.625)
	s := schema(t, CompareSchema)
	for _, on := range []*press.Press{nil, turns()} {
		c := compared(t, a, b, on)
		var text bytes.Buffer
		require.NoError(t, c.WriteJSON(&text))
		assert.NoError(t, holds(t, s, text.String()))
		assert.Error(t, holds(t, s, strings.Replace(text.String(), `"feed_a"`, `"feed"`, 1)))
		var back Comparison
		require.NoError(t, json.Unmarshal(text.Bytes(), &back))
		assert.Equal(t, *c, back)
	}
	var text bytes.Buffer
	require.NoError(t, compared(t, a, b, turns()).WriteCSV(&text))
	rows, err := csv.NewReader(&text).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 6)
	assert.Equal(t, []string{"Black", "1", "45", "45", "0.5", "0.625", "0.125", "562.5", "703.125", "3.125"}, rows[1])
	assert.Equal(t, []string{"Black", "4", "45", "45", "3", "", "", "", "", ""}, rows[4])
}

func TestCompareRefuses(t *testing.T) {
	for want, change := range map[string]func(a, b *Preset, on *press.Press){
		`b.csv: press: "Hall press" here, and "Two-colour 26-inch" in a.json; compare presets of one press and the same inks`:                      func(_, b *Preset, _ *press.Press) { b.Press.Name = "Hall press" },
		"b.csv: zones: 4 here, and 5 in a.json; compare presets of one press and the same inks":                                                    func(_, b *Preset, _ *press.Press) { b.Press.Zones = 4 },
		"b.csv: key_unit: % here, and turn in a.json; compare presets of one press and the same inks":                                              func(_, b *Preset, _ *press.Press) { b.Press.KeyUnit = press.Percent },
		`b.csv: sweep_unit: "notch" here, and "%" in a.json; compare presets of one press and the same inks`:                                       func(_, b *Preset, _ *press.Press) { b.Press.SweepUnit = "notch" },
		`b.csv: ink "Black": is missing, and stands in a.json; compare presets of the same inks`:                                                   func(_, b *Preset, _ *press.Press) { b.Units[0].Ink = "Cyan" },
		`a.json: ink "Cyan": is missing, and stands in b.csv; compare presets of the same inks`:                                                    func(_, b *Preset, _ *press.Press) { b.Units = append(b.Units, Unit{Ink: "Cyan"}) },
		`a.json: ink "Black", zone 2, column ok_key: 4 1/8 is beyond the scale, which ends at 4; write what was read off the press`:                func(a, _ *Preset, _ *press.Press) { a.Units[0].Keys[1].OKKey = new(4.125) },
		`b.csv: ink "Black", zone 2, column ok_key: 4 1/8 is beyond the scale, which ends at 4; write what was read off the press`:                 func(_, b *Preset, _ *press.Press) { b.Units[0].Keys[1].OKKey = new(4.125) },
		`b.csv: ink "Black", zone 1, column ok_key: -1/8 is below the scale, which begins at 0; write what was read off the press`:                 func(_, b *Preset, _ *press.Press) { b.Units[0].Keys[0].OKKey = new(-0.125) },
		`b.csv: ink "Black", zone 1, column ok_key: 100000000000 is beyond the scale, which ends at 4; write what was read off the press`:          func(_, b *Preset, _ *press.Press) { b.Units[0].Keys[0].OKKey = new(1e11) },
		`b.csv: ink "Black", column ok_sweep: 91 cannot be set: the press sweeps from 10 to 90 % in steps of 1; write what was read off the press`: func(_, b *Preset, _ *press.Press) { b.Units[0].OKSweep = new(91.0) },
		`a.json: zone: the last, 5, is not the last, 6, of press "Two-colour 26-inch"; name the press that it is for`:                              func(_, _ *Preset, on *press.Press) { on.Fountain.Zones = 6 },
	} {
		a, b := pairOf(t)
		on := turns()
		change(a, b, on)
		c, err := Compare(Compared{"a.json", a}, Compared{"b.csv", b}, on)
		assert.Nil(t, c)
		assert.EqualError(t, err, want)
	}
}

// Without a press a key in % beyond 100 is beyond every scale.
func TestKeyThatWasRunBeyondEveryScale(t *testing.T) {
	in := unitOf(t, "Black", 50)
	a, b := presetOf(t, zonestest.Press(1, 31.75), in), presetOf(t, zonestest.Press(1, 31.75), in)
	b.Units[0].Keys[0].OKKey = new(101.0)
	_, err := Compare(Compared{"a.json", a}, Compared{"b.csv", b}, nil)
	assert.EqualError(t, err, `b.csv: ink "Black", zone 1, column ok_key: 101 is beyond the scale, which ends at 100; write what was read off the press`)
}

// OpeningPct undoes Key, to half a step.
func TestOpeningOfAKey(t *testing.T) {
	s := turns().Keys
	assert.Equal(t, 50.0, s.OpeningPct(1, 2))
	assert.Equal(t, 50.0, s.OpeningPct(2, 2.25))
	assert.Equal(t, 0.0, s.OpeningPct(2, 0.125), "closed")
	rapid.Check(t, func(t *rapid.T) {
		zone, opening := rapid.IntRange(1, 5).Draw(t, "zone"), rapid.Float64Range(0, 100).Draw(t, "opening")
		require.InDelta(t, opening, s.OpeningPct(zone, s.Key(zone, opening)), 100*s.Step/s.Travel*(0.5+1e-8))
	})
}

// What is compared with itself does not differ; exchanged, differences in keys
// change their sign alone.
func TestCompareProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		on := zonestest.Press(4, 31.75)
		made := func(name string) *Preset {
			in := unitOf(t, "Black", rapid.SliceOfN(rapid.Float64Range(0, 100), 4, 4).Draw(t, name)...)
			in.Sweep = new(float64(rapid.IntRange(10, 90).Draw(t, "sweep")))
			return presetOf(t, on, in)
		}
		a, b := made("a"), made("b")
		same := compared(t, a, a, on).Units[0]
		require.Equal(t, []float64{0, 0, 100, 100}, []float64{valueOf(t, same.KeyLargest), valueOf(t, same.FeedLargestPoints), valueOf(t, same.WithinStepPct), valueOf(t, same.Within5PointsPct)})
		there, back := compared(t, a, b, on).Units[0], compared(t, b, a, on).Units[0]
		require.InDelta(t, math.Abs(valueOf(t, there.KeyLargest)), math.Abs(valueOf(t, back.KeyLargest)), 1e-9)
		require.Equal(t, valueOf(t, there.WithinStepPct), valueOf(t, back.WithinStepPct))
		for i, k := range there.Keys {
			require.Equal(t, valueOf(t, k.KeyDifference), -valueOf(t, back.Keys[i].KeyDifference)+0)
			require.InDelta(t, valueOf(t, k.FeedDifferencePoints)*a.Units[0].Sweep, -valueOf(t, back.Keys[i].FeedDifferencePoints)*b.Units[0].Sweep, 1e-6)
			require.LessOrEqual(t, math.Abs(valueOf(t, k.FeedDifferencePoints)), math.Abs(valueOf(t, there.FeedLargestPoints))+1e-12)
		}
		// What was run as it was preset differs by the rounding to steps alone.
		ok := *a
		ok.Units = []Unit{a.Units[0]}
		ok.Units[0].Keys = nil
		for _, k := range a.Units[0].Keys {
			k.OKKey = new(k.Key)
			ok.Units[0].Keys = append(ok.Units[0].Keys, k)
		}
		run := compared(t, a, &ok, on).Units[0]
		require.Equal(t, 0.0, valueOf(t, run.FeedLargestPoints))
	})
}

// Five points of feed are within five, and 5.5 are not; a difference of nothing
// has no sign.
func TestComparedAtTheBounds(t *testing.T) {
	for points, within := range map[float64]float64{4.5: 100, 5: 100, -5: 100, 5.5: 0} {
		in := unitOf(t, "Black", 50)
		in.Sweep = new(45.0)
		a, b := presetOf(t, zonestest.Press(1, 31.75), in), presetOf(t, zonestest.Press(1, 31.75), in)
		b.Units[0].Keys[0].OpeningPct += points
		u := compared(t, a, b, nil).Units[0]
		assert.Equal(t, new(within), u.Within5PointsPct, "%g points", points)
		assert.Equal(t, new(points), u.FeedLargestPoints)
	}
	in := unitOf(t, "Black", 50)
	in.Sweep = new(45.0)
	a, b := presetOf(t, zonestest.Press(1, 31.75), in), presetOf(t, zonestest.Press(1, 31.75), in)
	b.Units[0].Keys[0].Key -= 1e-11
	assert.Equal(t, "0", fmt.Sprint(valueOf(t, compared(t, a, b, nil).Units[0].Keys[0].KeyDifference)))
}
