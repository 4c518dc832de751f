package rehearsal

import (
	"context"
	"fmt"
	"math"
	"slices"

	"bladeline/curves/rollers"
	"bladeline/zones/preset"
	"bladeline/zones/press"
)

// byHand tells whether keys are turned one by one.
func (s *stage) byHand() bool { return s.on.Keys.Unit != press.Percent }

// charge is how clean rollers are brought near: with the keys of all zones that makeready
// waits for as wide as the job's stand in the middle, which floods nothing and hardly
// changes with the job; over the others little image or none would take the ink off
// again. It is nil where that takes too long, or where those are more than half the zones.
func (s *stage) charge(ctx context.Context) (*rollers.Charge, error) {
	if s.mean(s.steady) == 0 || 2*s.waitedZones() < len(s.waits) {
		return nil, nil
	}
	for _, opening := range s.offered() {
		c, err := s.train.Charge(ctx, s.steady, s.form, s.setting, s.fromLeft(s.waits), opening)
		if err == nil || ctx.Err() != nil {
			return c, err
		}
	}
	return nil, nil
}

// mostChargePct is as wide as all keys are opened for a charge: wider, rollers flood
// before anyone has seen it. Common practice, no source.
const mostChargePct = 100.0 / 3

// offered are the opening of the middle key of those that print, and twice that for
// where it takes too long; steps of keys, and a third of their travel at most.
func (s *stage) offered() []float64 {
	var printing []float64
	for i, waits := range s.waits {
		if waits {
			printing = append(printing, s.setting.OpeningPct[s.train.FromLeft(i+1)])
		}
	}
	slices.Sort(printing)
	step := 100 * s.on.Keys.Step / s.on.Keys.Travel
	steps := func(pct float64) float64 { return max(1, math.Round(min(pct, mostChargePct)/step)) * step }
	middle := printing[len(printing)/2]
	return slices.Compact([]float64{min(100, steps(middle)), min(100, steps(2*middle))})
}

// charged says what a charge saves.
func (s *stage) charged(ctx context.Context, c *rollers.Charge, clean *rollers.Startup) (*Charge, error) {
	if c == nil {
		return nil, nil
	}
	sheets, ok := c.Startup.Within(s.judged(), NearPct/100.0)
	if !ok {
		run, err := s.follow(ctx, c.Startup, s.setting, goal{s.judged(), NearPct / 100.0})
		if err != nil {
			return nil, err
		}
		if sheets, ok = run.Within(s.judged(), NearPct/100.0); !ok {
			return nil, nil // no better than none
		}
	}
	scale := s.on.Keys
	scale.Zero = nil
	key := scale.Key(1, c.OpeningPct)
	out := &Charge{OpeningPct: rounded(c.OpeningPct), Turns: c.Turns, Sheets: sheets, KeyText: scale.Text(key)}
	if n, ok := clean.Within(s.judged(), NearPct/100.0); ok {
		out.SavesSheets = new(n - sheets)
	}
	out.Words = fmt.Sprintf("from washed rollers: %s, sweep %s, %s of the press with the form rollers off; stop, and set the preset", s.inkedKeys(keyWords(scale, key)), press.Amount(s.sweep, s.on.Sweep.Unit), turnsOf(about(c.Turns)))
	if out.SavesSheets == nil || *out.SavesSheets > 0 {
		out.Words += "; " + savedWords(sheets, out.SavesSheets)
	}
	if s.byHand() {
		out.Words += ", and each key is set twice"
	}
	return out, nil
}

// savedWords say how few sheets of makeready become of how many. How few is told as
// roughly as it is known: a grid's coarseness moves it by a third.
func savedWords(sheets int, saves *int) string {
	washed := fmt.Sprintf("more than %d", mostSheets)
	if saves != nil {
		washed = fmt.Sprintf("about %d", about(sheets+*saves))
	}
	few := (sheets/100 + 1) * 100
	if sheets < seenSheets {
		few = seenSheets
	}
	return fmt.Sprintf("%s sheets of makeready become fewer than %d", washed, few)
}

// inkedKeys says which keys a charge opens so far.
func (s *stage) inkedKeys(at string) string {
	var keys []preset.Key
	for i, waits := range s.waits {
		if waits {
			keys = append(keys, s.unit.Keys[i])
		}
	}
	if len(keys) == len(s.waits) {
		return "all keys at " + at
	}
	return fmt.Sprintf("the keys of %s at %s, the others as preset", preset.Spans(keys), at)
}

// turnsOf are turns of the plate cylinder, not of a screw.
func turnsOf(n int) string {
	if n == 1 {
		return "1 revolution"
	}
	return fmt.Sprintf("%d revolutions", n)
}

// keyWords is a key of a scale in words.
func keyWords(scale press.KeyScale, key float64) string {
	unit := string(scale.Unit)
	switch {
	case scale.Unit == press.Turn && key > 1:
		unit = "turns"
	case scale.Unit == press.Notch && key != 1:
		unit = "notches"
	}
	return scale.Text(key) + " " + unit
}

// about is a number of sheets or turns, of which no more than two figures are known.
func about(n int) int {
	if n < 20 {
		return n
	}
	return int(math.Round(float64(n)/10)) * 10
}

// idleTurns are those of a short stop.
const idleTurns = 50
