package rehearsal

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"bladeline/curves"
	"bladeline/zones/preset"
	"bladeline/zones/press"
)

// beside is how far a zone's film lies off what all do, %.
func (z *Zone) beside(overallPct float64) float64 {
	return 100 * ((1+z.DeviationPct/100)/(1+overallPct/100) - 1)
}

// unevenWords name the zones that run light or heavy beside what all do, the worst first;
// those that print little littleWords name.
func (s *stage) unevenWords(out *Ink, overallPct float64) []string {
	var spans []*span
	var last *span
	for i, z := range out.Zones {
		off := z.beside(overallPct)
		if !s.waits[i] || math.Abs(off) < GoodPct {
			last = nil
			continue
		}
		if last == nil || last.worst*off < 0 {
			last = &span{off: map[int]float64{}}
			spans = append(spans, last)
		}
		last.keys, last.off[z.Zone] = append(last.keys, s.unit.Keys[i]), off
		if math.Abs(off) > math.Abs(last.worst) {
			last.worst, last.zone = off, z.Zone
		}
	}
	switch {
	case len(spans) == 0 && overallPct == 0 && s.littleOff(out, overallPct):
		return []string{fmt.Sprintf("every zone that prints %d %% or more settles within 5 %% of its film: leave the keys", judgedPct)}
	case len(spans) == 0 && overallPct == 0:
		return []string{"every zone settles within 5 % of its film: leave the keys"}
	case len(spans) == 0:
		return nil
	}
	slices.SortStableFunc(spans, func(a, b *span) int { return cmp.Compare(math.Abs(b.worst), math.Abs(a.worst)) })
	spans = together(spans)
	if i := slices.IndexFunc(spans, (*span).starves); i > 0 { // its cure, the sweep, moves all others
		first := spans[i]
		spans = slices.Insert(slices.Delete(spans, i, i+1), 0, first)
	}
	var texts []string
	explained, beside := false, "" // what sentences of zones are held against
	if overallPct != 0 {
		beside = "beside the others "
	}
	for _, sp := range spans[:min(len(spans), mostSpans)] {
		text := beside + s.spanWords(sp, explained)
		if slices.ContainsFunc(texts, func(t string) bool { return strings.HasSuffix(t, finer) }) {
			text = strings.TrimSuffix(text, finer)
		}
		texts = append(texts, text)
		explained = explained || s.bySweep(sp)
	}
	if more := len(spans) - mostSpans; more > 0 {
		var keys []preset.Key
		for _, sp := range spans[mostSpans:] {
			keys = append(keys, sp.keys...)
		}
		slices.SortFunc(keys, func(a, b preset.Key) int { return a.Zone - b.Zone })
		texts = append(texts, beside+fmt.Sprintf("%s will be off by %.0f %% at most", preset.Spans(keys), math.Abs(spans[mostSpans].worst)))
	}
	return texts
}

// starves tells whether zones run light since the ceiling holds keys.
func (sp *span) starves() bool { return sp.worst < 0 && sp.heldBy(curves.Ceiling) }

// heldBy tells whether a limit holds a key, as it was preset.
func (sp *span) heldBy(state curves.State) bool {
	return slices.ContainsFunc(sp.keys, func(k preset.Key) bool { return k.State == state && k.OKKey == nil })
}

// together makes one of spans that are off by about as much, so that each is said once.
// The largest come first.
func together(spans []*span) []*span {
	var joined []*span
	for _, sp := range spans {
		i := slices.IndexFunc(joined, func(j *span) bool { return math.Abs(j.worst-sp.worst) < alikePct })
		if i < 0 {
			joined = append(joined, sp)
			continue
		}
		joined[i].keys = append(joined[i].keys, sp.keys...)
		for zone, off := range sp.off {
			joined[i].off[zone] = off
		}
		slices.SortFunc(joined[i].keys, func(a, b preset.Key) int { return a.Zone - b.Zone })
	}
	return joined
}

// alikePct is the difference of deviations that nobody sees.
const alikePct = 2

// mostSpans is as many as get a sentence of their own.
const mostSpans = 4

// spanWords say how far zones are off, why, and what to do; what a sweep does is explained
// once.
func (s *stage) spanWords(sp *span, explained bool) string {
	way, do := "light", "open"
	if sp.worst > 0 {
		way, do = "heavy", "close"
	}
	upTo := ""
	if len(sp.keys) > 1 {
		upTo = "up to "
	}
	text := fmt.Sprintf("%s will run %s%.0f %% %s", preset.Spans(sp.keys), upTo, math.Abs(sp.worst), way)
	if change := s.densityOff(sp.worst); change != nil {
		text += fmt.Sprintf(" (%.2f of density)", math.Abs(*change))
	}
	switch {
	case sp.starves():
		return text + ": the ceiling holds keys there; take a longer sweep"
	case sp.worst > 0 && sp.heldBy(curves.Floor):
		return text + ": the floor holds keys there; take a shorter sweep, or a take-off bar"
	case s.bySweep(sp) && explained:
		return text + ", by the sweep as well: " + s.moveWords(sp, do)
	case s.bySweep(sp):
		return text + ": " + s.sweepWords(sp, do)
	case sp.worst > 0 && s.besideOpen(sp.keys):
		return text + ": keys beside the image feed it, too; close those as far as the blade lets them"
	case sp.worst < 0 && s.besideShut(sp.keys):
		return text + ": shut keys beside the sheet take ink back; " + s.unshutWords(sp.keys) + ", or " + s.moveWords(sp, do)
	}
	return text + ": " + s.moveWords(sp, do)
}

// bySweep tells whether zones are off since the sweep is not that of the curve which set
// their keys: opening x sweep is kept, and by the train's law, film = feed / (A + B·c),
// a zone of little image has film in proportion to the opening alone. By the line that has
// to make half of what is seen, or more.
func (s *stage) bySweep(sp *span) bool {
	if s.curve == nil || s.unit.ByTrain != nil || s.unit.RunBefore() {
		return false
	}
	reference, cover := s.on.ReferenceSweep(s.curve), s.cover(sp.zone)
	film := func(sweep float64) float64 {
		return s.train.Line().FilmUM(reference/sweep, cover, s.train.StripMM(sweep))
	}
	return 100*(film(s.sweep)/film(reference)-1)/sp.worst >= 0.5
}

// sweepWords say why, and what to do.
func (s *stage) sweepWords(sp *span, do string) string {
	wide, full, short := "wider open", "as full as keys let them", "short"
	if sp.worst < 0 {
		wide, full, short = "less open", "no fuller than keys let them", "long"
	}
	reference := press.Amount(s.on.ReferenceSweep(s.curve), s.on.Sweep.Unit)
	return fmt.Sprintf("at a sweep of %s keys stand %s than at the curve's %s, and where little image takes ink off the rollers become %s, however %s the sweep; preset at a sweep nearer to %s, or %s",
		press.Amount(s.sweep, s.on.Sweep.Unit), wide, reference, full, short, reference, s.moveWords(sp, do))
}

// finer is what may be done where a move is less than a step; it is said once.
const finer = "; a shorter sweep opens keys wider, and makes steps finer"

// mostMoves is as many keys as a sentence names with what each is set to.
const mostMoves = 6

// moveWords say what keys are set to, in their steps, were all of them moved: film then
// follows what is fed. Of many keys it is the worst, and what holds of the others.
func (s *stage) moveWords(sp *span, do string) string {
	var moves []string
	worst := ""
	for _, k := range sp.keys {
		from, to := s.move(k, sp.off[k.Zone])
		if from == to {
			continue
		}
		move := fmt.Sprintf("%d from %s to %s", k.Zone, s.on.Keys.Text(from), s.on.Keys.Text(to))
		moves = append(moves, move)
		if k.Zone == sp.zone {
			worst = move
		}
	}
	keys := "key "
	switch {
	case len(moves) == 0:
		return "that is less than a step of the key" + finer
	case len(moves) > mostMoves && worst != "":
		return fmt.Sprintf("%s %s%s, and the others there in proportion", do, keys, worst)
	case len(moves) > 1:
		keys = "keys "
	}
	text := fmt.Sprintf("%s %s%s", do, keys, strings.Join(moves, ", "))
	switch len(sp.keys) - len(moves) {
	case 0:
		return text
	case 1:
		return text + "; the other one there stands on the nearest step"
	}
	return text + "; the others there stand on the nearest steps"
}

// move is where a key stands, and the step nearest to where it would feed what a film that
// is off by so much lacks or has too much of.
func (s *stage) move(k preset.Key, offPct float64) (from, to float64) {
	opening := s.setting.OpeningPct[s.train.FromLeft(k.Zone)]
	return s.on.Keys.Key(k.Zone, opening), s.on.Keys.Key(k.Zone, min(100, opening/(1+offPct/100)))
}

// besideOpen tells whether keys lie next to one over no image that stands a third as
// wide as theirs or wider.
func (s *stage) besideOpen(keys []preset.Key) bool {
	return s.beside(keys, func(k, beside preset.Key) bool { return !beside.Prints() && beside.OpeningPct >= k.OpeningPct/3 })
}

// besideShut tells whether keys lie next to one that is shut off the sheet.
func (s *stage) besideShut(keys []preset.Key) bool {
	return s.beside(keys, func(_, beside preset.Key) bool { return beside.State == curves.OffSheet })
}

// unshutWords say how wide the shut keys next to some are to be opened so that they take
// nothing back: by the line's offset, the film on the rollers that a bare zone carries
// beside the target.
func (s *stage) unshutWords(keys []preset.Key) string {
	var zones []preset.Key
	for i, k := range s.unit.Keys {
		if k.State == curves.OffSheet && slices.ContainsFunc(keys, func(of preset.Key) bool { return of.Zone == k.Zone-1 || of.Zone == k.Zone+1 }) {
			zones = append(zones, s.unit.Keys[i])
		}
	}
	feed := s.train.Line().FeedUM(s.target/s.scale, 0, s.setting.StripMM)
	return preset.UnshutWords(s.on.Keys, zones, 100*feed/s.on.Train.Feed.FilmFullUM)
}

// beside tells whether any key and one next to it are as is asked.
func (s *stage) beside(keys []preset.Key, is func(k, beside preset.Key) bool) bool {
	return slices.ContainsFunc(keys, func(k preset.Key) bool {
		for _, at := range []int{k.Zone - 2, k.Zone} {
			if at >= 0 && at < len(s.unit.Keys) && is(k, s.unit.Keys[at]) {
				return true
			}
		}
		return false
	})
}
