package preset

import (
	"testing"

	"bladeline/curves"
	"bladeline/curves/ink"
	"bladeline/zones"
	"bladeline/zones/press"
	"bladeline/zones/zonestest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// quay is a press of four zones of 30 mm, 120 mm in all, that prints 480 mm.
func quay() *press.Press {
	on := zonestest.Press(4, 30)
	on.Name, on.PrintLengthMM, on.Limits = "Quay press", 480, curves.Limits{CeilingPct: 100}
	return on
}

// ran is a job of quay, preset by a curve of one to one to keys of 10, 20, 40 and 0 %
// at a sweep of 45, and run with the keys that are given.
func ran(t require.TestingT, sweep *float64, keys ...*float64) *Preset {
	in := laidUnit{Source: zones.Source{Ink: "Black"}, Curve: zonestest.LineCurve(t), CoveragePct: 17, LengthMM: 480, Sweep: new(45.0)}
	for i, c := range []float64{10, 20, 40, 0} {
		left, right := quay().Fountain.ZoneMM(i + 1)
		in.Zones = append(in.Zones, zones.Zone{Number: i + 1, LeftMM: &left, RightMM: &right, CoveragePct: c})
	}
	p := presetOf(t, quay(), in)
	p.Units[0].OKSweep = sweep
	for i, key := range keys {
		p.Units[0].Keys[i].OKKey = key
	}
	return p
}

// lower is a curve that opens 0.8 % for each % of coverage.
func lower(t require.TestingT) *curves.Curve {
	c := &curves.Curve{Name: "uncoated", Shape: curves.Straight, Points: []curves.Point{{CoveragePct: 0, OpeningPct: 0}, {CoveragePct: 100, OpeningPct: 80}}}
	require.NoError(t, c.Prepare())
	return c
}

func reprinted(t require.TestingT, r Reprint) *Preset {
	r.File = "ok.csv"
	p, err := r.Preset()
	require.NoError(t, err)
	require.NoError(t, p.Validate())
	return p
}

func openingsOf(p *Preset) (openings []float64) {
	for _, k := range p.Units[0].Keys {
		openings = append(openings, k.OpeningPct)
	}
	return openings
}

func TestReprintAsRun(t *testing.T) {
	run := ran(t, new(54.0), new(12.0), new(20.0), nil, new(0.0))
	run.Date = new("2026-11-26")
	p := reprinted(t, Reprint{Run: run, On: quay()})
	u := p.Units[0]
	assert.Equal(t, 54.0, u.Sweep)
	assert.Equal(t, "a reprint: the keys and the sweep as they were run on 2026-11-26", *u.SweepReason)
	assert.Equal(t, []float64{12, 20, 40, 0}, openingsOf(p))
	assert.Equal(t, []string{"12", "20", "40", "0"}, []string{u.Keys[0].KeyText, u.Keys[1].KeyText, u.Keys[2].KeyText, u.Keys[3].KeyText})
	assert.Equal(t, []zones.Warning{{Ink: "Black", Code: CodeCarried, Text: "zone 3 was not read when the job was run: taken as preset"}}, p.Warnings)
	assert.False(t, p.WasRun(), "it is to be run")
	require.NoError(t, p.IsFor(quay(), "ok.csv"))
	assert.True(t, run.WasRun(), "the run stays as it is")
}

// A press that was renamed prints under its name of today, and the run keeps its own.
func TestReprintOnARenamedPress(t *testing.T) {
	run := ran(t, nil, new(12.0), new(20.0), new(40.0), new(0.0))
	run.Press.ID = new("quay-1")
	on := quay()
	on.ID, on.Name = "quay-1", "Window press"
	p := reprinted(t, Reprint{Run: run, On: on})
	assert.Equal(t, []string{"Window press", "quay-1"}, []string{p.Press.Name, *p.Press.ID})
	assert.Equal(t, quay().Name, run.Press.Name)

	c, err := run.Correct("ok.csv", on, "d.csv", []SolidDensity{{Row: 2, Ink: "Black", Zone: 1, Density: 1}}, func(string) (ink.CorrectOptions, error) {
		return ink.CorrectOptions{Target: 1.5, Limit: 2}, nil
	})
	require.NoError(t, err)
	assert.Equal(t, "Window press", c.Preset.Press.Name)
}

// Zone 1 was preset to 10 % at 45 and ran 15 % at 54: 1.5 × 1.2 = 1.8 times as much.
// The other curve asks for 8 %, so 8 × 1.8 = 14.4 at 45, or 12 % at the sweep of 54
// that was run. Zones 2 and 3 ran as preset, but for the sweep: 16 and 32 % at any.
func TestReprintOnAnotherPaper(t *testing.T) {
	r := Reprint{Run: ran(t, new(54.0), new(15.0), new(20.0), new(40.0), new(0.0)), On: quay(), Curves: []*curves.Curve{lower(t)}, Sweeps: []*float64{nil}}
	p := reprinted(t, r)
	assert.Equal(t, 54.0, p.Units[0].Sweep)
	assert.InDeltaSlice(t, []float64{12, 16, 32, 0}, openingsOf(p), 1e-9)
	assert.Equal(t, "a reprint of what was run: of every zone what the curve uncoated asks for, times what was fed there over what was preset (1.20 to 1.80); the sweep is the one that was run", *p.Units[0].SweepReason)
	assert.Empty(t, p.Warnings)

	r.Sweeps[0] = new(45.0)
	p = reprinted(t, r)
	assert.InDeltaSlice(t, []float64{14.4, 19.2, 38.4, 0}, openingsOf(p), 1e-9)
}

// Three zones of 40 mm lie over four of 30 mm. Zone 1 has all 30 mm of 10 % and 10 mm
// of 20 %: 500/40 = 12.5 %; zone 2 20 mm of 20 % and 20 mm of 40 %: 30 %; zone 3 10 mm
// of 40 %: 10 %. Of a print of 480 mm that is 0.8 of as much of one of 600 mm: 10, 24
// and 8 %. Zone 1 ran 1.5 times as preset, the others as preset: (300 × 1.5 + 200)/500
// = 1.3 of the ink of the first, so 10 × 1.3 = 13 %.
func TestReprintOnAnotherPress(t *testing.T) {
	on := zonestest.Press(3, 40)
	on.Name, on.PrintLengthMM, on.Limits = "Hall press", 600, curves.Limits{CeilingPct: 100}
	run := ran(t, nil, new(15.0), new(20.0), new(40.0), new(0.0))
	r := Reprint{Run: run, From: quay(), On: on, Curves: []*curves.Curve{zonestest.LineCurve(t)}, Sweeps: []*float64{new(45.0)}}
	p := reprinted(t, r)
	var covered []float64
	for _, k := range p.Units[0].Keys {
		covered = append(covered, k.CoveragePct)
	}
	assert.InDeltaSlice(t, []float64{10, 24, 8}, covered, 1e-9)
	assert.InDeltaSlice(t, []float64{13, 24, 8}, openingsOf(p), 1e-9)
	assert.Equal(t, new(17.0), p.Units[0].CoveragePct)
	assert.Equal(t, new(600.0), p.Units[0].LengthMM)
	assert.Contains(t, *p.Units[0].SweepReason, "a reprint of what was run on Quay press: the coverages of its zones, laid on this press's centre on centre; ")
	assert.Contains(t, *p.Units[0].SweepReason, "(1.00 to 1.30); you set 45 %")
	require.Len(t, p.Warnings, 1)
	assert.Contains(t, p.Warnings[0].Text, "coverages were carried over from 4 zones to 3 and not measured")

	// From the right, zone 1 has what zone 3 had.
	on.Fountain.FirstZone = press.Right
	p = reprinted(t, r)
	assert.InDeltaSlice(t, []float64{8, 24, 13}, openingsOf(p), 1e-9)

	// A press twice as wide has the form in its middle, and no sheet beyond: zones of
	// 40 mm begin 60 mm left of the old ones, and the second reaches 20 mm over them.
	on.Fountain = press.Fountain{Zones: 6, ZoneWidthMM: 40, FirstZone: press.Left, Blade: press.Segmented}
	p = reprinted(t, r)
	assert.Equal(t, curves.OffSheet, p.Units[0].Keys[0].State)
	assert.InDelta(t, 0.8*10*20/40, p.Units[0].Keys[1].CoveragePct, 1e-9)

	// Without the old press its travel is taken from the keys: 10, 20, 40 and 0 % of 100.
	r.From = nil
	p = reprinted(t, r)
	assert.InDelta(t, 1.5*0.8*10*20/40, p.Units[0].Keys[1].OpeningPct, 1e-9)
}

func TestReprintWarns(t *testing.T) {
	run := ran(t, nil, new(25.0), new(20.0), nil, new(5.0))
	p := reprinted(t, Reprint{Run: run, On: quay(), Curves: []*curves.Curve{lower(t)}, Sweeps: []*float64{nil}})
	var texts []string
	for _, w := range p.Warnings {
		texts = append(texts, w.Text)
	}
	assert.Equal(t, []string{
		"zone 3 was not read when the job was run: taken as preset",
		"zone 1 was fed more than twice or less than half of what was preset, and that is carried over: look whether it was misread",
		"zone 4 was opened from shut, which is not carried over",
	}, texts)
}

func TestReprintRefuses(t *testing.T) {
	narrow := quay()
	narrow.Name, narrow.Fountain.Zones = "Hall press", 1
	short := quay()
	short.Name, short.PrintLengthMM = "Hall press", 100
	other := quay()
	other.Name = "Hall press"
	run := ran(t, nil, new(15.0))
	line := []*curves.Curve{zonestest.LineCurve(t)}
	for want, r := range map[string]Reprint{
		"ok.csv: column ok_key: nothing says what was run; fill it in, or write it with bladeline ok":                        {Run: run.AsPreset(), On: quay()},
		`ok.csv: press: it ran on "Quay press", not on "Hall press"; give a curve of this one`:                               {Run: run, On: other},
		`ok.csv: ink "Black", zone 1: it prints 45.0 mm beyond the fountain of press "Hall press"; take a wider press`:       {Run: run, On: narrow, Curves: line, Sweeps: []*float64{nil}},
		`ok.csv: ink "Black": zone 3 of press "Hall press" would be covered 192.0 %; correct print_length_mm of the presses`: {Run: run, On: short, Curves: line, Sweeps: []*float64{nil}},
		`ok.csv: ink "Black", zone 1, column ok_key: 101 is beyond the key's scale, 0 to 100; write the key as it stood`:     {Run: ran(t, nil, new(101.0)), On: quay()},
		`there is no press; give one`:  {Run: run},
		`there is no preset; give one`: {On: quay()},
	} {
		r.File = "ok.csv"
		p, err := r.Preset()
		assert.Nil(t, p, want)
		assert.EqualError(t, err, want)
	}
}

// TestFedTimes: the share is said once where it is the same in every zone.
func TestFedTimes(t *testing.T) {
	assert.Equal(t, ", as the ink was run just as preset", fedTimes(0.998, 1.002))
	assert.Equal(t, ", times what was fed there over what was preset (1.11)", fedTimes(10/9.0, 1.112))
	assert.Equal(t, ", times what was fed there over what was preset (1.00 to 1.10)", fedTimes(1, 1.1))
}
