package preset

import "bladeline/curves/settings"

// A Run is what is known of the run that a preset is for. What is empty, or 0, is
// not known.
type Run struct {
	Paper  string // the stock, as the shop calls it
	Length int    // sheets
	Date   string // day of the preset, as 2026-11-26
}

// StateRun has a preset state a run. Its error, of type *settings.FileError, has
// the path in the JSON as the place.
func (p *Preset) StateRun(r Run) error {
	p.Paper, p.RunLength, p.Date = nilIfZero(r.Paper), nilIfZero(r.Length), nilIfZero(r.Date)
	if field, what := p.validateFields(); what != "" {
		return &settings.FileError{Place: field, What: what}
	}
	return nil
}

// Run is what a preset states of its run.
func (p *Preset) Run() Run {
	return Run{zeroIfNil(p.Paper), zeroIfNil(p.RunLength), zeroIfNil(p.Date)}
}

func zeroIfNil[V any](v *V) V {
	if v == nil {
		var zero V
		return zero
	}
	return *v
}
