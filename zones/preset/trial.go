package preset

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"bladeline/curves"
	"bladeline/curves/settings"
	"bladeline/zones/press"
)

// A Trial weighs keys that somebody set by eye against the best that the press can
// do for the form: the keys that are worked out for it, as its blade, limits and
// steps let them stand. These score 100.
//
// A zone's supply is where the blade stands over it × sweep. The level is the middle
// of the printing zones' supply over the best one, and what a sweep that is too long
// or too short does to all of them alike. The profile is how the zones stand beside
// one another: a zone is right when its supply lies within ±10 % of the best times
// the level, which is about ±0.05 of density: from −9.1 % to +10.4 % of ink around a
// density of 1.10, by five measured solids (TestFitDensityMeasured of package ink
// says whose). Where half a step of the key is more, that is let pass.
//
// Zones covered less than 0.2 % hold a mark at most and do not count, unless one
// stands wide open: it then counts as wrong.
//
// What counts is what was improved: by how many fewer zones are wrong than with untouched
// keys, as a share of those. Where untouched keys are all right, as under an even tint,
// the profile itself counts.
type Trial struct {
	Zones          []TrialZone `json:"zones"`
	Score          float64     `json:"score"`           // profile_points less level_points, of 100
	ProfilePct     float64     `json:"profile_pct"`     // share of the zones that count which are right
	Wrong          int         `json:"wrong"`           // how many of them are not
	UntouchedWrong int         `json:"untouched_wrong"` // how many are not with untouched keys
	ProfilePoints  float64     `json:"profile_points"`  // what was improved on these, of 100
	LevelPoints    float64     `json:"level_points"`    // that the level takes off: up to a quarter of them
	LevelOffPct    float64     `json:"level_off_pct"`   // above 0 all zones are fed too much
	RightSweep     float64     `json:"right_sweep"`     // the setting at which the keys as set come nearest to the level
	MeanOffPct     float64     `json:"mean_off_pct"`    // mean of the zones' off_pct without sign
	Definition     string      `json:"definition"`      // of the score
}

// A TrialZone is what one key feeds, and should.
type TrialZone struct {
	Zone       int          `json:"zone"`
	OpeningPct float64      `json:"opening_pct"` // where the blade stands
	State      curves.State `json:"state"`       // what holds it there
	Demand     float64      `json:"demand"`      // that the curve asks for, opening in % × sweep
	Best       float64      `json:"best"`        // that the best keys feed
	Supply     float64      `json:"supply"`
	OffPct     *float64     `json:"off_pct"` // of the best, with the level taken out; nil where the zone does not count or asks for nothing
	Says       string       `json:"says"`    // TooMuch, TooLittle or TrialRight; Uncounted, WideOpen or "" where nothing prints
}

// What a trial says of a zone.
const (
	TooMuch    = "too much"
	TooLittle  = "too little"
	TrialRight = "right"
	Uncounted  = "not counted" // covered, but less than what counts; "" is bare
	WideOpen   = "wide open"   // and nothing to feed there
)

// rightPct is how far supply may lie off, and roundingPct what binary fractions may
// add to that. A key where nothing prints stands wide open from widePct of travel
// more than the best one: common practice, no source. A level that is off by a
// factor of mostLevel takes levelPart of the score off. Untouched keys stand at
// untouchedPct of travel.
const (
	rightPct    = 10
	roundingPct = 1e-9
	widePct     = 10
	mostLevel   = 2
	levelPart   = 0.25

	untouchedPct = 25
)

// NewTrial weighs keys on the press's scale, by zone from 1, at a sweep of the
// press, against a unit that was preset by a curve.
func NewTrial(on *press.Press, u *Unit, curve *curves.Curve, keys []float64, sweep float64) (*Trial, error) {
	switch {
	case on == nil || u == nil || curve == nil:
		return nil, errors.New("a trial takes a press, a unit that was preset for it and its curve; give all three")
	case curve.Validate() != nil:
		return nil, fmt.Errorf("curve %s: %w", curve.Name, curve.Validate())
	}
	on = u.OnPress(on)
	if err := u.checkTrial(on, keys, sweep); err != nil {
		return nil, err
	}
	feed, t := u.Feed(on, curve), &Trial{Definition: definition}
	if !slices.Contains(feed.Prints, true) {
		return nil, fmt.Errorf("no zone of this separation is covered %s %% or more, so there is nothing to set; take another", settings.Plain(printsPct))
	}
	t.weigh(on, u, feed, keys, sweep)
	var untouched Trial
	as, at := u.Untouched(on, curve)
	untouched.weigh(on, u, feed, as, at)
	t.score(untouched.Wrong)
	return t, nil
}

// Untouched are the keys that a trial begins with, all a quarter open, and the sweep
// that the curve refers to, as near as the press has it.
func (u *Unit) Untouched(on *press.Press, curve *curves.Curve) (keys []float64, sweep float64) {
	on = u.OnPress(on)
	for _, k := range u.Keys {
		keys = append(keys, on.Keys.Key(k.Zone, untouchedPct))
	}
	return keys, on.Sweep.Nearest(on.ReferenceSweep(curve))
}

// weigh says of every zone how it is fed.
func (t *Trial) weigh(on *press.Press, u *Unit, feed Feed, keys []float64, sweep float64) {
	t.Zones = u.fed(on, feed, keys, sweep)
	level := t.level(feed.Prints)
	t.LevelOffPct, t.RightSweep = (level-1)*100, rightSweep(on.Sweep, sweep, level)
	halfStep := 50 * on.Keys.Step / on.Keys.Travel * sweep
	for i := range t.Zones {
		if z := &t.Zones[i]; feed.Prints[i] {
			z.judge(level, halfStep)
		} else {
			z.judgeBare(u.Keys[i].CoveragePct, level, sweep)
		}
	}
	t.sum()
}

var definition = fmt.Sprintf("The best keys are those that bladeline works out for this press: they score 100. First comes the level, the middle of all your printing zones' ink (opening × sweep) against what the best keys feed. With that taken out, a zone is right within ±%d %%, which is about ±0.05 of density, or half a step of its key: the share of the zones that are right is the profile. Zones covered less than %s %% do not count, but a bare one that is fed, its key wider than the best one by more than %d %% of travel, counts as wrong. What counts is by how many fewer zones are wrong than with untouched keys, all a quarter open: these score 0, unless they are all right. A level within ±%d %% is right; one that is off takes up to a quarter off.", rightPct, settings.Plain(printsPct), widePct, rightPct)

// checkTrial refuses what cannot be set.
func (u *Unit) checkTrial(on *press.Press, keys []float64, sweep float64) error {
	if len(keys) != len(u.Keys) {
		return fmt.Errorf("there are %d keys set of %d; set every key", len(keys), len(u.Keys))
	}
	if !on.Sweep.OnScale(sweep) {
		return fmt.Errorf("a sweep of %s cannot be set on this press; take one of its own settings", settings.Plain(sweep))
	}
	for i, key := range keys {
		if !on.Keys.Holds(key) {
			return fmt.Errorf("zone %d: a key cannot be set to %s; its scale goes from 0 to %s in steps of %s", i+1, settings.Plain(key), on.Keys.Text(on.Keys.Travel), on.Keys.Text(on.Keys.Step))
		}
	}
	return nil
}

// fed is what the keys feed, and what the unit's own do.
func (u *Unit) fed(on *press.Press, feed Feed, keys []float64, sweep float64) []TrialZone {
	own, offSheet := make([]float64, len(u.Keys)), make([]bool, len(u.Keys))
	for i, k := range u.Keys {
		own[i], offSheet[i] = k.Key, k.State == curves.OffSheet
	}
	best, _ := on.Bent(own, offSheet)
	stands, states := on.Bent(keys, offSheet)
	var zoned []TrialZone
	for i, k := range u.Keys {
		zoned = append(zoned, TrialZone{
			Zone: k.Zone, OpeningPct: stands[i], State: states[i],
			Demand: feed.Demand[i], Best: best[i] * u.Sweep, Supply: stands[i] * sweep,
		})
	}
	return zoned
}

// level is the middle of the printing zones' supply over the best one; 1 where the
// best is none.
func (t *Trial) level(prints []bool) float64 {
	var times []float64
	for i, z := range t.Zones {
		if prints[i] && z.Best > 0 {
			times = append(times, z.Supply/z.Best)
		}
	}
	n := len(times)
	if n == 0 {
		return 1
	}
	slices.Sort(times)
	return (times[(n-1)/2] + times[n/2]) / 2
}

// rightSweep is the setting of the scale that is nearest to what would bring a level
// to 1; the one in use where that is as near as any.
func rightSweep(scale curves.SweepScale, sweep, level float64) float64 {
	best, off := sweep, math.Abs(level-1)
	for _, s := range scale.Settings() {
		if o := math.Abs(level*s/sweep - 1); o < off-roundingPct {
			best, off = s, o
		}
	}
	return best
}

// judge says how far a printing zone's supply lies off, in its level.
func (z *TrialZone) judge(level, halfStep float64) {
	wants := level * z.Best
	if z.Best > 0 && level > 0 {
		off := (z.Supply/wants - 1) * 100
		z.OffPct = &off
	}
	switch allowed := max(wants*rightPct/100, halfStep) + roundingPct; {
	case level == 0 && z.Best > 0:
		z.Says = TooLittle
	case z.Supply-wants > allowed:
		z.Says = TooMuch
	case z.Supply-wants < -allowed:
		z.Says = TooLittle
	default:
		z.Says = TrialRight
	}
}

// judgeBare says whether a key stands wide open where nothing prints.
func (z *TrialZone) judgeBare(coveragePct, level, sweep float64) {
	switch {
	case z.OpeningPct-level*z.Best/sweep > widePct+roundingPct:
		z.Says = WideOpen
	case coveragePct > 0:
		z.Says = Uncounted
	}
}

// sum sums up what was said of the zones.
func (t *Trial) sum() {
	counted, right, measured := 0, 0, 0
	for _, z := range t.Zones {
		switch z.Says {
		case TrialRight:
			right++
			fallthrough
		case TooMuch, TooLittle, WideOpen:
			counted++
		}
		if z.OffPct != nil {
			t.MeanOffPct += math.Abs(*z.OffPct)
			measured++
		}
	}
	if measured > 0 {
		t.MeanOffPct /= float64(measured)
	}
	t.ProfilePct, t.Wrong = 100*float64(right)/float64(counted), counted-right
}

// score makes the score of the profile, by how many zones untouched keys have wrong, and
// of the level.
func (t *Trial) score(untouched int) {
	t.UntouchedWrong, t.ProfilePoints = untouched, t.ProfilePct
	if untouched > 0 {
		t.ProfilePoints = 100 * float64(max(0, untouched-t.Wrong)) / float64(untouched)
	}
	t.LevelPoints = t.ProfilePoints * levelPart * missed(1+t.LevelOffPct/100)
	t.Score = t.ProfilePoints - t.LevelPoints
}

// missed is 0 for a level that is right, and rises to 1 where it is off by a factor
// of mostLevel: as much for twice the ink as for half of it.
func missed(level float64) float64 {
	if level <= 0 {
		return 1
	}
	least := math.Log(1 + rightPct/100.0)
	return min(max((math.Abs(math.Log(level))-least)/(math.Log(mostLevel)-least), 0), 1)
}
