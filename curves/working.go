package curves

// Of a scale with more settings than fewSettings, a sixth at each end, and one at
// least, lies outside the working range where none is stated. The least sweeps
// feed in bands, and leave no way down; the greatest leave none up. Common
// practice, no source.
const (
	fewSettings = 4
	endsPart    = 6
)

// Working is the range that the sweep is worked in. What the scale does not
// state is its middle, as far as it takes to hold the reference.
func (s SweepScale) Working() (from, to float64) {
	steps := s.steps()
	ends := 0
	if settings := steps + 1; settings > fewSettings {
		ends = max(1, settings/endsPart)
	}
	from, to = s.WorkingFrom, s.WorkingTo
	if from == 0 {
		from = min(s.setting(float64(ends)), s.Reference)
	}
	if to == 0 {
		to = max(s.setting(float64(max(0, steps-ends))), s.Reference)
	}
	return from, to
}

// IsWorking tells whether a sweep lies in the working range.
func (s SweepScale) IsWorking(sweep float64) bool {
	from, to := s.Working()
	return sweep >= from-tiny && sweep <= to+tiny
}

func (s SweepScale) validateWorking() error {
	from, to := s.WorkingFrom, s.WorkingTo
	switch {
	case from != 0 && !(from >= s.From):
		return against("working_from", from, "below", "from", s.From)
	case from > s.Reference:
		return against("working_from", from, "above", "reference", s.Reference)
	case to != 0 && !(to >= s.Reference):
		return against("working_to", to, "below", "reference", s.Reference)
	case to > s.To:
		return against("working_to", to, "above", "to", s.To)
	}
	return nil
}
