package rollers

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"bladeline/curves/settings"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func roller(name string, kind Kind, mm float64, touches ...string) Roller {
	return Roller{Name: name, Kind: kind, Surface: Rubber, DiameterMM: mm, Touches: touches}
}

// small is a train with a loop: two forms, an oscillator on both, and on that a
// chain up to the ductor.
func small() Train {
	return Train{
		PlateMM: 158, ImageMM: 420, Paper: 0.5, Split: 0.5, Turns: 2,
		Ductor: Ductor{DiameterMM: 40, Touches: "upper", EverySheets: 2, Duty: 0.4},
		Rollers: []Roller{
			roller("first form", FormRoller, 44), roller("second form", FormRoller, 48),
			roller("oscillator", Oscillator, 52, "first form", "second form"),
			roller("bridge", Distributor, 46, "oscillator"),
			roller("upper", Oscillator, 54, "bridge"),
			roller("rider", Rider, 30, "bridge"),
		},
	}
}

// tangencies are how exactly touching circles touch, in mm, and how far others are
// apart at least.
func tangencies(t require.TestingT, train Train, l *Laid) (worst, nearest float64) {
	circles := append(slices.Clone(l.Rollers), l.Ductor, l.Plate, l.Blanket)
	at := func(i int) int {
		return map[int]int{DuctorSurface: len(l.Rollers), PlateSurface: len(l.Rollers) + 1}[i]
	}
	touching := map[[2]int]bool{}
	for _, nip := range l.Nips {
		a, b := nip.A, nip.B
		if a < 0 {
			a = at(a)
		}
		if b < 0 {
			b = at(b)
		}
		touching[[2]int{min(a, b), max(a, b)}] = true
	}
	touching[[2]int{len(l.Rollers) + 1, len(l.Rollers) + 2}] = true
	nearest = math.Inf(1)
	for i, a := range circles {
		for j, b := range circles[:i] {
			gap := math.Hypot(a.XMM-b.XMM, a.YMM-b.YMM) - (a.DiameterMM+b.DiameterMM)/2
			if touching[[2]int{j, i}] {
				worst = max(worst, math.Abs(gap))
				require.NotEqual(t, a.Clockwise, b.Clockwise, "rollers that touch turn opposite ways: %v", train)
			} else {
				nearest = min(nearest, gap)
			}
		}
	}
	return worst, nearest
}

func TestLayTouchesWhatItShould(t *testing.T) {
	l, err := Lay(small())
	require.NoError(t, err)
	worst, nearest := tangencies(t, small(), l)
	assert.Less(t, worst, 1e-9, "mm")
	assert.GreaterOrEqual(t, nearest, 0.0)
	assert.Len(t, l.Nips, 8, "2 on the plate, 2 of the oscillator, 3 of the bridge's chain and rider, 1 of the ductor")
	assert.True(t, l.Plate.Clockwise)
	assert.False(t, l.Rollers[0].Clockwise)
	assert.True(t, l.Rollers[2].Clockwise)
	assert.Greater(t, l.Rollers[2].YMM, l.Rollers[0].YMM, "away from the plate")
	assert.Less(t, l.Rollers[0].XMM, l.Rollers[1].XMM, "the plate turns clockwise, from the blanket to the first form at the left")
	for _, nip := range l.Nips {
		assert.InDelta(t, 180, apartDeg(nip.ADeg, nip.BDeg), 1e-9)
	}
}

// Equal circles that touch one another lie at the corners of an equilateral triangle
// (Euclid, Elements I.1), and four of which each touches two at those of a rhombus.
func TestLayOfEqualCircles(t *testing.T) {
	train := Train{PlateMM: 100, Ductor: Ductor{DiameterMM: 100, Touches: "over"}, Rollers: []Roller{
		{Name: "left", Kind: FormRoller, DiameterMM: 100, AtDeg: new(120.0)},
		{Name: "right", Kind: FormRoller, DiameterMM: 100, AtDeg: new(60.0)},
		roller("over", Distributor, 100, "left", "right"),
	}}
	l, err := Lay(train)
	require.NoError(t, err, "60 degrees apart the forms just touch, and do not overlap")
	assert.InDelta(t, 0, l.Rollers[2].XMM, 1e-9)
	assert.InDelta(t, 173.20508075688772, l.Rollers[2].YMM, 1e-9, "two heights of such a triangle")
	train.Rollers[1].AtDeg = new(30.0)
	l, err = Lay(train)
	require.NoError(t, err)
	// The forms are 90 degrees apart at the plate, so the rhombus is a square of side 100.
	assert.InDelta(t, -50+86.60254037844386, l.Rollers[2].XMM, 1e-9)
	assert.InDelta(t, 86.60254037844386+50, l.Rollers[2].YMM, 1e-9)
}

func TestLayRefuses(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*Train)
		want   string
	}{
		"no roller":         {func(t *Train) { t.Rollers = nil }, "rollers: 0 rollers are outside 1 to 60; "},
		"too many":          {func(t *Train) { t.Rollers = make([]Roller, 61) }, "rollers: 61 rollers are outside 1 to 60; "},
		"no name":           {func(t *Train) { t.Rollers[1].Name = " " }, "rollers: roller 2: name: it has no name of one line; "},
		"name of the press": {func(t *Train) { t.Rollers[1].Name = "Plate" }, `rollers: roller "Plate": name: is what another part of the press is called; `},
		"one name":          {func(t *Train) { t.Rollers[1].Name = "First Form" }, `rollers: roller "First Form": name: two rollers have this name: capitals make no difference; `},
		"unknown":           {func(t *Train) { t.Rollers[3].Touches = []string{"osc"} }, `rollers: roller "bridge": touches: there is no roller "osc"; name one of these: "first form", `},
		"plate named":       {func(t *Train) { t.Rollers[3].Touches = []string{"plate"} }, `rollers: roller "bridge": touches: "plate" is no roller that can be named here; a roller on the plate has kind = "form"`},
		"itself":            {func(t *Train) { t.Rollers[3].Touches = []string{"BRIDGE"} }, `rollers: roller "bridge": touches: it cannot touch itself; `},
		"tiny":              {func(t *Train) { t.Rollers[3].DiameterMM = 1e-9 }, `rollers: roller "bridge": diameter_mm: 0.000000001 is outside 10 to 500; `},
		"not a number":      {func(t *Train) { t.Rollers[3].DiameterMM = math.NaN() }, `rollers: roller "bridge": diameter_mm: NaN is outside 10 to 500; `},
		"tiny plate":        {func(t *Train) { t.PlateMM = 1e-9 }, "plate_mm: 0.000000001 is outside 50 to 1000; "},
		"tiny ductor":       {func(t *Train) { t.Ductor.DiameterMM = 1e-9 }, "ductor.diameter_mm: 0.000000001 is outside 10 to 500; "},
		"endless angle":     {func(t *Train) { t.Rollers[0].AtDeg = new(math.Inf(1)) }, `rollers: roller "first form": at_deg: +Inf is outside -360 to 360; `},
		"ductor of none":    {func(t *Train) { t.Ductor.Touches = "" }, `ductor.touches: there is no roller ""; `},
		"no form":           {func(t *Train) { t.Rollers[0].Kind, t.Rollers[1].Kind = Rider, Rider }, `rollers: no roller inks the plate; give those that touch it kind = "form"`},
		"nothing holds it":  {func(t *Train) { t.Rollers[5].Touches = nil }, `rollers: roller "rider": touches: nothing holds it; `},
		"no ink for it": {func(t *Train) {
			t.Rollers = append(t.Rollers, roller("a", Rider, 30, "b"), roller("b", Rider, 30, "a"))
		}, `rollers: roller "a": touches: no chain of rollers leads from the ductor to it; `},
		"forms apart":        {func(t *Train) { t.Rollers[2].Touches = []string{"first form"} }, `rollers: roller "second form": touches: no chain of rollers leads from the ductor to it; `},
		"against each other": {func(t *Train) { t.Rollers[4].Touches = []string{"bridge", "oscillator"} }, `rollers: roller "bridge": touches: it touches "upper", and the rollers between them turn both `},
		"nips on one spot":   {func(t *Train) { t.Rollers[0].AtDeg, t.Rollers[1].AtDeg = new(90.0), new(90.0) }, `rollers: roller "second form": touches: where it would lie it overlaps "first form" by `},
		"forms overlap":      {func(t *Train) { t.Rollers[0].AtDeg, t.Rollers[1].AtDeg = new(90.0), new(80.0) }, `rollers: roller "second form": touches: where it would lie it overlaps "first form" by `},
		"form in blanket":    {func(t *Train) { t.Rollers[0].AtDeg = new(260.0) }, `rollers: roller "first form": touches: where it would lie it overlaps the blanket by `},
		"out of reach":       {func(t *Train) { t.Rollers[0].AtDeg, t.Rollers[1].AtDeg = new(170.0), new(10.0) }, `rollers: roller "oscillator": touches: it cannot touch "first form" and "second form" at once: they lie `},
		"angle said wrongly": {func(t *Train) {
			t.Rollers[0].AtDeg, t.Rollers[1].AtDeg, t.Rollers[2].AtDeg = new(107.0), new(74.0), new(180.0)
		}, `rollers: roller "oscillator": at_deg: the rollers that it touches hold it at `},
		"third touch": {func(t *Train) {
			t.Rollers = append(t.Rollers, roller("third form", FormRoller, 48))
			t.Rollers[2].Touches = append(t.Rollers[2].Touches, "third form")
		}, `rollers: roller "oscillator": touches: where the other rollers hold it it is `},
		"crowd": {func(t *Train) {
			for i := range 20 {
				t.Rollers = append(t.Rollers, roller(fmt.Sprint("rider ", i), Rider, 40, "bridge"))
			}
		}, `there is no room for it on "bridge"; `},
	} {
		t.Run(name, func(t *testing.T) {
			train := small()
			c.change(&train)
			l, err := Lay(train)
			require.Nil(t, l)
			var place *settings.FileError
			require.ErrorAs(t, err, &place)
			assert.Contains(t, err.Error(), c.want)
			assert.NotContains(t, err.Error(), "\n")
			assert.NotEmpty(t, place.Do)
		})
	}
}

// The order in which a file names its rollers, and which of two names the other,
// does not move them.
func TestLayInAnyOrder(t *testing.T) {
	want, err := Lay(small())
	require.NoError(t, err)
	train := small()
	slices.Reverse(train.Rollers[2:])
	train.Rollers[0].Touches, train.Rollers[1].Touches = []string{"OSCILLATOR"}, []string{"oscillator"}
	l, err := Lay(train)
	require.NoError(t, err)
	assert.Equal(t, want.Rollers[:2], l.Rollers[:2])
	assert.InDelta(t, want.Rollers[2].XMM, l.Rollers[5].XMM, 1e-9)
	assert.InDelta(t, want.Rollers[2].YMM, l.Rollers[5].YMM, 1e-9)
}

// nearestNips is how far apart two nips of a surface lie at least, round it, in mm.
func nearestNips(train Train, l *Laid) float64 {
	spots, nearest := map[int][]float64{}, math.Inf(1)
	for _, nip := range l.Nips {
		for at, deg := range map[int]float64{nip.A: nip.ADeg, nip.B: nip.BDeg} {
			d := train.Ductor.DiameterMM
			switch {
			case at == PlateSurface:
				d = train.PlateMM
			case at >= 0:
				d = train.Rollers[at].DiameterMM
			}
			for _, other := range spots[at] {
				nearest = min(nearest, math.Pi*d*apartDeg(deg, other)/360)
			}
			spots[at] = append(spots[at], deg)
		}
	}
	return nearest
}

// looseTrain is a random train: mostly one whose rollers hang on earlier ones.
func looseTrain(t *rapid.T) Train {
	n := rapid.IntRange(1, 40).Draw(t, "rollers")
	train := Train{PlateMM: rapid.Float64Range(50, 1000).Draw(t, "plate"), Ductor: Ductor{DiameterMM: rapid.Float64Range(10, 100).Draw(t, "ductor")}}
	for i := range n {
		r := Roller{Name: fmt.Sprint(i), Kind: Distributor, DiameterMM: rapid.Float64Range(10, 200).Draw(t, "mm")}
		switch {
		case i == 0 || rapid.IntRange(0, 5).Draw(t, "form") == 0:
			r.Kind = FormRoller
		default:
			for range rapid.IntRange(1, 2).Draw(t, "touches") {
				r.Touches = append(r.Touches, fmt.Sprint(rapid.IntRange(0, i-1).Draw(t, "touch")))
			}
		}
		if rapid.IntRange(0, 4).Draw(t, "at") == 0 {
			r.AtDeg = new(rapid.Float64Range(-360, 360).Draw(t, "deg"))
		}
		train.Rollers = append(train.Rollers, r)
	}
	train.Ductor.Touches = fmt.Sprint(rapid.IntRange(0, n-1).Draw(t, "ducted"))
	return train
}

// A train is either laid so that all touch what they should, and nothing else, or
// refused with a place.
func TestLayOfAnyTrain(t *testing.T) {
	laid := 0
	rapid.Check(t, func(t *rapid.T) {
		train := looseTrain(t)
		l, err := Lay(train)
		if err != nil {
			var place *settings.FileError
			require.ErrorAs(t, err, &place)
			require.NotEmpty(t, place.Place)
			require.NotEmpty(t, place.Do)
			return
		}
		laid++
		worst, nearest := tangencies(t, train, l)
		require.LessOrEqual(t, worst, contactMM)
		require.GreaterOrEqual(t, nearest, -roundOff)
		require.GreaterOrEqual(t, nearestNips(train, l), 5.2)
	})
	assert.NotZero(t, laid)
}

// FuzzLay makes trains of a text: a line a roller, its kind's first letter, its
// diameter, and what it touches.
func FuzzLay(f *testing.F) {
	f.Add("f 44\nf 48\no 52 0 1\nd 46 2\no 54 3\nr 30 3", 158.0, 40.0, "4")
	f.Add("f 1e-9", 158.0, 40.0, "0")
	f.Add("f 44\nd 30 0\nd 30 1 0", 100.0, 40.0, "2")
	f.Add(strings.Repeat("f 10\n", 60), 1000.0, 10.0, "0")
	f.Fuzz(func(t *testing.T, text string, plate, ductor float64, ducted string) {
		train := Train{PlateMM: plate, Ductor: Ductor{DiameterMM: ductor, Touches: ducted}}
		kinds := map[byte]Kind{'f': FormRoller, 'o': Oscillator, 'r': Rider}
		for i, line := range strings.Split(text, "\n") {
			words := strings.Fields(line)
			if len(words) < 2 {
				continue
			}
			r := Roller{Name: fmt.Sprint(i), Kind: kinds[words[0][0]], Touches: words[2:]}
			fmt.Sscan(words[1], &r.DiameterMM)
			train.Rollers = append(train.Rollers, r)
		}
		l, err := Lay(train)
		if err != nil {
			require.NotContains(t, err.Error(), "\n")
			return
		}
		worst, nearest := tangencies(t, train, l)
		require.LessOrEqual(t, worst, contactMM)
		require.GreaterOrEqual(t, nearest, -roundOff)
	})
}

// A riddle that no places solve, of as many rollers as there may be, is refused in
// bounded time.
func BenchmarkLayRiddle(b *testing.B) {
	train := small()
	for i := len(train.Rollers); i < MaxRollers; i++ {
		train.Rollers = append(train.Rollers, roller(fmt.Sprint(i), Rider, 30, "bridge"))
	}
	for b.Loop() {
		_, err := Lay(train)
		require.Error(b, err)
	}
}
