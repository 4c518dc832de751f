package sheet

import (
	"fmt"
	"slices"

	"bladeline/curves"
	"bladeline/zones/preset"
	"bladeline/zones/press"
)

// A run is what a sheet of a run shows beside the keys that were run, from the left
// as they are.
type run struct {
	preset []preset.Key
	unread []bool
}

// notRead stands for a key that was not read, as in the OK file.
const notRead = "–"

// setRun has the sheet show what was finally run, where the unit says so. Keys that
// were not read are drawn as preset, but paler.
func (s *sheet) setRun() {
	if !s.unit.WasRun() {
		return
	}
	travel := 0.0
	if s.options.Press != nil {
		travel = s.options.Press.Keys.Travel
	}
	s.Title += ", as run"
	openings := s.unit.OpeningsRun(travel)
	s.run = &run{preset: slices.Clone(s.keys)}
	for i := range s.keys {
		k := &s.keys[i]
		opening := openings[k.Zone-1]
		s.run.unread = append(s.run.unread, opening == nil)
		if opening == nil {
			k.KeyText = notRead
			continue
		}
		k.OpeningPct, k.Key = *opening, *k.OKKey
		k.KeyText = press.KeyText(s.preset.Press.KeyUnit, *k.OKKey)
	}
}

// presetTexts are the preset's keys beside those that were run.
func (s *sheet) presetTexts() []string {
	var texts []string
	for _, k := range s.run.preset {
		texts = append(texts, k.KeyText)
	}
	return texts
}

// paleGaps draws over the ink of keys that were not read: how much there was is not
// known.
func (s *sheet) paleGaps(pieces [][]Point) {
	if s.run == nil {
		return
	}
	for i, unread := range s.run.unread {
		if !unread {
			continue
		}
		upper := pieces[0]
		if len(pieces) > 1 || len(s.keys) == 1 {
			upper = pieces[i]
		} else {
			upper = upper[i*pointsPerZone : (i+1)*pointsPerZone+1]
		}
		s.ink(upper, Pale)
	}
}

// asRun says in the header that a run is drawn, and when it was where that is known.
func (s *sheet) asRun() string {
	if s.preset.Date == nil {
		return "AS RUN"
	}
	return "AS RUN " + *s.preset.Date
}

// runNotes say what is drawn of a run.
func (s *sheet) runNotes() []note {
	if s.run == nil {
		if s.preset.WasRun() {
			return []note{{"As preset", "the file does not say what was run of this ink."}}
		}
		return nil
	}
	text := "the large keys and the sweep are those that were finally run; in small, those of the preset."
	if s.options.Press == nil {
		text += " How far a key travels is not stated: the gap is drawn by what the preset's keys say of it."
	}
	notes := []note{{"As run", text}}
	if list := zoneRanges(s.unit.Keys, func(k preset.Key) bool { return k.OKKey == nil }); list != "" {
		notes = append(notes, note{"Not read", fmt.Sprintf("%s: where the key stood is not known; its gap is drawn pale, as preset.", list)})
	}
	if list := zoneRanges(s.unit.Keys, func(k preset.Key) bool { return k.State == curves.OffSheet }); list != "" {
		notes = append(notes, note{"Off the sheet", list + ": no form lies over the key."})
	}
	return notes
}
