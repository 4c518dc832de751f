package rehearsal

import (
	"context"
	"runtime"

	"bladeline/curves/rollers"
	"bladeline/zones/preset"
)

// StateCharges has every unit of a preset state how its rollers are best charged, as
// far as a charge saves sheets. It is looked for as a rehearsal does, on a rough grid, which
// takes a tenth of the time: its opening is the same, and its turns and sheets, which
// are told in round numbers, may differ by a few. Without a train the error is
// preset.ErrNoTrain.
func StateCharges(ctx context.Context, in Input) error {
	return each(ctx, len(in.Preset.Units), runtime.GOMAXPROCS(0), func(ctx context.Context, i int) error {
		u := &in.Preset.Units[i]
		train, err := preset.NewTrain(u.OnPress(in.On), rollers.Rough)
		if err != nil {
			return err
		}
		s, err := stageOn(train, in, u)
		if err != nil {
			return err
		}
		u.Charge, err = s.stated(ctx)
		return err
	})
}

// stated is the sentence that a preset has of its charge; nil where none is worth it.
func (s *stage) stated(ctx context.Context) (*string, error) {
	var err error
	if s.steady, err = s.train.Steady(ctx, s.form, s.setting); err != nil {
		return nil, err
	}
	charge, err := s.charge(ctx)
	if err != nil || charge == nil {
		return nil, err
	}
	targets := s.targets(s.steady)
	clean, err := s.standing(ctx, s.train.Clean(), s.form, s.setting, targets)
	if err != nil {
		return nil, err
	}
	c, err := s.charged(ctx, charge, clean, targets)
	if err != nil || !s.worth(c) {
		return nil, err
	}
	words := c.Words
	if !s.train.Fitted() {
		words += " (" + Trend + ")"
	}
	return &words, nil
}
