package rehearsal

import (
	"cmp"
	"context"

	"bladeline/curves"
	"bladeline/curves/rollers"
	"bladeline/zones"
	"bladeline/zones/preset"
	"bladeline/zones/press"
)

// A stage is one ink on the train of its unit.
type stage struct {
	train   *preset.Train
	on      *press.Press // as the unit has it
	unit    *preset.Unit
	form    rollers.Form
	layout  bool
	laid    *zones.Form // nil without layout
	setting rollers.Setting
	sweep   float64
	prints  []bool  // by zone
	waits   []bool  // by zone: whether makeready waits for it
	length  float64 // of the form along the sheet, mm
	ink     press.Ink
	target  float64
	curve   *curves.Curve // nil is not known

	// What settle finds.
	steady  *rollers.Steady
	scale   float64   // of the model's films, so that their level is right
	level   string    // where that is from
	cured   []cure    // what may cure a ghost, where one is seen
	askedUM []float64 // what the curve's openings print, in the model's films, by zone; nil: it is not known
}

// newStage lays an ink on its unit's train.
func newStage(in Input, u *preset.Unit) (*stage, error) {
	train, err := preset.NewTrain(u.OnPress(in.On), rollers.Fine)
	if err != nil {
		return nil, err
	}
	return stageOn(train, in, u)
}

func stageOn(train *preset.Train, in Input, u *preset.Unit) (*stage, error) {
	s := &stage{train: train, unit: u, on: u.OnPress(in.On), scale: 1, curve: in.Curves[u.Ink]}
	s.ink, _ = in.On.Ink(u.Ink)
	s.target = cmp.Or(s.ink.FilmUM, 1)
	if err := s.set(u); err != nil {
		return nil, err
	}
	s.layForm(in.Forms[u.Ink])
	return s, nil
}

// set sets the fountain as a unit's keys and sweep were run, or else preset.
func (s *stage) set(u *preset.Unit) error {
	if err := u.OnScales(s.on); err != nil {
		return err
	}
	openings := make([]float64, len(u.Keys))
	s.unit, s.sweep, s.prints = u, u.SweepRun(), nil
	for i, k := range u.Keys {
		key := k.Key
		if k.OKKey != nil {
			key = *k.OKKey
		}
		openings[i] = min(100, s.on.Keys.OpeningPct(k.Zone, key))
		s.prints = append(s.prints, k.Prints())
	}
	s.waits = s.waitedFor()
	s.setting = s.train.Setting(openings, s.sweep)
	return nil
}

// layForm lays the form on the train, or where it is not known, the zones' coverages.
func (s *stage) layForm(f *zones.Form) {
	image := s.on.Train.ImageMM
	if f != nil {
		s.form, s.layout, s.laid, s.length = s.train.Form(f), true, f, min(image, f.Outline().LengthMM)
		return
	}
	s.length = image
	of := image // that coverages refer to
	if s.unit.LengthMM != nil {
		of = *s.unit.LengthMM
	}
	pct := make([]float64, len(s.unit.Keys))
	for i, k := range s.unit.Keys {
		pct[i] = min(100, k.CoveragePct*of/image)
	}
	s.form = s.train.EvenForm(pct)
}

// rehearsed works the ink out.
func (s *stage) rehearsed(ctx context.Context, in Input) (Ink, error) {
	out := Ink{}
	if err := s.settle(ctx); err != nil {
		return out, err
	}
	out = s.settled()
	if err := s.start(ctx, &out, in.Start); err != nil {
		return out, err
	}
	if err := s.idle(ctx, &out); err != nil {
		return out, err
	}
	if err := s.footprint(ctx, &out); err != nil {
		return out, err
	}
	var err error
	if out.Tries, err = s.tries(ctx, in.Tries, &out); err != nil {
		return out, err
	}
	s.cured, err = s.cures(ctx, &out)
	return out, err
}

// settled is what is printed once all has settled.
func (s *stage) settled() Ink {
	u := s.unit
	out := Ink{Ink: u.Ink, Unit: u.Unit, Sweep: s.sweep, Layout: s.layout, TargetUM: s.target, Level: s.level, Ghosts: []Ghost{}, Idle: []Idle{}, Tries: []Outcome{}, Sentences: []string{}}
	s.zones(&out, s.mean(s.steady))
	s.ghosts(&out)
	s.rollers(&out)
	out.Map = s.sheet()
	return out
}
