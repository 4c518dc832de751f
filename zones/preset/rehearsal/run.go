package rehearsal

import (
	"context"
	"fmt"
	"math"
	"slices"

	"bladeline/curves/rollers"
	"bladeline/zones/preset"
	"bladeline/zones/preset/rollerchart"
)

// A Run is one ink of a preset on its press's train, of which each part is worked out as
// it is asked for: at once by the train's line, then by the whole train. [Of] does all of
// it, with the same numbers.
type Run struct{ stage *stage }

// NewRun has a unit of what is rehearsed run on the train of that unit's press. In's
// starts and tries are not looked at.
func NewRun(train *preset.Train, in Input, u *preset.Unit) (*Run, error) {
	s, err := stageOn(train, in, u)
	if err != nil {
		return nil, err
	}
	return &Run{s}, nil
}

// Films are what zones print, by zone.
type Films struct {
	Pct     []float64 `json:"pct"`     // of the target; 0 where nothing prints
	Density []float64 `json:"density"` // of solids, likewise; empty: the press does not know the ink's law
}

// films are films in µm.
func (s *stage) films(um []float64) Films {
	f := Films{Pct: []float64{}, Density: []float64{}}
	for i, v := range um {
		if !s.prints[i] {
			v = 0
		}
		f.Pct = append(f.Pct, tenth(100*v/s.target))
		if d := s.density(v); d != nil {
			f.Density = append(f.Density, *d)
		}
	}
	return f
}

// tenth is freed of digits that nobody reads.
func tenth(v float64) float64 { return math.Round(v*10) / 10 }

// Fitted tells whether the train was fitted to its press.
func (r *Run) Fitted() bool { return r.stage.train.Fitted() }

// Band are the densities of 10 % less film than the target, of the target, and of 10 %
// more; nil: the press does not know the ink's law.
func (r *Run) Band() []float64 {
	band := []float64{}
	for _, times := range []float64{1 - NearPct/100.0, 1, 1 + NearPct/100.0} {
		if d := r.stage.density(times * r.stage.target); d != nil {
			band = append(band, *d)
		}
	}
	return band
}

// Line are the films of the keys as they are set, and of what the curve asks for, by the
// train's line.
func (r *Run) Line() (set, asked Films) {
	byLine := *r.stage
	um := byLine.lineUM()
	var askedUM []float64
	if byLine.curve != nil {
		curve := *r.stage
		curve.setting = curve.asked()
		askedUM = curve.lineUM()
	}
	scale, _ := byLine.leveled(byLine.meanOf(um), askedUM)
	return byLine.films(times(um, scale)), byLine.films(times(askedUM, scale))
}

// times are values times a factor.
func times(v []float64, factor float64) []float64 {
	v = slices.Clone(v)
	for i := range v {
		v[i] *= factor
	}
	return v
}

// A Settled is a run once all has settled.
type Settled struct {
	Ink   // but for starts, charges and what follows of them
	stage *stage
}

// Settle works out what is printed once all has settled. It ends with ctx.
func (r *Run) Settle(ctx context.Context) (*Settled, error) {
	s := *r.stage
	if err := s.settle(ctx); err != nil {
		return nil, err
	}
	return &Settled{s.settled(), &s}, nil
}

// Films are its films.
func (s *Settled) Films() Films { return s.stage.films(s.um()) }

// um are its films in µm, by zone.
func (s *Settled) um() []float64 {
	var um []float64
	for _, z := range s.Zones {
		um = append(um, z.FilmUM)
	}
	return um
}

// FilmSentences are those of [Of] on the films once all has settled.
func (s *Settled) FilmSentences() []string { return s.stage.filmSentences(&s.Ink) }

// StartSentences are those on when that is, of an ink that was [Settled.Started].
func (s *Settled) StartSentences(started *Ink) []string { return s.stage.startSentences(started) }

// Asked are the films of what the curve asks for, held by no limit and no step; none
// where the curve is not known.
func (s *Settled) Asked() Films { return s.stage.films(times(s.stage.askedUM, s.stage.scale)) }

// RollersPct are the films on the rollers, the ductor first, in % of the target, by zone.
func (s *Settled) RollersPct() [][]float64 {
	var all [][]float64
	um := s.stage.steady.RollersUM
	last := len(um) - 1 // the ductor
	for _, films := range append([][]float64{um[last]}, um[:last]...) {
		var zones []float64
		for i := range s.Zones {
			zones = append(zones, tenth(100*films[s.stage.train.FromLeft(i+1)]*s.stage.scale/s.TargetUM))
		}
		all = append(all, zones)
	}
	return all
}

// Solved are the films of the same form with another unit's keys and sweep, held
// against the same level.
func (s *Settled) Solved(ctx context.Context, u *preset.Unit) (Films, error) {
	as := *s.stage
	if err := as.set(u); err != nil {
		return Films{}, err
	}
	st, err := as.steadyNear(ctx, nil, as.form, as.setting)
	if err != nil {
		return Films{}, err
	}
	return as.films(times(as.train.FilmsUM(st), as.scale)), nil
}

// Started is the same with what is printed from washed rollers on.
func (s *Settled) Started(ctx context.Context) (*Ink, error) {
	out := s.Ink
	out.Zones = slices.Clone(s.Zones)
	return &out, s.stage.holding(ctx, func() error {
		run, err := s.stage.follow(ctx, &rollers.Startup{State: s.stage.train.Clean()}, s.stage.setting, s.stage.wanted()...)
		if err == nil {
			s.stage.tell(&out, run, s.stage.targets(s.stage.steady))
		}
		return err
	})
}

// Sentences are those of [Of] for the same ink from washed rollers; in is what was run,
// with the forms of all its inks, and at which of its units this is. Which charges save
// a pass sheets is looked for by [StateCharges].
func (s *Settled) Sentences(ctx context.Context, in Input, at int) ([]string, error) {
	stage, out := *s.stage, s.Ink
	out.Zones = slices.Clone(s.Zones)
	err := stage.holding(ctx, func() (err error) {
		if err = stage.start(ctx, &out, Start{Kind: Clean}); err == nil {
			stage.cured, err = stage.cures(ctx, &out)
		}
		return err
	})
	if err != nil {
		return nil, err
	}
	if err := StateCharges(ctx, in); err != nil {
		return nil, err
	}
	chart, err := rollerchart.Of(in.On, in.OnFile)
	if err != nil {
		return nil, err
	}
	return stage.sentences(&out, in, chart.Doubt(), in.Preset.Units[at].Charge != nil), nil
}

// A Pull is what follows when one key is moved.
type Pull struct {
	FromPct, ToPct float64   // its opening
	SharesPct      []float64 // of what it does to the films of all zones, by zone
	Samples        []Sample
}

// How far a key is pulled: by a fifth of its opening, one that is next to shut by
// more; and when films count as settled after it.
const (
	pullShare    = 0.2
	leastPullPct = 2
	pulledShare  = 0.02
)

// Pull follows the sheets after a zone's key is moved by a fifth: opened, or closed
// where it has no way left. Films are linear, so that the zones' shares hold for any
// move.
func (s *Settled) Pull(ctx context.Context, zone int) (*Pull, error) {
	if zone < 1 || zone > len(s.Zones) {
		return nil, fmt.Errorf("there is no zone %d; the press has %d", zone, len(s.Zones))
	}
	from, keys := s.stage, s.stage.on.Keys
	to, at := *from, from.train.FromLeft(zone)
	p := &Pull{FromPct: from.setting.OpeningPct[at]}
	by := max(pullShare*p.FromPct, leastPullPct, 100*keys.Step/keys.Travel)
	if p.ToPct = p.FromPct + by; p.ToPct > 100 {
		p.ToPct = p.FromPct - by
	}
	p.ToPct = keys.OpeningPct(zone, keys.Key(zone, p.ToPct)) // a step of the key
	to.setting.OpeningPct = slices.Clone(from.setting.OpeningPct)
	to.setting.OpeningPct[at] = p.ToPct
	return p, to.holding(ctx, func() (err error) {
		if to.steady, err = to.steadyNear(ctx, from.steady.State, to.form, to.setting); err != nil {
			return err
		}
		p.SharesPct = sharesOf(from.train.FilmsUM(from.steady), to.train.FilmsUM(to.steady))
		targets := to.targets(to.steady)
		run, err := to.follow(ctx, &rollers.Startup{State: from.steady.State}, to.setting, goal{targets, pulledShare})
		if err == nil {
			p.Samples = to.startUp(run, targets).Samples
		}
		return err
	})
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

// SampleFilms are the films of a sample.
func (s *Settled) SampleFilms(of Sample) Films { return s.stage.films(of.FilmUM) }
