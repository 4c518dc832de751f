package preset

import (
	"context"
	"errors"
	"fmt"

	"bladeline/curves"
	"bladeline/curves/learn"
	"bladeline/curves/rollers"
	"bladeline/curves/settings"
	"bladeline/zones/press"
)

// A TrainFit gathers what a press printed, to tie its train to it. What films keys
// give is not measured: a sheet that was passed as right printed its inks' own films
// in all zones.
type TrainFit struct {
	on   *press.Press
	t    *Train
	jobs []rollers.Job
}

// NewTrainFit begins one for a press. Without a train the error is ErrNoTrain.
func NewTrainFit(on *press.Press) (*TrainFit, error) {
	if err := checkPress(on); err != nil {
		return nil, err
	}
	unfed := *on
	if on.Train != nil {
		train := *on.Train
		train.Feed = rollers.Feed{FilmFullUM: 100, StripMM: 30} // stand for what is looked for
		unfed.Train = &train
	}
	t, err := NewTrain(&unfed, rollers.Coarse)
	if err != nil {
		return nil, err
	}
	return &TrainFit{on: on, t: t}, nil
}

// Add adds an OK file: of an ink or, where that is empty, of all inks that were read.
// It refuses what [Preset.OKRun] refuses.
func (f *TrainFit) Add(file string, p *Preset, ink string) error {
	if err := p.validateIn(file); err != nil {
		return err
	}
	added := false
	for i := range p.Units {
		u := &p.Units[i]
		if ink == "" && !u.anyKeyRead() {
			continue
		}
		if ink != "" && p.Unit(ink) != u {
			continue
		}
		run, err := p.OKRun(file, f.on, u.Ink)
		if err != nil {
			return err
		}
		f.jobs, added = append(f.jobs, f.job(file, u, run)), true
	}
	if !added {
		_, err := p.OKRun(file, f.on, ink)
		return err
	}
	return nil
}

// job is a unit as a file has it run; the file's inks are one job. Keys that were not read stood as they were preset, as
// far as anybody knows, and their own zones do not count. Openings are in parts of the
// ink's film, so that jobs of several inks print alike.
func (f *TrainFit) job(file string, u *Unit, run *learn.Run) rollers.Job {
	on := u.OnPress(f.on)
	length := 0.0
	if u.LengthMM != nil {
		length = *u.LengthMM
	}
	n := len(u.Keys)
	openings, pct, read := make([]float64, n), make([]float64, n), make([]bool, n)
	for i, k := range u.Keys {
		key := k.Key
		if k.OKKey != nil {
			key = *k.OKKey
		}
		openings[f.t.FromLeft(i+1)] = on.Keys.OpeningPct(k.Zone, key) / filmOf(f.on, u.Ink)
		pct[i] = 100 * coverOn(on, length, k.CoveragePct)
	}
	for _, r := range run.Readings {
		read[f.t.FromLeft(r.Zone)] = r.Censoring == learn.Uncensored
	}
	return rollers.Job{Form: f.t.EvenForm(pct), OpeningPct: openings, Sweep: run.Sweep / on.Sweep.Reference, Read: read, Run: file}
}

// Fit finds the film at full opening and the strip, at the press's reference sweep. What
// the jobs do not hold is refused as an [*rollers.Unfit].
func (f *TrainFit) Fit(ctx context.Context) (rollers.Fitted, error) {
	return f.t.FitJobs(ctx, 1, f.jobs)
}

// ErrNotLearned is why a curve says nothing of a train.
var ErrNotLearned = errors.New("was not learned from OK files, and an offset is fitted or known, never assumed; name a curve that curve learn wrote, or OK files")

// FitCurve finds the same from the line of a curve that was learned on the press, of
// an ink.
func (f *TrainFit) FitCurve(c *curves.Curve, ink string) (rollers.Fitted, error) {
	switch {
	case c == nil:
		return rollers.Fitted{}, ErrNotLearned
	case c.Learned == nil:
		return rollers.Fitted{}, fmt.Errorf("curve %s %w", settings.Quoted(c.Name), ErrNotLearned)
	case len(c.Learned.Runs) < rollers.LeastJobs:
		return rollers.Fitted{}, &rollers.Unfit{Reason: rollers.FewJobs, Fitted: rollers.Fitted{Jobs: len(c.Learned.Runs)}}
	}
	var readings []rollers.Reading
	for _, p := range c.Points {
		readings = append(readings, rollers.Reading{Cover: coverOn(f.on, 0, p.CoveragePct), OpeningPct: p.OpeningPct})
	}
	fitted, err := f.t.Line().Fit(filmOf(f.on, ink), readings)
	bySweep := f.on.Sweep.Reference / f.on.ReferenceSweep(c)
	fitted.StripMM *= bySweep
	fitted.StripError *= bySweep
	return fitted, err
}
