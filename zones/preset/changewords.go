package preset

import (
	"fmt"

	"bladeline/curves/settings"
	"bladeline/zones/press"
)

// Words say what is done with a key: "open 1/8, counter-clockwise" where its
// screw is turned, else "up by 5, to 42".
func (k *KeyChange) Words() string {
	switch {
	case k.Move == Stay:
		return "stays at " + k.KeyText
	case k.Move == SetTo:
		return "set to " + k.KeyText
	case k.Turn != nil:
		return fmt.Sprintf("%s %s, %s", k.Move, *k.DifferenceText, *k.Turn)
	case k.Move == Open:
		return fmt.Sprintf("up by %s, to %s", *k.DifferenceText, k.KeyText)
	}
	return fmt.Sprintf("down by %s, to %s", *k.DifferenceText, k.KeyText)
}

// SweepWords say what is done with the sweep.
func (u *UnitChange) SweepWords(unit string) string {
	switch {
	case u.SweepWas == nil:
		return "sweep " + press.Amount(u.Sweep, unit)
	case *u.SweepDifference == 0:
		return "sweep stays at " + press.Amount(u.Sweep, unit)
	case *u.SweepDifference > 0:
		return fmt.Sprintf("sweep up by %s, to %s", press.KeyText(press.Percent, *u.SweepDifference), press.Amount(u.Sweep, unit))
	}
	return fmt.Sprintf("sweep down by %s, to %s", press.KeyText(press.Percent, -*u.SweepDifference), press.Amount(u.Sweep, unit))
}

// CountWords say how many keys are touched.
func (u *UnitChange) CountWords() string {
	ending := ""
	if u.Stay == 1 {
		ending = "s"
	}
	switch {
	case u.Moved == 0 && u.Stay == 1:
		return "the key stays"
	case u.Moved == 0:
		return fmt.Sprintf("all %d keys stay", u.Stay)
	case u.InkWas == nil:
		return fmt.Sprintf("%d keys to set", u.Moved)
	case u.Stay == 0:
		return fmt.Sprintf("all %d keys move", u.Moved)
	case u.Moved == 1:
		return fmt.Sprintf("1 key moves, %d stay%s", u.Stay, ending)
	}
	return fmt.Sprintf("%d keys move, %d stay%s", u.Moved, u.Stay, ending)
}

// NotReadWords warn of keys that nobody read; "" where there are none.
func (u *UnitChange) NotReadWords() string {
	if len(u.NotRead) == 0 {
		return ""
	}
	var keys []Key
	for _, zone := range u.NotRead {
		keys = append(keys, Key{Zone: zone})
	}
	return Spans(keys) + ": not read after the last run, and taken to stand as preset; look at the key before you turn it"
}

// InRounds tells whether the keys are gone over more than once, so that one blade is
// not bent too steeply.
func (u *UnitChange) InRounds() bool { return u.Rounds != nil && *u.Rounds > 1 }

// RoundsWords say how one blade is not bent too steeply; "" where that is no
// matter.
func (u *UnitChange) RoundsWords() string {
	if !u.InRounds() {
		return ""
	}
	return fmt.Sprintf("go over the keys in %d rounds, and move none further than %s in one: the blade is one piece, and bends by at most %s %% of travel from key to key", *u.Rounds, u.MostText, settings.Plain(u.NeighbourPct))
}

// WashUpWords say what is washed up; "" where nothing is.
func (u *UnitChange) WashUpWords() string {
	if !u.WashUp {
		return ""
	}
	words := fmt.Sprintf("wash up: %s out, %s in", *u.InkWas, u.Ink)
	if u.InkStandsIn != nil {
		words += fmt.Sprintf("; %s stands in unit %s", u.Ink, *u.InkStandsIn)
	}
	return words
}

// OrderWords say in what order keys are set, and why: from the centre outwards
// (printwiki, "Fountain Keys"). The reason is that of a blade of one piece; on
// others it is a habit that does no harm. In rounds every round goes so, and
// a key that moves in several is set in each.
func (c *ChangeOver) OrderWords(inRounds bool) string {
	last := c.Press.Zones
	begin := "begin at the centre"
	if inRounds {
		begin = "begin every round at the centre"
	}
	words := fmt.Sprintf("%s: work to zone 1, then from the centre to zone %d", begin, last)
	if blade := c.Press.Blade; blade != nil && *blade == press.Segmented || last < 3 {
		return words
	}
	if inRounds {
		return words + "; on a blade of one piece a key also moves the blade beside it, so what is set from the centre outwards need not be set twice in a round"
	}
	return words + "; on a blade of one piece a key also moves the blade beside it, so what is set from the centre outwards need not be set twice"
}

// WashUpCaution is what to heed where another ink comes (common practice, no
// source).
const WashUpCaution = "Wash up with the press stopped and isolated as its manual and local rules say, hands and cloths out of the nips; a light ink after a dark one needs a second wash. Where a wash-up moved keys, set them to the figure that they go to, not by how far."
