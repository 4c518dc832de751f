package preset

import (
	"bytes"
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"bladeline/curves"
	"bladeline/curves/rollers"
	"bladeline/zones"
	"bladeline/zones/press"
	"bladeline/zones/zonestest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// unevenForm covers a press's zones; nil lies off the sheet.
var unevenForm = []*float64{nil, new(12.0), new(30.0), new(8.0), new(8.0), new(45.0), new(20.0), nil}

// solvedOn presets that form on a press by its train, and says what its keys print by a
// model of its own.
func solvedOn(t *testing.T, on *press.Press, sweep *float64) (*Unit, []float64) {
	t.Helper()
	in := []CoverageInput{{InkCoverage: InkCoverage{Ink: "Black", ZonesPct: unevenForm}, Curve: zonestest.LineCurve(t), Sweep: sweep}}
	p, err := FromCoverageByTrain(context.Background(), "gulls", on, in)
	require.NoError(t, err)
	return &p.Units[0], filmsOf(t, on, &p.Units[0])
}

// filmsOf are the films of a unit's keys as set, by zone.
func filmsOf(t *testing.T, on *press.Press, u *Unit) []float64 {
	t.Helper()
	train, err := NewTrain(on, rollers.Fine)
	require.NoError(t, err)
	var openings, covers []float64
	for _, k := range u.Keys {
		openings = append(openings, on.Keys.OpeningPct(k.Zone, k.Key))
		covers = append(covers, k.CoveragePct)
	}
	st, err := train.Steady(context.Background(), train.EvenForm(covers), train.Setting(openings, u.Sweep))
	require.NoError(t, err)
	films := make([]float64, len(u.Keys))
	for i := range films {
		films[i] = st.Zones[train.FromLeft(i+1)].FilmUM
	}
	return films
}

// meanFilm is the mean by ink.
func meanFilm(u *Unit, films []float64) float64 {
	var ink, all float64
	for i, k := range u.Keys {
		ink, all = ink+k.CoveragePct*films[i], all+k.CoveragePct
	}
	return ink / all
}

// TestByTrainPrintsEvenly: on a train that was not fitted the keys print evenly what the
// curve's print on the whole, from whichever end zones are counted, and the preset says of
// each zone what a model that knows nothing of the solution finds.
func TestByTrainPrintsEvenly(t *testing.T) {
	for _, first := range []press.End{press.Left, press.Right} {
		on := smallTrain(first)
		u, films := solvedOn(t, on, nil)
		mean := meanFilm(u, films)
		require.NotNil(t, u.ByTrain)
		assert.False(t, u.ByTrain.Fitted)
		assert.Nil(t, u.ByTrain.FilmUM)
		for i, k := range u.Keys {
			if k.State == curves.OffSheet {
				assert.Greater(t, k.OpeningPct, 0.0, "zone %d: shut keys take ink back", k.Zone)
				continue
			}
			assert.InDelta(t, 1, films[i]/mean, 0.05, "zone %d", k.Zone)
			assert.InDelta(t, u.ByTrain.FilmOffPct[i], 100*(films[i]/mean-1), 1, "zone %d", k.Zone)
		}
		assert.Contains(t, *u.SweepReason, Trend)
		assert.Contains(t, *u.SweepReason, "keys beside the sheet are open since the rollers carry ink out there")

		byCurve, err := FromCoverage("gulls", on, []CoverageInput{{InkCoverage: InkCoverage{Ink: "Black", ZonesPct: unevenForm}, Curve: zonestest.LineCurve(t), Sweep: new(on.Sweep.Reference)}})
		require.NoError(t, err)
		old := filmsOf(t, on, &byCurve.Units[0])
		assert.InDelta(t, meanFilm(&byCurve.Units[0], old), mean, 0.03*mean, "as much ink as the curve")
		assert.Greater(t, spreadOf(&byCurve.Units[0], old), 3*spreadOf(u, films))
		assert.Nil(t, byCurve.Units[0].ByTrain)
	}
}

// TestByTrainShutsFarKeys: two keys beside the sheet feed its edge, those further out stay
// shut, and the films are as even as where all of them might feed. A blade of one piece
// bends out there.
func TestByTrainShutsFarKeys(t *testing.T) {
	on := zonestest.Shipped(t, "two-colour")
	covers := make([]*float64, on.Fountain.Zones)
	for i := 7; i < 14; i++ {
		covers[i] = unevenForm[1+(i-7)%6]
	}
	in := []CoverageInput{{InkCoverage: InkCoverage{Ink: "Black", ZonesPct: covers}, Curve: zonestest.LineCurve(t)}}
	p, err := FromCoverageByTrain(context.Background(), "gulls", on, in)
	require.NoError(t, err)
	u := &p.Units[0]
	films := filmsOf(t, on, u)
	mean := meanFilm(u, films)
	for i, k := range u.Keys {
		switch {
		case i >= 7 && i < 14:
			assert.InDelta(t, 1, films[i]/mean, 0.03, "zone %d", k.Zone)
		case i == 5, i == 6, i == 14, i == 15:
			assert.Greater(t, k.OpeningPct, 0.0, "zone %d", k.Zone)
		default:
			assert.Zero(t, k.OpeningPct, "zone %d", k.Zone)
		}
	}
	onSheet := make([]zones.Zone, len(covers))
	for i := range onSheet {
		onSheet[i].OffSheet = covers[i] == nil
	}
	s := &solving{in: &laidUnit{Zones: onSheet}, on: on}
	assert.True(t, s.farOff(4))
	on.Limits.NeighbourPct = 20
	assert.False(t, s.farOff(4))
}

// spreadOf is how far the films of printing zones lie from their mean, rms in parts.
func spreadOf(u *Unit, films []float64) float64 {
	mean, sum, n := meanFilm(u, films), 0.0, 0.0
	for i, k := range u.Keys {
		if k.Prints() {
			sum, n = sum+(films[i]/mean-1)*(films[i]/mean-1), n+1
		}
	}
	return math.Sqrt(sum / n)
}

// TestByTrainAimsAtTheFilm of the ink, where the train was fitted; no curve then has a
// say.
func TestByTrainAimsAtTheFilm(t *testing.T) {
	on := smallTrain(press.Left)
	on.Train.Feed.FittedFrom = []string{"a-ok.csv"}
	on.Inks = map[string]press.Ink{"Black": {FilmUM: 1.2}}
	u, films := solvedOn(t, on, nil)
	assert.True(t, u.ByTrain.Fitted)
	assert.Nil(t, u.Curve)
	assert.Equal(t, 1.2, *u.ByTrain.FilmUM)
	assert.InDelta(t, 1.2, meanFilm(u, films), 0.02)
	assert.NotContains(t, *u.SweepReason, Trend)
}

// TestByTrainHoldsLimits: floor and ceiling, steps, and what one blade bends; what that
// leaves uneven is a warning that names the zones.
func TestByTrainHoldsLimits(t *testing.T) {
	on := smallTrain(press.Left)
	on.Keys = press.KeyScale{Unit: press.Turn, Travel: 3, Step: 0.125}
	on.Fountain.Blade = press.OnePiece
	on.Limits = curves.Limits{FloorPct: 4, CeilingPct: 90, NeighbourPct: 12.5}
	in := []CoverageInput{{InkCoverage: InkCoverage{Ink: "Black", ZonesPct: unevenForm}, Curve: zonestest.LineCurve(t)}}
	p, err := FromCoverageByTrain(context.Background(), "gulls", on, in)
	require.NoError(t, err)
	u := &p.Units[0]
	for i, k := range u.Keys {
		assert.True(t, on.Keys.Holds(k.Key), "zone %d stands at %v", k.Zone, k.Key)
		if k.State != curves.OffSheet {
			assert.GreaterOrEqual(t, k.OpeningPct, 4.0)
		}
		assert.LessOrEqual(t, k.OpeningPct, 90.0)
		if i > 0 {
			assert.LessOrEqual(t, math.Abs(k.OpeningPct-u.Keys[i-1].OpeningPct), 12.5+1e-9, "zone %d", k.Zone)
		}
	}
	worst := 0.0
	for _, off := range u.ByTrain.FilmOffPct {
		worst = max(worst, math.Abs(off))
	}
	require.Greater(t, worst, 5.0, "else the form is no example")
	require.NotEmpty(t, p.Warnings)
	assert.Equal(t, CodeUncured, p.Warnings[0].Code)
	assert.Regexp(t, `^no key evens zones? [0-9, toand]+: zone \d will run \d+ % (light|heavy) \(trend, not measured on this press\); `, p.Warnings[0].Text)
	assert.InDelta(t, worst, math.Abs(u.ByTrain.FilmOffPct[*p.Warnings[0].Zone-1]), 1e-9)
}

// TestStepsGoTogether: steps are chosen with each other in mind, and leave no more than
// each key's nearest would.
func TestStepsGoTogether(t *testing.T) {
	on := smallTrain(press.Left)
	on.Keys = press.KeyScale{Unit: press.Turn, Travel: 3, Step: 0.25}
	in := laidUnit{Curve: zonestest.LineCurve(t)}
	for i, pct := range unevenForm {
		z := unitOf(t, "Black", 10, 40, 20).Zones[0]
		z.Number, z.OffSheet = i+1, pct == nil
		if z.CoveragePct = 0; pct != nil {
			z.CoveragePct = *pct
		}
		in.Zones = append(in.Zones, z)
	}
	train, err := NewTrain(on, rollers.Coarse)
	require.NoError(t, err)
	s := &solving{Train: train, in: &in, on: on, covers: coversOn(on, &in), filmUM: 1}
	s.spread()
	f, err := s.at(context.Background(), on.Sweep.Reference)
	require.NoError(t, err)
	squares := func(keyOf func(i int) float64) float64 {
		openings := make([]float64, len(in.Zones))
		for i := range openings {
			openings[i] = on.Keys.OpeningPct(i+1, keyOf(i))
		}
		st, err := train.Steady(context.Background(), s.form, s.Setting(openings, f.sweep))
		require.NoError(t, err)
		sum := 0.0
		for i := range in.Zones {
			if s.prints(i) {
				off := st.Zones[s.FromLeft(i+1)].FilmUM - 1
				sum += off * off
			}
		}
		return sum
	}
	nearest := func(i int) float64 { return on.Key(i+1, f.Setting.OpeningPct[s.FromLeft(i+1)], in.Zones[i].OffSheet) }
	assert.Less(t, squares(func(i int) float64 { return f.stepping.keys[i] }), 0.8*squares(nearest))
}

// TestByTrainIsStated: a preset reads back as it was written, and one that follows a curve
// has nothing of a train.
func TestByTrainIsStated(t *testing.T) {
	on := smallTrain(press.Left)
	in := []CoverageInput{{InkCoverage: InkCoverage{Ink: "Black", ZonesPct: unevenForm}, Curve: zonestest.LineCurve(t), Sweep: new(30.0)}}
	p, err := FromCoverageByTrain(context.Background(), "gulls", on, in)
	require.NoError(t, err)
	assert.Equal(t, Given, *p.Units[0].SweepChosen)
	var b bytes.Buffer
	require.NoError(t, p.WriteJSON(&b))
	assert.NoError(t, holds(t, schema(t, Schema), b.String()))
	back, err := ReadJSON("gulls.json", bytes.NewReader(b.Bytes()))
	require.NoError(t, err)
	assert.Equal(t, p, back)

	_, err = ReadJSON("gulls.json", bytes.NewReader(bytes.Replace(b.Bytes(), []byte(`"film_off_pct": [`), []byte(`"film_off_pct": [1,`), 1)))
	assert.ErrorContains(t, err, "gulls.json: units[0].by_train.film_off_pct: it has 9 films where the press has 8 zones")
}

// TestByTrainIsRefused on a press whose train is not there, or not tied to its fountain.
func TestByTrainIsRefused(t *testing.T) {
	in := []CoverageInput{{InkCoverage: InkCoverage{Ink: "Black", ZonesPct: unevenForm}, Curve: zonestest.LineCurve(t)}}
	on := smallTrain(press.Left)
	on.Train.Feed = rollers.Feed{}
	_, err := FromCoverageByTrain(context.Background(), "gulls", on, in)
	assert.ErrorContains(t, err, "fit them with press fit")
	on.Train = nil
	_, err = FromCoverageByTrain(context.Background(), "gulls", on, in)
	assert.ErrorIs(t, err, ErrNoTrain)
}

// TestByTrainWithoutInk leaves the keys as the curve has them.
func TestByTrainWithoutInk(t *testing.T) {
	on := smallTrain(press.Left)
	in := []CoverageInput{{InkCoverage: InkCoverage{Ink: "Black", ZonesPct: make([]*float64, 8)}, Curve: zonestest.LineCurve(t)}}
	for i := range in[0].ZonesPct {
		in[0].ZonesPct[i] = new(0.0)
	}
	byCurve, err := FromCoverage("gulls", on, in)
	require.NoError(t, err)
	p, err := FromCoverageByTrain(context.Background(), "gulls", on, in)
	require.NoError(t, err)
	assert.Equal(t, byCurve.Units[0].Keys, p.Units[0].Keys)
}

// TestShutKeysBesideTheSheet are warned of by the curve's preset of a press whose train was
// fitted, with the opening that cures it; where it was not, nothing is said.
func TestShutKeysBesideTheSheet(t *testing.T) {
	on := smallTrain(press.Left)
	in := []CoverageInput{{InkCoverage: InkCoverage{Ink: "Black", ZonesPct: unevenForm}, Curve: zonestest.LineCurve(t)}}
	shut := func() []string {
		p, err := FromCoverage("gulls", on, in)
		require.NoError(t, err)
		var texts []string
		for _, w := range p.Warnings {
			if w.Code == CodeShut {
				texts = append(texts, w.Text)
			}
		}
		return texts
	}
	assert.Empty(t, shut())
	on.Train.Feed.FittedFrom = []string{"a-ok.csv"}
	require.Len(t, shut(), 1)
	assert.Regexp(t, `^shut keys beside the sheet take ink back: zones? [0-9, toand]+; zone \d will run \d+ % light for it; set the key of zones? [0-9, toand]+ to \d+, or off_sheet_pct to \d+, or preset by the train$`, shut()[0])

	percent := on.Keys
	on.Keys = press.KeyScale{Unit: press.Turn, Travel: 3, Step: 0.125}
	assert.Regexp(t, `set the key of zones? [0-9, toand]+ to \d/\d, or off_sheet_pct to \d+\.\d, or preset`, shut()[0])
	on.Keys.Zero = make([]float64, on.Fountain.Zones)
	on.Keys.Zero[0] = 0.125
	assert.Regexp(t, `set the key of zone 1 to \d/\d, of zone \d to \d/\d, or off_sheet_pct`, shut()[0], "each from where it is shut")
	on.Keys = percent

	train, err := NewTrain(on, rollers.Coarse)
	require.NoError(t, err)
	on.Limits.OffSheetPct = 100 * train.Line().A / on.Train.Feed.FilmFullUM
	assert.Empty(t, shut())
}

// TestByTrainLeavesBareZonesAlone: far from the only zone that prints no key is wider open
// than its nearest step to the floor, and what is alike on both sides of it stays so.
func TestByTrainLeavesBareZonesAlone(t *testing.T) {
	on := zonestest.Shipped(t, "duplicator")
	for _, prints := range [][]int{{8}, {7, 8, 9}, {5, 6, 7, 8, 9, 10, 11}} {
		covers := make([]*float64, 15)
		for i := range covers {
			covers[i] = new(0.0)
		}
		for _, zone := range prints {
			covers[zone-1] = new(20.0)
		}
		in := []CoverageInput{{InkCoverage: InkCoverage{Ink: "Black", ZonesPct: covers}, Curve: zonestest.ShippedCurve(t, "duplicator")}}
		p, err := FromCoverageByTrain(context.Background(), "gulls", on, in)
		require.NoError(t, err)
		keys := p.Units[0].Keys
		for i, k := range keys {
			assert.Equal(t, k.Key, keys[14-i].Key, "zones %d and %d", k.Zone, keys[14-i].Zone)
			if k.Zone < prints[0]-3 {
				assert.Equal(t, 0.125, k.Key, "zone %d", k.Zone)
			}
		}
	}
}

// TestFloorHoldsWhatStandsThere: a key that its step put above the floor is not held by
// it. The coverages are those of the black plate of examples.
func TestFloorHoldsWhatStandsThere(t *testing.T) {
	on := zonestest.Shipped(t, "two-colour")
	var covers []*float64
	for _, pct := range []float64{0.11, 4.25, 11.14, 11.58, 3.76, 3.37, 3.53, 3.70, 34.67, 37.21, 1.33, 0.80, 11.14, 20.00, 19.03, 17.49, 23.71, 38.24, 42.96, 37.87, 0.11} {
		covers = append(covers, new(pct))
	}
	in := []CoverageInput{{InkCoverage: InkCoverage{Ink: "Black", ZonesPct: covers}, Curve: zonestest.ShippedCurve(t, "coated")}}
	p, err := FromCoverageByTrain(context.Background(), "gulls", on, in)
	require.NoError(t, err)
	held := 0
	for _, k := range p.Units[0].Keys {
		if k.State == curves.Floor {
			assert.Equal(t, 2.0, k.Key, "zone %d", k.Zone)
			held++
		}
	}
	assert.Positive(t, held)
}

// TestDuplicatorKeysGoTogether: an eighth of a turn is a quarter of what a thumb screw
// stands open, and a form whose zones differ by a factor of three is yet printed within
// 5 %, on a finer grid than keys were solved on; what is not is named.
func TestDuplicatorKeysGoTogether(t *testing.T) {
	on, curve := zonestest.Shipped(t, "duplicator"), zonestest.ShippedCurve(t, "duplicator")
	r := rand.New(rand.NewPCG(15, 3))
	within, outside := 0, 0
	for range 8 {
		covers, swing := make([]*float64, 15), 0.0
		for i := 1; i < 14; i++ {
			swing = swing/2 + 0.4*r.NormFloat64()
			covers[i] = new(12 * math.Exp(swing))
		}
		p, err := FromCoverageByTrain(context.Background(), "form", on, []CoverageInput{{InkCoverage: InkCoverage{Ink: "Black", ZonesPct: covers}, Curve: curve}})
		require.NoError(t, err)
		u := &p.Units[0]
		films := filmsOf(t, on, u)
		mean := meanFilm(u, films)
		for i, k := range u.Keys {
			switch {
			case !k.Prints():
			case math.Abs(films[i]/mean-1) <= 0.05:
				within++
			default:
				outside++
				assert.True(t, u.Uncured(k), "zone %d prints %.3f of the mean", k.Zone, films[i]/mean)
			}
		}
	}
	assert.Equal(t, 8*13, within+outside)
	assert.LessOrEqual(t, outside, 1, "of 104 zones")
}

// TestStepsKeepTheBlade: where a blade's limit is no whole number of steps, rounding each
// key by itself would part some further than the blade bends.
func TestStepsKeepTheBlade(t *testing.T) {
	on := smallTrain(press.Left)
	on.Keys = press.KeyScale{Unit: press.Turn, Travel: 3, Step: 0.125}
	on.Fountain.Blade, on.Limits.NeighbourPct = press.OnePiece, 10 // 2.4 steps
	u, _ := solvedOn(t, on, nil)
	parted := 0.0
	for i := 1; i < len(u.Keys); i++ {
		parted = max(parted, math.Abs(on.Keys.OpeningPct(i+1, u.Keys[i].Key)-on.Keys.OpeningPct(i, u.Keys[i-1].Key)))
	}
	assert.LessOrEqual(t, parted, 10+1e-9)
	assert.Greater(t, parted, 5.0, "else the form is no example")
}
