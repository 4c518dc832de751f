package rehearsal

import (
	"context"

	"bladeline/curves"
	"bladeline/curves/rollers"
)

// Where a level is from: what films are held against.
const (
	Measured = "fitted"  // a train that was fitted tells how thick a film is, and the ink's own is wanted
	ByCurve  = "curve"   // of another, what the curve asks for is taken to be right
	Assumed  = "assumed" // where that is not known, or what was run is, the mean of all ink is
)

// settle works out what is printed once all has settled, and the level of that.
//
// Of a train that was not fitted films are known in proportion alone. It is one rule for
// all that is told of it: the target is the mean film, by ink, that the curve's openings
// print, held by no limit and no step, at the sweep that the curve holds at, which is
// also what keys by the train aim at. So a sweep at which keys are held shows as light.
// What was finally run was passed as right: there it is the mean of what that prints,
// as it is where the curve is not known.
func (s *stage) settle(ctx context.Context) error {
	var err error
	if s.steady, err = s.steadyNear(ctx, nil, s.form, s.setting); err != nil {
		return err
	}
	if s.curve != nil {
		asked, err := s.steadyNear(ctx, s.steady.State, s.form, s.asked())
		if err != nil {
			return err
		}
		s.askedUM = s.train.FilmsUM(asked)
	}
	s.scale, s.level = s.leveled(s.mean(s.steady), s.askedUM)
	return nil
}

// leveled are the scale of films whose mean is known, beside those that the curve asks
// for, by zone, and where it is from.
func (s *stage) leveled(mean float64, askedUM []float64) (scale float64, from string) {
	from = Assumed
	switch {
	case s.train.Fitted():
		return 1, Measured
	case askedUM != nil && !s.unit.RunBefore():
		mean, from = s.meanOf(askedUM), ByCurve
	}
	if mean == 0 {
		return 1, from
	}
	return s.target / mean, from
}

// asked is the fountain as the curve asks for it.
func (s *stage) asked() rollers.Setting {
	var openingPct []float64
	for _, k := range s.unit.Keys {
		openingPct = append(openingPct, s.curve.At(k.CoveragePct))
	}
	return s.train.Asked(s.curve, openingPct, func(i int) bool { return s.unit.Keys[i].State == curves.OffSheet })
}

// lineUM are the films of the setting by the train's line, by zone, which knows nothing
// of neighbours and takes no time.
func (s *stage) lineUM() []float64 {
	films, line := make([]float64, len(s.prints)), s.train.Line()
	for i := range films {
		feed := s.on.Train.Feed.FilmFullUM * s.setting.OpeningPct[s.train.FromLeft(i+1)] / 100
		films[i] = line.FilmUM(feed, s.cover(i+1), s.setting.StripMM)
	}
	return films
}
