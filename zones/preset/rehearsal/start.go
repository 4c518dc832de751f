package rehearsal

import (
	"context"
	"fmt"
	"math"

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
	clean, err := s.standing(ctx, s.train.Clean(), s.form, s.setting, targets)
	if err != nil {
		return err
	}
	run := clean
	switch {
	case from.Kind == Charged && charge != nil:
		if run, err = s.standing(ctx, nil, s.form, s.setting, targets, charge.Startup); err != nil {
			return err
		}
	case from.Kind == Even || from.Kind == Before:
		state, err := s.before(ctx, from)
		if err != nil {
			return err
		}
		if run, err = s.standing(ctx, state, s.form, s.setting, targets); err != nil {
			return err
		}
	}
	out.StartUp = s.startUp(run, targets)
	s.standAfter(out, run, targets)
	out.Charge = s.charged(charge, clean, targets)
	return nil
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
	u := from.Preset.Unit(s.unit.Ink)
	if u == nil {
		return s.train.Clean(), nil
	}
	last, err := newStage(Input{Preset: from.Preset, On: s.on, Forms: from.Forms}, u)
	if err != nil {
		return nil, err
	}
	st, err := s.train.Steady(ctx, last.form, last.setting)
	if err != nil {
		return nil, err
	}
	return s.train.NewPlate(st.State), nil
}

// standing is a run from a state, or what a run goes on with, until the films have
// stood for a while, or longer than is followed.
func (s *stage) standing(ctx context.Context, from *rollers.State, form rollers.Form, setting rollers.Setting, targets []float64, begun ...*rollers.Startup) (*rollers.Startup, error) {
	run := &rollers.Startup{State: from}
	if len(begun) > 0 {
		first := *begun[0]
		run = &first
	}
	for len(run.FilmUM) < mostSheets {
		if sheets, _ := run.Within(targets, GoodPct/100.0); len(run.FilmUM)-sheets >= settledSheets {
			break
		}
		next, err := s.train.Run(ctx, run.State, form, setting, stretchSheets)
		if err != nil {
			return nil, err
		}
		run.FilmUM, run.FedMM3, run.PrintedMM3 = append(run.FilmUM, next.FilmUM...), append(run.FedMM3, next.FedMM3...), append(run.PrintedMM3, next.PrintedMM3...)
		run.State = next.State
	}
	return run, nil
}

// startUp puts a run to sheets and grams.
func (s *stage) startUp(run *rollers.Startup, targets []float64) StartUp {
	out := StartUp{Followed: len(run.FilmUM), Near: s.waste(run, targets, NearPct), Good: s.waste(run, targets, GoodPct), LastZones: []int{}}
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

// waste is what it costs until all zones stay within so many % of their films.
func (s *stage) waste(run *rollers.Startup, targets []float64, pct float64) Waste {
	sheets, ok := run.Within(targets, pct/100)
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
		if after > last {
			last, lastly = after, i
		}
	}
	if last == 0 {
		return
	}
	at := s.train.FromLeft(out.Zones[lastly].Zone)
	out.StartUp.LastOffPct = rounded(100 * (run.FilmUM[last/2][at]/targets[at] - 1))
	for _, z := range out.Zones {
		if z.Prints && (z.NearAfter == nil || float64(*z.NearAfter) > 0.9*float64(last)) {
			out.StartUp.LastZones = append(out.StartUp.LastZones, z.Zone)
		}
	}
}

// StateCharges has every unit of a preset state how its rollers are best charged, as
// far as a charge saves sheets. Without a train the error is preset.ErrNoTrain.
func StateCharges(ctx context.Context, in Input) error {
	return each(ctx, len(in.Preset.Units), func(ctx context.Context, i int) error {
		u := &in.Preset.Units[i]
		s, err := newStage(in, u)
		if err != nil {
			return err
		}
		if s.steady, err = s.train.Steady(ctx, s.form, s.setting); err != nil {
			return err
		}
		charge, err := s.charge(ctx)
		if err != nil || charge == nil {
			return err
		}
		targets := s.targets(s.steady)
		clean, err := s.standing(ctx, s.train.Clean(), s.form, s.setting, targets)
		if err != nil {
			return err
		}
		if c := s.charged(charge, clean, targets); c.worth() {
			u.Charge = new(c.Words)
			if !s.train.Fitted() {
				u.Charge = new(c.Words + " (" + Trend + ")")
			}
		}
		return nil
	})
}

// worth tells whether a charge saves sheets that are worth a sentence.
func (c *Charge) worth() bool {
	return c != nil && (c.SavesSheets == nil || *c.SavesSheets >= seenSheets)
}

// charge looks for the best charge among openings that the keys' scale has; nil where
// none brings the rollers near.
func (s *stage) charge(ctx context.Context) (*rollers.Charge, error) {
	if s.mean(s.steady) == 0 {
		return nil, nil
	}
	c, err := s.train.Charge(ctx, s.steady, s.form, s.setting, s.offered()...)
	if ctx.Err() != nil {
		return nil, err
	}
	if err != nil {
		return nil, nil // no opening charges them within the turns that are looked at
	}
	return c, nil
}

// offered are some twenty openings, all of which keys can be set to.
func (s *stage) offered() []float64 {
	const many = 20
	steps := s.on.Keys.Travel / s.on.Keys.Step
	stride := max(1, math.Round(steps/many))
	var openings []float64
	for step := stride; step <= steps+1e-9; step += stride {
		openings = append(openings, min(100, 100*step/steps))
	}
	return openings
}

// charged says what a charge saves.
func (s *stage) charged(c *rollers.Charge, clean *rollers.Startup, targets []float64) *Charge {
	if c == nil {
		return nil
	}
	scale := s.on.Keys
	scale.Zero = nil
	key := scale.Key(1, c.OpeningPct)
	out := &Charge{OpeningPct: rounded(c.OpeningPct), Turns: c.Turns, Sheets: c.Sheets, KeyText: scale.Text(key)}
	if sheets, ok := clean.Within(targets, NearPct/100.0); ok {
		out.SavesSheets = new(sheets - c.Sheets)
	}
	out.Words = fmt.Sprintf("from washed rollers: all keys at %s, %d turns with the form rollers off, then the preset", keyWords(scale, key), c.Turns)
	switch saves := out.SavesSheets; {
	case saves == nil:
		out.Words += fmt.Sprintf("; saves more than %d sheets of makeready", mostSheets-c.Sheets)
	case *saves > 0:
		out.Words += fmt.Sprintf("; saves about %s of makeready", sheetsOf(about(*saves)))
	}
	return out
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
		if sheets, ok := run.Within(targets, NearPct/100.0); ok {
			idle.Sheets = &sheets
		}
		out.Idle = append(out.Idle, idle)
	}
	return nil
}
