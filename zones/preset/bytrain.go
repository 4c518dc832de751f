package preset

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"bladeline/curves"
	"bladeline/curves/rollers"
	"bladeline/zones"
	"bladeline/zones/press"
)

// ByTrain says of a unit that its keys were solved together on the roller train of its
// press, for an even film.
type ByTrain struct {
	Fitted     bool      `json:"fitted"`       // the train was tied to what this press printed; where not, all is a trend
	FilmUM     *float64  `json:"film_um"`      // that is wanted on the sheet; nil: what the curve's keys would print, whatever that is
	FilmOffPct []float64 `json:"film_off_pct"` // by zone, how far the film of the keys as set lies off that, or off their own mean by ink where it is nil; 0 where nothing prints
}

// Trend is what every result of a train that was not fitted carries.
const Trend = "trend, not measured on this press"

// usualFilmUM is the film of a solid where a press's file states none of the ink.
// ISO 2846-1 has inks judged at 0.7 to 1.3 µm, as it is quoted.
const usualFilmUM = 1.0

// evenPct is how far a film may lie off what is wanted, in %, without a word: about
// 0.03 of density. Common practice, no source.
const evenPct = 5.0

// NewByTrain is New with keys that are solved together on the press's roller train,
// so that all zones print one film: no curve knows what zones take from each other.
// Keys off the sheet are solved as well. The film is that of the ink; of a train
// that was not fitted it is what the curve's keys would print on the whole.
//
// A press without a train is refused as [NewTrain] does.
func NewByTrain(ctx context.Context, job string, on *press.Press, units []UnitInput, takeOffPct float64) (*Preset, error) {
	return newBy(job, on, units, takeOffPct, onTrain(ctx, on))
}

// FromCoverageByTrain is FromCoverage likewise.
func FromCoverageByTrain(ctx context.Context, job string, on *press.Press, units []CoverageInput) (*Preset, error) {
	return fromCoverage(job, on, units, onTrain(ctx, on))
}

// A settling sets the keys of a preset that was made by curves anew.
type settling func(p *Preset, laid []laidUnit) error

func byCurve(*Preset, []laidUnit) error { return nil }

func onTrain(ctx context.Context, on *press.Press) settling {
	return func(p *Preset, laid []laidUnit) error {
		p.Warnings = slices.DeleteFunc(p.Warnings, func(w zones.Warning) bool { return w.Code == CodeScale })
		for i := range laid {
			if err := p.Units[i].solve(ctx, &laid[i], on.InUnit(laid[i].Station.Unit)); err != nil {
				return fmt.Errorf("ink %s: %w", p.Units[i].Ink, err)
			}
		}
		return nil
	}
}

// A solving is one unit whose keys are looked for on its train.
type solving struct {
	*Train
	in     *laidUnit
	on     *press.Press // as the unit has it
	form   rollers.Form
	covers []float64 // by zone, 0 to 1, of the length that the train inks
	filmUM float64
}

// solve sets the unit's keys and sweep anew. Where nothing prints they stay.
func (u *Unit) solve(ctx context.Context, in *laidUnit, on *press.Press) error {
	t, err := NewTrain(on, rollers.Fine)
	if err != nil {
		return err
	}
	s := &solving{Train: t, in: in, on: on, covers: coversOn(on, in)}
	s.spread()
	if s.filmUM, err = s.wantedUM(ctx); err != nil {
		return err
	}
	u.ByTrain = &ByTrain{Fitted: t.Fitted(), FilmOffPct: make([]float64, len(in.Zones))}
	if t.Fitted() {
		u.Curve, u.ByTrain.FilmUM = nil, new(s.filmUM)
	}
	if s.filmUM == 0 {
		return nil
	}
	found, err := s.atSweeps(ctx)
	if err != nil {
		return err
	}
	return s.settle(ctx, u, found)
}

// spread makes a form of the coverages. How ink stands in a zone moves its mean film by
// less than a step of its key.
func (s *solving) spread() {
	pct := make([]float64, len(s.covers))
	for i, c := range s.covers {
		pct[i] = 100 * c
	}
	s.form = s.EvenForm(pct)
}

// coversOn are the coverages of a unit's zones, 0 to 1, on the train's image.
func coversOn(on *press.Press, in *laidUnit) []float64 {
	covers := make([]float64, len(in.Zones))
	for i, z := range in.Zones {
		covers[i] = coverOn(on, in.LengthMM, z.CoveragePct)
	}
	return covers
}

// coverOn refers a coverage, which holds for a length of image, to the one that the
// train inks; 0 to 1. A length that is not known, 0, is the press's.
func coverOn(on *press.Press, lengthMM, coveragePct float64) float64 {
	if lengthMM == 0 {
		lengthMM = cmp.Or(on.PrintLengthMM, on.Train.ImageMM)
	}
	return min(1, coveragePct/100*lengthMM/on.Train.ImageMM)
}

// prints tells whether the i-th zone prints.
func (s *solving) prints(i int) bool {
	return s.in.Zones[i].CoveragePct >= printsPct && !s.in.Zones[i].OffSheet
}

// wantedUM is the film that is wanted: the ink's, of a fitted train; of another the mean
// by ink of what the curve's openings, held by nothing, print on it at the sweep that
// the curve holds at. It is 0 where nothing prints.
func (s *solving) wantedUM(ctx context.Context) (float64, error) {
	var all float64
	for i, c := range s.covers {
		if s.prints(i) {
			all += c
		}
	}
	switch {
	case all == 0:
		return 0, nil
	case s.Fitted():
		return filmOf(s.on, s.in.Ink), nil
	}
	openings := make([]float64, len(s.in.Zones))
	for i, z := range s.in.Zones {
		if openings[i] = s.in.asked(i); z.OffSheet {
			openings[i] = s.on.Limits.OffSheetPct
		}
	}
	st, err := s.Steady(ctx, s.form, s.Setting(openings, s.in.reference(s.on)))
	if err != nil {
		return 0, err
	}
	return s.meanUM(st), nil
}

// meanUM is the mean film of the zones that print, by ink.
func (s *solving) meanUM(st *rollers.Steady) float64 {
	var ink, all float64
	for i, c := range s.covers {
		if s.prints(i) {
			ink, all = ink+c*st.Zones[s.FromLeft(i+1)].FilmUM, all+c
		}
	}
	return ink / all
}

// filmOf is the film of a solid of an ink, as the press's file states it.
func filmOf(on *press.Press, ink string) float64 {
	if known, _ := on.Ink(ink); known.FilmUM > 0 {
		return known.FilmUM
	}
	return usualFilmUM
}

// A solvedSweep is the solution at a sweep, not yet on the keys' steps.
type solvedSweep struct {
	*rollers.Solution
	sweep float64
}

// rooms are how far, in parts of the ceiling, the line of the widest key may open it:
// at first as far as it goes, then less where neighbours took of what it feeds.
var rooms = []float64{1, 0.85, 0.7, 0.55}

// atSweeps solves the keys at the sweep that was given, or at the nearest to the
// reference at which the widest key is free.
func (s *solving) atSweeps(ctx context.Context) (*solvedSweep, error) {
	if s.in.Sweep != nil {
		return s.at(ctx, *s.in.Sweep)
	}
	var found *solvedSweep
	for _, room := range rooms {
		sweep := s.sweepFor(room)
		if found != nil && sweep == found.sweep {
			continue
		}
		var err error
		if found, err = s.at(ctx, sweep); err != nil {
			return nil, err
		}
		if !s.starves(found) {
			break
		}
	}
	return found, nil
}

// starves tells whether a zone runs light since its key is at the ceiling.
func (s *solving) starves(f *solvedSweep) bool {
	for i := range s.in.Zones {
		at := s.FromLeft(i + 1)
		if s.prints(i) && f.Setting.OpeningPct[at] >= s.on.Limits.CeilingPct-heldPct && f.DeviationPct[at] < -evenPct/2 {
			return true
		}
	}
	return false
}

// sweepFor is the sweep of the working range that lies nearest to the reference, among
// those at which the line opens no printing key beyond so much of the ceiling, nor
// closes one beyond the floor; where there is none, among those that keep to the
// ceiling; else the greatest.
func (s *solving) sweepFor(room float64) float64 {
	var working []float64
	for _, sweep := range s.on.Sweep.Settings() {
		if s.on.Sweep.IsWorking(sweep) {
			working = append(working, sweep)
		}
	}
	reference := s.on.Sweep.Reference
	slices.SortStableFunc(working, func(a, b float64) int {
		return cmp.Compare(math.Abs(a-reference), math.Abs(b-reference))
	})
	if len(working) == 0 || s.free(reference, room, s.on.Limits.FloorPct) {
		return reference
	}
	for _, floor := range []float64{s.on.Limits.FloorPct, 0} {
		for _, sweep := range working {
			if s.free(sweep, room, floor) {
				return sweep
			}
		}
	}
	return slices.Max(working)
}

// free tells whether the line leaves all printing keys between a floor and so much of the
// ceiling.
func (s *solving) free(sweep, room, floorPct float64) bool {
	for i, c := range s.covers {
		opening := 100 * s.Line().FeedUM(s.filmUM, c, s.StripMM(sweep)) / s.on.Train.Feed.FilmFullUM
		if s.prints(i) && (opening > room*s.on.Limits.CeilingPct || opening < floorPct) {
			return false
		}
	}
	return true
}

// at solves the keys at a sweep.
func (s *solving) at(ctx context.Context, sweep float64) (*solvedSweep, error) {
	n := len(s.in.Zones)
	w := rollers.Wanted{
		FilmUM: make([]float64, n), FloorPct: make([]float64, n), CeilingPct: make([]float64, n),
		StripMM: s.StripMM(sweep), NeighbourPct: s.on.Limits.NeighbourPct,
	}
	for i, z := range s.in.Zones {
		at := s.FromLeft(i + 1)
		w.CeilingPct[at] = s.on.Limits.CeilingPct
		if !z.OffSheet {
			w.FloorPct[at] = s.on.Limits.FloorPct
		}
		if s.prints(i) {
			w.FilmUM[at] = s.filmUM
		}
	}
	solution, err := s.Solve(ctx, s.form, w)
	if err != nil {
		return nil, err
	}
	return &solvedSweep{solution, sweep}, nil
}

// heldPct is how near to a limit, in % of travel, a key is held by it.
const heldPct = 0.05

// settle puts the solution on the keys' own steps, and says in the unit what it prints.
func (s *solving) settle(ctx context.Context, u *Unit, f *solvedSweep) error {
	keys := s.stepped(f)
	openings := make([]float64, len(keys))
	for i, key := range keys {
		openings[i] = s.on.Keys.OpeningPct(i+1, key)
	}
	st, err := s.SteadyNear(ctx, f.Steady.State, s.form, s.Setting(openings, f.sweep))
	if err != nil {
		return err
	}
	film := s.filmUM
	if !s.Fitted() {
		film = s.meanUM(st)
	}
	for i := range u.Keys {
		k := &u.Keys[i]
		k.Key, k.KeyText, k.OpeningPct = keys[i], s.on.Keys.Text(keys[i]), min(100, openings[i])
		k.State = s.state(f, i, openings)
		if s.prints(i) {
			off := 100 * (st.Zones[s.FromLeft(i+1)].FilmUM/film - 1)
			u.ByTrain.FilmOffPct[i] = math.Round(10*off) / 10
		}
	}
	u.Sweep, u.SweepChosen = f.sweep, new(Auto)
	if s.in.Sweep != nil {
		u.SweepChosen = new(Given)
	}
	u.SweepReason = new(s.reason(u))
	return nil
}

// state is what holds the i-th key of a solution, as it stands on its step: where that
// lies off a limit the limit does not hold it. One blade holds both of two keys that
// would part further.
func (s *solving) state(f *solvedSweep, i int, openingsPct []float64) curves.State {
	at := func(i int) float64 { return f.Setting.OpeningPct[s.FromLeft(i+1)] }
	limits, stepPct := s.on.Limits, 100*s.on.Keys.Step/s.on.Keys.Travel-hairPct
	tied := func(j int) bool {
		return limits.NeighbourPct > 0 && j >= 0 && j < len(s.in.Zones) && math.Abs(at(i)-at(j)) >= limits.NeighbourPct-heldPct
	}
	switch {
	case s.in.Zones[i].OffSheet:
		return curves.OffSheet
	case at(i) <= limits.FloorPct+heldPct && openingsPct[i] < limits.FloorPct+stepPct:
		return curves.Floor
	case at(i) >= limits.CeilingPct-heldPct && openingsPct[i] > limits.CeilingPct-stepPct:
		return curves.Ceiling
	case tied(i - 1), tied(i + 1):
		return curves.Neighbour
	}
	return curves.Set
}

// reason is a sentence that says why the unit has its sweep, and by what its keys were
// set.
func (s *solving) reason(u *Unit) string {
	amount := func(sweep float64) string { return press.Amount(sweep, s.on.Sweep.Unit) }
	widest, prints := u.widest()
	stands := fmt.Sprintf("the widest key, %d, stands %.0f %% open", widest.Zone, widest.OpeningPct)
	text := ""
	switch {
	case *u.SweepChosen == Given:
		text = "you set " + amount(u.Sweep)
	case !prints:
		text = amount(u.Sweep) + ": nothing prints in this ink"
	case u.Sweep == s.on.Sweep.Reference:
		text = fmt.Sprintf("%s, the press's reference: %s there", amount(u.Sweep), stands)
	default:
		text = fmt.Sprintf("%s instead of the press's reference of %s, where keys would be at a limit: %s", amount(u.Sweep), amount(s.on.Sweep.Reference), stands)
	}
	if s.Fitted() {
		return fmt.Sprintf("%s; keys by the roller train, for a film of %.2g µm everywhere", text, s.filmUM)
	}
	return fmt.Sprintf("%s; keys by the roller train, for as much ink as curve %s feeds, spread evenly: a %s", text, s.in.Curve.Name, Trend)
}
