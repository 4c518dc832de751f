package rollers

import (
	"context"
	"fmt"
	"math"
	"slices"
)

// A Charge is how clean rollers are best inked before a run: the keys of some zones alike
// at OpeningPct, the others as in the job, for so many turns of the plate, form rollers off it, then
// the setting of the job.
type Charge struct {
	OpeningPct float64
	Turns      int
	FilmUM     float64  // mean film on the rollers after it
	Sheets     int      // until all zones with image stay within 10 % of their steady films
	Startup    *Startup // of that run
}

// Bounds of the search for a charge.
const (
	chargeShare  = 0.10 // off the steady films
	chargeSheets = 60   // looked at
	chargeTurns  = 200  // at most
	sheetTurns   = 25   // turns without paper that cost as much as a sheet. Common practice, no source
)

// Charge looks for the charge that takes the fewest sheets until all zones stand,
// and few turns before them, at the openings that are offered, in %; with none,
// at every 5 %. Zones, from the left, are those that are charged; nil: all. St is the
// steady state of the form and setting.
func (m *Model) Charge(ctx context.Context, st *Steady, f Form, s Setting, zones []bool, openings ...float64) (*Charge, error) {
	if zones == nil {
		zones = slices.Repeat([]bool{true}, m.fountain.Zones)
	}
	if len(openings) == 0 {
		for o := 5.0; o <= 100; o += 5 {
			openings = append(openings, o)
		}
	}
	cover, err := m.cover(f)
	if err != nil {
		return nil, err
	}
	rough, err := m.withSlots(Rough.SlotMM)
	if err != nil {
		return nil, err
	}
	search := &charging{m: rough, form: Form{m.slots, m.columns, cover}, setting: s, zones: zones, targets: st.targets()}
	best, err := search.best(ctx, openings)
	if err != nil {
		return nil, err
	}
	return m.charged(ctx, best, search)
}

// targets are the films of the zones that print.
func (s *Steady) targets() []float64 {
	films := s.films()
	for z, zone := range s.Zones {
		if zone.Cover == 0 {
			films[z] = 0
		}
	}
	return films
}

// charged follows a charge and the run after it on the model's own grid.
func (m *Model) charged(ctx context.Context, c Charge, search *charging) (*Charge, error) {
	alike := Setting{slices.Clone(search.setting.OpeningPct), search.setting.StripMM}
	for z, charged := range search.zones {
		if charged {
			alike.OpeningPct[z] = c.OpeningPct
		}
	}
	from, err := m.Idle(ctx, m.Clean(), alike, c.Turns, true)
	if err != nil {
		return nil, err
	}
	c.FilmUM = mean(from.films[:m.plate])
	if c.Startup, err = m.Run(ctx, from, search.form, search.setting, chargeSheets); err != nil {
		return nil, err
	}
	c.Sheets, _ = c.Startup.Within(search.targets, chargeShare)
	return &c, nil
}

func mean(v []float64) float64 {
	sum := 0.0
	for _, x := range v {
		sum += x
	}
	return sum / float64(len(v))
}

// A charging is the search for a charge. All is linear: the films of a run are
// those from clean rollers with the setting, and those that the charge leaves
// without ink coming in.
type charging struct {
	m       *Model
	form    Form
	setting Setting
	zones   []bool // that are charged
	targets []float64
	clean   *Startup
}

func (c *charging) best(ctx context.Context, openings []float64) (Charge, error) {
	var err error
	if c.clean, err = c.m.Run(ctx, c.m.Clean(), c.form, c.setting, chargeSheets); err != nil {
		return Charge{}, err
	}
	even, err := c.drained(ctx, c.m.Even(1))
	if err != nil {
		return Charge{}, err
	}
	film := c.rightFilm(even)
	unit, err := c.unitCharges(ctx)
	if err != nil {
		return Charge{}, err
	}
	best, least := Charge{}, math.Inf(1)
	for _, o := range openings {
		if !(o > 0 && o <= 100) {
			return Charge{}, fmt.Errorf("a charge with all keys at %g %%", o)
		}
		turns := slices.IndexFunc(unit, func(s *State) bool { return o*mean(s.films[:len(s.films)-2*c.m.slots]) >= film })
		if turns < 0 {
			continue // it would take too long
		}
		run, err := c.drained(ctx, c.m.widened(unit[turns], turns, c.shares(o)))
		if err != nil {
			return Charge{}, err
		}
		sheets, _ := c.sum(run, o).Within(c.targets, chargeShare)
		if cost := float64(sheets) + float64(turns)/sheetTurns; cost < least {
			least = cost
			best = Charge{OpeningPct: o, Turns: turns, Sheets: sheets}
		}
	}
	if best.OpeningPct == 0 {
		return best, fmt.Errorf("no opening that is offered charges the rollers within %d turns", chargeTurns)
	}
	return best, nil
}

// drained is a run from a state without ink coming in.
func (c *charging) drained(ctx context.Context, from *State) (*Startup, error) {
	shut := Setting{make([]float64, c.m.fountain.Zones), c.setting.StripMM}
	return c.m.Run(ctx, from, c.form, shut, chargeSheets)
}

// sum is the run from so many times a drained one's state.
func (c *charging) sum(drained *Startup, times float64) *Startup {
	run := &Startup{}
	for sheet, films := range c.clean.FilmUM {
		films = slices.Clone(films)
		add(films, times, drained.FilmUM[sheet])
		run.FilmUM = append(run.FilmUM, films)
	}
	return run
}

// rightFilm is the even film on the rollers from which the zones stand soonest;
// of those that are alike in this, the one whose first sheets are nearest.
func (c *charging) rightFilm(even *Startup) float64 {
	bestFilm, bestSheets, bestOff := 0.0, math.MaxInt, math.Inf(1)
	for step := range 200 {
		film := float64(step) / 50 * c.m.line.A * slices.Max(append([]float64{0.01}, c.targets...))
		run := c.sum(even, film)
		sheets, _ := run.Within(c.targets, chargeShare)
		off := 0.0
		for _, films := range run.FilmUM {
			for z, target := range c.targets {
				if target > 0 {
					off += math.Pow(films[z]/target-1, 2)
				}
			}
		}
		if sheets < bestSheets || sheets == bestSheets && off < bestOff {
			bestFilm, bestSheets, bestOff = film, sheets, off
		}
	}
	return bestFilm
}

// unitCharges are the films of one column after each number of turns with all
// keys at 1 %. All columns are alike, so that moving sideways changes nothing.
func (c *charging) unitCharges(ctx context.Context) ([]*State, error) {
	still := c.m.train
	still.Rollers = slices.Clone(still.Rollers)
	for i := range still.Rollers {
		still.Rollers[i].StrokeMM = 0
	}
	one, err := New(still, c.m.laid, Fountain{1, c.m.fountain.ZoneMM}, Grid{c.m.grid.SlotMM, 1})
	if err != nil {
		return nil, err
	}
	states := []*State{one.Clean()}
	for turns := range chargeTurns {
		state, err := one.Idle(ctx, states[turns], Setting{[]float64{1}, c.setting.StripMM}, 1, true)
		if err != nil {
			return nil, err
		}
		states = append(states, state)
	}
	return states, nil
}

// shares are the zones' openings beside that of the charge.
func (c *charging) shares(openingPct float64) []float64 {
	shares := slices.Repeat([]float64{1}, len(c.zones))
	for z, charged := range c.zones {
		if !charged {
			shares[z] = c.setting.OpeningPct[z] / openingPct
		}
	}
	return shares
}

// widened has the columns of every zone as so many times one has them after so many turns.
// What moves sideways between zones meanwhile is left out: charged follows it.
func (m *Model) widened(one *State, turns int, shares []float64) *State {
	s := &State{films: make([]float64, m.cells), sheet: turns % m.period}
	for row := range m.plate / m.columns {
		for j := range m.columns {
			s.films[row*m.columns+j] = shares[j*len(shares)/m.columns] * one.films[row]
		}
	}
	return s
}
