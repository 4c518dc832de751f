package rehearsal

import (
	"context"
	"math"
	"slices"

	"bladeline/curves/rollers"
	"bladeline/zones"
	"bladeline/zones/preset"
)

// A Start is what the rollers carry before the first sheet.
type Start struct {
	Kind   string                 // Clean, Charged, Even or Before
	Preset *preset.Preset         // of Before: the job that ran last
	Forms  map[string]*zones.Form // its forms by ink, as far as they are known
}

// The starts.
const (
	Clean   = "clean"   // washed up
	Charged = "charged" // by the best charge
	Even    = "even"    // an even film, as much as the job carries in the mean
	Before  = "before"  // as another job left them, with a new plate
)

func (s Start) words() string {
	switch s.Kind {
	case Before:
		return "as " + s.Preset.Job + " left them"
	case "":
		return Clean
	}
	return s.Kind
}

// How far a start is followed, sheets.
const (
	stretchSheets = 100
	mostSheets    = 1500
	settledSheets = 20 // in a row within 5 %, after which nothing is to come
)

// start follows the first sheets, and looks for the best charge.
func (s *stage) start(ctx context.Context, out *Ink, from Start) error {
	targets := s.targets(s.steady)
	charge, err := s.charge(ctx)
	if err != nil {
		return err
	}
	clean, err := s.follow(ctx, &rollers.Startup{State: s.train.Clean()}, s.setting, s.wanted()...)
	if err != nil {
		return err
	}
	if out.Charge, err = s.charged(ctx, charge, clean); err != nil {
		return err
	}
	run := clean
	switch {
	case from.Kind == Charged && charge != nil:
		run, err = s.follow(ctx, charge.Startup, s.setting, s.wanted()...)
	case from.Kind == Even || from.Kind == Before:
		var state *rollers.State
		if state, err = s.before(ctx, from); err == nil {
			run, err = s.follow(ctx, &rollers.Startup{State: state}, s.setting, s.wanted()...)
		}
	}
	if err != nil {
		return err
	}
	s.tell(out, run, targets)
	return nil
}

// tell puts a start to sheets, grams and zones.
func (s *stage) tell(out *Ink, run *rollers.Startup, targets []float64) {
	out.StartUp = s.startUp(run, targets)
	s.standAfter(out, run, targets)
	out.StartUp.NearTarget, out.StartUp.GoodTarget = s.reach(out, run, NearPct), s.reach(out, run, GoodPct)
}

// before is the state that a start leaves, an ink's of the job before where that had
// it; rollers of another ink are washed.
func (s *stage) before(ctx context.Context, from Start) (*rollers.State, error) {
	if from.Kind == Even {
		sum, n := 0.0, 0
		for _, zones := range s.steady.RollersUM[:len(s.steady.RollersUM)-1] {
			for _, film := range zones {
				sum, n = sum+film, n+1
			}
		}
		return s.train.Even(sum / float64(n)), nil
	}
	u := from.unit(s.unit.Ink)
	if u == nil {
		return s.train.Clean(), nil
	}
	last, err := newStage(Input{Preset: from.Preset, On: s.on, Forms: from.Forms}, u)
	if err != nil {
		return nil, err
	}
	st, err := s.steadyNear(ctx, nil, last.form, last.setting)
	if err != nil {
		return nil, err
	}
	return s.train.NewPlate(st.State), nil
}

// unit is what the job before had of an ink; nil: nothing, and its rollers were washed.
func (s Start) unit(ink string) *preset.Unit {
	if s.Kind != Before {
		return nil
	}
	return s.Preset.Unit(ink)
}

// A goal is films, from the left, that a run is to stay within a share of.
type goal struct {
	films []float64
	share float64
}

// wanted are the films at which zones settle, and the target where they come to it.
func (s *stage) wanted() []goal {
	return []goal{{s.targets(s.steady), GoodPct / 100.0}, {s.reached(GoodPct), GoodPct / 100.0}, {s.reached(NearPct), NearPct / 100.0}}
}

// standing is a run from a state until the films stand where they settle.
func (s *stage) standing(ctx context.Context, from *rollers.State, form rollers.Form, setting rollers.Setting, targets []float64) (*rollers.Startup, error) {
	at := *s
	at.form = form
	return at.follow(ctx, &rollers.Startup{State: from}, setting, goal{targets, GoodPct / 100.0})
}

// follow goes on with a run until its films have stayed where they are wanted for a
// while, or longer than is followed.
func (s *stage) follow(ctx context.Context, begun *rollers.Startup, setting rollers.Setting, wanted ...goal) (*rollers.Startup, error) {
	run := *begun
	stays := func(g goal) bool {
		sheets, _ := run.Within(g.films, g.share)
		return len(run.FilmUM)-sheets >= settledSheets
	}
	for len(run.FilmUM) < mostSheets && slices.ContainsFunc(wanted, func(g goal) bool { return !stays(g) }) {
		next, err := s.train.Run(ctx, run.State, s.form, setting, stretchSheets)
		if err != nil {
			return nil, err
		}
		run.FilmUM, run.FedMM3, run.PrintedMM3 = append(run.FilmUM, next.FilmUM...), append(run.FedMM3, next.FedMM3...), append(run.PrintedMM3, next.PrintedMM3...)
		run.State = next.State
		if s.rests(&run) {
			break
		}
	}
	return &run, nil
}

// restPct is what films still change by, within a stretch, when nothing more is to come.
const restPct = 0.3

// rests tells whether the films of a run are those of a stretch before, with the ductor
// and the oscillators where they were: what swings with these never stays any nearer.
func (s *stage) rests(run *rollers.Startup) bool {
	last := len(run.FilmUM) - 1
	before := last - stretchSheets/s.train.Period()*s.train.Period()
	if before < 0 || before == last {
		return false
	}
	for i, prints := range s.prints {
		at := s.train.FromLeft(i + 1)
		if is, was := run.FilmUM[last][at], run.FilmUM[before][at]; prints && math.Abs(is-was) > restPct/100*is {
			return false
		}
	}
	return true
}

// startUp puts a run to sheets and grams.
func (s *stage) startUp(run *rollers.Startup, targets []float64) StartUp {
	out := StartUp{Followed: len(run.FilmUM), Near: s.waste(run, NearPct), Good: s.waste(run, GoodPct), LastZones: []int{}}
	for sheet := 1; sheet <= len(run.FilmUM); sheet = nextSample(sheet) {
		sample := Sample{Sheet: sheet}
		for i := range targets {
			um := film(run.FilmUM[sheet-1][s.train.FromLeft(i+1)] * s.scale)
			sample.FilmUM = append(sample.FilmUM, um)
			if d := s.density(um); d != nil {
				sample.Density = append(sample.Density, *d)
			}
		}
		out.Samples = append(out.Samples, sample)
	}
	return out
}

// nextSample is the sheet that is looked at after another: each at first, then ever
// fewer, a twentieth apart.
func nextSample(sheet int) int { return sheet + max(1, sheet/20) }

const mm3PerCM3 = 1000

// waste is what it costs until all zones that are judged stay within so many % of their
// films.
func (s *stage) waste(run *rollers.Startup, pct float64) Waste {
	return s.wasteUntil(run, s.judged(), pct)
}

// wasteUntil is what it costs until a run stays within so many % of some films.
func (s *stage) wasteUntil(run *rollers.Startup, films []float64, pct float64) Waste {
	sheets, ok := run.Within(films, pct/100)
	if !ok {
		return Waste{}
	}
	mm3 := 0.0
	for _, v := range run.PrintedMM3[:sheets] {
		mm3 += v
	}
	gravity := s.ink.SpecificGravity
	if gravity == 0 {
		gravity = preset.AssumedGravity
	}
	return Waste{&sheets, new(rounded(mm3 * s.scale * gravity / mm3PerCM3))}
}

// standAfter says of every zone when it stands, and of all which stand last.
func (s *stage) standAfter(out *Ink, run *rollers.Startup, targets []float64) {
	last, lastly := 0, 0
	for i := range out.Zones {
		z := &out.Zones[i]
		if !z.Prints {
			continue
		}
		only := make([]float64, len(targets))
		at := s.train.FromLeft(z.Zone)
		only[at] = targets[at]
		after := len(run.FilmUM)
		if sheets, ok := run.Within(only, NearPct/100.0); ok {
			z.NearAfter, after = &sheets, sheets
		}
		if sheets, ok := run.Within(only, GoodPct/100.0); ok {
			z.GoodAfter = &sheets
		}
		if after > last && s.waits[i] {
			last, lastly = after, i
		}
	}
	if last == 0 {
		return
	}
	at := s.train.FromLeft(out.Zones[lastly].Zone)
	out.StartUp.LastOffPct = rounded(100 * (run.FilmUM[last/2][at]/targets[at] - 1))
	for i, z := range out.Zones {
		if s.waits[i] && (z.NearAfter == nil || float64(*z.NearAfter) > 0.9*float64(last)) {
			out.StartUp.LastZones = append(out.StartUp.LastZones, z.Zone)
		}
	}
}

// reached is the target in the model's films, from the left, of the zones that print and
// settle so near to it that they stay within so many %; 0 of others.
func (s *stage) reached(pct float64) []float64 {
	films, target := make([]float64, len(s.prints)), s.target/s.scale
	for i, prints := range s.prints {
		at := s.train.FromLeft(i + 1)
		z := s.steady.Zones[at]
		if prints && math.Abs(z.FilmUM-target)+z.SwingUM/2 <= pct/100*target {
			films[at] = target
		}
	}
	return films
}

// reach says when zones stay within so many % of the target, each and together.
func (s *stage) reach(out *Ink, run *rollers.Startup, pct float64) Reach {
	r, films, judged := Reach{Never: []int{}}, s.reached(pct), make([]float64, len(s.prints))
	for i := range out.Zones {
		z := &out.Zones[i]
		at, only := s.train.FromLeft(z.Zone), make([]float64, len(films))
		only[at] = films[at]
		switch sheets, ok := run.Within(only, pct/100); {
		case films[at] == 0:
			z.Never = z.Never || z.Prints && pct == NearPct
			if s.waits[i] {
				r.Never = append(r.Never, z.Zone)
			}
			continue
		case ok && pct == NearPct:
			z.NearTarget = &sheets
		case ok:
			z.GoodTarget = &sheets
		}
		if s.waits[i] {
			judged[at] = films[at]
		}
	}
	if slices.Max(judged) > 0 {
		r.Waste = s.wasteUntil(run, judged, pct)
	}
	return r
}

// idle says what it costs to turn without paper, with the ductor off and on.
func (s *stage) idle(ctx context.Context, out *Ink) error {
	targets := s.targets(s.steady)
	for _, ductor := range []bool{false, true} {
		state, err := s.train.Idle(ctx, s.steady.State, s.setting, idleTurns, ductor)
		if err != nil {
			return err
		}
		run, err := s.standing(ctx, state, s.form, s.setting, targets)
		if err != nil {
			return err
		}
		idle := Idle{Turns: idleTurns, Ductor: ductor}
		if sheets, ok := run.Within(s.judged(), NearPct/100.0); ok {
			idle.Sheets = &sheets
		}
		out.Idle = append(out.Idle, idle)
	}
	return nil
}
