package preset

import (
	"strings"
	"testing"

	"bladeline/coverage"
	"bladeline/curves"
	"bladeline/zones"
	"bladeline/zones/press"
	"bladeline/zones/zonestest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// unitOf is the input of an ink whose zones are covered as given, in %.
func unitOf(t require.TestingT, name string, coverages ...float64) laidUnit {
	in := laidUnit{Source: zones.Source{Ink: name, File: "gull_" + name + ".tif", Page: 1, Channel: 1}, Curve: zonestest.LineCurve(t), CoveragePct: 20}
	for i, c := range coverages {
		in.Zones = append(in.Zones, zones.Zone{Number: i + 1, LeftMM: new(float64(i) * 31.75), RightMM: new(float64(i+1) * 31.75), CoveragePct: c})
	}
	return in
}

func presetOf(t require.TestingT, on *press.Press, units ...laidUnit) *Preset {
	p, err := newPreset("Gull poster", on, units)
	require.NoError(t, err)
	return p
}

// Worked by hand: a curve of one to one at the press's reference of 45, run at
// 30, opens 1.5 times as wide.
func TestPresetWorkedExample(t *testing.T) {
	on := zonestest.Press(5, 31.75)
	in := unitOf(t, "Black", 0, 1, 25.5, 70, 0)
	in.Zones[4].OffSheet = true
	in.Sweep = new(30.0)
	p := presetOf(t, on, in)

	assert.Equal(t, StatedPress{Name: "Two-colour 26-inch", Zones: 5, ZoneWidthMM: new(31.75), FirstZone: new(press.Left), Blade: new(press.Segmented), KeyUnit: press.Percent, SweepUnit: "%"}, p.Press)
	u := p.Units[0]
	assert.Equal(t, "given", *u.SweepChosen)
	assert.Equal(t, "you set 30 %", *u.SweepReason)
	assert.Equal(t, "one to one", *u.Curve)
	want := []struct {
		opening, key float64
		text         string
		state        curves.State
	}{{2, 2, "2", curves.Floor}, {2, 2, "2", curves.Floor}, {38.25, 38, "38", curves.Set}, {100, 100, "100", curves.Ceiling}, {0, 0, "0", curves.OffSheet}}
	for i, k := range u.Keys {
		assert.Equal(t, i+1, k.Zone)
		assert.InDelta(t, want[i].opening, k.OpeningPct, 1e-12)
		assert.Equal(t, want[i].key, k.Key)
		assert.Equal(t, want[i].text, k.KeyText)
		assert.Equal(t, want[i].state, k.State)
	}
	assert.Empty(t, p.Warnings)
}

func TestCurvesOwnReferenceSweep(t *testing.T) {
	in := unitOf(t, "Black", 40)
	in.Curve.ReferenceSweep = 30
	in.Sweep = new(60.0)
	assert.Equal(t, 20.0, presetOf(t, zonestest.Press(1, 31.75), in).Units[0].Keys[0].OpeningPct)
}

func TestOnePieceBladeRaisesTheLowerKey(t *testing.T) {
	on := zonestest.Press(3, 31.75)
	on.Limits.NeighbourPct = 20
	in := unitOf(t, "Black", 5, 60, 50)
	in.Sweep = new(45.0)
	keys := presetOf(t, on, in).Units[0].Keys
	assert.Equal(t, 40.0, keys[0].OpeningPct)
	assert.Equal(t, curves.Neighbour, keys[0].State)
	assert.Equal(t, curves.Set, keys[1].State)
}

// Shut, the first key shows -1/4; the floor of 2 % is 0.06 turns more, and the
// least eighth that is no less -1/8. It stands at 0: there is the end of its scale.
func TestKeyOffItsScaleIsWarnedOf(t *testing.T) {
	on := zonestest.Press(2, 31.75)
	on.Keys = press.KeyScale{Unit: press.Turn, Travel: 3, Step: 0.125, Zero: []float64{-0.25, 0}}
	in := unitOf(t, "Black", 0, 50)
	in.Sweep = new(45.0)
	in.Warnings = []zones.Warning{{Ink: "Black", Code: "polarity", Text: "the mean is high"}}
	p := presetOf(t, on, in)
	require.Len(t, p.Warnings, 2)
	assert.Equal(t, "polarity", p.Warnings[0].Code)
	assert.Equal(t, zones.Warning{
		Ink: "Black", Zone: new(1), Code: CodeScale,
		Text: "the key of zone 1 stands at 0, where its scale of 0 to 3 ends: because of its own zero it would stand at -1/4; set that key's zero by hand",
	}, p.Warnings[1])
	assert.Equal(t, []string{"0", "1 1/2"}, []string{p.Units[0].Keys[0].KeyText, p.Units[0].Keys[1].KeyText})
}

// Worked by hand: 3 turns in quarters. A floor of 3 % is 0.09 turns, which the
// nearest quarter would take to 0, shut; a ceiling of 90 % is 2.7, which it
// would take to 2 3/4, beyond, so that 2 1/2 stands.
// // opening_pct stays what the limits say.
func TestFloorAndCeilingHoldOnTheKeysSteps(t *testing.T) {
	on := zonestest.Press(4, 31.75)
	on.Keys = press.KeyScale{Unit: press.Turn, Travel: 3, Step: 0.25}
	on.Limits.FloorPct, on.Limits.CeilingPct = 3, 90
	in := unitOf(t, "Black", 0, 4, 100, 0)
	in.Zones[3].OffSheet = true
	in.Sweep = new(45.0)
	p := presetOf(t, on, in)
	var openings []float64
	var keys []string
	for _, k := range p.Units[0].Keys {
		openings, keys = append(openings, k.OpeningPct), append(keys, k.KeyText)
	}
	assert.Equal(t, []float64{3, 4, 90, 0}, openings)
	assert.Equal(t, []string{"1/4", "1/4", "2 1/2", "0"}, keys)
	require.NoError(t, p.IsFor(on, "p.json"))
}

// The sentences of choices that package curves works by hand; a curve of one to
// one asks at 45, the reference, for as much as a zone is covered.
func TestSweepReasons(t *testing.T) {
	on := zonestest.Press(4, 31.75)
	on.Limits.FloorPct = 5
	curve := *zonestest.LineCurve(t)
	reason := func(coverages ...float64) (float64, string) {
		in := unitOf(t, "Black", coverages...)
		in.Curve = &curve
		u := presetOf(t, on, in).Units[0]
		require.Equal(t, "auto", *u.SweepChosen)
		return u.Sweep, *u.SweepReason
	}
	for _, c := range []struct {
		coverages []float64
		sweep     float64
		why       string
	}{
		{[]float64{6, 62, 0, 30}, 45, "45 %, the press's reference: every key follows the curve there; the widest, 2, stands 62 % open"},
		{[]float64{0, 0, 0.1, 0}, 45, "45 %, the press's reference: nothing prints in this ink"},
		// 2 % is fed 5, 3 of 152 too much, and no less at any sweep that feeds 100.
		{[]float64{2, 100, 50, 0}, 45, "45 %, the press's reference: the floor feeds 2 % more ink than the form takes, in zone 1, too little over the whole fountain to leave it for another sweep"},
	} {
		sweep, why := reason(c.coverages...)
		assert.Equal(t, c.sweep, sweep)
		assert.Equal(t, c.why, why)
	}
	// 100 and 95 % of 80: 20 and 16 % are missing. At 57 they are 78.9 and 75.
	on.Limits.CeilingPct = 80
	sweep, why := reason(10, 100, 95, 10)
	assert.Equal(t, 57.0, sweep)
	assert.Equal(t, "57 % instead of the press's reference of 45 %, where the ceiling would cut up to 20 % off zones 2 and 3", why)
	// The same with the curve's own sweep, at which it is to be read.
	curve.ReferenceSweep = 30
	sweep, why = reason(10, 100, 95, 10)
	assert.Equal(t, 45.0, sweep)
	assert.Equal(t, "45 %, the press's reference: every key follows the curve there; the widest, 2, stands 67 % open; the curve holds at a sweep of its own, 30 %", why)
	// One that the blade holds a little above its curve does not follow it.
	curve.ReferenceSweep, on.Limits.NeighbourPct = 45, 20
	_, why = reason(60, 39, 30, 30)
	assert.Equal(t, "45 %, the press's reference: the blade holds the key of zone 2, every other follows the curve there; the widest, 1, stands 60 % open", why)
	curve.ReferenceSweep, on.Limits.NeighbourPct = 30, 0
	on.Sweep.To, on.Sweep.WorkingTo, on.Sweep.Reference = 18, 18, 15
	sweep, why = reason(80, 60, 3, 3) // at 18 133 and 100 %
	assert.Equal(t, 18.0, sweep)
	assert.Equal(t, "18 % instead of the press's reference of 15 %, where the ceiling would cut up to 50 % off zones 1 and 2; at 18 % it is 40 %; the curve holds at a sweep of its own, 30 %", why)
}

// A page of text of 1.4 % on a press of 12 notches: the sweep stays beside the
// middle, whatever the press, and never goes where the scale begins.
func TestLightFormsStayNearTheMiddle(t *testing.T) {
	for _, c := range []struct {
		sweep  curves.SweepScale
		travel float64
		step   float64
	}{
		{curves.SweepScale{Unit: "notch", From: 1, To: 12, Step: 1, Reference: 6}, 3, 0.125},
		{curves.SweepScale{Unit: "%", From: 10, To: 90, Step: 1, Reference: 45}, 100, 1},
		{curves.SweepScale{Unit: "%", From: 5, To: 100, Step: 1, Reference: 40}, 100, 1},
	} {
		on := zonestest.Press(6, 31.75)
		on.Sweep, on.Keys = c.sweep, press.KeyScale{Unit: press.Notch, Travel: c.travel, Step: c.step}
		for _, form := range [][]float64{{1.4, 1.4, 1.4, 1.4, 1.4, 1.4}, {0, 0.8, 2.5, 3, 1, 0}, {0, 0, 0, 4, 5, 0}} {
			in := unitOf(t, "Black", form...)
			in.Curve = &curves.Curve{Name: "starting", Shape: curves.Straight, Points: []curves.Point{{CoveragePct: 0, OpeningPct: 4}, {CoveragePct: 2, OpeningPct: 10}, {CoveragePct: 100, OpeningPct: 91}}}
			require.NoError(t, in.Curve.Prepare())
			u := presetOf(t, on, in).Units[0]
			assert.InDelta(t, c.sweep.Reference, u.Sweep, 0.2*c.sweep.Reference, "%v: %s", form, *u.SweepReason)
		}
	}
}

func TestBlankPlateStaysAtTheFloor(t *testing.T) {
	p := presetOf(t, zonestest.Press(2, 31.75), unitOf(t, "Black", 0, 0))
	for _, k := range p.Units[0].Keys {
		assert.Equal(t, 2.0, k.OpeningPct)
		assert.Equal(t, curves.Floor, k.State)
	}
}

func TestNewRefuses(t *testing.T) {
	on := zonestest.Press(2, 31.75)
	in := unitOf(t, "Black", 10, 20)
	with := func(change func(*laidUnit)) laidUnit {
		in := in
		change(&in)
		return in
	}
	for want, units := range map[string][]laidUnit{
		`job "Gull poster" has no separations; name at least one`:                              nil,
		`job "Gull poster", ink "BLACK": ink: "BLACK" has a unit already; name every ink once`: {in, with(func(u *laidUnit) { u.Ink = "BLACK" })},
		"ink Black has no curve; give one":                                                     {with(func(u *laidUnit) { u.Curve = nil })},
		"ink Black: curve : shape: \"\" is not a shape; write \"smooth\" or \"straight\"":      {with(func(u *laidUnit) { u.Curve = &curves.Curve{} })},
		"ink Black: curve off: reference_sweep: 0.5 is outside the press's sweep, 10 to 90 %, by more than a factor of ten; write the sweep that the points were found at, on this press's scale": {with(func(u *laidUnit) {
			off := *u.Curve
			off.Name, off.ReferenceSweep = "off", 0.5
			u.Curve = &off
		})},
		"ink Black is measured in 1 zones, the press has 2; measure it for this press":                                         {with(func(u *laidUnit) { u.Zones = u.Zones[:1] })},
		"ink Black: a sweep of 95 cannot be set: the press sweeps from 10 to 90 % in steps of 1; give one of these, or auto":   {with(func(u *laidUnit) { u.Sweep = new(95.0) })},
		"ink Black: a sweep of 45.5 cannot be set: the press sweeps from 10 to 90 % in steps of 1; give one of these, or auto": {with(func(u *laidUnit) { u.Sweep = new(45.5) })},
		`job "Gull poster", ink "a\nb": ink: "a\nb" is not a single line of text; write one, in UTF-8`:                         {with(func(u *laidUnit) { u.Ink = "a\nb" })},
	} {
		p, err := newPreset("Gull poster", on, units)
		assert.Nil(t, p)
		assert.EqualError(t, err, want)
	}
}

// More coverage needs a wider opening: common practice, no source.
func TestMoreCoverageNeverClosesAKey(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cs := rapid.SliceOfN(rapid.Float64Range(0, 100), 8, 8).Draw(t, "coverages")
		in := unitOf(t, "Black", cs...)
		in.Sweep = new(float64(rapid.IntRange(10, 90).Draw(t, "sweep")))
		keys := presetOf(t, zonestest.Press(8, 31.75), in).Units[0].Keys
		for i := range keys {
			for j := range keys {
				if cs[i] <= cs[j] {
					require.LessOrEqual(t, keys[i].Key, keys[j].Key)
				}
			}
		}
	})
}

func TestDoublingTheSweepHalvesFreeKeys(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := unitOf(t, "Black", rapid.SliceOfN(rapid.Float64Range(0, 100), 4, 4).Draw(t, "coverages")...)
		sweep := float64(rapid.IntRange(10, 45).Draw(t, "sweep"))
		keys := func(s float64) []Key {
			in.Sweep = &s
			return presetOf(t, zonestest.Press(4, 31.75), in).Units[0].Keys
		}
		once, twice := keys(sweep), keys(2*sweep)
		for i := range once {
			if once[i].State == curves.Set && twice[i].State == curves.Set {
				require.InDelta(t, once[i].OpeningPct/2, twice[i].OpeningPct, 1e-9)
			}
		}
	})
}

func TestUnitCarriesTheMapsDoubts(t *testing.T) {
	m := zonestest.Drawn(50.8, "####..")
	m.Warnings = []coverage.Warning{{Code: "polarity", Text: "more than 85 % is inked"}}
	in, err := UnitInput{Form: lay(t, m, zonestest.Press(1, 2), zones.Placement{ShiftMM: 0.5})}.laid()
	require.NoError(t, err)
	require.Len(t, in.Warnings, 2)
	assert.Equal(t, []string{"polarity", zones.CodeBeyond}, []string{in.Warnings[0].Code, in.Warnings[1].Code})
	assert.Equal(t, "Black", in.Warnings[0].Ink)
	assert.InDelta(t, 100*4/6.0, in.CoveragePct, 1e-9)
}

func TestUnitIsFoundWhateverItsCapitals(t *testing.T) {
	p := presetOf(t, zonestest.Press(1, 31.75), unitOf(t, "Harbour Red", 10))
	assert.Same(t, &p.Units[0], p.Unit("harbour red"))
	assert.Nil(t, p.Unit("Black"))
	require.NotNil(t, p.Units[0].SweepReason)
	assert.True(t, strings.HasPrefix(*p.Units[0].SweepReason, "45 %, the press's reference: "))
}

func TestShiftByAZoneMovesThePresetByAZone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := zonestest.AnyMap(t)
		m.DPIX = rapid.Float64Range(1, 6).Draw(t, "dpi across") // zones are 1 mm wide at least
		on := zonestest.Press(10, m.WidthMM()/4)
		from := float64(rapid.IntRange(-3, 1).Draw(t, "zones shifted")) + rapid.Float64Range(0, 1).Draw(t, "part")
		made := func(shift float64) []Key {
			form := lay(t, m, on, zones.Placement{ShiftMM: shift * on.Fountain.ZoneWidthMM})
			p, err := New("gull", on, []UnitInput{{Form: form, Curve: zonestest.LineCurve(t), Sweep: new(45.0)}}, 10)
			require.NoError(t, err)
			return p.Units[0].Keys
		}
		here, there := made(from), made(from+1)
		for i := range len(here) - 1 {
			require.InDelta(t, here[i].OpeningPct, there[i+1].OpeningPct, 1e-3)
			require.InDelta(t, here[i].CoveragePct, there[i+1].CoveragePct, 1e-3)
		}
	})
}

// A form is preset as a whole, inspected, and refused where it cannot be laid or
// preset.
func TestNewOfAForm(t *testing.T) {
	on, m := fourZones(), formOf(40, 200, block{0, 40, 0, 10})
	made := func(shiftMM, sweep float64) (*Preset, error) {
		return New("job", on, []UnitInput{{Form: lay(t, m, on, zones.Placement{ShiftMM: shiftMM}), Curve: zonestest.LineCurve(t), Sweep: &sweep}}, 10)
	}
	p, err := made(0, 45)
	require.NoError(t, err)
	assert.Equal(t, 5.0, p.Units[0].Keys[0].OpeningPct)
	assert.NotNil(t, theWarning(t, p, CodeLow))
	p, err = made(10, 45)
	assert.Nil(t, p)
	assert.ErrorContains(t, err, "ink stands 10 mm beyond the fountain's right end")
	p, err = made(0, 9)
	assert.Nil(t, p)
	assert.ErrorContains(t, err, "a sweep of 9 cannot be set")
}

// A zero that was learned is finer than a key is read: shut at -0.46 % is shut at 0, and at
// 3.85 % at 4. Where all are so near to 0 nothing is said.
func TestShutAtIsOnAStep(t *testing.T) {
	keys := press.KeyScale{Unit: press.Percent, Travel: 100, Step: 1, Zero: []float64{-0.46, 3.85, 0}}
	assert.Equal(t, []*float64{new(0.0), new(4.0), new(0.0)}, []*float64{shutAt(keys, 1), shutAt(keys, 2), shutAt(keys, 3)})
	keys.Zero = []float64{-0.46, 0.3, 0}
	assert.Nil(t, shutAt(keys, 1))
	eighths := press.KeyScale{Unit: press.Turn, Travel: 3, Step: 0.125, Zero: []float64{0.29}}
	assert.Equal(t, new(0.25), shutAt(eighths, 1))
}
