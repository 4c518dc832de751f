package preset

import (
	"fmt"
	"math"
	"strings"

	"bladeline/curves/settings"
	"bladeline/zones/press"
)

// IsFor tells whether a preset is for a press, as far as both say, and its keys
// stand about where their openings do; the error says how it is not. file is the
// preset's, for errors, which are of type *settings.FileError.
func (p *Preset) IsFor(on *press.Press, file string) error {
	if err := p.validateIn(file); err != nil {
		return err
	}
	if on == nil {
		return errNoPress
	}
	err := p.mustBeOf(on, "name the press that it is for")
	if err == nil {
		err = p.mustStandOn(on)
	}
	if err != nil {
		return settings.InFile(err, file, "")
	}
	return checkPress(on)
}

// mustBeOf compares all that a preset must share with its press; do is what to
// do where it is another's.
func (p *Preset) mustBeOf(on *press.Press, do string) error {
	differs := func(place, here, there string) error {
		return &settings.FileError{Place: place, What: fmt.Sprintf("%s is not %s of press %s", here, there, settings.Quoted(on.Name)), Do: do}
	}
	switch {
	case !p.Press.is(on.Name, nilIfZero(on.ID)):
		return &settings.FileError{Place: "press", What: "it is for " + p.Press.called(on.ID) + ", not for " + called(on.Name, on.ID, p.Press.ID), Do: do}
	case p.Press.Zones != on.Fountain.Zones:
		return differs("zone", fmt.Sprintf("the last, %d,", p.Press.Zones), fmt.Sprintf("the last, %d,", on.Fountain.Zones))
	case p.Press.KeyUnit != on.Keys.Unit:
		return differs("key_unit", settings.Quoted(string(p.Press.KeyUnit)), settings.Quoted(string(on.Keys.Unit)))
	case p.Press.SweepUnit != on.Sweep.Unit:
		return differs("sweep_unit", settings.Quoted(p.Press.SweepUnit), settings.Quoted(on.Sweep.Unit))
	case p.Press.ZoneWidthMM != nil && !near(*p.Press.ZoneWidthMM, on.Fountain.ZoneWidthMM):
		return differs("zone_width_mm", settings.Plain(*p.Press.ZoneWidthMM), settings.Plain(on.Fountain.ZoneWidthMM))
	case p.Press.FirstZone != nil && *p.Press.FirstZone != on.Fountain.FirstZone:
		return differs("first_zone", settings.Quoted(string(*p.Press.FirstZone)), settings.Quoted(string(on.Fountain.FirstZone)))
	}
	for i := range p.Units {
		u := &p.Units[i]
		if u.Unit != nil && len(on.Units) > 0 && on.InUnit(*u.Unit) == nil {
			return &settings.FileError{
				Place: fmt.Sprintf("ink %s, unit", settings.Quoted(u.Ink)),
				What:  fmt.Sprintf("%s is no unit of press %s", settings.Quoted(*u.Unit), settings.Quoted(on.Name)),
				Do:    "name the unit here as the press's file does: " + quotedList(on.UnitNames()),
			}
		}
		if err := u.mustLieOn(on, do); err != nil {
			return err
		}
	}
	return nil
}

// is tells whether a preset's press is the one of a name and an id: by the ids
// where both are known, since a press may be renamed, else by the names.
func (s StatedPress) is(name string, id *string) bool {
	if s.ID != nil && id != nil {
		return *s.ID == *id
	}
	return s.Name == name
}

// renamed gives a preset the name that its press has today.
func (p *Preset) renamed(on *press.Press) {
	p.Press.Name = on.Name
	if on.ID != "" {
		p.Press.ID = new(on.ID)
	}
}

// called is what a preset's press is called where it is not the one of an id.
func (s StatedPress) called(otherID string) string {
	if s.ID == nil {
		return settings.Quoted(s.Name)
	}
	return called(s.Name, *s.ID, nilIfZero(otherID))
}

// called is what a press is called, with its id where the other has one, too.
func called(name, id string, otherID *string) string {
	if id == "" || otherID == nil {
		return settings.Quoted(name)
	}
	return fmt.Sprintf("%s, id %s", settings.Quoted(name), settings.Quoted(id))
}

// OnPress is the press as the unit's keys and sweep have it; where it is not known which
// unit of the press it is, as they are of all units.
func (u *Unit) OnPress(whole *press.Press) *press.Press {
	if whole == nil {
		return nil
	}
	return whole.InUnit(u.NameOn(whole))
}

// NameOn is the name of the press's unit, as the press writes it: as the preset
// says, else as the press says of the ink; empty where neither does.
func (u *Unit) NameOn(on *press.Press) string {
	name := on.UnitOf(u.Ink)
	if u.Unit != nil {
		name = *u.Unit
	}
	for _, known := range on.UnitNames() {
		if strings.EqualFold(known, name) {
			return known
		}
	}
	return ""
}

func quotedList(names []string) string {
	var quoted []string
	for _, name := range names {
		quoted = append(quoted, settings.Quoted(name))
	}
	return strings.Join(quoted, ", ")
}

// mustLieOn compares where a unit's zones lie, of which a CSV says it alone.
func (u *Unit) mustLieOn(on *press.Press, do string) error {
	for _, k := range u.Keys {
		left, right := on.Fountain.ZoneMM(k.Zone)
		if k.LeftMM != nil && !(near(*k.LeftMM, left) && near(*k.RightMM, right)) {
			return &settings.FileError{
				Place: fmt.Sprintf("ink %s, zone %d, left_mm", settings.Quoted(u.Ink), k.Zone), Do: do,
				What: fmt.Sprintf("the zone lies from %s to %s mm, and on press %s from %s to %s", settings.Plain(*k.LeftMM), settings.Plain(*k.RightMM), settings.Quoted(on.Name), settings.Plain(left), settings.Plain(right)),
			}
		}
	}
	return nil
}

// mustStandOn refuses keys that were edited to where their openings do not
// stand on the press's scale.
func (p *Preset) mustStandOn(on *press.Press) error {
	for _, u := range p.Units {
		on := u.OnPress(on)
		for _, k := range u.Keys {
			opening := on.Keys.Opening(k.Zone, k.Key)
			if math.Abs(opening-k.OpeningPct) <= on.RoundingPct(k.OpeningPct)+driftPct {
				continue
			}
			return &settings.FileError{
				Place: fmt.Sprintf("ink %s, zone %d, key", settings.Quoted(u.Ink), k.Zone),
				What:  fmt.Sprintf("%s is open by %.1f %%, and opening_pct says %.1f", k.KeyText, opening, k.OpeningPct), Do: "correct one of them; what was run belongs in ok_key",
			}
		}
	}
	return nil
}

// driftPct is how far a key's own zero may have been found to lie since the
// preset was made, in % of travel. Common practice, no source.
const driftPct = 15

// near tells whether two places are one, but for what writing them cost.
func near(aMM, bMM float64) bool { return math.Abs(aMM-bMM) < 0.01 }
