package history

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"bladeline/curves"
	"bladeline/zones/preset"
	"bladeline/zones/press"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// onPress is a press of 10 keys, 0 to 100 % in whole points, sweep 10 to 90 %.
func onPress() *press.Press {
	return &press.Press{
		Name:     "Hall press",
		Fountain: press.Fountain{Zones: 10, ZoneWidthMM: 30, FirstZone: press.Left, Blade: press.Segmented},
		Keys:     press.KeyScale{Unit: press.Percent, Travel: 100, Step: 1},
		Limits:   curves.Limits{CeilingPct: 100},
		Sweep:    curves.SweepScale{Unit: "%", From: 10, To: 90, Step: 1, Reference: 45},
	}
}

// run is a job of one ink whose keys were preset to 10, 20, … 100 less 5, and
// finally run as told; NaN-free: an ok below 0 was not read.
func run(job, date, paper string, sweep, okSweep float64, ok func(zone int, key float64) float64) *preset.Preset {
	u := preset.Unit{Ink: "Black", Sweep: sweep}
	for zone := 1; zone <= 10; zone++ {
		key := float64(10*zone - 5)
		k := preset.Key{Zone: zone, CoveragePct: 5 * float64(zone), OpeningPct: key, Key: key, KeyText: fmt.Sprint(key), State: curves.Set}
		if v := ok(zone, key); v >= 0 {
			k.OKKey = &v
		}
		u.Keys = append(u.Keys, k)
	}
	if okSweep != sweep {
		u.OKSweep = &okSweep
	}
	p := &preset.Preset{Job: job, Press: preset.StatedPress{Name: "Hall press", Zones: 10, KeyUnit: press.Percent, SweepUnit: "%"}, Units: []preset.Unit{u}, Date: &date}
	if paper != "" {
		p.Paper = &paper
	}
	return p
}

func record(t require.TestingT, p *preset.Preset) *Record {
	r, err := NewRecord(p.Job+".csv", Day{*p.Date, Dated}, p, onPress())
	require.NoError(t, err)
	return r
}

// TestRecordByHand counts one job. Keys 5, 15, … 95 were preset. Zones 1 and 2
// were not touched; 3 moved from 25 to 26 (a step, +4 %); 4 from 35 to 40 (+14 %);
// 5 from 45 to 49 (+8.9 %, four steps); 6 from 55 to 54 (a step, −1.8 %); 7 from
// 65 to 50 (−23 %); 8 and 9 stayed; 10 was not read. So 9 were read, 6 are within
// a step (1, 2, 3, 6, 8, 9), 7 within 10 % (those and 5).
func TestRecordByHand(t *testing.T) {
	ok := map[int]float64{1: 5, 2: 15, 3: 26, 4: 40, 5: 49, 6: 54, 7: 50, 8: 75, 9: 85, 10: -1}
	u := record(t, run("a", "2026-03-02", "", 45, 45, func(zone int, _ float64) float64 { return ok[zone] })).Units[0]
	assert.Equal(t, [3]int{9, 6, 7}, [3]int{u.Read, u.WithinStep, u.WithinFeed})
	assert.InDelta(t, 0, *u.FullerPct, 1e-9, "the untouched keys are the middle")
}

// TestASweepCountsForEveryKey: no key was touched and the sweep went from 40 to
// 44: 10 % more ink in every zone, which is just right; from 40 to 45 is 12.5 %.
func TestASweepCountsForEveryKey(t *testing.T) {
	same := func(_ int, key float64) float64 { return key }
	u := record(t, run("a", "2026-03-02", "", 40, 44, same)).Units[0]
	assert.Equal(t, 10, u.WithinFeed)
	assert.InDelta(t, 10, *u.FullerPct, 1e-9)
	u = record(t, run("a", "2026-03-02", "", 40, 45, same)).Units[0]
	assert.Equal(t, [2]int{10, 0}, [2]int{u.WithinStep, u.WithinFeed})
	assert.InDelta(t, 12.5, *u.FullerPct, 1e-9)
}

// TestFewKeysSayNothingOfTheUnit: four keys are below the five that it takes.
func TestFewKeysSayNothingOfTheUnit(t *testing.T) {
	few := func(most int) UnitRecord {
		return record(t, run("a", "2026-03-02", "", 45, 45, func(zone int, key float64) float64 {
			if zone > most {
				return -1
			}
			return key
		})).Units[0]
	}
	assert.Nil(t, few(4).FullerPct)
	assert.NotNil(t, few(5).FullerPct)
}

// TestUnknownPressIsNotGuessed: without the scale nothing is said of steps and
// ink, and no key is found to have drifted.
func TestUnknownPressIsNotGuessed(t *testing.T) {
	var all []*Record
	for i := range 6 {
		p := run(fmt.Sprint(i), "2026-03-02", "", 45, 50, func(_ int, key float64) float64 { return key + 4 })
		r, err := NewRecord(p.Job, Day{*p.Date, Dated}, p, nil)
		require.NoError(t, err)
		all = append(all, r)
	}
	h := Of(all)
	assert.Empty(t, h.Findings)
	assert.Equal(t, []Month{{Month: "2026-03", Jobs: 6, Share: Share{Read: 60}, Units: 6, SweepsMoved: 6}}, h.Months)
	assert.Nil(t, h.Jobs[0].Units[0].FullerPct)
}

// TestOffScaleIsRefused: a key cannot stand beyond its scale.
func TestOffScaleIsRefused(t *testing.T) {
	p := run("a", "2026-03-02", "", 45, 45, func(int, float64) float64 { return 101 })
	_, err := NewRecord("a.csv", Day{*p.Date, Dated}, p, onPress())
	assert.ErrorContains(t, err, "a.csv: ink \"Black\", zone 1, column ok_key: 101 is beyond the key's scale")
}

// year is a year of jobs, one a week, read to half a point, in which a key reads
// so many points too high from one week to before another.
func year(t require.TestingT, zone int, points float64, from, to int, ink float64) []*Record {
	random := rand.New(rand.NewPCG(7, 11))
	var all []*Record
	day := time.Date(2026, 1, 5, 0, 0, 0, 0, time.UTC)
	for week := range 48 {
		p := run(fmt.Sprintf("job-%02d", week), day.Format(time.DateOnly), "uncoated", 45, 45, func(z int, key float64) float64 {
			key = key*ink + random.NormFloat64()*0.5
			if z == zone && week >= from && week < to {
				key += points
			}
			return min(max(0, float64(int(key+0.5))), 100)
		})
		all = append(all, record(t, p))
		day = day.AddDate(0, 0, 7)
	}
	return all
}

// TestDriftIsFoundWithItsMonth: week 9 of a year that begins on 5 January is that
// of 9 March.
func TestDriftIsFoundWithItsMonth(t *testing.T) {
	h := Of(year(t, 7, 2, 9, 48, 1))
	require.Len(t, h.Drifts, 1)
	d := h.Drifts[0]
	assert.Equal(t, []any{7, "2026-03", false, 39}, []any{d.Zone, d.Since, d.Whole, d.Jobs})
	assert.InDelta(t, 2, d.Points, 0.6)
	assert.Contains(t, h.Findings[0], "key 7 of Black reads")
	assert.Contains(t, h.Findings[0], "points high since March 2026 (39 jobs): zero it")
}

// TestNoFalseDrift: keys that are right, that are off by less than a point, and
// one that was set right again.
func TestNoFalseDrift(t *testing.T) {
	for name, all := range map[string][]*Record{
		"right":           year(t, 0, 0, 0, 0, 1),
		"half a point":    year(t, 7, 0.5, 0, 48, 1),
		"set right again": year(t, 7, 3, 9, 30, 1),
		"all alike":       year(t, 0, 0, 0, 0, 0.93),
	} {
		assert.Empty(t, Of(all).Drifts, name)
	}
}

// TestAMisreadKeyIsNoDrift: one job in which the key was written down 40 points
// too high.
func TestAMisreadKeyIsNoDrift(t *testing.T) {
	assert.Empty(t, Of(year(t, 5, 40, 20, 21, 1)).Drifts)
	assert.Empty(t, Of(year(t, 5, 40, 47, 48, 1)).Drifts, "the last")
}

// TestTendency: 7 % less ink than preset in every job is fat, 4 % is not.
func TestTendency(t *testing.T) {
	h := Of(year(t, 0, 0, 0, 0, 0.93))
	require.Len(t, h.Tendencies, 1)
	assert.InDelta(t, -7, h.Tendencies[0].FullerPct, 1)
	assert.Equal(t, "uncoated", *h.Tendencies[0].Paper)
	assert.Contains(t, h.Findings[0], "Hall press: presets of Black on uncoated ask for too much ink: 7 % less was run, the median of ")
	assert.Empty(t, Of(year(t, 0, 0, 0, 0, 0.96)).Tendencies)
	assert.Empty(t, Of(year(t, 0, 0, 0, 0, 0.93)[:2]).Tendencies, "two jobs")
}

// TestOrderOfFilesDoesNotMatter, nor does a month without jobs.
func TestOrderOfFilesDoesNotMatter(t *testing.T) {
	all := year(t, 7, 2, 9, 48, 1)
	want := jsonOf(t, Of(all))
	rand.New(rand.NewPCG(1, 2)).Shuffle(len(all), func(i, j int) { all[i], all[j] = all[j], all[i] })
	assert.Equal(t, want, jsonOf(t, Of(all)))
	assert.Len(t, Of(all).Months, 11)
}

func jsonOf(t require.TestingT, h *History) string {
	var b bytes.Buffer
	require.NoError(t, h.WriteJSON(&b))
	return b.String()
}

func TestJSONHoldsItsSchema(t *testing.T) {
	c := jsonschema.NewCompiler()
	parsed, err := jsonschema.UnmarshalJSON(bytes.NewReader(Schema))
	require.NoError(t, err)
	require.NoError(t, c.AddResource("history", parsed))
	schema := c.MustCompile("history")
	for _, h := range []*History{Of(nil), Of(year(t, 7, 2, 9, 48, 0.9))} {
		text := jsonOf(t, h)
		v, err := jsonschema.UnmarshalJSON(strings.NewReader(text))
		require.NoError(t, err)
		assert.NoError(t, schema.Validate(v))
		var back map[string]any
		require.NoError(t, json.Unmarshal([]byte(text), &back))
		back["more"] = 1
		assert.Error(t, schema.Validate(back))
	}
}

// TestWeightedMedianByHand: of 1, 2, 3 weighing 1, 1, 3 the half of 5 lies in 3;
// of 1 and 2 weighing alike it is between them.
func TestWeightedMedianByHand(t *testing.T) {
	assert.Equal(t, 3.0, weightedMedian([]float64{2, 3, 1}, []float64{1, 3, 1}))
	assert.Equal(t, 1.5, weightedMedian([]float64{2, 1}, []float64{1, 1}))
	assert.Equal(t, 4.0, median([]float64{4}))
}

func TestCSVGuardsNames(t *testing.T) {
	p := run("=1+1", "2026-03-02", "", 45, 45, func(_ int, key float64) float64 { return key })
	var b bytes.Buffer
	require.NoError(t, Of([]*Record{record(t, p)}).WriteCSV(&b))
	assert.Contains(t, b.String(), "2026-03-02,preset,'=1+1.csv,'=1+1,Hall press,,Black,,45,45,10,100,100,0\r\n")
}

// ofTwo is onPress with two units: in the second every key shows 5 when shut, and
// the sweep goes up to 99 %.
func ofTwo() *press.Press {
	on := onPress()
	on.ID = "hall"
	longer := on.Sweep
	longer.To = 99
	on.Units = []press.Unit{
		{Name: "1", Inks: []string{"Black"}, Sweep: on.Sweep},
		{Name: "2", Inks: []string{"Magenta"}, Zero: []float64{5, 5, 5, 5, 5, 5, 5, 5, 5, 5}, Sweep: longer},
	}
	return on
}

// TestUnitsHaveTheirOwnScale: an opening of 9.6 % is set at 10 %, which shows 15;
// a step wider is 11 %, 10 % more and right. Counted from 9.6, as if the key said
// nothing, it would be 10.4 % more. A key that was run at 5 is shut, and so says
// only that so little or less was wanted. The unit's sweep goes to 99.
func TestUnitsHaveTheirOwnScale(t *testing.T) {
	p := run("a", "2026-03-02", "", 45, 45, func(zone int, key float64) float64 {
		switch zone {
		case 1:
			return 16
		case 2:
			return 5
		}
		return key + 5
	})
	u := &p.Units[0]
	u.Ink = "Magenta"
	for i := range u.Keys {
		u.Keys[i].Key += 5
	}
	u.Keys[0].OpeningPct, u.Keys[0].Key = 9.6, 15
	r, err := NewRecord("a.csv", Day{*p.Date, Dated}, p, ofTwo())
	require.NoError(t, err)
	got := r.Units[0]
	assert.Equal(t, "2", got.Unit, "the press says where magenta runs")
	assert.Equal(t, [3]int{10, 9, 9}, [3]int{got.Read, got.WithinStep, got.WithinFeed})
	for _, p := range got.points {
		assert.NotEqual(t, 2, p.zone)
	}
	u.OKSweep = new(95.0)
	_, err = NewRecord("a.csv", Day{*p.Date, Dated}, p, ofTwo())
	require.NoError(t, err)
	u.Ink = "Black"
	_, err = NewRecord("a.csv", Day{*p.Date, Dated}, p, ofTwo())
	assert.ErrorContains(t, err, "a sweep of 95 is beyond the press's, 10 to 90 %")
}

// TestARenamedPressIsOne: half a year under the old name and half under the new
// one are one key's year.
func TestARenamedPressIsOne(t *testing.T) {
	var all []*Record
	day := time.Date(2026, 1, 5, 0, 0, 0, 0, time.UTC)
	for week := range 4 {
		p := run(fmt.Sprint(week), day.AddDate(0, 0, 7*week).Format(time.DateOnly), "", 45, 45, func(zone int, key float64) float64 {
			if zone == 4 {
				key += 3
			}
			return key
		})
		p.Press.ID = new("hall")
		if week < 2 {
			p.Press.Name = "Old hall press"
		}
		r, err := NewRecord(p.Job, Day{*p.Date, Dated}, p, ofTwo())
		require.NoError(t, err)
		all = append(all, r)
	}
	h := Of(all)
	require.Len(t, h.Drifts, 1)
	assert.Equal(t, []any{"Hall press", 4, 4}, []any{h.Drifts[0].Press, h.Drifts[0].Zone, h.Drifts[0].Jobs})
}

// TestStepsAreNoTendency: keys of a turn in quarters on 4 turns, 6.25 % of travel.
// A form of 20 % asks for 0.8 turn and is set to 3/4, which is 6 % less; nobody
// touched it, job after job, so the presets run neither fat nor lean.
func TestStepsAreNoTendency(t *testing.T) {
	on := onPress()
	on.Keys = press.KeyScale{Unit: press.Turn, Travel: 4, Step: 0.25}
	var all []*Record
	for i := range 4 {
		p := run(fmt.Sprint(i), "2026-03-02", "", 45, 45, func(int, float64) float64 { return 0.75 })
		for j := range p.Units[0].Keys {
			p.Units[0].Keys[j].OpeningPct, p.Units[0].Keys[j].Key = 20, 0.75
		}
		r, err := NewRecord(p.Job, Day{*p.Date, Dated}, p, on)
		require.NoError(t, err)
		all = append(all, r)
	}
	h := Of(all)
	assert.Empty(t, h.Findings)
	assert.InDelta(t, 0, *h.Jobs[0].Units[0].FullerPct, 1e-9)
}

// TestAZeroThatWasLearnedIsNoDrift: key 7 read 3 high in a year of jobs, and the
// press's file says so by now.
func TestAZeroThatWasLearnedIsNoDrift(t *testing.T) {
	jobs := func(on *press.Press) *History {
		var all []*Record
		for week := range 6 {
			p := run(fmt.Sprint(week), "2026-03-02", "", 45, 45, func(zone int, key float64) float64 {
				if zone == 7 {
					key += 3
				}
				return key
			})
			r, err := NewRecord(p.Job, Day{*p.Date, Dated}, p, on)
			require.NoError(t, err)
			all = append(all, r)
		}
		return Of(all)
	}
	require.Len(t, jobs(onPress()).Drifts, 1)
	zeroed := onPress()
	zeroed.Keys.Zero = []float64{0, 0, 0, 0, 0, 0, 3, 0, 0, 0}
	h := jobs(zeroed)
	assert.Empty(t, h.Drifts)
	assert.InDelta(t, 90, *h.Jobs[0].Units[0].WithinStepPct, 1e-9, "the preset of then was off all the same")
}

// TestUntouchedKeysAreNotOff: one form, six times. The heavier half of it, keys 5 to
// 10, ran 5 % wider, so that the middle of the ink is 5 % more; keys 1 to 4 were right
// as they stood, and nobody is told to zero them.
func TestUntouchedKeysAreNotOff(t *testing.T) {
	var all []*Record
	for week := range 6 {
		all = append(all, record(t, run(fmt.Sprint(week), "2026-03-02", "", 45, 45, func(zone int, key float64) float64 {
			if zone >= 5 {
				key *= 1.05
			}
			return key
		})))
	}
	h := Of(all)
	assert.InDelta(t, 5, *h.Jobs[0].Units[0].FullerPct, 1e-9)
	assert.Empty(t, h.Drifts)
}
