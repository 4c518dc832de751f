package preset

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"bladeline/curves/settings"
)

// standing is what stands in the fountains of a press: the last that ran in each; and
// which of them a pass before of the same job left there.
type standing struct {
	units []*Unit
	ours  []*Unit
}

// A match says where a unit of the next pass finds its keys; before is nil where
// nothing is known to stand there.
type match struct {
	before *Unit
	by     string // MatchedAsAsked and so on; "" where nothing is known
}

// pass is that in which a unit runs: the first, where it states none.
func (u *Unit) pass() int {
	if u.Pass == nil {
		return 1
	}
	return *u.Pass
}

// passes are the units that run together, pass by pass.
func (p *Preset) passes() [][]*Unit {
	by := map[int][]*Unit{}
	var numbers []int
	for i := range p.Units {
		n := p.Units[i].pass()
		if by[n] == nil {
			numbers = append(numbers, n)
		}
		by[n] = append(by[n], &p.Units[i])
	}
	slices.SortFunc(numbers, cmp.Compare)
	var passes [][]*Unit
	for _, n := range numbers {
		passes = append(passes, by[n])
	}
	return passes
}

// ran makes a pass what stands, in units that it names where they stand already.
func (s *standing) ran(pass []*Unit) {
	for _, u := range pass {
		named := func(other *Unit) bool { return sameUnit(other, u) }
		if at := slices.IndexFunc(s.units, named); at >= 0 {
			s.units[at] = u
			continue
		}
		s.units = append(s.units, u)
	}
}

// take makes a pass what stands where it was matched.
func (s *standing) take(pass []*Unit, matches []match) {
	for i, u := range pass {
		if at := slices.Index(s.units, matches[i].before); at >= 0 {
			s.units[at] = inUnit(u, matches[i].before)
			s.ours = append(s.ours, s.units[at])
			continue
		}
		s.units, s.ours = append(s.units, u), append(s.ours, u)
	}
}

// match finds for the units of a pass what stands where they run.
func (s *standing) match(pass []*Unit, follows map[string]string) ([]match, error) {
	matches := make([]match, len(pass))
	taken := map[*Unit]bool{}
	if err := s.asked(pass, follows, matches, taken); err != nil {
		return nil, err
	}
	for _, rule := range []struct {
		by   string
		fits func(before, u *Unit) bool
	}{
		{MatchedByUnit, sameUnit},
		{MatchedByInk, func(before, u *Unit) bool { return unnamed(before, u) && sameInk(before.Ink, u.Ink) }},
		{MatchedByOrder, unnamed},
	} {
		for i, u := range pass {
			fits := func(before *Unit) bool { return !taken[before] && rule.fits(before, u) }
			at := slices.IndexFunc(s.units, fits)
			if matches[i].before != nil || at < 0 {
				continue
			}
			matches[i] = match{s.units[at], rule.by}
			taken[s.units[at]] = true
		}
	}
	return matches, nil
}

// asked matches as somebody said; the error names no file, as it is of the last
// job's.
func (s *standing) asked(pass []*Unit, follows map[string]string, matches []match, taken map[*Unit]bool) error {
	for i, u := range pass {
		name, is := follows[u.Ink]
		if !is {
			continue
		}
		at := slices.IndexFunc(s.units, func(before *Unit) bool { return sameInk(before.Ink, name) })
		if at < 0 {
			return &settings.FileError{What: fmt.Sprintf("%s does not stand in the press after this job, only %s", settings.Quoted(name), s.inks()), Do: "name one of these"}
		}
		if taken[s.units[at]] {
			return &settings.FileError{What: fmt.Sprintf("two inks cannot follow %s in one unit", settings.Quoted(name)), Do: "let each follow another"}
		}
		matches[i] = match{s.units[at], MatchedAsAsked}
		taken[s.units[at]] = true
	}
	return nil
}

func (s *standing) inks() string {
	var names []string
	for _, u := range s.units {
		names = append(names, settings.Quoted(u.Ink))
	}
	return strings.Join(names, ", ")
}

// idle are the units that a pass does not run.
func (s *standing) idle(matches []match) []IdleUnit {
	idle := []IdleUnit{}
	for _, u := range s.units {
		if !slices.ContainsFunc(matches, func(m match) bool { return m.before == u }) {
			idle = append(idle, IdleUnit{Unit: u.Unit, Ink: u.Ink})
		}
	}
	return idle
}

// elsewhere is the unit where an ink stands, where that has a name and is not the
// one that it is to run in.
func (s *standing) elsewhere(ink string, before *Unit) *string {
	for _, u := range s.units {
		if u != before && sameInk(u.Ink, ink) {
			return u.Unit
		}
	}
	return nil
}

// sameUnit tells whether two name one printing unit.
func sameUnit(a, b *Unit) bool {
	return !unnamed(a, b) && strings.EqualFold(*a.Unit, *b.Unit)
}

// unnamed tells whether either of two does not say in which unit it runs.
func unnamed(a, b *Unit) bool { return a.Unit == nil || b.Unit == nil }

func sameInk(a, b string) bool { return strings.EqualFold(a, b) }

// inUnit is a unit with the name of the one that stood where it runs, where it
// has none of its own.
func inUnit(u, before *Unit) *Unit {
	if u.Unit != nil || before.Unit == nil {
		return u
	}
	named := *u
	named.Unit = before.Unit
	return &named
}
