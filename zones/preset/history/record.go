package history

import (
	"fmt"
	"hash/fnv"
	"math"
	"strconv"

	"bladeline/curves"
	"bladeline/curves/settings"
	"bladeline/zones/preset"
	"bladeline/zones/press"
)

// rightPct is how far the ink that was run may lie off what was preset, in %
// of it, where the key counts as right: about ±0.05 of density, as in a Trial.
const rightPct = 10

// A Record is what an OK file says of a job.
type Record struct {
	File  string // as it is named in the history
	Day   Day
	Job   string
	Press string
	Paper string // "" is not stated
	Units []UnitRecord

	print uint64
}

// A UnitRecord is what an OK file says of one ink.
type UnitRecord struct {
	Ink     string
	Unit    string // of the press; "" is not stated
	Sweep   float64
	OKSweep float64 // what was finally run; Sweep where it did not change
	SetBy   string  // by what its keys were preset, as preset.SetByTrain; "" by the curve

	Read       int          // keys of printing zones that say what was run
	on         *press.Press // as the unit has it; nil is not at hand: the figures below are then not known
	WithinStep int          // of those, moved by a step of the scale or not at all
	WithinFeed int          // of those, whose ink stayed within 10 % of what was preset
	FullerPct  *float64

	points []point
}

// A point is how far a key stood from where the rest of its unit says that it
// should.
type point struct {
	zone int
	off  float64 // in points of travel

	moved float64 // how far the operator moved it, in points of travel, beside what the sweep did
}

// NewRecord looks at a preset that says what was run. on is its press, nil where
// that is not at hand. A press that was renamed goes by its name of today. Keys
// that were not read, zones off the sheet and zones that only bear marks are left
// out; off-scale values are refused with an error of type *settings.FileError.
func NewRecord(file string, day Day, p *preset.Preset, on *press.Press) (*Record, error) {
	r := &Record{File: file, Day: day, Job: p.Job, Press: p.Press.Name, Paper: stated(p.Paper)}
	if on != nil {
		r.Press = on.Name
	}
	if day.Kind == Dated {
		r.print = fingerprint(p, day)
	}
	for i := range p.Units {
		u := &p.Units[i]
		if !u.WasRun() {
			continue
		}
		if on == nil {
			r.Units = append(r.Units, newUnit(u, stated(u.Unit), nil))
			continue
		}
		scales := u.OnPress(on)
		if err := u.OnScales(scales); err != nil {
			return nil, settings.InFile(err, file, "")
		}
		r.Units = append(r.Units, newUnit(u, u.NameOn(on), scales))
	}
	return r, nil
}

// Fingerprint is a number for all that a file says of a run, the same for copies of
// it. It is false where the file states no day: a run that was repeated may then
// say just the same.
func (r *Record) Fingerprint() (uint64, bool) { return r.print, r.Day.Kind == Dated }

func fingerprint(p *preset.Preset, day Day) uint64 {
	text := fmt.Appendf(nil, "%q %q %q", p.Job, p.Press.Name, day.Date)
	number := func(v float64) { text = strconv.AppendFloat(append(text, ' '), v, 'g', -1, 64) }
	for i := range p.Units {
		u := &p.Units[i]
		text = fmt.Appendf(text, " %q", u.Ink)
		number(u.Sweep)
		number(u.SweepRun())
		for _, k := range u.Keys {
			number(k.CoveragePct)
			number(k.Key)
			if k.OKKey != nil {
				text = append(text, " as"...)
				number(*k.OKKey)
			}
		}
	}
	sum := fnv.New64a()
	_, _ = sum.Write(text)
	return sum.Sum64()
}

func stated(s *string) string {
	if s == nil {
		return ""
	}
	return *s
}

func newUnit(u *preset.Unit, name string, on *press.Press) UnitRecord {
	r := UnitRecord{Ink: u.Ink, Unit: name, Sweep: u.Sweep, OKSweep: u.SweepRun(), on: on}
	if u.ByTrain != nil {
		r.SetBy = u.SetBy()
	}
	var keys []reading
	for _, k := range u.Keys {
		if !k.Prints() || k.OKKey == nil {
			continue
		}
		r.Read++
		if on == nil {
			continue
		}
		key := r.reading(k, on)
		if math.Abs(*k.OKKey-k.Key) <= on.Keys.Step*(1+1e-6) {
			r.WithinStep++
		}
		if key.right() {
			r.WithinFeed++
		}
		if !key.bound {
			keys = append(keys, key)
		}
	}
	r.compare(keys)
	return r
}

// A reading is one key's opening as preset and as run, in % of travel, with the
// sweeps in ratio.
type reading struct {
	zone           int
	asked, set, ok float64 // by the curve, as it was set on its step, as it was run
	today          float64 // as it was run, by the zero that the press's file has now
	sweeps         float64 // run / preset
	bound          bool    // it stood at a limit, and says only so much or more, or less
}

// reading looks at a key. What was run is told from what was set by how far the
// key was turned, so that a zero which was learned since does not matter.
func (r *UnitRecord) reading(k preset.Key, on *press.Press) reading {
	step := 100 * on.Keys.Step / on.Keys.Travel
	set := on.Keys.OpeningPct(k.Zone, k.Key)
	if math.Abs(set-k.OpeningPct) > step/2+1e-6 { // the zero was another then
		set = k.OpeningPct
	}
	ok := set + 100*(*k.OKKey-k.Key)/on.Keys.Travel
	atEnd := *k.OKKey <= 0 || ok <= sameOpening || *k.OKKey >= on.Keys.Travel
	return reading{
		zone: k.Zone, asked: k.OpeningPct, set: set, ok: max(0, ok), today: on.Keys.OpeningPct(k.Zone, *k.OKKey), sweeps: r.OKSweep / r.Sweep,
		bound: atEnd || k.State != curves.Set && *k.OKKey == k.Key,
	}
}

// sameOpening is what two openings may differ by that are one, in % of travel: what
// goes through binary fractions.
const sameOpening = 1e-9

func (k reading) right() bool {
	if k.set == 0 {
		return k.ok == 0
	}
	return math.Abs(k.ok*k.sweeps/k.set-1) <= rightPct/100.0+1e-9
}

// leastKeys is how many keys must be read for a unit to say anything of itself
// or of one of them: below that the middle is one key's.
const leastKeys = 5

// compare fills what the unit's keys say together: how much fuller they were
// run than preset, and how far each stands from the others.
//
//	today × sweeps = (1 + fuller/100) × asked + off × sweeps
//
// What a key was off is counted by its zero of today, so that one which was set
// right is not found again.
// fuller is the median of ok × sweeps / set, each key weighed by set. It is counted
// from the keys as they were set on their steps: a key that nobody touched says that
// nothing was wanted otherwise, however far its step lies from the curve.
func (r *UnitRecord) compare(keys []reading) {
	var ratios, weights []float64
	for _, k := range keys {
		if k.set > 0 {
			ratios, weights = append(ratios, k.ok*k.sweeps/k.set), append(weights, k.set)
		}
	}
	if len(ratios) < leastKeys {
		return
	}
	factor := weightedMedian(ratios, weights)
	r.FullerPct = new(100 * (factor - 1))
	for _, k := range keys {
		r.points = append(r.points, point{k.zone, k.today - factor*k.asked/k.sweeps, k.ok - k.set/k.sweeps})
	}
}
