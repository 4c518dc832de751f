package rehearsal

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"bladeline/curves"
	"bladeline/zones/preset"
)

// From where a step or a change is seen, % of film. Common practice, no source.
const (
	seenGhostPct = 3 // about 0.02 of density, side by side
	seenSwingPct = 5
	seenFallPct  = 5
	seenSheets   = 20  // that are worth a sentence
	handSheets   = 100 // that are worth setting every key twice by hand
)

// sentences say what there is to see and to do, worst first; nothing of what is well.
func (s *stage) sentences(out *Ink, from Start, unknown, doubt string) []string {
	texts := []string{}
	say := func(text string) {
		if text != "" {
			texts = append(texts, text)
		}
	}
	if s.mean(s.steady) == 0 {
		return []string{"nothing prints: no zone takes more ink than a mark"}
	}
	say(doubt)
	for _, text := range s.unevenWords(out) {
		say(text)
	}
	say(s.trend(s.startWords(out)))
	say(s.lateWords(out))
	if s.worth(out.Charge) || out.Charge != nil && from.Kind == Charged {
		say(s.trend(out.Charge.Words))
	} else if out.Charge == nil && from.Kind == Charged {
		say("there is no charge, as too few zones print, or keys as wide as the job's charge too slowly: rollers start washed")
	}
	for _, text := range ghostWords(out) {
		say(text)
	}
	say(fallWords(out))
	if s.on.Train.InStep() {
		say("the ductor strokes in step with the oscillators, which pushes ink to one side: have them go and come back in other turns, if the press lets you")
	}
	if out.SwingPct >= seenSwingPct {
		say(fmt.Sprintf("from sheet to sheet films swing by up to %.0f %%, as the ductor strokes: compare several sheets before a key is moved", out.SwingPct))
	}
	if out.Level == Assumed {
		say("how thick the film is this train cannot tell until it is fitted: each zone is held against the mean of all ink, which is taken to be right")
	}
	if !s.layout {
		say("ghosts and what changes along the sheet are not known: " + cmp.Or(unknown, "the coverages of zones are all that is known of the form"))
	}
	return texts
}

// A span is zones with one thing in common.
type span struct {
	keys  []preset.Key
	worst float64 // deviation, %
	zone  int     // where that is
}

// unevenWords name the zones that run light or heavy, the worst first.
func (s *stage) unevenWords(out *Ink) []string {
	var spans []*span
	var last *span
	for i, z := range out.Zones {
		if !z.Prints || math.Abs(z.DeviationPct) < GoodPct {
			last = nil
			continue
		}
		if last == nil || last.worst*z.DeviationPct < 0 {
			last = &span{}
			spans = append(spans, last)
		}
		last.keys = append(last.keys, s.unit.Keys[i])
		if math.Abs(z.DeviationPct) > math.Abs(last.worst) {
			last.worst, last.zone = z.DeviationPct, z.Zone
		}
	}
	if len(spans) == 0 {
		return []string{"every zone settles within 5 % of its film: leave the keys"}
	}
	slices.SortStableFunc(spans, func(a, b *span) int { return cmp.Compare(math.Abs(b.worst), math.Abs(a.worst)) })
	spans = together(spans)
	var texts []string
	for _, sp := range spans[:min(len(spans), mostSpans)] {
		texts = append(texts, s.spanWords(sp))
	}
	if more := len(spans) - mostSpans; more > 0 {
		var keys []preset.Key
		for _, sp := range spans[mostSpans:] {
			keys = append(keys, sp.keys...)
		}
		slices.SortFunc(keys, func(a, b preset.Key) int { return a.Zone - b.Zone })
		texts = append(texts, fmt.Sprintf("%s: off by %.0f %% at most", preset.Spans(keys), math.Abs(spans[mostSpans].worst)))
	}
	return texts
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
		slices.SortFunc(joined[i].keys, func(a, b preset.Key) int { return a.Zone - b.Zone })
	}
	return joined
}

// alikePct is the difference of deviations that nobody sees.
const alikePct = 2

// mostSpans is as many as get a sentence of their own.
const mostSpans = 4

func (s *stage) spanWords(sp *span) string {
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
	held := func(state curves.State) bool {
		return slices.ContainsFunc(sp.keys, func(k preset.Key) bool { return k.State == state && k.OKKey == nil })
	}
	switch {
	case sp.worst < 0 && held(curves.Ceiling):
		return text + ": the ceiling holds keys there; take a longer sweep"
	case sp.worst > 0 && held(curves.Floor):
		return text + ": the floor holds keys there; take a shorter sweep, or a take-off bar"
	case sp.worst > 0 && s.besideOpen(sp.keys):
		return text + ": keys beside the image feed it, too; close those as far as the blade lets them"
	case sp.worst < 0 && s.besideShut(sp.keys) && len(sp.keys) == 1:
		return text + ": shut keys beside it take ink back; open it, and those a little"
	case sp.worst < 0 && s.besideShut(sp.keys):
		return text + ": shut keys beside the sheet take ink back; open these, and those a little"
	}
	return text + ": " + s.moveWords(sp, do)
}

// moveWords say how far the key of the worst of some zones is to be moved, were all of
// them moved alike: film then follows what is fed.
func (s *stage) moveWords(sp *span, do string) string {
	worst := sp.keys[slices.IndexFunc(sp.keys, func(k preset.Key) bool { return k.Zone == sp.zone })]
	opening := s.setting.OpeningPct[s.train.FromLeft(worst.Zone)]
	from, to := s.on.Keys.Key(worst.Zone, opening), s.on.Keys.Key(worst.Zone, min(100, opening/(1+sp.worst/100)))
	if from == to {
		return "that is less than a step of the key; a shorter sweep opens keys wider, and makes steps finer"
	}
	which := "this key"
	if len(sp.keys) > 1 {
		which = "these keys"
	}
	return fmt.Sprintf("%s %s, %d from %s to about %s", do, which, worst.Zone, s.on.Keys.Text(from), s.on.Keys.Text(to))
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

// densityOff is what a film that is off by so much makes of the target's density.
func (s *stage) densityOff(pct float64) *float64 {
	at, off := s.density(s.target), s.density(s.target*(1+pct/100))
	if at == nil {
		return nil
	}
	return new(*off - *at)
}

// trend marks what is said of an unfitted train in sheets.
func (s *stage) trend(text string) string {
	if s.train.Fitted() {
		return text
	}
	return text + " (trend)"
}

// startWords say when the films stand, and which stand last.
func (s *stage) startWords(out *Ink) string {
	near, good := out.StartUp.Near, out.StartUp.Good
	if near.Sheets != nil && *near.Sheets < seenSheets {
		return fmt.Sprintf("all zones stand within 10 %% of where they settle after about %s", sheetsOf(*near.Sheets))
	}
	var keys []preset.Key
	for _, zone := range out.StartUp.LastZones {
		keys = append(keys, preset.Key{Zone: zone})
	}
	way := "light"
	if out.StartUp.LastOffPct > 0 {
		way = "heavy"
	}
	who := preset.Spans(keys)
	if len(keys) > 1 && len(keys) == s.waitedZones() {
		who = "all zones"
	}
	if near.Sheets == nil {
		return fmt.Sprintf("%s still run %s after %d sheets: charge the rollers first", who, way, out.StartUp.Followed)
	}
	text := fmt.Sprintf("%s will run more than 10 %% %s until about sheet %d", who, way, about(*near.Sheets))
	if good.Sheets != nil {
		text += fmt.Sprintf("; all stand within 5 %% after about %d", about(*good.Sheets))
	}
	return text + fmt.Sprintf("; waste until then about %s, %.2g g of ink", sheetsOf(about(*near.Sheets)), *near.InkG)
}

func (s *stage) waitedZones() (n int) {
	for _, waits := range s.waits {
		if waits {
			n++
		}
	}
	return n
}

// lateWords name the zones that makeready does not wait for, where they come late.
func (s *stage) lateWords(out *Ink) string {
	var keys []preset.Key
	for i, z := range out.Zones {
		late := z.NearAfter == nil || out.StartUp.Near.Sheets != nil && *z.NearAfter >= *out.StartUp.Near.Sheets+seenSheets
		if z.Prints && !s.waits[i] && late {
			keys = append(keys, preset.Key{Zone: z.Zone})
		}
	}
	if len(keys) == 0 {
		return ""
	}
	return fmt.Sprintf("%s: less than %d %% prints there; its film comes later, and is not waited for", preset.Spans(keys), judgedPct)
}

// ghostWords name the largest ghosts of each roller that are seen.
func ghostWords(out *Ink) []string {
	var texts []string
	said := map[string]bool{}
	for _, g := range out.Ghosts {
		if math.Abs(g.StepPct) < seenGhostPct || said[g.Roller] || len(texts) == mostGhostWords {
			continue
		}
		said[g.Roller] = true
		var keys []preset.Key
		for _, zone := range g.Zones {
			keys = append(keys, preset.Key{Zone: zone})
		}
		step := fmt.Sprintf("%+.0f %% of film", g.StepPct)
		if g.StepDensity != nil {
			step += fmt.Sprintf(" (%+.2f of density)", *g.StepDensity)
		}
		text := fmt.Sprintf("%s brings a ghost of the edge at %.0f mm back at %.0f mm, %s, %s", g.Roller, g.CauseMM, g.AtMM, preset.Spans(keys), step)
		if len(texts) == 0 {
			text += ": no key cures it; turning the form, a take-off bar, or another place for the solid may"
		}
		texts = append(texts, text)
	}
	return texts
}

// mostGhostWords is as many as are worth reading.
const mostGhostWords = 2

// fallWords say where the film changes from lead to tail.
func fallWords(out *Ink) string {
	if out.FallOffPct == nil {
		return ""
	}
	var worst *Zone
	var keys []preset.Key
	for i := range out.Zones {
		z := &out.Zones[i]
		if !z.Through || math.Abs(z.fallOffPct()) < seenFallPct {
			continue
		}
		keys = append(keys, preset.Key{Zone: z.Zone})
		if worst == nil || math.Abs(z.fallOffPct()) > math.Abs(worst.fallOffPct()) {
			worst = z
		}
	}
	if worst == nil {
		return ""
	}
	way := "loses"
	if worst.fallOffPct() < 0 {
		way = "gains"
	}
	pct := math.Abs(worst.fallOffPct())
	if len(keys) == 1 {
		return fmt.Sprintf("from lead to tail zone %d %s %.0f %%: no key cures it, turning the form may", worst.Zone, way, pct)
	}
	return fmt.Sprintf("from lead to tail film changes in %s; zone %d %s %.0f %%: no key cures it, turning the form may", preset.Spans(keys), worst.Zone, way, pct)
}

func sheetsOf(n int) string {
	if n == 1 {
		return "1 sheet"
	}
	return fmt.Sprintf("%d sheets", n)
}
