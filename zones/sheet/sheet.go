package sheet

import (
	"cmp"
	"fmt"
	"slices"

	"bladeline/curves"
	"bladeline/zones"
	"bladeline/zones/preset"
	"bladeline/zones/press"
)

// PageSize is how large the sheet is, lying on its long side.
type PageSize string

// The sizes.
const (
	A4     PageSize = "a4"
	Letter PageSize = "letter"
)

// sizesMM are width and height after ISO 216 and, for Letter, 11 × 8.5 inches.
var sizesMM = map[PageSize][2]float64{A4: {297, 210}, Letter: {279.4, 215.9}}

// sizeMM are the page's width and height.
func (p PageSize) sizeMM() ([2]float64, error) {
	size, known := sizesMM[cmp.Or(p, A4)]
	if !known {
		return size, fmt.Errorf("page size %q is not known; give a4 or letter", string(p))
	}
	return size, nil
}

// MaxZones is the most keys that a page's width shows legibly.
const MaxZones = 64

// Options are what a preset does not say itself.
type Options struct {
	PageSize PageSize               // "" is A4
	Forms    map[string]*zones.Form // by the unit's ink; where one is missing, its sheet has no picture
	Inks     map[string][]string    // lines on the ink needed for the run, by the unit's ink
	Press    *press.Press           // of the preset; nil: how far its keys travel is not known

	Curves map[string]*curves.Curve // of worksheets, by the unit's ink
}

// Pages draws a preset, a page a unit, in the units' order; of a unit that says what
// was finally run, that, with its preset in small beside it. It refuses a press
// of more than MaxZones zones, and a form that is not the one preset.
func Pages(p *preset.Preset, o Options) ([]*Page, error) { return pages(p, o, false) }

func pages(p *preset.Preset, o Options, answers bool) ([]*Page, error) {
	size, err := o.PageSize.sizeMM()
	if err == nil && p != nil {
		err = legible(p.Press.Zones)
	}
	if err != nil {
		return nil, err
	}
	if err := p.Validate(); err != nil {
		return nil, err
	}
	var pages []*Page
	for i := range p.Units {
		s := &sheet{
			Page:   &Page{WidthMM: size[0], HeightMM: size[1], Title: title(p.Job, p.Units[i].Ink)},
			preset: p, unit: &p.Units[i], options: o, keys: leftToRight(p, &p.Units[i]), answers: answers,
		}
		s.setRun()
		if err := s.draw(); err != nil {
			return nil, err
		}
		pages = append(pages, s.Page)
	}
	return pages, nil
}

// legible refuses more zones than a page shows.
func legible(zones int) error {
	if zones > MaxZones {
		return fmt.Errorf("press.zones: %d zones do not fit a sheet legibly, it takes up to %d; use the table or CSV", zones, MaxZones)
	}
	return nil
}

// title is a page's name. Every page has the job's, so it is no longer than one
// would read.
func title(job, ink string) string {
	const most = 1000 // letters
	return shown(fmt.Sprintf("%.*s – %.*s", most, job, most, ink))
}

// sheet is one page in the making.
type sheet struct {
	*Page
	preset  *preset.Preset
	unit    *preset.Unit
	options Options
	keys    []preset.Key // as they are drawn, from the left in bench view
	run     *run         // nil: the preset is drawn
	answers bool         // of a worksheet, which its head says
	plan    plan
}

func (s *sheet) draw() error {
	form, err := s.form()
	if err != nil {
		return err
	}
	s.plan = s.planned(form)
	s.header()
	s.drawForm(form)
	s.fountain()
	s.borders(form)
	s.pieces(form)
	s.boxes()
	s.notes(form)
	return nil
}

func leftToRight(p *preset.Preset, u *preset.Unit) []preset.Key {
	keys := slices.Clone(u.Keys)
	if p.FirstZone() == press.Right {
		slices.Reverse(keys)
	}
	return keys
}
