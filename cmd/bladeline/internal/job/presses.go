package job

import (
	"cmp"
	"maps"
	"slices"
	"strings"

	"bladeline/coverage"
	"bladeline/curves"
	"bladeline/zones"
	"bladeline/zones/press"
)

// A Library is the presses and curves that there are to choose from.
type Library struct {
	Presses []Press // at least one; the first is taken where none is chosen
	Curves  []*curves.Curve
}

// A Press is one to choose from, with its curves.
type Press struct {
	Called string // a file, or the name of one that ships
	Press  *press.Press
	Curve  *curves.Curve            // of inks that have none of their own
	ByInk  map[string]*curves.Curve // of inks that have, by name

	ByPaper map[string]PaperCurves // in place of these, by the name of the paper

	given map[string]*curves.Curve // asked for in place of all these, by ink in small letters; "" is of all others
}

// PaperCurves are a press's curves for one paper.
type PaperCurves struct {
	Curve *curves.Curve            // of inks that have none of their own; nil: as on any paper
	ByInk map[string]*curves.Curve // of inks that have, by name
}

// LoadLibrary reads all presses and curves that ship, and puts the press that is
// called for first, where one is.
func LoadLibrary(called string) (Library, error) {
	var l Library
	for _, name := range Shipped(CurveKind) {
		c, err := LoadCurve(name)
		if err != nil {
			return l, err
		}
		l.Curves = append(l.Curves, c)
	}
	names := Shipped(PressKind)
	if called != "" {
		names = append([]string{called}, slices.DeleteFunc(names, func(n string) bool { return n == called })...)
	}
	for _, name := range names {
		p, err := pressWithCurves(name, l.Curves[0])
		if err != nil {
			return l, err
		}
		l.Presses = append(l.Presses, p)
	}
	return l, nil
}

// pressWithCurves reads a press and the curves that its file names; otherwise is
// the curve where it names none.
func pressWithCurves(called string, otherwise *curves.Curve) (Press, error) {
	on, file, err := LoadPress(called)
	if err != nil {
		return Press{}, err
	}
	return withCurves(called, on, file, otherwise)
}

// Brought is the press of a file that lies in no folder, with the curves that it names
// of those that are given with it, and of those that ship.
func (l *Library) Brought(called string, file Settings) (Press, error) {
	on, err := press.Parse(file.Name, file.Data)
	if err != nil {
		return Press{}, err
	}
	return withCurves(called, on, file, l.Curves[0])
}

func withCurves(called string, on *press.Press, file Settings, otherwise *curves.Curve) (p Press, err error) {
	p = Press{Called: called, Press: on, Curve: otherwise, ByPaper: map[string]PaperCurves{}}
	common, err := curvesOf("", press.CurveFiles{Default: on.DefaultCurve, Own: on.Curves}, on, file)
	if err != nil {
		return p, err
	}
	p.Curve, p.ByInk = cmp.Or(common.Curve, otherwise), common.ByInk
	for _, paper := range on.Papers() {
		if p.ByPaper[paper], err = curvesOf(paper, on.ByPaper[paper], on, file); err != nil {
			return p, err
		}
	}
	return p, nil
}

// curvesOf reads the curves that a press's file names for a paper, or for any.
func curvesOf(paper string, files press.CurveFiles, on *press.Press, file Settings) (c PaperCurves, err error) {
	c.ByInk = map[string]*curves.Curve{}
	if files.Default != "" {
		if c.Curve, err = CurveOf("", "", paper, on, file); err != nil {
			return c, err
		}
	}
	for _, ink := range slices.Sorted(maps.Keys(files.Own)) {
		if c.ByInk[ink], err = CurveOf(ink, "", paper, on, file); err != nil {
			return c, err
		}
	}
	return c, nil
}

// CurveOn is the press's curve for an ink on a paper, which may be empty, and
// whether there is one for that paper: found as press.Press.CurveFileOn does.
func (p Press) CurveOn(paper, ink string) (c *curves.Curve, known bool) {
	if asked := cmp.Or(p.given[strings.ToLower(ink)], p.given[""]); asked != nil {
		return asked, true
	}
	on, _ := named(p.ByPaper, paper)
	if own, is := named(on.ByInk, ink); is {
		return own, true
	}
	if on.Curve != nil {
		return on.Curve, true
	}
	if own, is := named(p.ByInk, ink); is {
		return own, paper == ""
	}
	return p.Curve, paper == ""
}

// named is what stands in a table under a name. Names are compared without regard
// to capitals.
func named[V any](table map[string]V, name string) (v V, is bool) {
	for _, key := range slices.Sorted(maps.Keys(table)) {
		if strings.EqualFold(key, name) {
			return table[key], true
		}
	}
	return v, false
}

// Ask has inks take the curves that are asked for, in place of those that the presses'
// files name, on any paper.
func (l *Library) Ask(choices []Choice[string]) error {
	asked := map[string]*curves.Curve{}
	for i, c := range choices {
		key := strings.ToLower(c.Ink)
		if asked[key] != nil {
			return &ChoiceError{Of: OfCurve, Index: i, Ink: c.Ink, code: CodeAskedTwice}
		}
		curve, err := LoadCurve(c.Value)
		if err != nil {
			return err
		}
		asked[key] = curve
		l.Curves = append(l.Curves, curve)
	}
	for i := range l.Presses {
		l.Presses[i] = l.Presses[i].asked(asked)
	}
	return nil
}

// asked is a press with curves by ink, in small letters; "" is of all others.
func (p Press) asked(asked map[string]*curves.Curve) Press {
	with := func(of PaperCurves) PaperCurves {
		byInk := map[string]*curves.Curve{}
		if asked[""] == nil {
			maps.Copy(byInk, of.ByInk)
		}
		maps.DeleteFunc(byInk, func(ink string, _ *curves.Curve) bool { return asked[strings.ToLower(ink)] != nil })
		maps.Copy(byInk, asked)
		delete(byInk, "")
		return PaperCurves{cmp.Or(asked[""], of.Curve), byInk}
	}
	common, byPaper := with(PaperCurves{p.Curve, p.ByInk}), map[string]PaperCurves{}
	for paper, of := range p.ByPaper {
		byPaper[paper] = with(of)
	}
	p.Curve, p.ByInk, p.ByPaper, p.given = common.Curve, common.ByInk, byPaper, asked
	return p
}

// Find is the press that is called so.
func (l *Library) Find(called string) (Press, bool) {
	i := slices.IndexFunc(l.Presses, func(p Press) bool { return p.Called == called })
	if i < 0 {
		return Press{}, false
	}
	return l.Presses[i], true
}

// AllCurves are the curves to choose from, and those of the presses, always in one
// order: of several of a name the first is taken.
func (l *Library) AllCurves() []*curves.Curve {
	all := slices.Clone(l.Curves)
	add := func(of PaperCurves) {
		all = append(all, of.Curve)
		for _, ink := range slices.Sorted(maps.Keys(of.ByInk)) {
			all = append(all, of.ByInk[ink])
		}
	}
	for _, p := range l.Presses {
		add(PaperCurves{p.Curve, p.ByInk})
		for _, paper := range slices.Sorted(maps.Keys(p.ByPaper)) {
			add(p.ByPaper[paper])
		}
	}
	return slices.DeleteFunc(all, func(c *curves.Curve) bool { return c == nil })
}

// Taking are the presses that take the form as it lies, the narrowest first: on it the
// form leaves the fewest zones bare.
func (l *Library) Taking(form []*coverage.Map, placement zones.Placement) []Press {
	taking := slices.DeleteFunc(slices.Clone(l.Presses), func(p Press) bool { return !Takes(p.Press, form, placement) })
	slices.SortStableFunc(taking, func(a, b Press) int { return cmp.Compare(a.Press.Fountain.WidthMM(), b.Press.Fountain.WidthMM()) })
	return taking
}

// PutFirst puts first the narrowest press that takes the form as it lies, where there
// is one.
func (l *Library) PutFirst(form []*coverage.Map, placement zones.Placement) {
	taking := l.Taking(form, placement)
	if len(taking) == 0 {
		return
	}
	rest := slices.DeleteFunc(slices.Clone(l.Presses), func(p Press) bool { return p.Called == taking[0].Called })
	l.Presses = append(taking[:1], rest...)
}
