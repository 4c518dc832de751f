package preset

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"bladeline/curves"
	"bladeline/curves/rollers"
	"bladeline/curves/settings"
	"bladeline/zones"
	"bladeline/zones/press"
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

// unshut says how to open the keys that stand shut beside those that print.
func (f *inspected) unshut(openPct float64) string {
	var beside []Key
	for i, k := range f.unit.Keys {
		on := func(i int) bool { return i >= 0 && i < len(f.unit.Keys) && f.unit.Keys[i].State != curves.OffSheet }
		if !on(i) && (on(i-1) || on(i+1)) {
			beside = append(beside, k)
		}
	}
	scale, zone := f.press.Keys, beside[0].Zone
	pct := scale.OpeningPct(zone, atLeast(scale, zone, openPct))
	return fmt.Sprintf("%s, or off_sheet_pct to %s", UnshutWords(scale, beside, openPct), settings.Plain(math.Round(10*pct)/10))
}

// UnshutWords say where keys are set, on their scale and each from where it is shut, so
// that they stand open by openPct of travel or more.
func UnshutWords(scale press.KeyScale, keys []Key, openPct float64) string {
	first := atLeast(scale, keys[0].Zone, openPct)
	if !slices.ContainsFunc(keys, func(k Key) bool { return atLeast(scale, k.Zone, openPct) != first }) {
		return fmt.Sprintf("set the key of %s to %s", Spans(keys), scale.Text(first))
	}
	var each []string
	for _, k := range keys {
		each = append(each, fmt.Sprintf("of zone %d to %s", k.Zone, scale.Text(atLeast(scale, k.Zone, openPct))))
	}
	return "set the key " + strings.Join(each, ", ")
}

// atLeast is the step of a key that is open by so much; a tenth of a step is none.
func atLeast(scale press.KeyScale, zone int, openPct float64) float64 {
	return scale.Key(zone, min(100, openPct+0.4*100*scale.Step/scale.Travel))
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
