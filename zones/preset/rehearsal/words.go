package rehearsal

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"bladeline/curves"
	"bladeline/curves/settings"
	"bladeline/zones/preset"
	"bladeline/zones/preset/rollerchart"
	"bladeline/zones/press"
)

// From where a step or a change is seen, % of film. Common practice, no source.
const (
	seenSwingPct = 5
	seenFallPct  = 5
	seenSheets   = 20  // that are worth a sentence
	handSheets   = 100 // that are worth setting every key twice by hand
)

// sentences say what there is to see and to do, worst first; nothing of what is well.
func (s *stage) sentences(out *Ink, in Input, doubt string, charge bool) []string {
	texts := []string{}
	say := func(text string) {
		if text != "" {
			texts = append(texts, text)
		}
	}
	if s.mean(s.steady) == 0 {
		return s.filmSentences(out)
	}
	if s.on.Train.Lone() {
		say(rollerchart.Lone)
	}
	say(doubt)
	texts = append(texts, s.filmSentences(out)...)
	say(s.trainWords(out, s.overall(out)))
	texts = append(texts, s.startSentences(out)...)
	say(s.trend(s.chargeWords(out, in, charge)))
	for _, text := range ghostWords(out, s.cured) {
		say(text)
	}
	say(fallWords(out))
	if s.on.Train.InStep() {
		say("the ductor strokes in step with the oscillators, which pushes ink to one side: have them go and come back in other turns, if the press lets you")
	}
	if out.SwingPct >= seenSwingPct {
		say(fmt.Sprintf("from sheet to sheet films swing by up to %.0f %%, as the ductor strokes: compare several sheets before a key is moved", out.SwingPct))
	}
	say(s.levelWords(in.NoCurve[s.unit.Ink]))
	if !s.layout {
		say("ghosts and what changes along the sheet are not known: " + cmp.Or(in.Unknown[s.unit.Ink], "the coverages of zones are all that is known of the form"))
	}
	return texts
}

// filmSentences say what zones print once all has settled, worst first.
func (s *stage) filmSentences(out *Ink) []string {
	if s.mean(s.steady) == 0 {
		return []string{"nothing prints: no zone takes more ink than a mark"}
	}
	overall := s.overall(out)
	return said(append([]string{s.overallWords(out, overall)}, s.unevenWords(out, overall)...)...)
}

// startSentences say when that is, and which zones it is not waited for.
func (s *stage) startSentences(out *Ink) []string {
	if s.mean(s.steady) == 0 {
		return nil
	}
	start, reach := s.trend(s.startWords(out)), s.trend(s.reachWords(out))
	if s.noneReached() {
		start, reach = reach, start
	}
	return said(append([]string{start, reach}, s.littleWords(out, s.overall(out))...)...)
}

// said are those of some sentences that there are.
func said(texts ...string) []string {
	return slices.DeleteFunc(texts, func(text string) bool { return text == "" })
}

// chargeWords say how rollers that start washed are charged, or were. Of an ink that
// never comes right, or whose pass waits for another, a charge saves nothing.
func (s *stage) chargeWords(out *Ink, in Input, worth bool) string {
	switch from := in.Start; {
	case from.Kind == Charged && out.Charge == nil:
		return "there is no charge, as too few zones print, or keys as wide as the job's charge too slowly: rollers start washed"
	case from.Kind == Charged:
		return strings.Replace(out.Charge.Words, "from washed rollers:", "so charged:", 1)
	case from.Kind == Before && from.unit(s.unit.Ink) == nil:
		return s.unit.Ink + " did not run in " + from.Preset.Job + ": its rollers start washed"
	case from.Kind == Before || from.Kind == Even || !worth:
		return ""
	}
	return out.Charge.Words
}

// levelWords say what films are held against, where the train cannot tell.
func (s *stage) levelWords(noCurve string) string {
	const cannot = "how thick the film is this train cannot tell until it is fitted: "
	switch {
	case s.level == ByCurve:
		return fmt.Sprintf("%szones are held against what curve %s asks for at its sweep of %s, which is taken to be right", cannot, settings.Printable(s.curve.Name), press.Amount(s.on.ReferenceSweep(s.curve), s.on.Sweep.Unit))
	case s.level == Assumed && s.unit.RunBefore():
		return cannot + "each zone is held against the mean of all ink, since what was run is taken to be right"
	case s.level == Assumed:
		text := cannot + "each zone is held against the mean of all ink, so that a sweep that is too low or too high is not seen"
		if noCurve != "" {
			text += ": " + noCurve
		}
		return text
	}
	return ""
}

// overall is how far off the target zones are on the whole, in %: their mean by ink, where
// the middle one lies as far off as well. It is 0 where that is not seen, or where keys at
// a limit hold zones, which then say what to do.
func (s *stage) overall(out *Ink) float64 {
	var off []float64
	for i, z := range out.Zones {
		if !z.Prints {
			continue
		}
		if k := s.unit.Keys[i]; k.OKKey == nil && (k.State == curves.Ceiling && z.DeviationPct <= -GoodPct || k.State == curves.Floor && z.DeviationPct >= GoodPct) {
			return 0
		}
		off = append(off, z.DeviationPct)
	}
	if len(off) == 0 {
		return 0
	}
	slices.Sort(off)
	middle, mean := off[len(off)/2], 100*(out.MeanUM/out.TargetUM-1)
	if min(math.Abs(middle), math.Abs(mean)) < GoodPct || middle*mean < 0 {
		return 0
	}
	return mean
}

// overallWords say that the form runs light or heavy on the whole, which the sweep cures.
func (s *stage) overallWords(out *Ink, pct float64) string {
	if pct == 0 {
		return ""
	}
	way, sweep := "light", "longer"
	if pct > 0 {
		way, sweep = "heavy", "shorter"
	}
	text := fmt.Sprintf("on the whole the form will run about %.0f %% %s", math.Abs(pct), way)
	to, reaches := s.sweepFor(1 / (1 + pct/100))
	if !reaches {
		return text + ", and no sweep that the press has cures it with these keys"
	}
	return text + fmt.Sprintf(": take a %s sweep, about %s, with every key where it stands; --try sweep=%s shows it", sweep, press.Amount(to, s.on.Sweep.Unit), settings.Plain(to))
}

// sweepFor is the sweep at which the keys as they stand print nearest to so many times
// the film, by the train's line, and whether that is near enough.
func (s *stage) sweepFor(times float64) (sweep float64, reaches bool) {
	mean := func(sweep float64) float64 {
		at := *s
		at.setting.StripMM = s.train.StripMM(sweep)
		return at.meanOf(at.lineUM())
	}
	now, least := mean(s.sweep), math.Inf(1)
	for _, setting := range s.on.Sweep.Settings() {
		if off := math.Abs(mean(setting)/now/times - 1); off < least {
			sweep, least = setting, off
		}
	}
	return sweep, 100*least < GoodPct
}

// A span is zones with one thing in common.
type span struct {
	keys  []preset.Key
	off   map[int]float64 // deviation by zone, %
	worst float64         // the largest of these
	zone  int             // where that is
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
	if text == "" || s.train.Fitted() {
		return text
	}
	return text + " (trend)"
}

// startWords say when the films have settled, and which settle last: whether that is on
// the target is said of them elsewhere.
func (s *stage) startWords(out *Ink) string {
	near, good := out.StartUp.Near, out.StartUp.Good
	if near.Sheets != nil && *near.Sheets < seenSheets {
		return fmt.Sprintf("all zones are settled within 10 %% after about %s", sheetsOf(*near.Sheets))
	}
	var keys []preset.Key
	for _, zone := range out.StartUp.LastZones {
		keys = append(keys, preset.Key{Zone: zone})
	}
	way, are := "lighter", "are"
	if out.StartUp.LastOffPct > 0 {
		way = "heavier"
	}
	if len(keys) == 1 {
		are = "is"
	}
	who := preset.Spans(keys)
	if len(keys) > 1 && len(keys) == s.waitedZones() {
		who = "the zones"
	}
	if near.Sheets == nil {
		return fmt.Sprintf("%s %s not settled after %d sheets", who, are, out.StartUp.Followed)
	}
	text := fmt.Sprintf("%s %s not settled until about sheet %d, and more than 10 %% %s until then than after", who, are, about(*near.Sheets), way)
	if good.Sheets != nil {
		text += fmt.Sprintf("; all are settled within 5 %% after about %d", about(*good.Sheets))
	}
	if s.noneReached() { // then nothing sold comes after it
		return text
	}
	return text + fmt.Sprintf("; waste until then about %s, %.2g g of ink", sheetsOf(about(*near.Sheets)), *near.InkG)
}

// reachWords name the zones that never come near the target, and say when the others do.
func (s *stage) reachWords(out *Ink) string {
	near := out.StartUp.NearTarget
	if len(near.Never) == 0 {
		return ""
	}
	if len(near.Never) == s.waitedZones() {
		return fmt.Sprintf("no zone that is waited for comes to stay within %d %% of the target: mend the keys or the sweep first", NearPct)
	}
	var keys []preset.Key
	for _, zone := range near.Never {
		keys = append(keys, preset.Key{Zone: zone})
	}
	come := "come"
	if len(keys) == 1 {
		come = "comes"
	}
	text := fmt.Sprintf("%s never %s to stay within %d %% of the target", preset.Spans(keys), come, NearPct)
	if near.Sheets == nil {
		return text + fmt.Sprintf(", and not all others do within %s", sheetsOf(out.StartUp.Followed))
	}
	return text + fmt.Sprintf("; all others that are waited for do after about %s", sheetsOf(about(*near.Sheets)))
}

// trainWords name the preset that evens what these keys do not.
func (s *stage) trainWords(out *Ink, overallPct float64) string {
	if s.unit.ByTrain != nil || s.unit.RunBefore() || !slices.ContainsFunc(out.Zones, func(z Zone) bool {
		return z.Prints && math.Abs((1+z.DeviationPct/100)/(1+overallPct/100)-1) >= NearPct/100.0
	}) {
		return ""
	}
	return "preset --by train sets keys and sweep on this train, with all neighbours in mind, as near to even as they come"
}

func (s *stage) waitedZones() (n int) {
	for _, waits := range s.waits {
		if waits {
			n++
		}
	}
	return n
}

// ghostWords name the largest ghost of each roller.
func ghostWords(out *Ink, cures []cure) []string {
	var texts []string
	said := map[string]bool{}
	for _, g := range out.Ghosts {
		if said[g.Roller] || len(texts) == mostGhostWords {
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
			text += ": " + cureWords(g.StepPct, cures)
		}
		texts = append(texts, text)
	}
	return texts
}

// cureWords weigh what else there is against a ghost that no key cures.
func cureWords(pct float64, cures []cure) string {
	slices.SortStableFunc(cures, func(a, b cure) int { return cmp.Compare(a.ghostPct, b.ghostPct) })
	var helps, fails []string
	for _, c := range cures {
		switch {
		case c.ghostPct == 0:
			helps = append(helps, c.what+" leaves none that is seen")
		case c.ghostPct <= math.Abs(pct)*curedShare:
			helps = append(helps, fmt.Sprintf("%s leaves one of %.0f %%", c.what, c.ghostPct))
		default:
			fails = append(fails, fmt.Sprintf("%s (%.0f %%)", c.what, c.ghostPct))
		}
	}
	switch {
	case len(helps) > 0:
		return "no key cures it; " + strings.Join(helps, ", and ")
	case len(fails) > 0:
		return fmt.Sprintf("no key cures it, nor does %s; another place for the solid may", strings.Join(fails, " or "))
	}
	return "no key cures it; another place for the solid may"
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
