package rehearsal

import (
	"context"
	"fmt"
	"math"
	"slices"

	"bladeline/curves/rollers"
	"bladeline/zones"
	"bladeline/zones/preset"
	"bladeline/zones/press"
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
	if out.Charge, err = s.charged(ctx, charge, clean, targets); err != nil {
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

// byHand tells whether keys are turned one by one.
func (s *stage) byHand() bool { return s.on.Keys.Unit != press.Percent }

// charge is how clean rollers are brought near: with the keys of all zones that print as
// wide as the job's stand in the middle, which floods nothing and hardly changes with the
// job; over the others no image would take the ink off again. It is nil where
// that takes too long, or where more than half the zones would be charged for nothing.
func (s *stage) charge(ctx context.Context) (*rollers.Charge, error) {
	if s.mean(s.steady) == 0 || 2*s.waitedZones() < len(s.waits) {
		return nil, nil
	}
	for _, opening := range s.offered() {
		c, err := s.train.Charge(ctx, s.steady, s.form, s.setting, s.fromLeft(), opening)
		if err == nil || ctx.Err() != nil {
			return c, err
		}
	}
	return nil, nil
}

// mostChargePct is as wide as all keys are opened for a charge: wider, rollers flood
// before anyone has seen it. Common practice, no source.
const mostChargePct = 100.0 / 3

// offered are the opening of the middle key of those that print, and twice that for
// where it takes too long; steps of keys, and a third of their travel at most.
func (s *stage) offered() []float64 {
	var printing []float64
	for i, waits := range s.waits {
		if waits {
			printing = append(printing, s.setting.OpeningPct[s.train.FromLeft(i+1)])
		}
	}
	slices.Sort(printing)
	step := 100 * s.on.Keys.Step / s.on.Keys.Travel
	steps := func(pct float64) float64 { return max(1, math.Round(min(pct, mostChargePct)/step)) * step }
	middle := printing[len(printing)/2]
	return slices.Compact([]float64{min(100, steps(middle)), min(100, steps(2*middle))})
}

// charged says what a charge saves.
func (s *stage) charged(ctx context.Context, c *rollers.Charge, clean *rollers.Startup, targets []float64) (*Charge, error) {
	if c == nil {
		return nil, nil
	}
	sheets, ok := c.Startup.Within(s.judged(), NearPct/100.0)
	if !ok {
		run, err := s.follow(ctx, c.Startup, s.setting, goal{targets, GoodPct / 100.0})
		if err != nil {
			return nil, err
		}
		if sheets, ok = run.Within(s.judged(), NearPct/100.0); !ok {
			return nil, nil // no better than none
		}
	}
	scale := s.on.Keys
	scale.Zero = nil
	key := scale.Key(1, c.OpeningPct)
	out := &Charge{OpeningPct: rounded(c.OpeningPct), Turns: c.Turns, Sheets: sheets, KeyText: scale.Text(key)}
	if n, ok := clean.Within(s.judged(), NearPct/100.0); ok {
		out.SavesSheets = new(n - sheets)
	}
	out.Words = fmt.Sprintf("from washed rollers: %s, sweep %s, %s of the press with the form rollers off, then the preset", s.inkedKeys(keyWords(scale, key)), press.Amount(s.sweep, s.on.Sweep.Unit), turnsOf(c.Turns))
	if out.SavesSheets == nil || *out.SavesSheets > 0 {
		out.Words += "; " + savedWords(sheets, out.SavesSheets)
	}
	if s.byHand() {
		out.Words += ", and each key is set twice"
	}
	return out, nil
}

// savedWords say how few sheets of makeready become of how many. How few is told as
// roughly as it is known: a grid's coarseness moves it by a third.
func savedWords(sheets int, saves *int) string {
	washed := fmt.Sprintf("more than %d", mostSheets)
	if saves != nil {
		washed = fmt.Sprintf("about %d", about(sheets+*saves))
	}
	few := (sheets/100 + 1) * 100
	if sheets < seenSheets {
		few = seenSheets
	}
	return fmt.Sprintf("%s sheets of makeready become fewer than %d", washed, few)
}

// inkedKeys says which keys a charge opens so far.
func (s *stage) inkedKeys(at string) string {
	var keys []preset.Key
	for i, prints := range s.prints {
		if prints {
			keys = append(keys, s.unit.Keys[i])
		}
	}
	if len(keys) == len(s.prints) {
		return "all keys at " + at
	}
	return fmt.Sprintf("the keys of %s at %s, the others as preset", preset.Spans(keys), at)
}

// turnsOf are turns of the plate cylinder, not of a screw.
func turnsOf(n int) string {
	if n == 1 {
		return "1 revolution"
	}
	return fmt.Sprintf("%d revolutions", n)
}

// keyWords is a key of a scale in words.
func keyWords(scale press.KeyScale, key float64) string {
	unit := string(scale.Unit)
	switch {
	case scale.Unit == press.Turn && key > 1:
		unit = "turns"
	case scale.Unit == press.Notch && key != 1:
		unit = "notches"
	}
	return scale.Text(key) + " " + unit
}

// about is a number of sheets, of which no more than two figures are known.
func about(sheets int) int {
	if sheets < 20 {
		return sheets
	}
	return int(math.Round(float64(sheets)/10)) * 10
}

// idleTurns are those of a short stop.
const idleTurns = 50

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
