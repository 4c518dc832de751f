package rehearsal

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"bladeline/curves/rollers"
	"bladeline/curves/settings"
	"bladeline/zones/preset"
)

// A Try is a variant that is held against the preset as it is. What is empty stays.
type Try struct {
	Text        string   // as it was asked for
	Sweep       *float64 // keys stay where they stand
	EverySheets int      // from stroke to stroke of the ductor; the sweep follows, so that as much ink comes
	Turned      bool     // the form, tail edge first, and its keys with it
	BarMM       float64  // length of a take-off bar behind the form; its keys follow the train's line
	Oscillator  string   // a roller that moves from side to side as well
}

// TryWords say how a variant is written.
const TryWords = "sweep=N, ductor=SHEETS, turned, bar=MM or oscillator=ROLLER, several with commas between"

// ParseTry reads a variant: changes with commas between. The error is of one line.
func ParseTry(text string) (Try, error) {
	t := Try{Text: text}
	seen := map[string]bool{}
	for change := range strings.SplitSeq(text, ",") {
		name, value, _ := strings.Cut(strings.TrimSpace(change), "=")
		if seen[name] {
			return t, fmt.Errorf("%s stands there twice; keep one, or try the other by itself", name)
		}
		seen[name] = true
		if err := t.parse(name, value); err != nil {
			return t, err
		}
	}
	return t, nil
}

func (t *Try) parse(name, value string) error {
	number := func(least, most float64) (float64, error) {
		v, err := strconv.ParseFloat(settings.Pointed(value), 64)
		if err != nil || !(v >= least && v <= most) {
			return 0, fmt.Errorf("%s=%s is no number from %s to %s", name, value, settings.Plain(least), settings.Plain(most))
		}
		return v, nil
	}
	switch name {
	case "sweep":
		v, err := strconv.ParseFloat(settings.Pointed(value), 64)
		if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
			return fmt.Errorf("sweep=%s is no number; give a sweep of the press's scale", value)
		}
		t.Sweep = &v
		return nil
	case "ductor":
		v, err := number(1, mostEvery)
		if err == nil && v != math.Trunc(v) {
			return fmt.Errorf("ductor=%s is no whole number of sheets", value)
		}
		t.EverySheets = int(v)
		return err
	case "bar":
		v, err := number(1, rollers.MostPlateMM)
		t.BarMM = v
		return err
	case "turned":
		t.Turned = true
		if value != "" {
			return fmt.Errorf("turned=%s: a form is turned or not", value)
		}
		return nil
	case "oscillator":
		if t.Oscillator = value; value == "" {
			return fmt.Errorf("oscillator names no roller")
		}
		return nil
	}
	return fmt.Errorf("%s is no change that can be tried; write %s", settings.Quoted(name), TryWords)
}

// mostEvery is more sheets than any ductor waits.
const mostEvery = 16

// An Outcome is what a variant prints.
type Outcome struct {
	Try      string   `json:"try"`
	MeanPct  float64  `json:"mean_pct"`  // film of all ink, against the preset as it is
	RMSPct   float64  `json:"rms_pct"`   // of the zones that print, off the variant's own mean
	WorstPct float64  `json:"worst_pct"` // likewise
	Near     Waste    `json:"within_10_pct"`
	Good     Waste    `json:"within_5_pct"`
	SwingPct float64  `json:"swing_pct"`
	FallOff  *float64 `json:"fall_off_pct"`
	GhostPct *float64 `json:"ghost_pct"` // the largest; nil without layout
	Ghost    *string  `json:"ghost"`     // and where it is
	Words    string   `json:"words"`     // what follows the change
}

// tries are the outcomes of the variants, that of the preset first.
func (s *stage) tries(ctx context.Context, tries []Try, out *Ink) ([]Outcome, error) {
	outcomes := []Outcome{}
	if len(tries) == 0 {
		return outcomes, nil
	}
	for _, t := range append([]Try{{Text: "as preset"}}, tries...) {
		v, words, err := s.varied(t)
		if err != nil {
			return nil, fmt.Errorf("try %s: %w", t.Text, err)
		}
		o, err := v.outcome(ctx, s.mean(s.steady))
		if err != nil {
			return nil, err
		}
		o.Try, o.Words = t.Text, words
		outcomes = append(outcomes, o)
	}
	return outcomes, nil
}

// A cure is a change of the form, and the largest ghost that it leaves, % of film; 0 where
// none is seen.
type cure struct {
	what     string
	ghostPct float64
}

// A ghost that a change leaves is worth the change where it is so much of the one before.
// The bar is as long as one usually is. Common practice, no source.
const (
	curedShare = 0.67
	usualBarMM = 12
)

// cures are the changes of the form that may cure a ghost, where one is seen. Each takes a
// steady state. A bar that has no place is left out.
func (s *stage) cures(ctx context.Context, out *Ink) ([]cure, error) {
	if len(out.Ghosts) == 0 {
		return nil, nil
	}
	var cures []cure
	for _, t := range []Try{{Text: "turning the form", Turned: true}, {Text: fmt.Sprintf("a take-off bar of %d mm", usualBarMM), BarMM: usualBarMM}} {
		v, _, err := s.varied(t)
		if err != nil {
			continue
		}
		if v.steady, err = v.steadyNear(ctx, nil, v.form, v.setting); err != nil {
			return nil, err
		}
		c := cure{what: t.Text}
		if found := v.steady.Ghosts(leastGhostPct); len(found) > 0 {
			c.ghostPct = math.Abs(found[0].StepPct)
		}
		cures = append(cures, c)
	}
	return cures, nil
}

// varied is the stage with a variant's changes, and what follows them.
func (s *stage) varied(t Try) (*stage, string, error) {
	v := *s
	v.steady = nil
	v.setting.OpeningPct = slices.Clone(s.setting.OpeningPct)
	var words []string
	if t.EverySheets > 0 || t.Oscillator != "" {
		if err := v.rebuilt(t); err != nil {
			return nil, "", err
		}
	}
	if t.EverySheets > 0 {
		v.sweep = s.sweep * float64(t.EverySheets) / float64(s.on.Train.Ductor.EverySheets)
		v.setting.StripMM = v.train.StripMM(v.sweep)
		words = append(words, fmt.Sprintf("sweep %s, so that as much ink comes", settings.Plain(math.Round(v.sweep*10)/10)))
	}
	if t.Sweep != nil {
		if sc := s.on.Sweep; *t.Sweep < sc.From || *t.Sweep > sc.To || *t.Sweep <= 0 {
			return nil, "", fmt.Errorf("a sweep of %s is beyond the press's, %s to %s; give one between", settings.Plain(*t.Sweep), settings.Plain(sc.From), settings.Plain(sc.To))
		}
		v.sweep, v.setting.StripMM = *t.Sweep, v.train.StripMM(*t.Sweep)
		words = append(words, "keys as they stand")
	}
	if t.Turned {
		v.turn()
		words = append(words, "tail edge first, keys turned with it")
	}
	if t.BarMM > 0 {
		if err := v.addBar(t.BarMM, s); err != nil {
			return nil, "", err
		}
		words = append(words, "keys opened for the bar")
	}
	return &v, strings.Join(words, "; "), nil
}

// rebuilt gives the stage another train.
func (s *stage) rebuilt(t Try) error {
	on, train := *s.on, *s.on.Train
	train.Rollers = slices.Clone(train.Rollers)
	if t.EverySheets > 0 {
		train.Ductor.EverySheets = t.EverySheets
	}
	if t.Oscillator != "" {
		stroke := 0.0
		for _, r := range train.Rollers {
			stroke = max(stroke, r.StrokeMM)
		}
		i := slices.IndexFunc(train.Rollers, func(r rollers.Roller) bool { return strings.EqualFold(r.Name, t.Oscillator) })
		switch {
		case i < 0:
			return fmt.Errorf("the train has no roller %s; press rollers lists those that it has", settings.Quoted(t.Oscillator))
		case train.Rollers[i].Kind == rollers.Oscillator || train.Rollers[i].Kind == rollers.FormRoller:
			return fmt.Errorf("%s is of kind %s; name a distributor or a rider", t.Oscillator, train.Rollers[i].Kind)
		case stroke == 0:
			return fmt.Errorf("no roller of the train moves from side to side, so that no stroke is known")
		}
		train.Rollers[i].Kind, train.Rollers[i].StrokeMM = rollers.Oscillator, stroke
	}
	on.Train = &train
	var err error
	s.on = &on
	s.train, err = preset.NewTrain(&on, rollers.Fine)
	return err
}

// turn turns the form by half a turn on the plate: it begins with what was its tail,
// and its left is right.
func (s *stage) turn() {
	f := rollers.Form{Rows: s.form.Rows, Columns: s.form.Columns, Cover: make([]float64, len(s.form.Cover))}
	used := f.Rows
	if s.layout {
		used = min(f.Rows, int(math.Ceil(s.length/s.train.SlotMM()-1e-9)))
	}
	for row := range used {
		for column := range f.Columns {
			f.Cover[row*f.Columns+column] = s.form.Cover[(used-1-row)*f.Columns+f.Columns-1-column]
		}
	}
	s.form = f
	s.setting.OpeningPct = slices.Clone(s.setting.OpeningPct)
	slices.Reverse(s.setting.OpeningPct)
	s.prints = slices.Clone(s.prints)
	slices.Reverse(s.prints)
	s.waits = slices.Clone(s.waits)
	slices.Reverse(s.waits)
}

// addBar prints a solid bar behind the form, over all zones from the first to the last
// that prints, and opens their keys by what the train's line asks for it.
func (s *stage) addBar(lengthMM float64, as *stage) error {
	if !s.layout {
		return fmt.Errorf("where the image lies is not known; name the separations")
	}
	rows := int(math.Round(lengthMM / s.train.SlotMM()))
	from := int(math.Ceil(s.length/s.train.SlotMM() - 1e-9))
	if free := s.form.Rows - from; rows > free {
		from = s.form.Rows - rows // over the form's tail, as far as that is blank
	}
	if from < 0 || rows < 1 {
		return fmt.Errorf("a bar of %s mm has no place on an image of %s", settings.Plain(lengthMM), settings.Plain(s.on.Train.ImageMM))
	}
	per := s.form.Columns / len(s.prints)
	cover := slices.Clone(s.form.Cover)
	first, last := slices.Index(s.fromLeft(s.prints), true), len(s.prints)-1-slices.Index(reversed(s.fromLeft(s.prints)), true)
	mean := as.mean(as.steady)
	for z := first; first >= 0 && z <= last; z++ {
		before := zoneCover(cover, s.form, z, per)
		for row := from; row < from+rows; row++ {
			for column := z * per; column < (z+1)*per; column++ {
				cover[row*s.form.Columns+column] = 1
			}
		}
		line := s.train.Line()
		more := line.FeedUM(mean, zoneCover(cover, s.form, z, per), s.setting.StripMM) - line.FeedUM(mean, before, s.setting.StripMM)
		s.setting.OpeningPct[z] = min(100, s.setting.OpeningPct[z]+100*more/s.on.Train.Feed.FilmFullUM)
	}
	s.form.Cover = cover
	return nil
}

// fromLeft has what is known of zones by their numbers in order from the left.
func (s *stage) fromLeft(byZone []bool) []bool {
	v := make([]bool, len(byZone))
	for i, is := range byZone {
		v[s.train.FromLeft(i+1)] = is
	}
	return v
}

func reversed(v []bool) []bool {
	v = slices.Clone(v)
	slices.Reverse(v)
	return v
}

// zoneCover is the coverage of a zone from the left.
func zoneCover(cover []float64, f rollers.Form, zone, per int) float64 {
	sum := 0.0
	for row := range f.Rows {
		for _, c := range cover[row*f.Columns+zone*per : row*f.Columns+(zone+1)*per] {
			sum += c
		}
	}
	return sum / float64(f.Rows*per)
}

// outcome is what the stage prints, its mean against another.
func (s *stage) outcome(ctx context.Context, against float64) (Outcome, error) {
	var err error
	if s.steady, err = s.steadyNear(ctx, nil, s.form, s.setting); err != nil {
		return Outcome{}, err
	}
	mean := s.mean(s.steady)
	o := Outcome{}
	if mean > 0 && against > 0 {
		o.MeanPct = rounded(100 * (mean/against - 1))
	}
	at := *s
	at.scale, at.target = 1, mean
	of := Ink{}
	at.zones(&of, mean)
	at.ghosts(&of)
	o.RMSPct, o.WorstPct, o.SwingPct, o.FallOff = of.RMSPct, of.WorstPct, of.SwingPct, of.FallOffPct
	if s.layout {
		o.GhostPct = new(0.0)
	}
	if len(of.Ghosts) > 0 {
		g := of.Ghosts[0]
		o.GhostPct, o.Ghost = new(g.StepPct), new(fmt.Sprintf("%s at %.0f mm", g.Roller, g.AtMM))
	}
	targets := s.targets(s.steady)
	run, err := s.standing(ctx, s.train.Clean(), s.form, s.setting, targets)
	if err != nil {
		return o, err
	}
	o.Near, o.Good = s.waste(run, NearPct), s.waste(run, GoodPct)
	return o, nil
}
