package page

import (
	"fmt"
	"slices"
	"strings"

	"bladeline/curves"
	"bladeline/curves/settings"
)

// curve is a curves.Curve in JSON. All but label is of the curve.
type curve struct {
	Label          string             `json:"label,omitempty"`
	Name           string             `json:"name"`
	Shape          curves.Shape       `json:"shape"`
	ReferenceSweep *float64           `json:"reference_sweep"` // null: the press's own
	Points         [][]float64        `json:"points"`          // [coverage in %, opening in %]
	Note           string             `json:"note,omitempty"`
	Learned        *curves.Provenance `json:"learned,omitempty"`
}

// maxPoints and maxNote bound a curve.
const (
	maxPoints = 200
	maxNote   = 2000
)

func curveJSON(c *curves.Curve) curve {
	j := curve{Name: c.Name, Shape: c.Shape, Points: [][]float64{}, Note: c.Note, Learned: c.Learned}
	if c.ReferenceSweep > 0 {
		j.ReferenceSweep = &c.ReferenceSweep
	}
	for _, p := range c.Points {
		j.Points = append(j.Points, []float64{p.CoveragePct, p.OpeningPct})
	}
	return j
}

// curve is the curve, prepared. The rules are those of a curve's file.
func (j curve) curve(place string) (*curves.Curve, error) {
	c := &curves.Curve{Name: j.Name, Shape: j.Shape, Note: firstOf(j.Note, maxNote), Learned: j.Learned}
	switch {
	case len(j.Points) > maxPoints:
		return nil, refused(place+".points", "%d points are too many for a curve; leave %d at most", len(j.Points), maxPoints)
	case !settings.IsName(j.Name):
		return nil, refused(place+".name", "%q is not a name for a curve; write one on a single line", firstOf(j.Name, maxName))
	}
	if err := checkName(place+".name", j.Name); err != nil {
		return nil, err
	}
	if j.ReferenceSweep != nil {
		if c.ReferenceSweep = *j.ReferenceSweep; c.ReferenceSweep == 0 {
			return nil, refused(place+".reference_sweep", "at a sweep of 0 no ink is fed; write the sweep that the points were found at")
		}
	}
	for i, p := range j.Points {
		if len(p) != 2 {
			return nil, refused(place+".points", "point %d has %d numbers; write coverage and opening", i+1, len(p))
		}
		c.Points = append(c.Points, curves.Point{CoveragePct: p[0], OpeningPct: p[1]})
	}
	if err := c.Prepare(); err != nil {
		return nil, refusedAs(place, err)
	}
	return c, nil
}

// written is a curve as the text of its file. One that was learned, and runs
// otherwise than any that the page offered, says that it was changed since.
func (s *Server) written(c *curves.Curve) ([]byte, error) {
	w := *c
	if c.Learned != nil && !s.offers(c) {
		learned := *c.Learned
		learned.Edited = true
		w.Learned = &learned
	}
	text := w.TOML()
	if _, err := curves.ParseCurve("", text); err != nil {
		return nil, refusedAs("units", err)
	}
	return text, nil
}

// nameOf is the name of an ink's curve. One that bears the name of an offered
// curve, and runs otherwise than all of that name, gets a name of its own: the
// same in its file as in a preset. The tab keeps the name that it began with.
func (s *Server) nameOf(c *curves.Curve, ink string) string {
	offered := s.options.AllCurves()
	bears := func(name string, runs bool) bool {
		return slices.ContainsFunc(offered, func(o *curves.Curve) bool { return o.Name == name && (!runs || runsAs(o, c)) })
	}
	if !bears(c.Name, false) || bears(c.Name, true) {
		return c.Name
	}
	first, _, _ := strings.Cut(c.Name, edited)
	name := first + edited + ink
	for n := 2; bears(name, false) && !bears(name, true); n++ {
		name = fmt.Sprintf("%s%s%s, %d", first, edited, ink, n)
	}
	return name
}

// edited stands between the name of a curve and that of the ink it was changed for.
const edited = ", edited for "

// offers tells whether a curve runs as one of those to choose from.
func (s *Server) offers(c *curves.Curve) bool {
	return slices.ContainsFunc(s.options.AllCurves(), func(o *curves.Curve) bool { return runsAs(o, c) })
}

func runsAs(a, b *curves.Curve) bool {
	return a.Shape == b.Shape && a.ReferenceSweep == b.ReferenceSweep && slices.Equal(a.Points, b.Points)
}
