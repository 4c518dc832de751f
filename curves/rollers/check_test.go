package rollers

import (
	"context"
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestTrainsRefused(t *testing.T) {
	for want, change := range map[string]func(t *Train){
		"the train has a plate of diameter NaN mm; it is from 50 to 1000":             func(t *Train) { t.PlateMM = math.NaN() },
		"the train has an image of length 700 mm; it is from 20 to 691.2":             func(t *Train) { t.ImageMM = 700 },
		"the train gives the paper the share 1 of the blanket's film":                 func(t *Train) { t.Paper = 1 },
		"the train splits films 0.6 to the second roller; it is from 0.45 to 0.55":    func(t *Train) { t.Split = 0.6 },
		"the train has a ductor of diameter 1e-09 mm":                                 func(t *Train) { t.Ductor.DiameterMM = 1e-9 },
		"the train has a ductor that moves every 0 sheets":                            func(t *Train) { t.Ductor.EverySheets = 0 },
		"the train has a ductor that rides on its roller for the share 0 of":          func(t *Train) { t.Ductor.Duty = 0 },
		"the train has oscillators that take +Inf turns":                              func(t *Train) { t.Turns = math.Inf(1) },
		"the train has 61 rollers; it is from 1 to 60":                                func(t *Train) { t.Rollers = make([]Roller, 61) },
		"the train has 0 rollers":                                                     func(t *Train) { t.Rollers = nil },
		"the train has a fountain film of 0 µm":                                       func(t *Train) { t.Feed.FilmFullUM = 0 },
		"the train takes a strip of -1 mm":                                            func(t *Train) { t.Feed.StripMM = -1 },
		`roller "C" is of kind "chrome"; kinds are distributor, oscillator, rider an`: func(t *Train) { t.Rollers[2].Kind = "chrome" },
		`roller "C" has a diameter of 1e-09 mm; it is from 10 to 500`:                 func(t *Train) { t.Rollers[2].DiameterMM = 1e-9 },
		`roller "A" has a stroke of 5 mm and is no oscillator`:                        func(t *Train) { t.Rollers[0].StrokeMM = 5 },
		`roller "B" has a stroke of 101 mm; it is from 0 to 100`:                      func(t *Train) { t.Rollers[1].StrokeMM = 101 },
	} {
		train := sheetfed()
		change(&train)
		err := train.Check()
		var wrong *TrainError
		require.ErrorAs(t, err, &wrong, want)
		assert.ErrorContains(t, err, want)
		_, err = NewLine(train, &Laid{})
		assert.ErrorAs(t, err, &wrong)
		_, err = New(train, &Laid{}, wide, Fine)
		assert.Error(t, err)
	}
	assert.NoError(t, sheetfed().Check())
	assert.NoError(t, duplicator().Check())
}

// A train that does not lie as it says is refused as well.
func TestLaidTrainsRefused(t *testing.T) {
	lie := func(change func(t *Train, l *Laid)) error {
		train := sheetfed()
		laid := spread(t, train)
		change(&train, laid)
		_, err := New(train, laid, wide, Coarse)
		return err
	}
	nip := func(a, b int) Nip { return Nip{A: a, B: b, ADeg: 5, BDeg: 7} }
	for want, change := range map[string]func(t *Train, l *Laid){
		"has other rollers":          func(_ *Train, l *Laid) { l.Rollers = l.Rollers[1:] },
		"has a nip of other rollers": func(_ *Train, l *Laid) { l.Nips = append(l.Nips, nip(3, 17)) },
		"nip of other rollers":       func(_ *Train, l *Laid) { l.Nips = append(l.Nips, nip(-1, -2)) },
		"ductor that feeds no":       func(_ *Train, l *Laid) { l.Nips = l.Nips[1:] },
		"two places of the ductor":   func(_ *Train, l *Laid) { l.Nips = append(l.Nips, nip(5, DuctorSurface)) },
		"no form roller on the":      func(_ *Train, l *Laid) { l.Nips = l.Nips[:10] },
		"would have to turn against": func(_ *Train, l *Laid) { l.Nips = append(l.Nips, nip(1, 3)) },
		`"I" gets no ink`:            func(_ *Train, l *Laid) { l.Nips[8] = nip(13, 8); l.Nips = append(l.Nips[:8], l.Nips[9:]...) },
		`"A" has two nips at one pl`: func(_ *Train, l *Laid) { l.Nips[1].BDeg = l.Nips[0].ADeg },
	} {
		err := lie(change)
		assert.ErrorContains(t, err, want)
	}
	assert.NoError(t, lie(func(*Train, *Laid) {}))
	train := sheetfed()
	_, err := New(train, nil, wide, Fine)
	assert.ErrorContains(t, err, "is not as it was laid")
}

func TestGridsRefused(t *testing.T) {
	train := sheetfed()
	laid := spread(t, train)
	for _, f := range []Fountain{{0, 30}, {129, 30}, {5, 0}, {5, math.NaN()}, {5, 1e9}} {
		_, err := New(train, laid, f, Fine)
		assert.ErrorContains(t, err, "a fountain of")
	}
	for _, g := range []Grid{{0, 4}, {3, 0}, {3, 17}, {math.NaN(), 4}, {21, 4}} {
		_, err := New(train, laid, wide, g)
		assert.ErrorContains(t, err, "a grid of")
	}
	_, err := New(train, laid, Fountain{128, 30}, Grid{0.5, 16})
	assert.ErrorContains(t, err, "more than can be followed")
	_, err = New(train, laid, Fountain{2, 5}, Fine)
	assert.ErrorContains(t, err, `roller "B" has a stroke of 25 mm, more than the width of the fountain, 10 mm`)
}

// No two nips are on one slot, and all are in order.
func TestNipsApart(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		slots := rapid.IntRange(1, 40).Draw(t, "slots")
		n := rapid.IntRange(1, slots).Draw(t, "nips")
		turns := rapid.SliceOfNDistinct(rapid.Float64Range(0, 0.9999), n, n, rapid.ID[float64]).Draw(t, "at")
		slices.Sort(turns)
		at := apart(turns, slots)
		seen := map[int]bool{}
		rises := 0
		for i, a := range at {
			require.True(t, a >= 0 && a < slots && !seen[a], "%v", at)
			seen[a] = true
			if i > 0 && a < at[i-1] {
				rises++
			}
		}
		require.LessOrEqual(t, rises, 1, "in order round the roller")
	})
}

// The period holds whole cycles of the oscillators, at most 4 % off what the train
// says, and whole strokes of the ductor.
func TestPeriods(t *testing.T) {
	for _, p := range []struct {
		every  int
		turns  float64
		period int
	}{{2, 2, 2}, {2, 4, 4}, {2, 3, 6}, {2, 2.5, 10}, {1, 1, 1}, {3, 5, 15}, {4, 1, 4}} {
		train := sheetfed()
		train.Ductor.EverySheets, train.Turns = p.every, p.turns
		sheets, turns := period(train)
		assert.Equal(t, p.period, sheets)
		assert.InEpsilon(t, p.turns, turns, 1e-12)
	}
	rapid.Check(t, func(t *rapid.T) {
		train := sheetfed()
		train.Ductor.EverySheets, train.Turns = rapid.IntRange(1, 4).Draw(t, "every"), rapid.Float64Range(1, 5).Draw(t, "turns")
		sheets, turns := period(train)
		require.True(t, sheets >= 1 && sheets <= 60 && sheets%train.Ductor.EverySheets == 0)
		require.InEpsilon(t, train.Turns, turns, 0.04)
		cycles := float64(sheets) / turns
		require.InDelta(t, math.Round(cycles), cycles, 1e-9)
	})
}

func TestInStep(t *testing.T) {
	train := sheetfed()
	for turns, want := range map[float64]bool{1: true, 2: true, 2.5: false, 3: false, 4: false} {
		train.Turns = turns
		assert.Equal(t, want, train.InStep(), "%g", turns)
	}
	for i := range train.Rollers {
		train.Rollers[i].StrokeMM = 0
	}
	train.Turns = 2
	assert.False(t, train.InStep())
}

// The longest train there is settles as well.
func TestLongestTrain(t *testing.T) {
	train := sheetfed()
	forms := slices.Clone(train.Rollers[13:])
	train.Rollers = train.Rollers[:13]
	for i := len(train.Rollers); i < MaxRollers-len(forms); i++ {
		train.Rollers = append(train.Rollers, Roller{Name: fmt.Sprint(i), Kind: Rider, DiameterMM: 40 + float64(i), Touches: []string{train.Rollers[[]int{1, 3, 6, 7}[i%4]].Name}})
	}
	train.Rollers = append(train.Rollers, forms...)
	m := model(t, train, Fountain{4, 31.75}, Grid{6, 4})
	st, err := m.Steady(context.Background(), EvenForm(0.02, 0.5, 0, 1), Setting{OpeningPct: []float64{5, 40, 3, 70}})
	require.NoError(t, err)
	assert.InEpsilon(t, st.FedMM3, st.PrintedMM3, 0.01)
}

// Every random train settles, within what the fountain gives.
func TestAnyTrainSettles(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		m, form, setting := anyModel(rt, t)
		st, err := m.Steady(context.Background(), form, setting)
		require.NoError(t, err)
		most := m.train.Feed.FilmFullUM
		for _, film := range st.Sheet.FilmUM {
			require.True(t, film > -0.05*most && film < most, "%g", film)
		}
	})
}
