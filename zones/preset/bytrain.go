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
	t, err := NewTrain(on, rollers.Coarse) // a form of zones alone prints the same on it, within 0.2 %
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
	s.settle(u, found)
	return nil
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
	for i := range openings {
		openings[i] = s.in.asked(i)
	}
	st, err := s.Steady(ctx, s.form, s.Asked(s.in.Curve, openings, func(i int) bool { return s.in.Zones[i].OffSheet }))
	if err != nil {
		return 0, err
	}
	return s.meanUM(st), nil
}

// meanUM is the mean film of the zones that print, by ink.
func (s *solving) meanUM(st *rollers.Steady) float64 {
	return MeanUM(s.FilmsUM(st), s.prints, func(i int) float64 { return s.covers[i] })
}

// filmOf is the film of a solid of an ink, as the press's file states it.
func filmOf(on *press.Press, ink string) float64 {
	if known, _ := on.Ink(ink); known.FilmUM > 0 {
		return known.FilmUM
	}
	return usualFilmUM
}

// A solvedSweep is the solution at a sweep, and the keys on their own steps.
type solvedSweep struct {
	*rollers.Solution
	sweep    float64
	stepping *stepping
}

// Other sweeps are looked at where at the first a zone is left outside: so many, each so
// much further off.
const (
	mostOthers  = 4
	otherFactor = 1.1
)

// atSweeps solves the keys at the sweep that was given, or at that of the working range
// which leaves the fewest zones outside, near the first that comes into question.
func (s *solving) atSweeps(ctx context.Context) (*solvedSweep, error) {
	if s.in.Sweep != nil {
		return s.at(ctx, *s.in.Sweep)
	}
	found, err := s.at(ctx, s.sweepFor())
	if err != nil {
		return nil, err
	}
	for _, sweep := range s.others(found) {
		if found.stepping.outside() == 0 {
			break
		}
		other, err := s.at(ctx, sweep)
		if err != nil {
			return nil, err
		}
		if other.stepping.unevenness() < found.stepping.unevenness() {
			found = other
		}
	}
	return found, nil
}

// others are the sweeps to look at beside one: longer ones where keys as far open as
// they go, or as far from the next as the blade bends, leave a zone outside. Else it is
// the keys' steps and floors, which mean less the further keys are open: shorter ones.
func (s *solving) others(f *solvedSweep) []float64 {
	longer := false
	for i := range s.in.Zones {
		held := s.prints(i) && math.Abs(f.DeviationPct[s.FromLeft(i+1)]) >= evenPct
		longer = longer || held && (s.atCeiling(f, i) || s.tied(f, i))
	}
	sweeps := s.working()
	slices.Sort(sweeps)
	if !longer {
		slices.Reverse(sweeps)
	}
	var others []float64
	last := f.sweep
	for _, sweep := range sweeps {
		ratio := sweep / last
		if !longer {
			ratio = last / sweep
		}
		if ratio >= otherFactor && len(others) < mostOthers {
			others, last = append(others, sweep), sweep
		}
	}
	return others
}

// working are the sweeps of the press's working range.
func (s *solving) working() []float64 {
	return slices.DeleteFunc(slices.Collect(slices.Values(s.on.Sweep.Settings())), func(sweep float64) bool { return !s.on.Sweep.IsWorking(sweep) })
}

// sweepFor is the sweep of the working range that lies nearest to the reference, among
// those at which the line opens no printing key beyond the ceiling, nor closes one beyond
// the floor; where there is none, among those that keep to the ceiling; else the greatest.
func (s *solving) sweepFor() float64 {
	working, reference := s.working(), s.on.Sweep.Reference
	slices.SortStableFunc(working, func(a, b float64) int {
		return cmp.Compare(math.Abs(a-reference), math.Abs(b-reference))
	})
	if len(working) == 0 || s.free(reference, s.on.Limits.FloorPct) {
		return reference
	}
	for _, floor := range []float64{s.on.Limits.FloorPct, 0} {
		for _, sweep := range working {
			if s.free(sweep, floor) {
				return sweep
			}
		}
	}
	return slices.Max(working)
}

// free tells whether the line leaves all printing keys between a floor and the ceiling.
func (s *solving) free(sweep, floorPct float64) bool {
	for i, c := range s.covers {
		opening := 100 * s.Line().FeedUM(s.filmUM, c, s.StripMM(sweep)) / s.on.Train.Feed.FilmFullUM
		if s.prints(i) && (opening > s.on.Limits.CeilingPct || opening < floorPct) {
			return false
		}
	}
	return true
}

// at solves the keys at a sweep, and puts them on their steps.
func (s *solving) at(ctx context.Context, sweep float64) (*solvedSweep, error) {
	n := len(s.in.Zones)
	w := rollers.Wanted{
		FilmUM: make([]float64, n), FloorPct: make([]float64, n), CeilingPct: make([]float64, n),
		StripMM: s.StripMM(sweep), NeighbourPct: s.on.Limits.NeighbourPct,
	}
	for i, z := range s.in.Zones {
		at := s.FromLeft(i + 1)
		if !s.farOff(i) {
			w.CeilingPct[at] = s.on.Limits.CeilingPct
		}
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
	f := &solvedSweep{Solution: solution, sweep: sweep}
	f.stepping, err = s.stepped(ctx, f)
	return f, err
}

// farKeys is how many keys beside the sheet feed it: those further out stay shut, as no
// press room feeds ink that nothing takes so far away.
const farKeys = 2

// farOff tells whether a key lies further off the sheet. A blade of one piece may have to
// be open there.
func (s *solving) farOff(i int) bool {
	if s.on.Limits.NeighbourPct > 0 {
		return false
	}
	for j := max(0, i-farKeys); j <= min(len(s.in.Zones)-1, i+farKeys); j++ {
		if !s.in.Zones[j].OffSheet {
			return false
		}
	}
	return true
}

// heldPct is how near to a limit, in % of travel, a key is held by it.
const heldPct = 0.05

// settle says in the unit how its keys stand, and what they print.
func (s *solving) settle(u *Unit, f *solvedSweep) {
	st := f.stepping
	for i, off := range st.deviations() {
		k := &u.Keys[i]
		k.Key, k.KeyText, k.OpeningPct = st.keys[i], s.on.Keys.Text(st.keys[i]), min(100, st.opening(i))
		k.State = s.state(f, i)
		u.ByTrain.FilmOffPct[i] = math.Round(1000*off) / 10
	}
	u.Sweep, u.SweepChosen = f.sweep, new(Auto)
	if s.in.Sweep != nil {
		u.SweepChosen = new(Given)
	}
	u.SweepReason = new(s.reason(u))
}

// state is what holds the i-th key of a solution, as it stands on its step: where that
// lies off a limit the limit does not hold it. One blade holds both of two keys that
// would part further.
func (s *solving) state(f *solvedSweep, i int) curves.State {
	limits, stepPct, opening := s.on.Limits, 100*s.on.Keys.Step/s.on.Keys.Travel-hairPct, f.stepping.opening(i)
	switch {
	case s.in.Zones[i].OffSheet:
		return curves.OffSheet
	case s.openPct(f, i) <= limits.FloorPct+heldPct && opening < limits.FloorPct+stepPct:
		return curves.Floor
	case s.atCeiling(f, i) && opening > limits.CeilingPct-stepPct:
		return curves.Ceiling
	case s.tied(f, i):
		return curves.Neighbour
	}
	return curves.Set
}

// openPct is how far the i-th key of a solution is open, before it is on a step.
func (s *solving) openPct(f *solvedSweep, i int) float64 {
	return f.Setting.OpeningPct[s.FromLeft(i+1)]
}

func (s *solving) atCeiling(f *solvedSweep, i int) bool {
	return s.openPct(f, i) >= s.on.Limits.CeilingPct-heldPct
}

// tied tells whether the blade holds the i-th key to one of its neighbours.
func (s *solving) tied(f *solvedSweep, i int) bool {
	limit := s.on.Limits.NeighbourPct
	for _, j := range []int{i - 1, i + 1} {
		if limit > 0 && j >= 0 && j < len(s.in.Zones) && math.Abs(s.openPct(f, i)-s.openPct(f, j)) >= limit-heldPct {
			return true
		}
	}
	return false
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
	case u.Sweep != s.sweepFor():
		text = fmt.Sprintf("%s instead of the press's reference of %s, where films would be less even: %s", amount(u.Sweep), amount(s.on.Sweep.Reference), stands)
	default:
		text = fmt.Sprintf("%s instead of the press's reference of %s, where keys would be at a limit: %s", amount(u.Sweep), amount(s.on.Sweep.Reference), stands)
	}
	if u.opensOffSheet() {
		text += "; keys beside the sheet are open since the rollers carry ink out there, and shut ones would take it from the first zones that print"
	}
	if s.Fitted() {
		return fmt.Sprintf("%s; keys by the roller train, for a film of %.2g µm everywhere", text, s.filmUM)
	}
	return fmt.Sprintf("%s; keys by the roller train, for as much ink as curve %s feeds, spread evenly: a %s", text, s.in.Curve.Name, Trend)
}

// opensOffSheet tells whether a key beside the sheet is open.
func (u *Unit) opensOffSheet() bool {
	return slices.ContainsFunc(u.Keys, func(k Key) bool { return k.State == curves.OffSheet && k.OpeningPct > 0 })
}
