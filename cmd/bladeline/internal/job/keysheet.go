package job

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"bladeline/zones"
	"bladeline/zones/preset"
	"bladeline/zones/press"
	"bladeline/zones/sheet"
)

// A SheetTicket says what key sheets are drawn of, and where they go.
type SheetTicket struct {
	Reading                    // of the form again; its inputs are those that the preset names
	Preset    string           // a file; of an OK file what was run is drawn
	Rest      bool             // keys that it did not read ran as preset
	Press     string           // that the preset is for: a file, or the name of one that ships; "" names none
	Inks      []string         // to draw; none is all
	Placement *zones.Placement // nil: as the preset states
	PageSize  sheet.PageSize
	Copies    int      // the sheets say how much ink these take; 0: those of the run, where it is known
	Outputs   []string // whose endings are .pdf or .svg

	Worksheet bool             // for learners, with the answers behind it: it takes Press
	Curves    []Choice[string] // that worksheets show, in place of the press's
}

// DrawSheets draws the key sheets of a preset, and writes the outputs, all of them
// or none. It returns what each sheet shows of its form, or why it shows none.
func DrawSheets(ctx context.Context, t SheetTicket) ([]Picture, error) {
	p, err := LoadRun(t.Preset, t.Rest)
	if err != nil {
		return nil, err
	}
	if err := leaveOnly(p, t.Preset, t.Inks); err != nil {
		return nil, err
	}
	if t.Placement == nil {
		t.Placement = p.Placement.Placement()
	}
	press, err := pressOf(p, t.Preset, t.Press)
	if err != nil {
		return nil, err
	}
	if press != nil && p.Press.Blade == nil {
		p.Press.Blade = &press.Fountain.Blade
	}
	if press != nil {
		p.TellTurning(press)
	}
	pictures, pages, err := t.pages(ctx, p, press)
	if err != nil {
		return nil, err
	}
	names := unitInks(p)
	if t.Worksheet {
		names = worksheetNames(p)
	}
	var files []File
	for _, name := range t.Outputs {
		files = append(files, PageFiles(name, names, pages)...)
	}
	return pictures, WriteFiles(files)
}

// pages are the sheets, and what each shows of its form.
func (t *SheetTicket) pages(ctx context.Context, p *preset.Preset, press *press.Press) ([]Picture, []*sheet.Page, error) {
	lines, err := inkLines(p, t.Preset, press, cmp.Or(t.Copies, estimable(p)))
	if err != nil {
		return nil, nil, err
	}
	pictures, err := t.Pictures(ctx, p, t.Preset, t.Placement)
	if err != nil {
		return nil, nil, err
	}
	forms := map[string]*zones.Form{}
	for _, picture := range pictures {
		if picture.Err == nil && picture.Form != nil {
			forms[picture.Ink] = picture.Form
		}
	}
	o, draw := sheet.Options{PageSize: t.PageSize, Inks: lines, Forms: forms, Press: press}, sheet.Pages
	if t.Worksheet {
		draw = sheet.Worksheets
		if o.Curves, err = t.shownCurves(p, pictures); err != nil {
			return nil, nil, err
		}
	}
	pages, err := draw(p, o)
	if err != nil {
		err = fmt.Errorf("%s: %w", t.Preset, err)
	}
	return pictures, pages, err
}

// estimable is the length of a preset's run, where that states all that the ink
// for it is estimated from; else 0.
func estimable(p *preset.Preset) int {
	if slices.ContainsFunc(p.Units, func(u preset.Unit) bool { return u.LengthMM == nil }) || p.Press.ZoneWidthMM == nil {
		return 0
	}
	return p.Run().Length
}

// leaveOnly leaves the units of some inks in a preset; of all where none is named.
func leaveOnly(p *preset.Preset, path string, inks []string) error {
	if len(inks) == 0 {
		return nil
	}
	for _, ink := range inks {
		if p.Unit(ink) == nil {
			return fmt.Errorf("%s: has no ink %s; name one of these: %s", path, ink, strings.Join(unitInks(p), ", "))
		}
	}
	p.Units = slices.DeleteFunc(p.Units, func(u preset.Unit) bool {
		return !slices.ContainsFunc(inks, func(ink string) bool { return strings.EqualFold(ink, u.Ink) })
	})
	return nil
}

// unitInks are the inks of a preset, in its order.
func unitInks(p *preset.Preset) []string {
	var inks []string
	for _, u := range p.Units {
		inks = append(inks, u.Ink)
	}
	return inks
}

// pressOf is the press that is called for, which the preset of a path must be for;
// nil where none is called for.
func pressOf(p *preset.Preset, path, called string) (*press.Press, error) {
	if called == "" {
		return nil, nil
	}
	press, _, err := LoadPress(called)
	if err != nil {
		return nil, err
	}
	return press, p.IsFor(press, path)
}
