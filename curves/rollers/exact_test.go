package rollers

import (
	"context"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func repeat(v float64, n int) []float64 { return slices.Repeat([]float64{v}, n) }

// donor has the feeding nip meet a steady film in place of the ductor: the film of
// turning.feed.
func donor(t *turning) {
	t.runs.ductor = false
	t.watch = func(int) {
		t.oscillate(0)
		for j := range t.row(t.m.feed) {
			t.row(t.m.feed)[j] = (t.row(t.m.feed)[j] + t.feed[j]) / 2
		}
	}
}

// A chain is n rollers one behind the other, the last a form roller.
func chain(n int, diameterMM float64) Train {
	t := sheetfed()
	t.Rollers, t.Ductor.Touches = nil, "1"
	for i := range n {
		r := Roller{Name: string(rune('1' + i)), Kind: Distributor, DiameterMM: diameterMM}
		if i > 0 {
			r.Touches = []string{t.Rollers[i-1].Name}
		}
		if i == n-1 {
			r.Kind = FormRoller
		}
		t.Rollers = append(t.Rollers, r)
	}
	return t
}

// By algebra: with film f on all rollers and next to no ink taken, each form
// roller halves the difference of the plate to f, and plate, blanket and paper
// take what they take.
func TestBaseFilms(t *testing.T) {
	for forms, want := range map[int]float64{1: 4, 2: 10. / 3, 3: 22. / 7, 4: 46. / 15} {
		assert.InDelta(t, want, BaseFilm(forms, 0.5), 1e-9)
	}
	assert.InDelta(t, 2.495238, BaseFilm(4, 0.7), 1e-6)
	for _, train := range []Train{sheetfed(), duplicator(), chain(3, 60)} {
		for _, train.Paper = range []float64{0.1, 0.5, 0.7} {
			l, err := NewLine(train, spread(t, train))
			require.NoError(t, err)
			forms := len(l.Shares)
			assert.InDelta(t, BaseFilm(forms, train.Paper), l.A, 1e-9)
			assert.InDeltaSlice(t, Supply(forms), l.Shares, 1e-9)
		}
	}
	assert.InDeltaSlice(t, []float64{8. / 15, 4. / 15, 2. / 15, 1. / 15}, Supply(4), 1e-15)
	assert.InDeltaSlice(t, []float64{2. / 3, 1. / 3}, Supply(2), 1e-15)
}

// Where the plate takes little, the ink that each form roller gives is as the
// algebra says; the model takes it off the films before and behind the plate.
func TestSharesOfSupply(t *testing.T) {
	for _, train := range []Train{sheetfed(), duplicator()} {
		for i := range train.Rollers {
			train.Rollers[i].StrokeMM = 0
		}
		m := model(t, train, Fountain{1, 30}, Grid{3, 1})
		s, err := m.prepare(m.Clean(), EvenForm(1e-3), Setting{OpeningPct: []float64{5}})
		require.NoError(t, err)
		st, err := m.steady(context.Background(), s, nil, 1e-10)
		require.NoError(t, err)
		gives, sum := make([]float64, len(m.forms)), 0.0
		s.watch = func(step int) {
			for i, f := range m.forms {
				if slot := (step - f.plate + m.turn) % m.turn; slot < m.slots {
					film := s.row(f.spot)[0] - s.image(m.plate, slot)[0]
					gives[i] += film
					sum += film
				}
			}
		}
		for range m.period {
			s.turn()
		}
		assert.InDeltaSlice(t, Supply(len(m.forms)), scaled(gives, 1/sum), 1e-3)
		assert.InDelta(t, m.line.A, mean(st.RollersUM[len(train.Rollers)-1])/st.Zones[0].FilmUM, 2e-3*m.line.A)
	}
}

// A donor of film F that is always filled up again, n rollers, and a sink that
// takes half of all: roller i passes on F(n+1−i)/(n+2).
func TestChainOfRollers(t *testing.T) {
	m := model(t, chain(3, 60), Fountain{1, 30}, Grid{3, 1})
	s, err := m.prepare(m.Clean(), EvenForm(1), Setting{OpeningPct: []float64{10}})
	require.NoError(t, err)
	donor(s)
	s.runs.forms, s.runs.impression = false, false
	feed := s.watch
	sink := m.forms[0].spot
	s.watch = func(step int) {
		feed(step)
		s.row(sink)[0] /= 2
	}
	for range 300 {
		s.turn()
	}
	before := func(p spot, back int) float64 {
		return s.row(spot{p.ring, (p.at + back + m.rings[p.ring].slots) % m.rings[p.ring].slots})[0]
	}
	for i, want := range []float64{8, 6, 4, 2} { // leaving the nips with the donor, the rollers and the sink
		places := []spot{m.feed, m.nips[0].up, m.nips[1].up, sink}
		assert.InDelta(t, want, before(places[i], 1), 1e-9, "%d", i)
	}
}

// One roller between a donor of 64 and the sink, from clean: at each turn what is
// missing is a quarter of what it was.
func TestRollerFillsUp(t *testing.T) {
	m := model(t, chain(1, 60), Fountain{1, 30}, Grid{3, 1})
	s, err := m.prepare(m.Clean(), EvenForm(1), Setting{OpeningPct: []float64{64}})
	require.NoError(t, err)
	donor(s)
	s.runs.forms, s.runs.impression = false, false
	feed, sink := s.watch, m.forms[0].spot
	var films []float64
	slots := m.rings[0].slots
	way := (sink.at - m.feed.at + slots) % slots // from donor to sink
	steps := 0
	s.watch = func(step int) {
		feed(step)
		s.row(sink)[0] /= 2
		if steps%slots == way {
			films = append(films, s.row(sink)[0])
		}
		steps++
	}
	for range 2 {
		s.turn()
	}
	assert.Equal(t, []float64{16, 20, 21, 21.25, 21.3125}, films[:5])
	for range 30 {
		s.turn()
	}
	assert.InDelta(t, 64./3, films[len(films)-1], 1e-12)
}

// A form roller that inks a solid bar of 40 slots comes back with less, which
// each turn's refilling halves. The print beyond the bar takes next to nothing.
func TestGhostOfABar(t *testing.T) {
	train := chain(1, 42)
	train.PlateMM, train.ImageMM = 1000, 660
	m := model(t, train, Fountain{1, 30}, Grid{3, 1})
	form := Form{Rows: m.slots, Columns: 1, Cover: make([]float64, m.slots)}
	for slot := range 40 {
		form.Cover[slot] = 1
	}
	s, err := m.prepare(m.Clean(), form, Setting{OpeningPct: []float64{1}})
	require.NoError(t, err)
	donor(s)
	for range 80 {
		s.turn()
	}
	round := m.rings[0].slots
	require.Greater(t, round, 41)
	for turns, want := range []float64{0.25, 0.21875, 0.234375, 0.2421875} {
		assert.InDelta(t, want, s.paper[turns*round+20], 1e-8)
		if turns > 0 {
			assert.InDelta(t, 0.25, s.paper[turns*round+41], 0.1/math.Exp2(float64(3*turns)), "behind the bar's end")
		}
	}
}

// In the steady state the fountain gives what the sheet takes.
func TestFedIsPrinted(t *testing.T) {
	for _, p := range []struct {
		train Train
		f     Fountain
	}{{sheetfed(), Fountain{5, 31.75}}, {duplicator(), Fountain{5, 19.05}}} {
		m := model(t, p.train, p.f, Coarse)
		s, err := m.prepare(m.Clean(), EvenForm(0.1, 0.6, 0, 0.2, 0.9), Setting{OpeningPct: []float64{10, 40, 5, 20, 60}})
		require.NoError(t, err)
		st, err := m.steady(context.Background(), s, nil, 1e-13)
		require.NoError(t, err)
		assert.InEpsilon(t, st.PrintedMM3, st.FedMM3, 1e-11)
		sum := 0.0
		for _, z := range st.Zones {
			sum += z.Cover * z.FilmUM * p.f.ZoneMM * p.train.ImageMM / 1000
		}
		assert.InEpsilon(t, st.PrintedMM3, sum, 1e-9, "coverage, film, length and width of zones")
	}
}

// Films of two settings add up to those of their sum.
func TestSuperposition(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		m, form, a := anyModel(rt, t)
		n := m.fountain.Zones
		b := Setting{OpeningPct: rapid.SliceOfN(rapid.Float64Range(0, 100), n, n).Draw(rt, "others"), StripMM: a.StripMM}
		sum := Setting{OpeningPct: slices.Clone(a.OpeningPct), StripMM: a.StripMM}
		add(sum.OpeningPct, 1, b.OpeningPct)
		var films [3][][]float64
		for i, s := range []Setting{a, b, sum} {
			run, err := m.Run(context.Background(), m.Clean(), form, s, 5)
			require.NoError(t, err)
			films[i] = run.FilmUM
		}
		for sheet := range films[0] {
			add(films[0][sheet], 1, films[1][sheet])
			require.InDeltaSlice(t, films[2][sheet], films[0][sheet], 1e-10*m.train.Feed.FilmFullUM)
		}
	})
}

// With even coverage, a steady donor and no gap the films between the nips are
// those of the mean system, whatever the diameters.
func meanFilmsAgree(t require.TestingT, m *Model, cover float64) {
	s, err := m.prepare(m.Clean(), EvenForm(repeat(cover, m.fountain.Zones)...), Setting{OpeningPct: repeat(50, m.fountain.Zones)})
	require.NoError(t, err)
	donor(s)
	films, _, err := m.settle(context.Background(), s, nil, 1e-13)
	require.NoError(t, err)
	want, err := m.mean.solve(cover)
	require.NoError(t, err)
	feeds := want.film[m.mean.at(m.mean.wires.feed).before] + 2*want.fed()
	scale := s.feed[0] / feeds
	for r, on := range m.mean.arcs {
		for _, a := range on {
			at := m.spot(contact{r, a.at}).at + 1 // just behind the nip
			ring := m.rings[r]
			got := films[ring.first+(2*ring.slots-at)%ring.slots*m.columns]
			require.InDelta(t, scale*want.film[a.film], got, 1e-10*s.feed[0], "roller %d at %g", r, a.at)
		}
	}
	s.write(films)
	s.turn()
	for _, film := range s.paper {
		require.InDelta(t, scale, film, 1e-10*s.feed[0])
	}
}

func TestMeanSystemAgainstTurning(t *testing.T) {
	still := func(train Train) Train { // where rollers move sideways films are not even at the ends
		train.ImageMM = math.Pi * train.PlateMM
		for i := range train.Rollers {
			train.Rollers[i].StrokeMM = 0
		}
		return train
	}
	for _, train := range []Train{sheetfed(), duplicator()} {
		for _, cover := range []float64{0, 0.05, 0.5, 1} {
			meanFilmsAgree(t, model(t, still(train), Fountain{2, 30}, Grid{3, 1}), cover)
		}
	}
	rapid.Check(t, func(rt *rapid.T) {
		train := still(anyTrain(rt))
		meanFilmsAgree(rt, model(t, train, Fountain{2, 30}, Grid{6, 1}), rapid.Float64Range(0, 1).Draw(rt, "cover"))
	})
}

// What all zones get of one key is what one zone gets of all keys.
func TestSumRule(t *testing.T) {
	for _, cover := range []float64{0.05, 0.2, 0.5} {
		m := model(t, sheetfed(), wide, Coarse)
		form := EvenForm(repeat(cover, wide.Zones)...)
		one := make([]float64, wide.Zones)
		one[wide.Zones/2] = 20
		st, err := m.Steady(context.Background(), form, Setting{OpeningPct: one})
		require.NoError(t, err)
		sum := 0.0
		for _, z := range st.Zones {
			sum += z.FilmUM
		}
		all, err := m.Steady(context.Background(), form, Setting{OpeningPct: repeat(20, wide.Zones)})
		require.NoError(t, err)
		assert.InEpsilon(t, all.Zones[wide.Zones/2].FilmUM, sum, 2e-3)
		assert.InEpsilon(t, m.line.FilmUM(20, cover, 0), sum, 1e-2)
	}
}

// The line is near to the model, whose ductor does not feed steadily and whose
// plate has a gap: within 1.5 % for all that ductors do.
func TestLineAgainstModel(t *testing.T) {
	for _, train := range []Train{sheetfed(), duplicator()} {
		for i := range train.Rollers {
			train.Rollers[i].StrokeMM = 0
		}
		for _, train.Ductor.EverySheets = range []int{1, 2, 3, 4} {
			for _, train.Ductor.Duty = range []float64{0.2, 0.3, 0.5} {
				m := model(t, train, Fountain{1, 30}, Grid{3, 1})
				for _, cover := range []float64{0.02, 0.2, 1} {
					key := m.line.FeedUM(1, cover, 0)
					st, err := m.Steady(context.Background(), EvenForm(cover), Setting{OpeningPct: []float64{key}})
					require.NoError(t, err)
					assert.InEpsilon(t, 1, st.Zones[0].FilmUM, 0.015, "%+v at %g", train.Ductor, cover)
				}
			}
		}
	}
}

// At low coverage a film stores A·π·Σd on the rollers.
func TestStoredInk(t *testing.T) {
	for _, train := range []Train{sheetfed(), duplicator()} {
		m := model(t, train, Fountain{3, 30}, Fine)
		form := EvenForm(0, 0, 0)
		st, err := m.Steady(context.Background(), form, Setting{OpeningPct: repeat(5, 3)})
		require.NoError(t, err)
		diameters := train.Ductor.DiameterMM
		for _, r := range train.Rollers {
			diameters += r.DiameterMM
		}
		want := m.line.A * math.Pi * diameters
		stored, err := m.StoredMM3(st.State, form)
		require.NoError(t, err)
		assert.InEpsilon(t, want, stored*1000/90/st.Zones[1].FilmUM, 3e-3)
		assert.InEpsilon(t, want, m.line.StoredUMMM[0], 1e-9)
	}
}

// After a change the film comes nearer by a factor of e in every time constant.
func TestTimeConstant(t *testing.T) {
	for _, train := range []Train{sheetfed(), duplicator()} {
		for _, cover := range []float64{0.1, 0.3, 0.8} {
			m := model(t, train, Fountain{3, 30}, Coarse)
			form := EvenForm(repeat(cover, 3)...)
			st, err := m.Steady(context.Background(), form, Setting{OpeningPct: repeat(20, 3)})
			require.NoError(t, err)
			run, err := m.Run(context.Background(), st.State, form, Setting{OpeningPct: repeat(30, 3)}, 800)
			require.NoError(t, err)
			left := func(sheet int) float64 { return 1.5*st.Zones[1].FilmUM - run.FilmUM[sheet][1] }
			constant := m.line.TimeConstant(cover, 0)
			from := 2 * int(constant)
			sheets := 2 * (int(constant) / 2)
			assert.InEpsilon(t, constant, float64(sheets)/math.Log(left(from)/left(from+sheets)), 0.1)
		}
	}
}

// Keys beside the sheet that are shut take ink back; at A·x they take none. The
// oscillators are not in step with the ductor, which would carry ink to one side.
func TestKeysBesideTheSheet(t *testing.T) {
	train := sheetfed()
	train.Turns = 2.5
	m := model(t, train, wide, Coarse)
	cover := repeat(0.2, wide.Zones)
	cover[0], cover[1], cover[2] = 0, 0, 0
	edge := func(beside float64) float64 {
		keys := repeat(m.line.FeedUM(1, 0.2, 0), wide.Zones)
		keys[0], keys[1], keys[2] = beside, beside, beside
		st, err := m.Steady(context.Background(), EvenForm(cover...), Setting{OpeningPct: keys})
		require.NoError(t, err)
		even := st.Zones[11].FilmUM
		return st.Zones[3].FilmUM / even
	}
	shut, open := edge(0), edge(m.line.A)
	assert.True(t, shut > 0.6 && shut < 0.9, "%g", shut)
	assert.True(t, open > 0.99 && open < 1.001, "%g", open)
}

// Half of the fountain at 5 %, half at 40 %, all keys at a film of 12 µm, strokes
// at every sheet: without mixing each half has its own film; with perfect mixing
// there would be one. Oscillators come between.
func TestMixingBetweenHalves(t *testing.T) {
	train := sheetfed()
	train.Ductor.EverySheets, train.Turns = 1, 2.5
	line, err := NewLine(train, spread(t, train))
	require.NoError(t, err)
	thin, fat := line.FilmUM(12, 0.40, 24), line.FilmUM(12, 0.05, 24)
	mixed := line.FilmUM(12, (0.05+0.40)/2, 24)
	// Of a train of four forms whose R is next to 2.9.
	assert.InEpsilon(t, 2.3058, fat, 0.02)
	assert.InEpsilon(t, 0.5930, thin, 0.02)
	assert.InEpsilon(t, 0.9433, mixed, 0.02)
	cover := append(repeat(0.05, 4), repeat(0.40, 4)...)
	means := func(stroke float64) (a, b float64) {
		for i, r := range train.Rollers {
			if r.Kind == Oscillator {
				train.Rollers[i].StrokeMM = stroke
			}
		}
		m := model(t, train, Fountain{8, 31.75}, Coarse)
		st, err := m.Steady(context.Background(), EvenForm(cover...), Setting{OpeningPct: repeat(12, 8)})
		require.NoError(t, err)
		return st.Zones[3].FilmUM, st.Zones[4].FilmUM
	}
	a, b := means(0)
	assert.InEpsilon(t, fat, a, 0.01)
	assert.InEpsilon(t, thin, b, 0.01)
	for _, stroke := range []float64{10, 20, 30} {
		c, d := means(stroke)
		assert.True(t, mixed < c && c < a && b < d && d < mixed, "%g: %g %g", stroke, c, d)
		a, b = c, d
	}
}

// Where a zone's ink stands along the sheet hardly matters to its film.
func TestPlaceAlongTheSheet(t *testing.T) {
	m := model(t, sheetfed(), Fountain{3, 31.75}, Coarse)
	var films []float64
	for third := range 3 {
		f := Form{Rows: 3, Columns: 1, Cover: make([]float64, 3)}
		f.Cover[third] = 0.6
		st, err := m.Steady(context.Background(), f, Setting{OpeningPct: repeat(20, 3)})
		require.NoError(t, err)
		films = append(films, st.Zones[1].FilmUM)
	}
	assert.Less(t, slices.Max(films)/slices.Min(films), 1.005)
}

// Where no roller moves sideways no column knows of another.
func TestColumnsApartWithoutStroke(t *testing.T) {
	train := sheetfed()
	for i := range train.Rollers {
		train.Rollers[i].StrokeMM = 0
	}
	m := model(t, train, Fountain{3, 31.75}, Coarse)
	run := func(cover, key float64) *Startup {
		r, err := m.Run(context.Background(), m.Clean(), EvenForm(0.3, cover, 0.1), Setting{OpeningPct: []float64{10, key, 20}}, 20)
		require.NoError(t, err)
		return r
	}
	a, b := run(0.2, 50), run(0.9, 0)
	for sheet := range a.FilmUM {
		assert.Equal(t, a.FilmUM[sheet][0], b.FilmUM[sheet][0])
		assert.Equal(t, a.FilmUM[sheet][2], b.FilmUM[sheet][2])
	}
}
