package preset

import (
	"fmt"
	"math"

	"bladeline/curves"
	"bladeline/curves/settings"
	"bladeline/zones/press"
)

// Compared is one side of a comparison: a preset and the file it is from.
type Compared struct {
	File   string
	Preset *Preset
}

// Compare compares two presets of a press and the same inks. A side that is an OK
// file, a preset's CSV with ok_key or ok_sweep filled in, is what was run, and keys
// left empty in it are not compared; AsPreset is its preset.
//
// press, which may be nil, is the press of both. Without it the scale of the
// keys is not known: nothing is then said of steps, nor of the feed of keys
// that were run. With it, keys that were run are compared with those of the other
// side as set; two presets are compared in their exact openings.
//
// Errors are of type *settings.FileError.
func Compare(a, b Compared, on *press.Press) (*Comparison, error) {
	if a.Preset == nil || b.Preset == nil {
		return nil, errNoPreset
	}
	c := comparer{a: a, b: b, press: on, aRun: a.Preset.WasRun(), bRun: b.Preset.WasRun()}
	if e := c.mismatch(); e != nil {
		return nil, e
	}
	for _, side := range []Compared{a, b} {
		if err := side.Preset.validateIn(side.File); err != nil {
			return nil, err
		}
	}
	result := &Comparison{
		Format: CompareFormat, A: a.File, B: b.File, AWasRun: c.aRun, BWasRun: c.bRun, ADate: a.Preset.Date, BDate: b.Preset.Date,
		Press: a.Preset.Press.Name, KeyUnit: a.Preset.Press.KeyUnit, SweepUnit: a.Preset.Press.SweepUnit, Units: []UnitComparison{},
	}
	if on != nil {
		result.KeyStep = &on.Keys.Step
	}
	for i := range a.Preset.Units {
		unitA := &a.Preset.Units[i]
		u, err := c.unit(unitA, b.Preset.Unit(unitA.Ink))
		if err != nil {
			return nil, err
		}
		result.Units = append(result.Units, u)
	}
	return result, nil
}

// comparer compares two sides, of which either may be what was run.
type comparer struct {
	a, b       Compared
	press      *press.Press
	aRun, bRun bool
}

// mismatch is the first reason why the two cannot be compared; nil where there
// is none.
func (c comparer) mismatch() error {
	a, b := c.a.Preset.Press, c.b.Preset.Press
	differs := func(place string, here, there any) error {
		return &settings.FileError{
			File: c.b.File, Place: place, What: fmt.Sprintf("%v here, and %v in %s", here, there, c.a.File),
			Do: "compare presets of one press and the same inks",
		}
	}
	switch {
	case !a.is(b.Name, b.ID):
		return differs("press", settings.Quoted(b.Name), settings.Quoted(a.Name))
	case a.Zones != b.Zones:
		return differs("zones", b.Zones, a.Zones)
	case a.KeyUnit != b.KeyUnit:
		return differs("key_unit", b.KeyUnit, a.KeyUnit)
	case a.SweepUnit != b.SweepUnit:
		return differs("sweep_unit", settings.Quoted(b.SweepUnit), settings.Quoted(a.SweepUnit))
	}
	if e := missing(c.a, c.b); e != nil {
		return e
	}
	if e := missing(c.b, c.a); e != nil {
		return e
	}
	if c.press == nil {
		return nil
	}
	return c.a.Preset.IsFor(c.press, c.a.File)
}

// missing names the first ink of one side that the other has not.
func missing(from, in Compared) error {
	for _, u := range from.Preset.Units {
		if in.Preset.Unit(u.Ink) == nil {
			return &settings.FileError{File: in.File, Place: "ink " + settings.Quoted(u.Ink), What: "is missing, and stands in " + from.File, Do: "compare presets of the same inks"}
		}
	}
	return nil
}

func (c comparer) unit(a, b *Unit) (UnitComparison, error) {
	u := UnitComparison{Ink: a.Ink, SweepA: a.SweepRun(), SweepB: b.SweepRun()}
	if byA, byB := a.SetBy(), b.SetBy(); byA != SetByCurve || byB != SetByCurve {
		u.SetByA, u.SetByB = byA, byB
	}
	onA, onB := c, c // the press as either's unit has it
	if c.press != nil {
		onA.press, onB.press = a.OnPress(c.press), b.OnPress(c.press)
	}
	if err := onA.settable(a); err != nil {
		return u, settings.InFile(err, c.a.File, "")
	}
	if err := onB.settable(b); err != nil {
		return u, settings.InFile(err, c.b.File, "")
	}
	for i := range a.Keys {
		u.Keys = append(u.Keys, beside(onA, onB, &a.Keys[i], &b.Keys[i], &u))
	}
	u.sum(c.press)
	return u, nil
}

// settable refuses what was run of a unit and cannot be set on the press.
func (c comparer) settable(u *Unit) error {
	beyond := func(place, what string) error {
		return &settings.FileError{Place: "ink " + settings.Quoted(u.Ink) + place, What: what, Do: "write what was read off the press"}
	}
	if u.OKSweep != nil && c.press != nil && !c.press.Sweep.OnScale(*u.OKSweep) {
		s := c.press.Sweep
		return beyond(", column ok_sweep", fmt.Sprintf("%s cannot be set: the press sweeps from %s to %s %s in steps of %s", settings.Plain(*u.OKSweep), settings.Plain(s.From), settings.Plain(s.To), s.Unit, settings.Plain(s.Step)))
	}
	for _, k := range u.Keys {
		if what := c.offScale(k.OKKey); what != "" {
			return beyond(fmt.Sprintf(", zone %d, column ok_key", k.Zone), what)
		}
	}
	return nil
}

// offScale says why a key that was run cannot be: it is beyond the scale of
// the press or, without one, of all scales of its unit.
func (c comparer) offScale(key *float64) string {
	scale := press.KeyScale{Unit: c.a.Preset.Press.KeyUnit, Travel: maxKey}
	if scale.Unit == press.Percent {
		scale.Travel = 100
	}
	if c.press != nil {
		scale = c.press.Keys
	}
	switch {
	case key == nil || scale.OnScale(*key):
		return ""
	case *key < 0:
		return fmt.Sprintf("%s is below the scale, which begins at 0", press.KeyText(scale.Unit, *key))
	}
	return fmt.Sprintf("%s is beyond the scale, which ends at %s", press.KeyText(scale.Unit, *key), press.KeyText(scale.Unit, scale.Travel))
}

// beside is a key beside another, each on the press as its unit has it.
func beside(onA, onB comparer, a, b *Key, u *UnitComparison) KeyComparison {
	k := KeyComparison{Zone: a.Zone, OffSheet: a.State == curves.OffSheet && b.State == curves.OffSheet}
	k.KeyA, k.KeyAText = onA.stood(a, onA.aRun)
	k.KeyB, k.KeyBText = onB.stood(b, onB.bRun)
	if k.KeyA == nil || k.KeyB == nil {
		return k
	}
	k.KeyDifference = new(math.Round((*k.KeyB-*k.KeyA)*1e9)/1e9 + 0) // no tail of a binary fraction, and no -0
	switch {
	case !onA.aRun && !onA.bRun:
		k.FeedA, k.FeedB = new(a.OpeningPct*u.SweepA), new(b.OpeningPct*u.SweepB)
	case onA.press != nil:
		k.FeedA, k.FeedB = new(onA.press.Keys.OpeningPct(a.Zone, *k.KeyA)*u.SweepA), new(onB.press.Keys.OpeningPct(a.Zone, *k.KeyB)*u.SweepB)
	default:
		return k
	}
	k.FeedDifferencePoints = new((*k.FeedB - *k.FeedA) / u.SweepA)
	return k
}

// stood is where a key stood, or is preset to stand; nil where it was not read.
func (c comparer) stood(k *Key, run bool) (key *float64, text *string) {
	switch {
	case !run:
		return &k.Key, &k.KeyText
	case k.OKKey == nil:
		return nil, nil
	}
	return k.OKKey, new(press.KeyText(c.a.Preset.Press.KeyUnit, *k.OKKey))
}

// sum fills the figures of the unit's keys.
func (u *UnitComparison) sum(on *press.Press) {
	var keys, feeds differences
	for _, k := range u.Keys {
		if !k.OffSheet {
			keys.add(k.Zone, k.KeyDifference)
			feeds.add(k.Zone, k.FeedDifferencePoints)
		}
	}
	u.Compared = len(keys.values)
	u.KeyLargest, u.KeyLargestZone, u.KeyMean = keys.figures()
	u.FeedLargestPoints, u.FeedLargestZone, u.FeedMeanPoints = feeds.figures()
	u.Within5PointsPct = feeds.within(5)
	if on != nil {
		u.WithinStepPct = keys.within(on.Keys.Step)
	}
}

// differences are those of some zones.
type differences struct {
	zones  []int
	values []float64
}

func (d *differences) add(zone int, v *float64) {
	if v != nil {
		d.zones, d.values = append(d.zones, zone), append(d.values, *v)
	}
}

// figures are the difference farthest from 0, its zone, and the mean of all
// without their signs; nil where there are none.
func (d *differences) figures() (largest *float64, zone *int, mean *float64) {
	if len(d.values) == 0 {
		return nil, nil, nil
	}
	at, sum := 0, 0.0
	for i, v := range d.values {
		sum += math.Abs(v)
		if math.Abs(v) > math.Abs(d.values[at]) {
			at = i
		}
	}
	return &d.values[at], &d.zones[at], new(sum / float64(len(d.values)))
}

// within is the share of differences up to a limit, in %; nil where there are
// none. A difference that rounding keeps off the limit is on it.
func (d *differences) within(limit float64) *float64 {
	if len(d.values) == 0 {
		return nil
	}
	count := 0
	for _, v := range d.values {
		if math.Abs(v) <= limit+1e-6 {
			count++
		}
	}
	return new(100 * float64(count) / float64(len(d.values)))
}
