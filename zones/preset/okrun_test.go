package preset

import (
	"strings"
	"testing"

	"bladeline/curves"
	"bladeline/curves/learn"
	"bladeline/zones/press"
	"bladeline/zones/zonestest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// okFile is a preset's CSV as an operator gives it back.
const okFile = `job,press,ink,zone,left_mm,right_mm,coverage_pct,opening_pct,key,key_text,key_unit,state,sweep,sweep_unit,ok_key,ok_sweep
Gull,Duplicator,Black,1,,,0,0,0,0,turn,off-sheet,45,%,1/8,50
Gull,Duplicator,Black,2,,,10,10,0.375,3/8,turn,set,45,%,1 1/8,
Gull,Duplicator,Black,3,,,20,20,0.625,5/8,turn,set,45,%,,
Gull,Duplicator,Black,4,,,5,40,1.25,1 1/4,turn,neighbour,45,%,1 1/4,
Gull,Duplicator,Black,5,,,6,40,1.25,1 1/4,turn,neighbour,45,%,1.5,
Gull,Duplicator,Black,6,,,1,4,0.125,1/8,turn,floor,45,%,1/8,
Gull,Duplicator,Black,7,,,90,100,3,3,turn,ceiling,45,%,3,
Gull,Duplicator,Black,8,,,2,4,0.125,1/8,turn,floor,45,%,0,
`

func okPress() *press.Press {
	p := zonestest.Press(8, 19.05)
	p.Name = "Duplicator"
	p.Keys = press.KeyScale{Unit: press.Turn, Travel: 3, Step: 0.125, Zero: []float64{0, 0.375, 0, 0, 0, 0, 0, 0}}
	p.Limits = curves.Limits{FloorPct: 4, CeilingPct: 100}
	return p
}

func okRun(t require.TestingT, text string, name string) (*learn.Run, error) {
	p, err := ReadCSV("gull.csv", strings.NewReader(text))
	require.NoError(t, err)
	return p.OKRun("gull.csv", okPress(), name)
}

// Worked by hand: 1 1/8 less a zero of 3/8 is 3/4 of 3 turns, 25 %; 1.5 of 3 is
// 50 %; 1/8 of 3, 4.17 %, is the floor of 4 % on the scale; 0 and 3 are its ends.
func TestOKRun(t *testing.T) {
	run, err := okRun(t, okFile, "BLACK")
	require.NoError(t, err)
	assert.Equal(t, "gull.csv", run.Name)
	assert.Equal(t, 50.0, run.Sweep)
	want := []learn.Reading{
		{Zone: 2, CoveragePct: 10, OpeningPct: 25},
		{Zone: 5, CoveragePct: 6, OpeningPct: 50},
		{Zone: 6, CoveragePct: 1, OpeningPct: 100.0 / 24, Censoring: learn.LeftCensored},
		{Zone: 7, CoveragePct: 90, OpeningPct: 100, Censoring: learn.RightCensored},
		{Zone: 8, CoveragePct: 2, OpeningPct: 0, Censoring: learn.LeftCensored},
	}
	require.Len(t, run.Readings, len(want))
	for i, p := range run.Readings {
		assert.InDelta(t, want[i].OpeningPct, p.OpeningPct, 1e-12)
		want[i].OpeningPct = p.OpeningPct
	}
	assert.Equal(t, want, run.Readings)
	assert.Equal(t, []learn.LeftOut{
		{Run: "gull.csv", Zone: 1, Reason: "lies off the sheet"},
		{Run: "gull.csv", Zone: 3, Reason: "was not read"},
		{Run: "gull.csv", Zone: 4, Reason: "was held by its neighbour on the blade"},
	}, run.LeftOut)
}

// A key left at the floor or the ceiling is a bound, whatever the zero is now:
// 1/8 less a new zero of 3/8 would be an opening of -8.3 %.
func TestOKRunBoundsOutliveAZero(t *testing.T) {
	p, err := ReadCSV("gull.csv", strings.NewReader(strings.Replace(okFile, "3,3,turn,ceiling,45,%,3,", "2.5,2 1/2,turn,ceiling,45,%,2.5,", 1)))
	require.NoError(t, err)
	on := okPress()
	on.Keys.Zero = []float64{0, 0, 0, 0, 0, 0.375, 0.25, 0}
	run, err := p.OKRun("gull.csv", on, "Black")
	require.NoError(t, err)
	assert.Equal(t, learn.LeftCensored, run.Readings[2].Censoring)
	assert.Equal(t, learn.RightCensored, run.Readings[3].Censoring)
}

func TestOKRunKeepsThePresetsSweep(t *testing.T) {
	run, err := okRun(t, strings.Replace(okFile, "1/8,50", "1/8,", 1), "Black")
	require.NoError(t, err)
	assert.Equal(t, 45.0, run.Sweep)
}

func TestOKRunRefuses(t *testing.T) {
	everywhere := func(old, new string) string { return strings.ReplaceAll(okFile, old, new) }
	rows := strings.Split(okFile, "\n")
	none := rows[0] + "\n"
	for _, row := range rows[1 : len(rows)-1] {
		cells := strings.Split(row, ",")
		none += strings.Join(append(cells[:14], "", ""), ",") + "\n"
	}
	for want, text := range map[string]string{
		`gull.csv: press: it is for "Quay press", not for "Duplicator"; learn from jobs of this press alone`:                    everywhere("Duplicator", "Quay press"),
		`gull.csv: key_unit: "notch" is not "turn" of press "Duplicator"; learn from jobs of this press alone`:                  everywhere("turn", "notch"),
		`gull.csv: sweep_unit: "mm" is not "%" of press "Duplicator"; learn from jobs of this press alone`:                      everywhere("%", "mm"),
		`gull.csv: zone: the last, 7, is not the last, 8, of press "Duplicator"; learn from jobs of this press alone`:           strings.Join(rows[:8], "\n"),
		`gull.csv: column ink: there is no "Black", only "Harbour Red"; name one of these, or leave the file out`:               everywhere("Black", "Harbour Red"),
		`gull.csv: ink "Black", zone 2, column ok_key: 4 is beyond the key's scale, 0 to 3; write the key as it stood`:          everywhere("1 1/8", "4"),
		`gull.csv: ink "Black", zone 2, column ok_key: -1/8 is beyond the key's scale, 0 to 3; write the key as it stood`:       everywhere("1 1/8", "-1/8"),
		`gull.csv: ink "Black", column ok_sweep: a sweep of 95 is beyond the press's, 10 to 90 %; write the sweep that was run`: everywhere("1/8,50", "1/8,95"),
		`gull.csv: ink "Black", column ok_key: no key is filled in; write what was finally run, or leave the file out`:          none,
	} {
		run, err := okRun(t, text, "Black")
		assert.Nil(t, run)
		assert.EqualError(t, err, want)
	}
}

// A key within half a step of floor or ceiling stood there, and says no more
// than that so much or less, or more, was wanted; so does one at an end of its
// travel, and one left where the preset had put it for a limit. In steps of 5
// half a step is 2.5.
func TestWhatAKeySays(t *testing.T) {
	on := zonestest.Press(1, 31.75)
	on.Keys.Step = 5
	on.Limits = curves.Limits{FloorPct: 20, CeilingPct: 70}
	for _, c := range []struct {
		key, ok   float64
		state     curves.State
		censoring learn.Censoring
	}{
		{50, 22.5, curves.Set, learn.LeftCensored},
		{50, 22.48, curves.Set, learn.LeftCensored},
		{50, 22.52, curves.Set, learn.Uncensored},
		{50, 17.5, curves.Set, learn.LeftCensored},
		{50, 17.48, curves.Set, learn.Uncensored},
		{50, 0, curves.Set, learn.LeftCensored},
		{50, 0.5, curves.Set, learn.Uncensored},
		{50, 67.5, curves.Set, learn.RightCensored},
		{50, 67.48, curves.Set, learn.Uncensored},
		{50, 72.5, curves.Set, learn.RightCensored},
		{50, 72.52, curves.Set, learn.Uncensored},
		{50, 99.5, curves.Set, learn.Uncensored},
		{50, 100, curves.Set, learn.RightCensored},
		{50, 50, curves.Floor, learn.LeftCensored},
		{50, 51, curves.Floor, learn.Uncensored},
		{50, 50, curves.Ceiling, learn.RightCensored},
		{50, 51, curves.Ceiling, learn.Uncensored},
		{50, 50, curves.Set, learn.Uncensored},
	} {
		got := Key{Zone: 1, Key: c.key, OKKey: &c.ok, State: c.state}.reading(on)
		assert.Equal(t, c.censoring, got.Censoring, "%+v", c)
	}
}

// Where the floor of 3 % and the ceiling of 90 % are no steps of the key, which
// are 25 % apart, it stood at them at 25 and at 75.
func TestAKeyAtTheStepOfItsLimit(t *testing.T) {
	on := zonestest.Press(1, 31.75)
	on.Keys.Step = 25
	on.Limits = curves.Limits{FloorPct: 3, CeilingPct: 90}
	for ok, want := range map[float64]learn.Censoring{25: learn.LeftCensored, 50: learn.Uncensored, 75: learn.RightCensored} {
		got := Key{Zone: 1, Key: 50, OKKey: &ok, State: curves.Set}.reading(on)
		assert.Equal(t, want, got.Censoring, "%g", ok)
	}
}

// What was run may be an end of the press's sweep, and not beyond.
func TestRunAtTheEndsOfTheSweep(t *testing.T) {
	on := zonestest.Press(1, 31.75)
	for sweep, ok := range map[float64]bool{10: true, 90: true, 9.999: false, 90.001: false} {
		u := Unit{Ink: "Black", OKSweep: &sweep}
		assert.Equal(t, ok, u.OnScales(on) == nil, "%g", sweep)
	}
}
