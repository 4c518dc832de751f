package press

import (
	"fmt"
	"strings"

	"bladeline/curves/settings"
)

// unitFile is a unit as a press's file states it; nil is absent.
type unitFile struct {
	Name       string        `toml:"name"`
	Inks       []string      `toml:"inks"`
	Zero       []float64     `toml:"zero"`
	ZeroByHand []float64     `toml:"zero_by_hand"`
	Sweep      unitSweepFile `toml:"sweep"`
}

// unitSweepFile is what differs from the press's sweep in a unit. All share the
// unit that the sweep is counted in.
type unitSweepFile struct {
	From      *float64 `toml:"from"`
	To        *float64 `toml:"to"`
	Step      *float64 `toml:"step"`
	Reference *float64 `toml:"reference"`

	WorkingFrom *float64 `toml:"working_from"`
	WorkingTo   *float64 `toml:"working_to"`
}

// units are the press's, whose keys and sweep have been read.
func (raw pressFile) units(r *rules, p *Press) []Unit {
	var units []Unit
	seen, unitOf := map[string]bool{}, map[string]string{}
	for i, u := range raw.Units {
		name := r.line(fmt.Sprintf("units: unit %d: name", i+1), u.Name)
		place := "units: unit " + settings.Quoted(name) + ": "
		if seen[strings.ToLower(name)] {
			r.fail(place+"name", "two units have this name: capitals make no difference", "name them apart")
		}
		seen[strings.ToLower(name)] = true
		units = append(units, Unit{
			Name: name, Inks: r.unitInks(place+"inks", name, u.Inks, unitOf),
			Zero:       r.zeros(place+"zero", u.Zero, p.Fountain.Zones, p.Keys.Travel),
			ZeroByHand: r.zeros(place+"zero_by_hand", u.ZeroByHand, p.Fountain.Zones, p.Keys.Travel),
			Sweep:      u.Sweep.over(raw.Sweep).scale(r, place+"sweep."),
		})
	}
	return units
}

// unitInks are the inks that run in a unit. An ink runs in one.
func (r *rules) unitInks(place, unit string, inks []string, unitOf map[string]string) []string {
	for i, ink := range inks {
		r.line(fmt.Sprintf("%s: ink %d", place, i+1), ink)
		key := strings.ToLower(ink)
		switch other, named := unitOf[key]; {
		case named && other == unit:
			r.fail(place, settings.Quoted(ink)+" is named twice: capitals make no difference", "name it once")
		case named:
			r.fail(place, fmt.Sprintf("%s is named in unit %s already", settings.Quoted(ink), settings.Quoted(other)), "name it in one unit; preset --unit puts it into another for one job")
		}
		unitOf[key] = unit
	}
	return inks
}

// over is the press's sweep with what differs.
func (raw unitSweepFile) over(press sweepFile) sweepFile {
	press.From = or(raw.From, press.From)
	press.To = or(raw.To, press.To)
	press.Step = or(raw.Step, press.Step)
	press.Reference = or(raw.Reference, press.Reference)
	press.WorkingFrom = or(raw.WorkingFrom, press.WorkingFrom)
	press.WorkingTo = or(raw.WorkingTo, press.WorkingTo)
	return press
}

// raw is the unit as a file would state it.
func (u Unit) raw() unitFile {
	s := u.Sweep
	return unitFile{u.Name, u.Inks, u.Zero, u.ZeroByHand, unitSweepFile{
		&s.From, &s.To, &s.Step, &s.Reference, nilIfZero(s.WorkingFrom), nilIfZero(s.WorkingTo),
	}}
}
