package rehearsal

import (
	"context"
	"runtime"
	"slices"

	"bladeline/curves/rollers"
	"bladeline/zones/preset"
)

// StateCharges has every unit of a preset state how its rollers are best charged, as
// far as a charge saves its pass sheets. It is looked for as a rehearsal does, on a rough grid, which
// takes a tenth of the time: its opening is the same, and its turns and sheets, which
// are told in round numbers, may differ by a few. Without a train the error is
// preset.ErrNoTrain.
func StateCharges(ctx context.Context, in Input) error {
	units := in.Preset.Units
	stages, all := make([]*stage, len(units)), make([]makeready, len(units))
	err := each(ctx, len(units), runtime.GOMAXPROCS(0), func(ctx context.Context, i int) error {
		train, err := preset.NewTrain(units[i].OnPress(in.On), rollers.Rough)
		if err != nil {
			return err
		}
		if stages[i], err = stageOn(train, in, &units[i]); err == nil {
			err = stages[i].holding(ctx, func() (err error) {
				all[i], err = stages[i].fromWashed(ctx)
				return err
			})
		}
		return err
	})
	if err != nil {
		return err
	}
	for i, charge := range worth(units, all) {
		if !charge {
			continue
		}
		words := all[i].charge.Words
		if !stages[i].train.Fitted() {
			words += " (" + Trend + ")"
		}
		units[i].Charge = &words
	}
	return nil
}

// fromWashed is the makeready from washed rollers.
func (s *stage) fromWashed(ctx context.Context) (makeready, error) {
	if err := s.settle(ctx); err != nil {
		return makeready{}, err
	}
	if slices.Max(s.targets(s.steady)) == 0 { // nothing prints
		return makeready{}, nil
	}
	charge, err := s.charge(ctx)
	if err != nil {
		return makeready{}, err
	}
	near := goal{s.judged(), NearPct / 100.0} // makeready asks no more of them
	clean, err := s.follow(ctx, &rollers.Startup{State: s.train.Clean()}, s.setting, near)
	if err != nil {
		return makeready{}, err
	}
	c, err := s.charged(ctx, charge, clean)
	return s.makeready(c, s.waste(clean, NearPct).Sheets, s.noneReached()), err
}

// noneReached tells whether no zone that is waited for settles near the target.
func (s *stage) noneReached() bool {
	films := s.reached(NearPct)
	for i, waits := range s.waits {
		if waits && films[s.train.FromLeft(i+1)] > 0 {
			return false
		}
	}
	return true
}
