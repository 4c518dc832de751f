package press

import (
	"fmt"
	"slices"
	"strings"

	"bladeline/curves"
	"bladeline/curves/settings"
)

// A Unit is a printing unit of a press: a fountain with keys of its own. The
// sheet meets a press's units in their order.
type Unit struct {
	Name       string            // as the press room calls it
	Inks       []string          // that run in it: the first in pass 1, the next in pass 2
	Zero       []float64         // what each key shows when closed, in the key unit, from zone 1; empty: as the press's
	ZeroByHand []float64         // Zero as it was before any was learned; empty: none was
	Sweep      curves.SweepScale // the press's, with what differs here
}

// A Station is where an ink is printed: in a unit, as the sheet passes the press
// for the first time, counted from 1, or again.
type Station struct {
	Unit string
	Pass int
}

// UnitNames are those of the press's units, in their order.
func (p *Press) UnitNames() []string {
	var names []string
	for _, u := range p.Units {
		names = append(names, u.Name)
	}
	return names
}

// unit is the index of the unit of a name, be it written in capitals or not; -1
// where there is none.
func (p *Press) unit(name string) int {
	return slices.IndexFunc(p.Units, func(u Unit) bool { return strings.EqualFold(u.Name, name) })
}

// UnitOf is the name of the unit that an ink is stated to run in; empty where it
// is stated of none.
func (p *Press) UnitOf(ink string) string {
	for _, u := range p.Units {
		if slices.ContainsFunc(u.Inks, func(name string) bool { return strings.EqualFold(name, ink) }) {
			return u.Name
		}
	}
	return ""
}

// InUnit is the press as the keys and the sweep of one of its units have it. It
// is the press itself where name is empty, and nil where there is no such unit.
func (p *Press) InUnit(name string) *Press {
	if name == "" {
		return p
	}
	at := p.unit(name)
	if at < 0 {
		return nil
	}
	u, in := p.Units[at], *p
	in.Sweep = u.Sweep
	if len(u.Zero) > 0 {
		in.Keys.Zero, in.Keys.ZeroByHand = u.Zero, u.ZeroByHand
	}
	return &in
}

// Stations are where inks are printed, in the inks' order; nil on a press
// without units. asked is the unit of each ink of which it is said, empty of
// others; those run where the press names them. In a unit the inks that it names
// come in that order, then those that are asked for there. All others take the
// places that are left in the first pass, unit by unit, then in the next.
//
// A unit that the press does not have is an error of type *settings.FileError.
func (p *Press) Stations(inks, asked []string) ([]Station, error) {
	if len(p.Units) == 0 {
		return nil, nil
	}
	queues := make([][]int, len(p.Units)) // of indices of inks, by unit
	var others []int
	for i, ink := range inks {
		name := asked[i]
		if name == "" {
			name = p.UnitOf(ink)
		}
		at := p.unit(name)
		switch {
		case name == "":
			others = append(others, i)
		case at < 0:
			return nil, p.noUnit(name)
		default:
			queues[at] = append(queues[at], i)
		}
	}
	for at := range queues {
		slices.SortStableFunc(queues[at], func(i, j int) int { return p.Units[at].rank(inks[i]) - p.Units[at].rank(inks[j]) })
	}
	for _, i := range others {
		at := emptiest(queues)
		queues[at] = append(queues[at], i)
	}
	stations := make([]Station, len(inks))
	for at, queue := range queues {
		for pass, i := range queue {
			stations[i] = Station{p.Units[at].Name, pass + 1}
		}
	}
	return stations, nil
}

// emptiest is the first of the shortest queues.
func emptiest(queues [][]int) int {
	least := 0
	for at := range queues {
		if len(queues[at]) < len(queues[least]) {
			least = at
		}
	}
	return least
}

// rank is an ink's place in the unit's list, behind it where it is not named.
func (u Unit) rank(ink string) int {
	at := slices.IndexFunc(u.Inks, func(name string) bool { return strings.EqualFold(name, ink) })
	if at < 0 {
		return len(u.Inks)
	}
	return at
}

// noUnit refuses the name of a unit that the press does not have.
func (p *Press) noUnit(name string) error {
	what := fmt.Sprintf("press %s has no unit %s", settings.Quoted(p.Name), settings.Quoted(name))
	if len(p.Units) == 0 {
		return &settings.FileError{What: what + ", nor any that its file names", Do: "name them in the press's file, each under [[units]]"}
	}
	var names []string
	for _, n := range p.UnitNames() {
		names = append(names, settings.Quoted(n))
	}
	return &settings.FileError{What: what, Do: "name one of these: " + strings.Join(names, ", ")}
}

// Order is the order in which the sheet meets two stations: by pass, then by
// unit.
func (p *Press) Order(a, b Station) int {
	if a.Pass != b.Pass {
		return a.Pass - b.Pass
	}
	return p.unit(a.Unit) - p.unit(b.Unit)
}
