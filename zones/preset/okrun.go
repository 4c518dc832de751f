package preset

import (
	"fmt"
	"math"
	"slices"

	"bladeline/curves"
	"bladeline/curves/learn"
	"bladeline/curves/settings"
	"bladeline/zones/press"
)

// OKRun is what an OK file says of an ink: a preset whose ok_key, and ok_sweep
// where it changed, were filled in with what was finally run. Its openings are
// (ok_key − zero)/travel in % of travel, at the sweep that was run; keys within
// half a step of the floor or the ceiling, left where the preset held them
// there, or at an end of the scale, are bounds.
//
// Left out are keys that were not read, off-sheet zones, and neighbour-held
// ones whose key was not touched: there the blade decided, not the operator.
//
// file names the run and stands in errors, which are of type
// *settings.FileError. An OK file of another press, one that lacks the ink, keys
// or a sweep beyond their scale, and an ink without any key read are refused.
func (p *Preset) OKRun(file string, on *press.Press, name string) (*learn.Run, error) {
	if err := p.validateIn(file); err != nil {
		return nil, err
	}
	if on == nil {
		return nil, errNoPress
	}
	u, err := p.okUnit(on, name)
	if err != nil {
		return nil, settings.InFile(err, file, "")
	}
	if err := checkPress(on); err != nil {
		return nil, err
	}
	unit := u.NameOn(on)
	on = u.OnPress(on)
	run := &learn.Run{Name: file, Unit: unit, Sweep: u.SweepRun()}
	if err := u.OnScales(on); err != nil {
		return nil, settings.InFile(err, file, "")
	}
	for _, k := range u.Keys {
		if reason := k.skipReason(); reason != "" {
			run.LeftOut = append(run.LeftOut, learn.LeftOut{Run: file, Zone: k.Zone, Reason: reason})
			continue
		}
		run.Readings = append(run.Readings, k.reading(on))
	}
	return run, nil
}

// OnScales checks that what was finally run can be set on the press.
func (u *Unit) OnScales(on *press.Press) error {
	if s := on.Sweep; u.OKSweep != nil && (*u.OKSweep < s.From || *u.OKSweep > s.To) {
		return &settings.FileError{
			Place: fmt.Sprintf("ink %s, column ok_sweep", settings.Quoted(u.Ink)),
			What:  fmt.Sprintf("a sweep of %s is beyond the press's, %s to %s %s", settings.Plain(*u.OKSweep), settings.Plain(s.From), settings.Plain(s.To), s.Unit), Do: "write the sweep that was run",
		}
	}
	for _, k := range u.Keys {
		if k.OKKey != nil && !on.Keys.OnScale(*k.OKKey) {
			return &settings.FileError{
				Place: fmt.Sprintf("ink %s, zone %d, column ok_key", settings.Quoted(u.Ink), k.Zone),
				What:  fmt.Sprintf("%s is beyond the key's scale, 0 to %s", on.Keys.Text(*k.OKKey), on.Keys.Text(on.Keys.Travel)), Do: "write the key as it stood",
			}
		}
	}
	return nil
}

// okUnit is the ink's unit, after everything that it must share with the press
// was compared.
func (p *Preset) okUnit(on *press.Press, name string) (*Unit, error) {
	if err := p.mustBeOf(on, "learn from jobs of this press alone"); err != nil {
		return nil, err
	}
	u := p.Unit(name)
	if u == nil {
		return nil, &settings.FileError{Place: "column ink", What: fmt.Sprintf("there is no %s, only %s", settings.Quoted(name), p.inks()), Do: "name one of these, or leave the file out"}
	}
	if p.HasOKKeys(name) {
		return u, nil
	}
	return nil, &settings.FileError{Place: fmt.Sprintf("ink %s, column ok_key", settings.Quoted(u.Ink)), What: "no key is filled in", Do: "write what was finally run, or leave the file out"}
}

// HasOKKeys tells whether a preset has the ink and says of any of its keys what was
// finally run.
func (p *Preset) HasOKKeys(name string) bool {
	u := p.Unit(name)
	return u != nil && u.anyKeyRead()
}

func (u *Unit) anyKeyRead() bool {
	return slices.ContainsFunc(u.Keys, func(k Key) bool { return k.OKKey != nil })
}

func (p *Preset) inks() string {
	var names []string
	for _, u := range p.Units {
		names = append(names, u.Ink)
	}
	return quotedList(names)
}

// skipReason is why a key says nothing of the curve; empty where it does.
func (k Key) skipReason() string {
	switch {
	case k.State == curves.OffSheet:
		return "lies off the sheet"
	case k.OKKey == nil:
		return "was not read"
	case k.State == curves.Neighbour && sameKey(*k.OKKey, k.Key):
		return "was held by its neighbour on the blade"
	}
	return ""
}

// reading is what the key of a zone says, which is no more than a bound where it
// stood at an end of what it can.
func (k Key) reading(on *press.Press) learn.Reading {
	opening := on.Keys.Opening(k.Zone, *k.OKKey)
	r := learn.Reading{Zone: k.Zone, CoveragePct: k.CoveragePct, OpeningPct: opening}
	untouched := sameKey(*k.OKKey, k.Key) // with the zero of its time, which may be another
	halfStepPct := 50*on.Keys.Step/on.Keys.Travel + 1e-9
	least, most := on.KeyRange(k.Zone)
	switch {
	case math.Abs(opening-on.Limits.FloorPct) <= halfStepPct, *k.OKKey <= 0, sameKey(*k.OKKey, least), untouched && k.State == curves.Floor:
		r.Censoring = learn.LeftCensored
	case math.Abs(opening-on.Limits.CeilingPct) <= halfStepPct, *k.OKKey >= on.Keys.Travel, sameKey(*k.OKKey, most), untouched && k.State == curves.Ceiling:
		r.Censoring = learn.RightCensored
	}
	return r
}
