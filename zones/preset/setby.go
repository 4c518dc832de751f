package preset

import (
	"fmt"
	"slices"

	"bladeline/curves/settings"
)

// By what a unit's keys were set.
const (
	SetByCurve  = "curve"
	SetByTrain  = "train"        // solved together on the press's roller train, which was not fitted
	SetByFitted = "fitted train" // likewise, on one that was
	SetByRun    = "run"          // as they were run, which was passed as right
)

// SetBy is by what a unit's keys were set.
func (u *Unit) SetBy() string {
	switch {
	case u.ByTrain == nil && u.AsRun:
		return SetByRun
	case u.ByTrain == nil:
		return SetByCurve
	case u.ByTrain.Fitted:
		return SetByFitted
	}
	return SetByTrain
}

// FeedWords say of which openings a unit's feeds are, a's and b's: those that a curve asks
// for, which no key has to stand on, or those of keys as they stand on their steps.
func (c *Comparison) FeedWords(u *UnitComparison) string {
	const exact, stepped = "before keys go onto their steps", "as keys stand on their steps"
	run := c.AWasRun || c.BWasRun
	of := func(setBy string) string {
		if run || setBy != "" && setBy != SetByCurve {
			return stepped
		}
		return exact
	}
	a, b := of(u.SetByA), of(u.SetByB)
	if a == b {
		return "feed " + a
	}
	return fmt.Sprintf("feed a %s, feed b %s", a, b)
}

// RunBefore tells whether the keys were run, now or when the job was printed before.
func (u *Unit) RunBefore() bool { return u.AsRun || u.WasRun() }

// statesSetBy tells whether any keys were set by anything but a curve.
func (p *Preset) statesSetBy() bool {
	return slices.ContainsFunc(p.Units, func(u Unit) bool { return u.SetBy() != SetByCurve })
}

// trainColumns say in a preset's CSV by what keys were set, where some were not by a curve:
// else they are not written, and follow the curves.
var trainColumns = []string{"set_by", "film_um", "film_off_pct"}

// trainCells are a key's cells in those columns.
func (u *Unit) trainCells(zone int) []string {
	if u.ByTrain == nil {
		return []string{u.SetBy(), "", ""}
	}
	return []string{u.SetBy(), optional(u.ByTrain.FilmUM), settings.Shortest(u.ByTrain.FilmOffPct[zone-1])}
}

// setBy reads by what a row's key was set. The unit's films are put in order of their
// zones by filmsOff.
func (in *presetReader) setBy(unit, zone int) {
	by := in.laterCell("set_by")
	u := &in.p.Units[unit]
	if len(u.Keys) > 0 && by != in.by[unit] {
		in.same("set_by", in.by[unit], by)
	}
	in.by[unit] = by
	switch by {
	case "", SetByCurve:
		return
	case SetByRun:
		u.AsRun = true
		return
	case SetByTrain, SetByFitted:
	default:
		in.fail("set_by", settings.Quoted(by)+" is not known", "write curve, train, fitted train or run, or leave it empty")
	}
	if u.ByTrain == nil {
		u.ByTrain = &ByTrain{Fitted: by == SetByFitted, FilmUM: in.laterNumber("film_um")}
	}
	off := in.laterNumber("film_off_pct")
	if off == nil {
		in.fail("film_off_pct", "it is empty", "write how far the film lies off, as the preset has it, or leave set_by empty in all rows of the ink")
		return
	}
	if in.off[unit] == nil {
		in.off[unit] = map[int]float64{}
	}
	in.off[unit][zone] = *off
}

// filmsOff puts what was read of a unit's films in order, of which every key has one.
func (in *presetReader) filmsOff(unit int) {
	u := &in.p.Units[unit]
	if u.ByTrain == nil {
		return
	}
	for _, k := range u.Keys {
		u.ByTrain.FilmOffPct = append(u.ByTrain.FilmOffPct, in.off[unit][k.Zone])
	}
}
