package job

import (
	"cmp"
	"fmt"
	"io"

	"bladeline/curves"
	"bladeline/curves/settings"
	"bladeline/zones/preset"
	"bladeline/zones/sheet"
)

// Worksheet is a preset that was made of s as a PDF for learners: a page an ink to
// fill in, and the answers behind all of them.
func (s *Setup) Worksheet(p *preset.Preset) (func(io.Writer) error, error) {
	lines, err := inkLines(p, "", s.Press, cmp.Or(s.Copies, estimable(p)))
	if err != nil {
		return nil, err
	}
	o := sheet.Options{PageSize: s.PageSize, Forms: s.forms(p), Inks: lines, Press: s.Press, Curves: map[string]*curves.Curve{}}
	for i, u := range s.Units {
		o.Curves[p.Units[i].Ink] = u.Curve
	}
	pages, err := sheet.Worksheets(p, o)
	return func(w io.Writer) error { return sheet.WritePDF(w, pages) }, err
}

// worksheetNames are those of the pages of worksheets.
func worksheetNames(p *preset.Preset) []string {
	names := unitInks(p)
	for _, ink := range unitInks(p) {
		names = append(names, ink+"-answers")
	}
	return names
}

// shownCurves are the curves that the inks of a preset were preset by. A worksheet
// without one, or without its form, would be no exercise.
func (t *SheetTicket) shownCurves(p *preset.Preset, pictures []Picture) (map[string]*curves.Curve, error) {
	for _, picture := range pictures {
		if picture.Err != nil {
			return nil, fmt.Errorf("ink %s: there is no form to set keys for: %w", picture.Ink, picture.Err)
		}
	}
	press, file, err := LoadPress(t.Press)
	if err != nil {
		return nil, err
	}
	called, err := Choose(OfCurve, t.Curves, unitInks(p))
	if err != nil {
		return nil, err
	}
	shown, paper := map[string]*curves.Curve{}, p.Run().Paper
	for _, u := range p.Units {
		name, _ := called.For(u.Ink)
		curve, err := CurveOf(u.Ink, name, paper, press, file)
		if err != nil {
			return nil, err
		}
		if u.Curve != nil && *u.Curve != curve.Name {
			return nil, fmt.Errorf("%s: ink %s was preset by the curve %s, and this is %s: the answers would not be its; name the curve that it was preset by", t.Preset, u.Ink, settings.Quoted(*u.Curve), settings.Quoted(curve.Name))
		}
		shown[u.Ink] = curve
	}
	return shown, nil
}
