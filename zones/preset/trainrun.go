package preset

import (
	"cmp"
	"context"
	"fmt"
	"math"

	"bladeline/curves/rollers"
	"bladeline/zones"
)

// A TrainRun is one ink of a preset as its press's roller train prints it. Films are
// told in % of the one that is wanted: that of the ink where the train was fitted to
// its press; else the mean of all that other keys print on it, as those that the curve
// asks for, or that the same ones do: how thick a film is such a train cannot tell.
type TrainRun struct {
	*Train
	Prints []bool // by zone
	Sweep  float64

	form   rollers.Form
	covers []float64 // by zone, of the image round the plate, 0 to 1
	filmUM float64   // that is wanted; 0: the mean of what some keys print
}

// NewTrainRun is a unit of a preset on its press's train, with the form that it was
// made for.
func NewTrainRun(t *Train, u *Unit, f *zones.Form) *TrainRun {
	r := &TrainRun{Train: t, Sweep: u.SweepRun(), form: t.Form(f)}
	var of float64
	if u.LengthMM != nil {
		of = *u.LengthMM
	}
	for _, k := range u.Keys {
		r.Prints = append(r.Prints, k.Prints())
		r.covers = append(r.covers, coverOn(t.on, of, k.CoveragePct))
	}
	if ink, _ := t.on.Ink(u.Ink); t.Fitted() {
		r.filmUM = cmp.Or(ink.FilmUM, usualFilmUM)
	}
	return r
}

// OpeningsPct are a unit's keys as set, by zone.
func (t *Train) OpeningsPct(u *Unit) []float64 {
	var all []float64
	for _, k := range u.Keys {
		all = append(all, min(100, t.on.Keys.OpeningPct(k.Zone, k.Key)))
	}
	return all
}

// wantedUM is what films are held against, of which these by zone have the level.
func (r *TrainRun) wantedUM(filmsUM []float64) float64 {
	if r.filmUM > 0 {
		return r.filmUM
	}
	ink, cover := 0.0, 0.0
	for i, prints := range r.Prints {
		if prints {
			ink, cover = ink+r.covers[i]*filmsUM[i], cover+r.covers[i]
		}
	}
	if cover == 0 || ink == 0 {
		return 1 // nothing is printed, and all films are 0
	}
	return ink / cover
}

// pct are films by zone in % of what is wanted; 0 where nothing prints.
func (r *TrainRun) pct(filmsUM []float64, wantedUM float64) []float64 {
	all := make([]float64, len(filmsUM))
	for i, film := range filmsUM {
		if r.Prints[i] {
			all[i] = tenth(100 * film / wantedUM)
		}
	}
	return all
}

// tenth is freed of digits that nobody reads.
func tenth(v float64) float64 { return math.Round(v*10) / 10 }

// LinePct are the films that keys print by the train's line, which knows nothing of
// neighbours and takes no time: in % by zone of the level of others, 0 where nothing
// prints.
func (r *TrainRun) LinePct(openingsPct, levelPct []float64) []float64 {
	return r.pct(r.lineUM(openingsPct), r.wantedUM(r.lineUM(levelPct)))
}

// lineUM are the films of openings by the train's line.
func (r *TrainRun) lineUM(openingsPct []float64) []float64 {
	films, line := make([]float64, len(openingsPct)), r.Line()
	for i, opening := range openingsPct {
		films[i] = line.FilmUM(r.on.Train.Feed.FilmFullUM*opening/100, r.covers[i], r.StripMM(r.Sweep))
	}
	return films
}

// A Settled is what keys print once all has settled.
type Settled struct {
	*rollers.Steady
	run         *TrainRun
	openingsPct []float64
	wantedUM    float64
}

// Settle works out what keys print once all has settled; until they are held against
// others they are their own level. It ends with ctx.
func (r *TrainRun) Settle(ctx context.Context, openingsPct []float64) (*Settled, error) {
	st, err := r.Steady(ctx, r.form, r.Setting(openingsPct, r.Sweep))
	if err != nil {
		return nil, err
	}
	s := &Settled{Steady: st, run: r, openingsPct: openingsPct}
	s.wantedUM = r.wantedUM(s.filmsUM())
	return s, nil
}

// HeldAgainst is the same with its films in % of the level of others.
func (s *Settled) HeldAgainst(others *Settled) *Settled {
	held := *s
	held.wantedUM = others.wantedUM
	return &held
}

// filmsUM are its films by zone.
func (s *Settled) filmsUM() []float64 {
	var all []float64
	for i := range s.run.Prints {
		all = append(all, s.Zones[s.run.FromLeft(i+1)].FilmUM)
	}
	return all
}

// FilmsPct are its films in % by zone, 0 where nothing prints.
func (s *Settled) FilmsPct() []float64 { return s.run.pct(s.filmsUM(), s.wantedUM) }

// RollersPct are the films on the ductor and the rollers, as the train has them, in %
// of the film that is wanted on the sheet, by zone.
func (s *Settled) RollersPct() [][]float64 {
	var all [][]float64
	last := len(s.RollersUM) - 1 // the ductor
	for _, films := range append([][]float64{s.RollersUM[last]}, s.RollersUM[:last]...) {
		var zones []float64
		for i := range s.run.Prints {
			zones = append(zones, tenth(100*films[s.run.FromLeft(i+1)]/s.wantedUM))
		}
		all = append(all, zones)
	}
	return all
}

// leastCellCover is how much of a cell must print for its film to be shown: less is
// the edge of an image.
const leastCellCover = 0.005

// SheetPct are the films over the sheet in % by cell, as Steady.Sheet has them; 0
// where nothing prints.
func (s *Settled) SheetPct() []float64 {
	all := make([]float64, len(s.Sheet.FilmUM))
	for i, film := range s.Sheet.FilmUM {
		if s.Sheet.Cover[i] > leastCellCover {
			all[i] = math.Round(100 * film / s.wantedUM)
		}
	}
	return all
}

// A FilmRun is some of the sheets of a run, few where little changes.
type FilmRun struct {
	Sheets   []int       // from 1
	FilmsPct [][]float64 // sheet by sheet, by zone, 0 where nothing prints
	Stands   int         // sheets until all zones stay within 10 % of the films that they come to; 0: more than were followed
	ZoneOff  int         // a zone that stands last; 0: none was off
}

// How far runs are followed, sheets, and when films count as settled.
const (
	runStretch   = 100
	mostRun      = 1000
	nearShare    = 0.1
	settledShare = 0.02
)

// FromClean follows the first sheets from washed rollers.
func (s *Settled) FromClean(ctx context.Context) (*FilmRun, error) {
	r := s.run
	return r.follow(ctx, r.Clean(), r.Setting(s.openingsPct, r.Sweep), s, s.wantedUM)
}

// follow follows sheets from a state until they print as a settled one.
func (r *TrainRun) follow(ctx context.Context, from *rollers.State, setting rollers.Setting, to *Settled, wantedUM float64) (*FilmRun, error) {
	targets := make([]float64, len(r.Prints))
	for i, prints := range r.Prints {
		if at := r.FromLeft(i + 1); prints {
			targets[at] = to.Zones[at].FilmUM
		}
	}
	run := &rollers.Startup{State: from}
	for len(run.FilmUM) < mostRun {
		next, err := r.Run(ctx, run.State, r.form, setting, runStretch)
		if err != nil {
			return nil, err
		}
		run.State, run.FilmUM = next.State, append(run.FilmUM, next.FilmUM...)
		if sheets, ok := run.Within(targets, settledShare); ok && sheets < len(run.FilmUM) {
			break
		}
	}
	return r.sampled(run, targets, wantedUM), nil
}

// sampled picks sheets of a run, each by a tenth later than the one before.
func (r *TrainRun) sampled(run *rollers.Startup, targets []float64, wantedUM float64) *FilmRun {
	f := &FilmRun{}
	for sheet := 1; sheet <= len(run.FilmUM); sheet = max(sheet+1, sheet*11/10) {
		films := make([]float64, len(r.Prints))
		for i := range films {
			films[i] = run.FilmUM[sheet-1][r.FromLeft(i+1)]
		}
		f.Sheets, f.FilmsPct = append(f.Sheets, sheet), append(f.FilmsPct, r.pct(films, wantedUM))
	}
	sheets, ok := run.Within(targets, nearShare)
	if !ok {
		return f
	}
	f.Stands = max(1, sheets)
	f.ZoneOff = r.lastOff(run, targets, sheets)
	return f
}

// lastOff is the zone that is off its film last, of a run in which all stand after so
// many sheets; 0 where none ever was.
func (r *TrainRun) lastOff(run *rollers.Startup, targets []float64, sheets int) int {
	if sheets == 0 {
		return 0
	}
	for i := range r.Prints {
		at := r.FromLeft(i + 1)
		if film := run.FilmUM[sheets-1][at]; targets[at] > 0 && math.Abs(film/targets[at]-1) > nearShare {
			return i + 1
		}
	}
	return 0
}

// A Pull is what follows when one key is moved.
type Pull struct {
	FromPct, ToPct float64   // its opening
	SharesPct      []float64 // of what it does to the films of all zones, by zone
	Run            *FilmRun
}

// How far a key is pulled: by a fifth of its opening, one that is next to shut by
// more.
const (
	pullShare    = 0.2
	leastPullPct = 2
)

// Pull follows the sheets after a zone's key is moved by a fifth: opened, or closed
// where it has no way left. Films are linear, so that the zones' shares hold for any
// move.
func (s *Settled) Pull(ctx context.Context, zone int) (*Pull, error) {
	if zone < 1 || zone > len(s.openingsPct) {
		return nil, fmt.Errorf("there is no zone %d; the press has %d", zone, len(s.openingsPct))
	}
	r, openings := s.run, append([]float64(nil), s.openingsPct...)
	p := &Pull{FromPct: openings[zone-1]}
	by := max(pullShare*p.FromPct, leastPullPct, 100*r.on.Keys.Step/r.on.Keys.Travel)
	if p.ToPct = p.FromPct + by; p.ToPct > 100 {
		p.ToPct = p.FromPct - by
	}
	p.ToPct = r.on.Keys.OpeningPct(zone, r.on.Keys.Key(zone, p.ToPct)) // a step of the key
	openings[zone-1] = p.ToPct
	setting := r.Setting(openings, r.Sweep)
	st, err := r.SteadyNear(ctx, s.State, r.form, setting)
	if err != nil {
		return nil, err
	}
	to := &Settled{Steady: st, run: r, openingsPct: openings, wantedUM: s.wantedUM}
	p.SharesPct = sharesOf(s.filmsUM(), to.filmsUM())
	p.Run, err = r.follow(ctx, s.State, setting, to, s.wantedUM)
	return p, err
}

// sharesOf are the zones' shares, in %, in how films differ.
func sharesOf(before, after []float64) []float64 {
	all, sum := make([]float64, len(before)), 0.0
	for i := range before {
		all[i] = after[i] - before[i]
		sum += all[i]
	}
	for i := range all {
		all[i] = tenth(100 * all[i] / sum)
	}
	return all
}
