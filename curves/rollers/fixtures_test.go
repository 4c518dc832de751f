package rollers

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// sheetfed is an invented train of a 26-inch press: 17 rollers, four of them form
// rollers, and a ductor.
func sheetfed() Train {
	d := func(name string, kind Kind, mm float64, touches ...string) Roller {
		r := Roller{Name: name, Kind: kind, Surface: Rubber, DiameterMM: mm, Touches: touches}
		if kind == Oscillator {
			r.Surface, r.StrokeMM = Hard, 25
		}
		return r
	}
	return Train{
		PlateMM: 220, ImageMM: 480, Paper: 0.5, Split: 0.5, Turns: 2,
		Ductor: Ductor{DiameterMM: 60, Touches: "A", EverySheets: 2, Duty: 0.4},
		Rollers: []Roller{
			d("A", Distributor, 68),
			d("B", Oscillator, 84, "A"),
			d("C", Distributor, 62, "B"),
			d("D", Oscillator, 80, "C"),
			d("E", Distributor, 66, "D"),
			d("F", Distributor, 70, "D"),
			d("G", Oscillator, 82, "E"),
			d("H", Oscillator, 78, "F"),
			d("I", Rider, 50, "B"),
			d("J", Rider, 52, "D"),
			d("K", Rider, 48, "G"),
			d("L", Rider, 54, "H"),
			d("M", Distributor, 58, "B"),
			d("form 1", FormRoller, 60, "G"),
			d("form 2", FormRoller, 66, "G"),
			d("form 3", FormRoller, 72, "H"),
			d("form 4", FormRoller, 78, "H"),
		},
		Feed: Feed{FilmFullUM: 100, StripMM: 24},
	}
}

// duplicator is an invented train of a small press: 8 rollers and a ductor.
func duplicator() Train {
	t := sheetfed()
	t.PlateMM, t.ImageMM = 158, 420
	t.Ductor.DiameterMM = 44
	t.Rollers = []Roller{
		{Name: "A", Kind: Distributor, DiameterMM: 46},
		{Name: "B", Kind: Oscillator, DiameterMM: 54, Touches: []string{"A"}, StrokeMM: 12},
		{Name: "C", Kind: Distributor, DiameterMM: 42, Touches: []string{"B"}},
		{Name: "D", Kind: Oscillator, DiameterMM: 52, Touches: []string{"C"}, StrokeMM: 12},
		{Name: "E", Kind: Rider, DiameterMM: 36, Touches: []string{"B"}},
		{Name: "F", Kind: Rider, DiameterMM: 38, Touches: []string{"D"}},
		{Name: "form 1", Kind: FormRoller, DiameterMM: 44, Touches: []string{"D"}},
		{Name: "form 2", Kind: FormRoller, DiameterMM: 48, Touches: []string{"D"}},
	}
	return t
}

var (
	wide   = Fountain{Zones: 21, ZoneMM: 31.75} // the sheetfed train's
	narrow = Fountain{Zones: 15, ZoneMM: 19.05}
)

// spread lays a train without regard to space: nips lie round each roller at equal
// distances, in the order in which rollers name each other; form rollers ink the
// plate, in the train's order, over the half of it that looks up.
func spread(t testing.TB, train Train) *Laid {
	t.Helper()
	index := func(name string) int {
		i := slices.IndexFunc(train.Rollers, func(r Roller) bool { return r.Name == name })
		require.GreaterOrEqual(t, i, 0, name)
		return i
	}
	l := &Laid{Plate: Circle{DiameterMM: train.PlateMM, Clockwise: true}, Rollers: make([]Circle, len(train.Rollers))}
	l.Nips = append(l.Nips, Nip{A: index(train.Ductor.Touches), B: DuctorSurface})
	forms := 0
	for i, r := range train.Rollers {
		l.Rollers[i].DiameterMM = r.DiameterMM
		for _, to := range r.Touches {
			l.Nips = append(l.Nips, Nip{A: i, B: index(to)})
		}
		if r.Kind == FormRoller {
			forms++
			l.Nips = append(l.Nips, Nip{A: i, B: PlateSurface, BDeg: float64(forms)})
		}
	}
	count := make([]int, len(train.Rollers))
	for _, n := range l.Nips {
		count[n.A]++
		if n.B >= 0 {
			count[n.B]++
		}
	}
	at := make([]int, len(train.Rollers))
	place := func(r int) float64 {
		at[r]++
		return math.Mod(17*float64(r)+360*float64(at[r]-1)/float64(count[r]), 360)
	}
	for i, n := range l.Nips {
		l.Nips[i].ADeg = place(n.A)
		switch n.B {
		case PlateSurface:
			l.Nips[i].BDeg = 190 - 180*n.BDeg/float64(forms+1)
		case DuctorSurface:
		default:
			l.Nips[i].BDeg = place(n.B)
		}
	}
	return l
}

func model(t testing.TB, train Train, f Fountain, g Grid) *Model {
	t.Helper()
	m, err := New(train, spread(t, train), f, g)
	require.NoError(t, err)
	return m
}
