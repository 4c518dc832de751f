package rollers

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bladeline/curves/settings"
)

// place is where a roller or the ductor stands in a file, up to a key of it.
func (g *graph) place(at int) string {
	if at == g.ductor {
		return "ductor."
	}
	return "rollers: roller " + g.name(at) + ": "
}

// name is what a surface is called, in quotes where somebody named it.
func (g *graph) name(at int) string {
	switch at {
	case g.ductor:
		return "the ductor"
	case g.plate:
		return "the plate"
	case g.blanket:
		return "the blanket"
	}
	return settings.Quoted(g.train.Rollers[at].Name)
}

func (g *graph) fail(at int, key, what, do string) error {
	return &settings.FileError{Place: g.place(at) + key, What: what, Do: do}
}

// unknown refuses the name of a roller that a train does not have.
func (g *graph) unknown(place, name string) error {
	if slices.Contains([]string{"plate", "blanket", "ductor"}, strings.ToLower(name)) {
		return &settings.FileError{Place: place, What: settings.Quoted(name) + " is no roller that can be named here", Do: `a roller on the plate has kind = "form"; the ductor names the roller that it feeds`}
	}
	var names []string
	for at := range g.train.Rollers {
		names = append(names, g.name(at))
	}
	return &settings.FileError{Place: place, What: "there is no roller " + settings.Quoted(name), Do: "name one of these: " + strings.Join(names, ", ")}
}

// against refuses two rollers that touch and would turn the same way.
func (g *graph) against(a, b int) error {
	if a >= g.ductor {
		a, b = b, a
	}
	way := "counter-clockwise"
	if g.clockwise[a] {
		way = "clockwise"
	}
	return g.fail(a, "touches", fmt.Sprintf("it touches %s, and the rollers between them turn both %s, one against the other", g.name(b), way), "take out the nip that is not there")
}

const checkPlaces = "check diameters and touches, or say with at_deg where rollers lie that touch a single one"

func (g *graph) overlaps(at, other int, mm float64) error {
	return g.fail(at, "touches", fmt.Sprintf("where it would lie it overlaps %s by %s mm", g.name(other), tenths(mm)), checkPlaces)
}

func (g *graph) misses(at, other int, gap float64) error {
	return g.fail(at, "touches", fmt.Sprintf("where the other rollers hold it it is %s mm off touching %s", tenths(math.Abs(gap)), g.name(other)), checkPlaces)
}

func (g *graph) lies(at, base int, deg float64) error {
	if g.atDeg[at] == nil || g.touch[at][0] != base {
		at, base, deg = base, at, turned(deg, 180)
	}
	return g.fail(at, "at_deg", fmt.Sprintf("the rollers that it touches hold it at %.0f degrees on %s, not at %s", deg, g.name(base), settings.Plain(*g.atDeg[at])), "leave at_deg out, or correct it")
}

// outOfReach refuses a roller that is too small to touch two others, or lies
// between them as it is.
func (l *layout) outOfReach(at, first, second int) error {
	a, b := l.circles[first], l.circles[second]
	between := math.Hypot(a.XMM-b.XMM, a.YMM-b.YMM) - (a.DiameterMM+b.DiameterMM)/2
	return l.fail(at, "touches", fmt.Sprintf("it cannot touch %s and %s at once: they lie %s mm apart, and it is %s mm thick",
		l.name(first), l.name(second), tenths(between), settings.Plain(l.diameters[at])), checkPlaces)
}

func (l *layout) noPlace(at int) error {
	return l.fail(at, "touches", "there is no room for it on "+l.name(l.bases(at)[0]), checkPlaces)
}

func tenths(mm float64) string { return settings.Plain(math.Ceil(mm*10) / 10) }
