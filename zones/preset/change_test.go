package preset

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"math"
	"strings"
	"testing"

	"bladeline/curves"
	"bladeline/zones"
	"bladeline/zones/press"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// standsAt is a unit whose keys are set to settings in turns.
func standsAt(ink string, sweep float64, settings ...float64) Unit {
	u := Unit{Ink: ink, Sweep: sweep}
	for i, v := range settings {
		u.Keys = append(u.Keys, Key{Zone: i + 1, Key: v, KeyText: press.KeyText(press.Turn, v), OpeningPct: 100 * v / 4, State: curves.Set})
	}
	return u
}

// in puts a unit where it runs.
func (u Unit) in(name string, pass int) Unit {
	u.Unit, u.Pass = &name, &pass
	return u
}

// jobOf is a job on a press with screws, as a CSV states it.
func jobOf(name string, units ...Unit) *Preset {
	on := StatedPress{Name: "Two-colour 26-inch", Zones: len(units[0].Keys), KeyUnit: press.Turn, SweepUnit: "notch"}
	return &Preset{Format: Format, Job: name, Press: on, Units: units, Warnings: []zones.Warning{}}
}

func changed(t require.TestingT, last, this *Preset, follows map[string]string, on *press.Press) *ChangeOver {
	c, err := Change(Compared{"last.csv", last}, Compared{"this.csv", this}, follows, on)
	require.NoError(t, err)
	return c
}

// Worked by hand. The last job was preset to 1/2, 3/4, 1, 3 and 0 and finally run
// at 5/8, 3/4, 1 1/2, 3 and 1/8 with a sweep of 7: zone 4, whose key nobody read,
// stands as preset. This one wants 1/2, 3/4, 2, 2 1/4 and 0 at 5. So
//
//	zone 1: 1/2 − 5/8 = −1/8   close 1/8, clockwise
//	zone 2: 3/4 − 3/4 = 0      stays
//	zone 3: 2 − 1 1/2 = 1/2    open 1/2, counter-clockwise
//	zone 4: 2 1/4 − 3 = −3/4   close 3/4, clockwise
//	zone 5: 0 − 1/8 = −1/8     close 1/8, clockwise
//
// in the order 3, 1 and then 4, 5: from the centre, (5+1)/2, to either end.
func TestChangeByHand(t *testing.T) {
	last := jobOf("Regatta", standsAt("Black", 6, 0.5, 0.75, 1, 3, 0))
	u := &last.Units[0]
	u.OKSweep = new(7.0)
	u.Keys[0].OKKey, u.Keys[1].OKKey, u.Keys[2].OKKey, u.Keys[4].OKKey = new(0.625), new(0.75), new(1.5), new(0.125)
	c := changed(t, last, jobOf("Fair", standsAt("Black", 5, 0.5, 0.75, 2, 2.25, 0)), nil, nil)
	assert.Equal(t, []any{new("last.csv"), new("Regatta"), true, "this.csv", "Fair", false}, []any{c.Last, c.LastJob, c.LastWasRun, c.This, c.ThisJob, c.ThisWasRun})
	require.Len(t, c.Steps, 1)
	got := c.Steps[0].Units[0]
	assert.Equal(t, []any{7.0, 5.0, -2.0, "sweep down by 2, to 5 notches"}, []any{*got.SweepWas, got.Sweep, *got.SweepDifference, got.SweepWords(c.Press.SweepUnit)})
	assert.Equal(t, []any{4, 1, []int{4}, false}, []any{got.Moved, got.Stay, got.NotRead, got.WashUp})
	var words []string
	var zones []int
	for _, k := range got.InOrder() {
		zones, words = append(zones, k.Zone), append(words, k.Words())
	}
	assert.Equal(t, []int{3, 1, 4, 5}, zones)
	assert.Equal(t, []string{"open 1/2, counter-clockwise", "close 1/8, clockwise", "close 3/4, clockwise", "close 1/8, clockwise"}, words)
	assert.Equal(t, KeyChange{
		Zone: 1, Order: new(2), KeyWas: new(0.625), KeyWasText: new("5/8"), Key: 0.5, KeyText: "1/2",
		Difference: new(-0.125), DifferenceText: new("1/8"), Move: Close, Turn: new(press.Clockwise),
	}, got.Keys[0])
	assert.Equal(t, KeyChange{
		Zone: 2, KeyWas: new(0.75), KeyWasText: new("3/4"), Key: 0.75, KeyText: "3/4", Difference: new(0.0), DifferenceText: new("0"), Move: Stay,
	}, got.Keys[1])
	assert.Equal(t, "zone 4: not read after the last run, and taken to stand as preset; look at the key before you turn it", got.NotReadWords())
}

// An OK file as this job is a reprint: its keys go to where they were run.
func TestChangeToAReprint(t *testing.T) {
	this := jobOf("Fair", standsAt("Black", 5, 1, 1))
	this.Units[0].OKSweep, this.Units[0].Keys[1].OKKey = new(6.0), new(1.25)
	c := changed(t, jobOf("Regatta", standsAt("Black", 5, 1, 1)), this, nil, nil)
	assert.True(t, c.ThisWasRun)
	u := c.Steps[0].Units[0]
	assert.Equal(t, "sweep up by 1, to 6 notches", u.SweepWords("notch"))
	assert.Equal(t, []any{Stay, Open, "1 1/4"}, []any{u.Keys[0].Move, u.Keys[1].Move, u.Keys[1].KeyText})
	assert.Empty(t, u.NotRead, "of the last job nothing was read at all")
}

// What stands in a fountain is a matter of the unit, whatever the ink is called.
func TestWhereAnInkStands(t *testing.T) {
	type pair struct{ ink, was, by string }
	one := func(ink string) Unit { return standsAt(ink, 5, 1, 1) }
	for name, test := range map[string]struct {
		last, this []Unit
		follows    map[string]string
		want       []pair
		idle       []string
	}{
		"the unit rules, not the ink": {
			last: []Unit{one("Black").in("1", 1), one("Cyan").in("2", 1)}, this: []Unit{one("Cyan").in("1", 1), one("Black").in("2", 1)},
			want: []pair{{"Cyan", "Black", "unit"}, {"Black", "Cyan", "unit"}},
		},
		"the last pass is what stands": {
			last: []Unit{one("Yellow").in("1", 3), one("Black").in("1", 1), one("Red").in("2", 1), one("Cyan").in("1", 2), one("Magenta").in("2", 2)},
			this: []Unit{one("Black").in("1", 1), one("Red").in("2", 1)},
			want: []pair{{"Black", "Yellow", "unit"}, {"Red", "Magenta", "unit"}},
		},
		"no unit is named: the same ink, be it written as it is, then by order": {
			last: []Unit{one("Black"), one("Magenta"), one("Yellow")}, this: []Unit{one("Cyan"), one("BLACK")},
			want: []pair{{"Cyan", "Magenta", "order"}, {"BLACK", "Black", "ink"}}, idle: []string{"Yellow"},
		},
		"one job names none": {
			last: []Unit{one("Black"), one("Cyan")}, this: []Unit{one("Cyan").in("1", 1), one("Red").in("2", 1)},
			want: []pair{{"Cyan", "Cyan", "ink"}, {"Red", "Black", "order"}},
		},
		"another unit": {
			last: []Unit{one("Black").in("1", 1)}, this: []Unit{one("Black").in("2", 1)},
			want: []pair{{"Black", "", ""}}, idle: []string{"Black"},
		},
		"more inks than before": {
			last: []Unit{one("Black")}, this: []Unit{one("Black"), one("Cyan")},
			want: []pair{{"Black", "Black", "ink"}, {"Cyan", "", ""}},
		},
		"as it is said": {
			last: []Unit{one("Black").in("1", 1), one("Cyan").in("2", 1)}, this: []Unit{one("Red").in("1", 1), one("Black").in("2", 1)},
			follows: map[string]string{"Red": "cyan"},
			want:    []pair{{"Red", "Cyan", "asked"}, {"Black", "", ""}}, idle: []string{"Black"},
		},
	} {
		c := changed(t, jobOf("Regatta", test.last...), jobOf("Fair", test.this...), test.follows, nil)
		var got []pair
		var idle []string
		for _, u := range c.Steps[0].Units {
			got = append(got, pair{u.Ink, orEmpty(u.InkWas), orEmpty(u.MatchedBy)})
			assert.Equal(t, u.InkWas != nil && !strings.EqualFold(*u.InkWas, u.Ink), u.WashUp, name)
		}
		for _, u := range c.Steps[0].Idle {
			idle = append(idle, u.Ink)
		}
		assert.Equal(t, test.want, got, name)
		assert.Equal(t, test.idle, idle, name)
	}
}

// Black and red run first, then cyan in the first unit, where black stood, and
// yellow in the second, which by then nobody knows but as red's.
func TestPassByPass(t *testing.T) {
	this := jobOf("Fair", standsAt("Black", 5, 1, 1).in("1", 1), standsAt("Red", 5, 2, 2).in("2", 1),
		standsAt("Cyan", 5, 1.5, 1).in("1", 2), standsAt("Yellow", 6, 0, 2).in("2", 4))
	c := changed(t, jobOf("Regatta", standsAt("Red", 5, 0, 0).in("1", 1)), this, nil, nil)
	require.Len(t, c.Steps, 3)
	assert.Equal(t, []*int{new(1), new(2), new(4)}, []*int{c.Steps[0].Pass, c.Steps[1].Pass, c.Steps[2].Pass})
	first := c.Steps[0].Units
	assert.Equal(t, []any{"Red", SetTo}, []any{*first[0].InkWas, first[1].Keys[0].Move})
	assert.Equal(t, "set to 2", first[1].Keys[0].Words())
	assert.Equal(t, "2 keys to set", first[1].CountWords())
	second := c.Steps[1]
	assert.Equal(t, []any{"Black", "open 1/2, counter-clockwise", "stays at 1"}, []any{*second.Units[0].InkWas, second.Units[0].Keys[0].Words(), second.Units[0].Keys[1].Words()})
	assert.Equal(t, []IdleUnit{{new("2"), "Red"}}, second.Idle)
	assert.Equal(t, []IdleUnit{{new("1"), "Cyan"}}, c.Steps[2].Idle)
	assert.Equal(t, []any{"Red", "close 2, clockwise"}, []any{*c.Steps[2].Units[0].InkWas, c.Steps[2].Units[0].Keys[0].Words()})

	// What stands is the last job's in the first pass, then what this one left.
	assert.Equal(t, []*int{nil, new(1), new(1)}, []*int{first[0].PassWas, second.Units[0].PassWas, c.Steps[2].Units[0].PassWas})

	// In the first pass red stands in unit 1, and is to run in unit 2.
	assert.Equal(t, []*string{nil, new("1")}, []*string{first[0].InkStandsIn, first[1].InkStandsIn})
	swapped := changed(t, jobOf("Regatta", standsAt("Black", 5, 0).in("1", 1), standsAt("Red", 5, 0).in("2", 1)), jobOf("Fair", standsAt("Red", 5, 0).in("1", 1)), nil, nil)
	assert.Equal(t, "wash up: Black out, Red in; Red stands in unit 2", swapped.Steps[0].Units[0].WashUpWords())

	alone := changed(t, nil, this, nil, nil)
	assert.Nil(t, alone.Last)
	assert.Equal(t, c.Steps[1:], alone.Steps)
}

// A unit that states no name stands where it was matched, so that the next pass
// finds it there.
func TestUnnamedInAUnit(t *testing.T) {
	this := jobOf("Fair", standsAt("Black", 5, 1, 1), standsAt("Cyan", 5, 2, 2).in("1", 2))
	c := changed(t, jobOf("Regatta", standsAt("Black", 5, 0, 0).in("1", 1)), this, nil, nil)
	assert.Equal(t, []any{new("1"), new("ink")}, []any{c.Steps[0].Units[0].Unit, c.Steps[0].Units[0].MatchedBy})
	assert.Equal(t, []any{new("1"), new("unit"), new("Black")}, []any{c.Steps[1].Units[0].Unit, c.Steps[1].Units[0].MatchedBy, c.Steps[1].Units[0].InkWas})
}

func TestChangeRefuses(t *testing.T) {
	for want, change := range map[string]func(last, this *Preset){
		`this.csv: press: "Hall press" here, and "Two-colour 26-inch" in last.csv; name two jobs of one press`: func(_, this *Preset) { this.Press.Name = "Hall press" },
		`this.csv: press_id: "hall" here, and "26" in last.csv; name two jobs of one press`: func(last, this *Preset) {
			last.Press.ID, this.Press.ID = new("26"), new("hall")
		},
		"this.csv: key_unit: % here, and turn in last.csv; name two jobs of one press": func(_, this *Preset) {
			this.Press.KeyUnit = press.Percent
		},
		`this.csv: sweep_unit: "%" here, and "notch" in last.csv; name two jobs of one press`: func(_, this *Preset) { this.Press.SweepUnit = "%" },
		"this.csv: zone_width_mm: 32 here, and 36 in last.csv; name two jobs of one press": func(last, this *Preset) {
			last.Press.ZoneWidthMM, this.Press.ZoneWidthMM = new(36.0), new(32.0)
		},
		`this.csv: first_zone: "right" here, and "left" in last.csv; name two jobs of one press`: func(last, this *Preset) {
			last.Press.FirstZone, this.Press.FirstZone = new(press.Left), new(press.Right)
		},
		"this.csv: zones: 2 here, and 3 in last.csv; name two jobs of one press": func(last, _ *Preset) {
			last.Units[0], last.Press.Zones = standsAt("Black", 5, 1, 1, 1), 3
		},
		`last.csv: ink "Black", zone 2, column ok_key: -1/8 is below the scale, which begins at 0; write what was read off the press`: func(last, _ *Preset) { last.Units[0].Keys[1].OKKey = new(-0.125) },
		`last.csv: units[0].sweep: 0 feeds no ink; a sweep is above 0`:                                                                func(last, _ *Preset) { last.Units[0].Sweep = 0 },
	} {
		last, this := jobOf("Regatta", standsAt("Black", 5, 1, 1)), jobOf("Fair", standsAt("Black", 5, 1, 1))
		change(last, this)
		c, err := Change(Compared{"last.csv", last}, Compared{"this.csv", this}, nil, nil)
		assert.Nil(t, c)
		assert.EqualError(t, err, want)
	}
	last, this := jobOf("Regatta", standsAt("Black", 5, 1, 1)), jobOf("Fair", standsAt("Cyan", 5, 1, 1), standsAt("Red", 5, 1, 1), standsAt("Yellow", 5, 1, 1).in("1", 2))
	for want, follows := range map[string]map[string]string{
		`last.csv: "Green" does not stand in the press after this job, only "Black"; name one of these`:                              {"Cyan": "Green"},
		`last.csv: two inks cannot follow "Black" in one unit; let each follow another`:                                              {"Cyan": "Black", "Red": "Black"},
		`this.csv: ink "Yellow": does not run in the first pass, which alone follows another job; leave it out, or correct its pass`: {"Yellow": "Black"},
	} {
		_, err := Change(Compared{"last.csv", last}, Compared{"this.csv", this}, follows, nil)
		assert.EqualError(t, err, want)
	}
	_, err := Change(Compared{}, Compared{"this.csv", last}, nil, nil)
	assert.EqualError(t, err, "this.csv: runs in a single pass, so nothing changes from pass to pass; name two jobs, the one that ran before and then this one")
	_, err = Change(Compared{}, Compared{}, nil, nil)
	assert.Error(t, err)
}

// What this job's CSV does not state of the press the last job's preset does, else
// the press.
func TestChangeKnowsThePress(t *testing.T) {
	on := turns()
	on.Keys.Zero, on.Fountain.Zones, on.Sweep.Unit, on.Fountain.FirstZone = nil, 2, "notch", press.Right
	last, this := jobOf("Regatta", standsAt("Black", 45, 1, 1)), jobOf("Fair", standsAt("Black", 45, 1, 1))
	c := changed(t, last, this, nil, nil)
	assert.Equal(t, []any{(*press.End)(nil), (*press.Blade)(nil)}, []any{c.Press.FirstZone, c.Press.Blade})
	c = changed(t, last, this, nil, on)
	assert.Equal(t, []any{new(press.Right), new(press.Segmented)}, []any{c.Press.FirstZone, c.Press.Blade})
	assert.False(t, c.StatesShut)
	on.Keys.Zero = []float64{0, 0.125}
	assert.True(t, changed(t, last, this, nil, on).StatesShut, "jobs from before do not say it, and the press does")
	on.Keys.Zero = nil
	last.Press.FirstZone, last.Press.Blade = new(press.Left), new(press.OnePiece)
	c = changed(t, last, this, nil, nil)
	assert.Equal(t, []any{new(press.Left), new(press.OnePiece)}, []any{c.Press.FirstZone, c.Press.Blade})
	this.Units[0].Keys[0].LeftMM, this.Units[0].Keys[0].RightMM = new(31.75), new(63.5)
	this.Units[0].Keys[1].LeftMM, this.Units[0].Keys[1].RightMM = new(0.0), new(31.75)
	last.Press.FirstZone = nil
	assert.Equal(t, new(press.Right), changed(t, last, this, nil, nil).Press.FirstZone, "its zones lie so")
}

// A press that was renamed is the same one, by its identifier.
func TestChangeOnARenamedPress(t *testing.T) {
	last, this := jobOf("Regatta", standsAt("Black", 5, 1, 1)), jobOf("Fair", standsAt("Black", 5, 1, 1))
	last.Press.ID, this.Press.ID, this.Press.Name = new("26"), new("26"), "The old lady"
	assert.Equal(t, "all 2 keys stay", changed(t, last, this, nil, nil).Steps[0].Units[0].CountWords())
}

// A blade that bends 20 % of 4 turns from key to key, 0.8, takes a move of 1 1/2
// in two rounds, one of 0.8 in one and of 2 1/2 in four: 2.5/0.8 = 3.125.
func TestRounds(t *testing.T) {
	for move, want := range map[float64]int{0: 1, 0.8: 1, 1.5: 2, 2.5: 4} {
		on := turns()
		on.Keys.Step, on.Keys.Zero = 0.05, nil
		on.Fountain.Zones, on.Fountain.Blade, on.Limits.NeighbourPct = 2, press.OnePiece, 20
		on.Sweep.Unit = "notch"
		last, this := jobOf("Regatta", standsAt("Black", 45, 1, 1)), jobOf("Fair", standsAt("Black", 45, 1, 1+move))
		u := changed(t, last, this, nil, on).Steps[0].Units[0]
		assert.Equal(t, new(want), u.Rounds, "%g", move)
		assert.Equal(t, want > 1, strings.HasSuffix(u.RoundsWords(), ", and bends by at most 20 % of travel from key to key"), "%g", move)
		assert.Nil(t, changed(t, last, this, nil, nil).Steps[0].Units[0].Rounds)
		on.Fountain.Blade, on.Limits.NeighbourPct = press.Segmented, 100
		assert.Equal(t, new(1), changed(t, last, this, nil, on).Steps[0].Units[0].Rounds)
	}
	u := UnitChange{Rounds: new(2), MostText: "7/8"}
	assert.Contains(t, u.RoundsWords(), "go over the keys in 2 rounds, and move none further than 7/8 in one: ")
}

// A round is so many whole steps that can be set. Worked by hand: 0.8 of a turn are 6
// eighths and a bit, so 1 1/2, 12 eighths, take two rounds of 6; 2 1/2, 20 eighths, four of
// 5, where thirds of 0.8 could not be set; 1 5/8, 13 of them, three of 5. A step that
// is more than the blade bends is gone one by one.
func TestRoundsAreWholeSteps(t *testing.T) {
	for _, c := range []struct {
		step, move float64
		rounds     int
		most       string
	}{{0.125, 1.5, 2, "3/4"}, {0.125, 2.5, 4, "5/8"}, {0.125, 1.625, 3, "5/8"}, {1, 3, 3, "1"}, {0.125, 0.75, 1, ""}} {
		on := turns()
		on.Keys.Step, on.Keys.Zero = c.step, nil
		on.Fountain.Zones, on.Fountain.Blade, on.Limits.NeighbourPct = 2, press.OnePiece, 20
		on.Sweep.Unit = "notch"
		last, this := jobOf("Regatta", standsAt("Black", 45, 1, 1)), jobOf("Fair", standsAt("Black", 45, 1, 1+c.move))
		u := changed(t, last, this, nil, on).Steps[0].Units[0]
		assert.Equal(t, c.rounds, *u.Rounds, "%g", c.move)
		assert.Equal(t, c.most, u.MostText, "%g", c.move)
	}
}

// However two neighbours move, round by round, the blade between them bends no more than
// before or after the change.
func TestRoundsBendNoMore(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		far := rapid.IntRange(-40, 40)
		a, b, from, most := far.Draw(t, "move"), far.Draw(t, "neighbour's"), far.Draw(t, "apart"), rapid.IntRange(1, 9).Draw(t, "most")
		gone := func(move, round int) int { return max(-most*round, min(move, most*round)) }
		for round := range 41 {
			apart := from + gone(a, round) - gone(b, round)
			require.GreaterOrEqual(t, apart, min(from, from+a-b))
			require.LessOrEqual(t, apart, max(from, from+a-b))
		}
	})
}

func TestWordsOfMoves(t *testing.T) {
	for want, k := range map[string]KeyChange{
		"up by 5, to 42":   {Move: Open, DifferenceText: new("5"), KeyText: "42"},
		"down by 5, to 42": {Move: Close, DifferenceText: new("5"), KeyText: "42"},
		"stays at 42":      {Move: Stay, KeyText: "42"},
	} {
		assert.Equal(t, want, k.Words())
	}
	u := UnitChange{Moved: 1, Stay: 20, InkWas: new("Black"), Ink: "Red", WashUp: true, Sweep: 4, SweepWas: new(4.0), SweepDifference: new(0.0)}
	assert.Equal(t, []string{"1 key moves, 20 stay", "wash up: Black out, Red in", "sweep stays at 4 notches"}, []string{u.CountWords(), u.WashUpWords(), u.SweepWords("notch")})
	u.Moved, u.Stay = 20, 1
	assert.Equal(t, "20 keys move, 1 stays", u.CountWords())
	c := ChangeOver{Press: StatedPress{Zones: 21}}
	assert.Contains(t, c.OrderWords(false), "from the centre to zone 21; on a blade of one piece")
	assert.Regexp(t, "^begin every round at the centre: .* need not be set twice in a round$", c.OrderWords(true))
	c.Press.Blade = new(press.Segmented)
	assert.Equal(t, "begin at the centre: work to zone 1, then from the centre to zone 21", c.OrderWords(false))
}

// Whoever makes every move that is listed, in the order of work, each once, has
// the keys of this job; no key is set between two that are set already.
func TestMovesLeadToTheNewKeys(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 64).Draw(t, "keys")
		step := rapid.SampledFrom([]float64{0.125, 0.1, 1.0 / 3, 0.05}).Draw(t, "step")
		made := func(name string) Unit {
			var at []float64
			for range n {
				at = append(at, step*float64(rapid.IntRange(0, int(4/step)).Draw(t, name)))
			}
			return standsAt("Black", 5, at...)
		}
		last, this := made("was"), made("is")
		for i := range last.Keys {
			if rapid.Bool().Draw(t, "read") {
				last.Keys[i].OKKey = new(step * float64(rapid.IntRange(0, int(4/step)).Draw(t, "ok")))
			}
		}
		u := changed(t, jobOf("Regatta", last), jobOf("Fair", this), nil, nil).Steps[0].Units[0]
		stands := make([]float64, n)
		for i, k := range last.Keys {
			stands[i] = k.printedKey()
		}
		set := map[int]bool{}
		for i, k := range u.InOrder() {
			require.Equal(t, i+1, *k.Order)
			by, err := press.ParseKey(*k.DifferenceText)
			require.NoError(t, err)
			require.Greater(t, by, 0.0)
			if *k.Turn == press.Clockwise {
				by = -by
			}
			require.InDelta(t, *k.Difference, by, 1e-9)
			stands[k.Zone-1] += by
			require.False(t, set[k.Zone-1] && set[k.Zone+1] || set[k.Zone], "zone %d", k.Zone)
			set[k.Zone] = true
		}
		require.Equal(t, u.Moved, len(set))
		require.Equal(t, n-u.Moved, u.Stay)
		for i, k := range this.Keys {
			require.InDelta(t, k.Key, stands[i], 1e-8)
			require.Equal(t, math.Abs(k.Key-last.Keys[i].printedKey()) > 1e-6, set[k.Zone])
		}
	})
}

func TestChangeOversFiles(t *testing.T) {
	last := jobOf("Regatta", standsAt("Black", 5, 1, 1.5).in("1", 1))
	this := jobOf("=Fair", standsAt("=Red", 6, 1, 1.25).in("1", 1), standsAt("Cyan", 5, 1, 1).in("2", 1), standsAt("Yellow", 5, 2, 2).in("1", 2))
	s := schema(t, ChangeSchema)
	for _, c := range []*ChangeOver{changed(t, last, this, nil, nil), changed(t, nil, this, nil, nil)} {
		var text bytes.Buffer
		require.NoError(t, c.WriteJSON(&text))
		assert.NoError(t, holds(t, s, text.String()))
		assert.Error(t, holds(t, s, strings.Replace(text.String(), `"wash_up"`, `"washup"`, 1)))
		var back ChangeOver
		require.NoError(t, json.Unmarshal(text.Bytes(), &back))
		for i := range c.Steps {
			c.Steps[i].Units[0].PassWas = nil // is for the sheet alone
		}
		assert.Equal(t, *c, back)
	}
	var text bytes.Buffer
	require.NoError(t, changed(t, last, this, nil, nil).WriteCSV(&text))
	rows, err := csv.NewReader(&text).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 7)
	assert.Equal(t, []string{"1", "1", "Black", "'=Red", "yes", "5", "6", "1", "2", "1", "1.5", "1.25", "-0.25", "close", "clockwise"}, rows[2])
	assert.Equal(t, []string{"1", "2", "", "Cyan", "no", "", "5", "", "1", "1", "", "1", "", "set", ""}, rows[3])
}
