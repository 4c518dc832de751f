package preset

import (
	"math"

	"bladeline/curves"
	"bladeline/zones/press"
)

// unit is what is done in a unit; before is what stands there, nil where that is
// not known.
func (c changer) unit(before, u *Unit) UnitChange {
	change := UnitChange{Unit: u.Unit, Ink: u.Ink, Sweep: u.SweepRun(), NotRead: []int{}}
	if before != nil {
		change.Unit = inUnit(u, before).Unit
		change.InkWas, change.WashUp = &before.Ink, !sameInk(before.Ink, u.Ink)
		change.SweepWas = new(before.SweepRun())
		change.SweepDifference = new(difference(*change.SweepWas, change.Sweep))
		change.NotRead = before.notRead()
	}
	scale := settingScale{c.this.Preset.Press.KeyUnit, c.sense(), c.on}
	for i := range u.Keys {
		key := KeyChange{Zone: u.Keys[i].Zone, Key: u.Keys[i].printedKey(), KeyText: scale.text(&u.Keys[i]), Move: SetTo}
		if before != nil {
			key.from(&before.Keys[i], scale)
		}
		change.Keys = append(change.Keys, key)
	}
	change.order()
	change.Rounds, change.MostText = change.rounds(c.on)
	if change.MostText != "" {
		change.NeighbourPct = c.on.Limits.NeighbourPct
	}
	return change
}

// settingScale is the scale that keys are set by, as far as it is known.
type settingScale struct {
	unit  press.KeyUnit
	sense press.Sense
	on    *press.Press // nil is not known
}

// text is a key as it was printed with, for people: as the preset writes it,
// where it is the preset's.
func (s settingScale) text(k *Key) string {
	if k.OKKey == nil {
		return k.KeyText
	}
	return s.words(*k.OKKey)
}

func (s settingScale) words(v float64) string {
	if s.on != nil {
		return s.on.Keys.Text(v)
	}
	return press.KeyText(s.unit, v)
}

// from says how the key goes from where another stands.
func (k *KeyChange) from(was *Key, s settingScale) {
	k.KeyWas, k.KeyWasText = new(was.printedKey()), new(s.text(was))
	k.Difference = new(difference(*k.KeyWas, k.Key))
	k.DifferenceText = new(s.words(math.Abs(*k.Difference)))
	if sameKey(*k.KeyWas, k.Key) {
		k.Move, k.Difference = Stay, new(0.0)
		return
	}
	k.Move = Close
	if *k.Difference > 0 {
		k.Move = Open
	}
	if turn := s.sense.Turns(k.Move == Open); turn != "" {
		k.Turn = &turn
	}
}

// difference is how far it is, without the tail of a binary fraction and -0.
func difference(from, to float64) float64 { return math.Round((to-from)*1e9)/1e9 + 0 }

// order counts the keys to move, from the centre to zone 1 and then from the
// centre to the last: on one blade a screw moves what lies beside it, too, and
// what it pushes away must get out at an end. From the centre outwards no key is
// set between two that are (printwiki, "Fountain Keys").
func (c *UnitChange) order() {
	centre := centreOf(len(c.Keys))
	touch := func(i int) {
		if c.Keys[i].Move == Stay {
			c.Stay++
			return
		}
		c.Moved++
		c.Keys[i].Order = new(c.Moved)
	}
	for i := centre - 1; i >= 0; i-- {
		touch(i)
	}
	for i := centre; i < len(c.Keys); i++ {
		touch(i)
	}
}

// rounds is in how many turns the keys go where they shall: between two keys, of
// which one has moved and the other has not yet, a blade of one piece is bent by
// as much more as the key moved, which is then no more at once than the blade
// bends at all. most is how far a key goes in one, on the key's own steps; "" where one
// is all. Every key goes so far, or as far as is left for it: what two neighbours differ
// by then changes one way, from what it was to what it shall be, and is beyond neither.
// nil where the blade, or how far it bends, is not known.
func (c *UnitChange) rounds(on *press.Press) (rounds *int, most string) {
	if on == nil || c.InkWas == nil {
		return nil, ""
	}
	if on.Fountain.Blade != press.OnePiece || on.Limits.NeighbourPct <= 0 {
		return new(1), ""
	}
	farthest := 0.0
	for _, k := range c.Keys {
		farthest = max(farthest, math.Abs(*k.Difference))
	}
	const tiny = 1e-6 // of a step, that binary fractions leave
	steps := math.Ceil(farthest/on.Keys.Step - tiny)
	atOnce := max(1, math.Floor(on.Limits.NeighbourPct/100*on.Keys.Travel/on.Keys.Step+tiny))
	n := max(1, math.Ceil(steps/atOnce))
	if n > 1 {
		most = on.Keys.Text(math.Ceil(steps/n) * on.Keys.Step)
	}
	return new(int(n)), most
}

// notRead are the zones under the sheet whose keys were not read, where others of
// the unit were.
func (u *Unit) notRead() []int {
	unread, read := []int{}, false
	for _, k := range u.Keys {
		switch {
		case k.OKKey != nil:
			read = true
		case k.State != curves.OffSheet:
			unread = append(unread, k.Zone)
		}
	}
	if !read {
		return []int{}
	}
	return unread
}
