package preset

import (
	"context"
	"fmt"
	"math"
	"strings"

	"bladeline/curves"
	"bladeline/curves/rollers"
	"bladeline/curves/settings"
	"bladeline/zones"
)

// shutBeside warns of keys off the sheet that stand so far closed that a printing zone
// beside them runs light: rollers beside the sheet carry ink as well, and a shut key has
// it taken from there. It takes a train that was fitted to say how much: of one that was
// not it is no more than a trend, and would be said of every sheet that is narrower than
// the fountain.
func (f *inspected) shutBeside() []zones.Warning {
	if f.press.Train == nil || len(f.press.Train.Feed.FittedFrom) == 0 || !f.endsBesidePrint() {
		return nil
	}
	t, err := NewTrain(f.press, rollers.Coarse)
	if err != nil { // then nothing is known of it
		return nil
	}
	s := &solving{Train: t, in: f.in, on: f.press, covers: coversOn(f.press, f.in)}
	s.spread()
	open := 100 * t.Line().FeedUM(filmOf(f.press, f.unit.Ink), 0, t.StripMM(f.unit.Sweep)) / f.press.Train.Feed.FilmFullUM
	shut, err := s.filmsWith(f.unit, 0)
	if err != nil {
		return nil
	}
	full, err := s.filmsWith(f.unit, open)
	if err != nil {
		return nil
	}
	lost := func(k Key) float64 { return 100 * (1 - shut[k.Zone-1]/full[k.Zone-1]) }
	light := f.keys(func(k Key) bool { return k.Prints() && lost(k) > evenPct })
	if len(light) == 0 {
		return nil
	}
	_, worst := extremes(light, lost)
	return f.warning(CodeShut, worst.Zone, "shut keys beside the sheet take ink back: %s; zone %d will run %.0f %% light for it; %s, or preset by the train",
		Spans(light), worst.Zone, lost(worst), f.unshut(open))
}

// unshut says how to open the keys that stand shut beside those that print: each on the
// step that is no less, from where it is shut.
func (f *inspected) unshut(openPct float64) string {
	scale := f.press.Keys
	atLeast := openPct + 100*0.4*scale.Step/scale.Travel // a tenth of a step is none
	var beside []Key
	var each []string
	alike := true
	for i, k := range f.unit.Keys {
		on := func(i int) bool { return i >= 0 && i < len(f.unit.Keys) && f.unit.Keys[i].State != curves.OffSheet }
		if on(i) || !on(i-1) && !on(i+1) {
			continue
		}
		k.Key = scale.Key(k.Zone, atLeast)
		beside = append(beside, k)
		each = append(each, fmt.Sprintf("of zone %d to %s", k.Zone, scale.Text(k.Key)))
		alike = alike && k.Key == beside[0].Key
	}
	keys := strings.Join(each, ", ")
	if alike {
		keys = fmt.Sprintf("of %s to %s", Spans(beside), scale.Text(beside[0].Key))
	}
	return fmt.Sprintf("set the key %s, or off_sheet_pct to %s", keys, settings.Plain(math.Round(10*scale.OpeningPct(beside[0].Zone, beside[0].Key))/10))
}

// endsBesidePrint tells whether a printing key has one beside it that is off the sheet.
func (f *inspected) endsBesidePrint() bool {
	for i, k := range f.unit.Keys {
		if i > 0 && (k.State == curves.OffSheet) != (f.unit.Keys[i-1].State == curves.OffSheet) {
			return true
		}
	}
	return false
}

// filmsWith are the films of a unit's keys as set, by zone, with those off the sheet open
// by openPct or more.
func (s *solving) filmsWith(u *Unit, openPct float64) ([]float64, error) {
	openings := make([]float64, len(u.Keys))
	for i, k := range u.Keys {
		if openings[i] = s.on.Keys.OpeningPct(k.Zone, k.Key); k.State == curves.OffSheet {
			openings[i] = max(openings[i], openPct)
		}
	}
	st, err := s.Steady(context.Background(), s.form, s.Setting(openings, u.Sweep))
	if err != nil {
		return nil, fmt.Errorf("ink %s: %w", u.Ink, err)
	}
	films := make([]float64, len(u.Keys))
	for i := range films {
		films[i] = st.Zones[s.FromLeft(i+1)].FilmUM
	}
	return films, nil
}
