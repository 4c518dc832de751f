package job

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path/filepath"
	"strings"

	"bladeline/coverage"
	"bladeline/curves"
	"bladeline/curves/settings"
	"bladeline/zones"
	"bladeline/zones/preset"
	"bladeline/zones/preset/rehearsal"
	"bladeline/zones/press"
	"bladeline/zones/sheet"
)

// A RehearsalTicket says which preset is rehearsed, and on what.
type RehearsalTicket struct {
	Reading                    // of the separations; without inputs, of those that the preset names
	Preset    string           // a file; of an OK file what was run is rehearsed
	Press     string           // a file, or the name of one that ships
	Inks      []string         // none is all
	Placement *zones.Placement // nil: as the preset states
	Curves    []Choice[string] // that the preset was made by, each a file, or the name of one that ships, in place of the press's own
	Start     string           // clean, charged or even; else the file of the job that ran before
	Tries     []rehearsal.Try
	FineMap   bool // the film over the sheet is wanted, in cells of about 2 mm
}

// Rehearse rehearses a preset on its press's roller train.
func Rehearse(ctx context.Context, t RehearsalTicket) (*rehearsal.Rehearsal, error) {
	on, file, err := LoadPress(t.Press)
	if err != nil {
		return nil, err
	}
	p, err := LoadPreset(t.Preset)
	if err != nil {
		return nil, err
	}
	if err := leaveOnly(p, t.Preset, t.Inks); err != nil {
		return nil, err
	}
	if err := p.IsFor(on, t.Preset); err != nil {
		return nil, err
	}
	if err := hasTrain(on, file); err != nil {
		return nil, err
	}
	stateFountain(p, on)
	in := rehearsal.Input{Preset: p, File: t.Preset, On: on, OnFile: file.Name, Tries: t.Tries, FineMap: t.FineMap}
	if told := t.Progress; told != nil {
		t.Progress = func(done float64) { told(readShare * done) }
		in.Progress = func(done float64) { told(readShare + (1-readShare)*done) }
	}
	if in.Forms, in.Unknown, err = t.forms(ctx, p, t.Preset); err != nil {
		return nil, err
	}
	if in.Start, err = t.start(ctx, on); err != nil {
		return nil, err
	}
	if in.Curves, in.NoCurve, err = t.curves(p, on, file); err != nil {
		return nil, err
	}
	return rehearsal.Of(ctx, in)
}

// readShare is how much of the work of a rehearsal is reading the form.
const readShare = 0.2

// hasTrain refuses a press without a roller train.
func hasTrain(on *press.Press, file Settings) error {
	if on.Train == nil {
		return fmt.Errorf("%s: press %q %w", file.Name, on.Name, preset.ErrNoTrain)
	}
	return nil
}

// curves are those that a preset was made by, by ink, as far as they are found, and why
// others are not: those that are asked for, else those that the press's file names, where
// they are the ones that the preset names.
func (t *RehearsalTicket) curves(p *preset.Preset, on *press.Press, file Settings) (known map[string]*curves.Curve, why map[string]string, err error) {
	var inks []string
	for _, u := range p.Units {
		inks = append(inks, u.Ink)
	}
	called, err := Choose(OfCurve, t.Curves, inks)
	if err != nil {
		return nil, nil, err
	}
	known, why = map[string]*curves.Curve{}, map[string]string{}
	for i := range p.Units {
		u := &p.Units[i]
		name, asked := called.For(u.Ink)
		c, err := CurveOf(u.Ink, name, p.Run().Paper, u.OnPress(on), file)
		switch {
		case err != nil && asked:
			return nil, nil, err
		case err != nil:
			why[u.Ink] = err.Error()
		case asked, u.Curve == nil, *u.Curve == c.Name:
			known[u.Ink] = c
		default:
			why[u.Ink] = fmt.Sprintf("the preset was made by curve %s, and the press's file names %s; name that of the preset with --curve", settings.Printable(*u.Curve), settings.Printable(c.Name))
		}
	}
	return known, why, nil
}

// stateFountain has a preset that a CSV held state what that cannot of its press's
// fountain.
func stateFountain(p *preset.Preset, on *press.Press) {
	if p.Press.ZoneWidthMM == nil {
		p.Press.ZoneWidthMM = new(on.Fountain.ZoneWidthMM)
	}
	if p.Press.FirstZone == nil {
		p.Press.FirstZone = new(on.Fountain.FirstZone)
	}
}

// start is what the rollers carry first.
func (t *RehearsalTicket) start(ctx context.Context, on *press.Press) (rehearsal.Start, error) {
	switch t.Start {
	case "", rehearsal.Clean, rehearsal.Charged, rehearsal.Even:
		return rehearsal.Start{Kind: t.Start}, nil
	}
	before, err := LoadPreset(t.Start)
	if errors.Is(err, fs.ErrNotExist) && filepath.Ext(t.Start) == "" {
		return rehearsal.Start{}, fmt.Errorf("--start %s: it is no file, nor clean, charged or even; give one of these, or the file of the job that ran before", t.Start)
	}
	if err != nil {
		return rehearsal.Start{}, err
	}
	if err := before.IsFor(on, t.Start); err != nil {
		return rehearsal.Start{}, err
	}
	stateFountain(before, on)
	again := RehearsalTicket{Reading: t.Reading, Placement: before.Placement.Placement()}
	again.Inputs = nil
	forms, _, err := again.forms(ctx, before, t.Start)
	return rehearsal.Start{Kind: rehearsal.Before, Preset: before, Forms: forms}, err
}

// forms are the forms of a preset by ink, as far as they can be read, and why others
// are not known.
func (t *RehearsalTicket) forms(ctx context.Context, p *preset.Preset, path string) (map[string]*zones.Form, map[string]string, error) {
	if t.Placement == nil {
		t.Placement = p.Placement.Placement()
	}
	if len(t.Inputs) > 0 {
		forms, err := t.given(ctx, p, path)
		return forms, nil, err
	}
	pictures, err := t.Pictures(ctx, p, path, t.Placement)
	if err != nil {
		return nil, nil, err
	}
	forms, unknown := map[string]*zones.Form{}, map[string]string{}
	for _, picture := range pictures {
		switch {
		case picture.Form != nil && picture.Err == nil:
			forms[picture.Ink] = picture.Form
		case picture.Err != nil:
			unknown[picture.Ink] = picture.Err.Error()
		}
	}
	return forms, unknown, nil
}

// given lays the separations that are named, each of which must be the preset's.
func (t *RehearsalTicket) given(ctx context.Context, p *preset.Preset, path string) (map[string]*zones.Form, error) {
	maps, err := t.Maps(ctx)
	if err != nil {
		return nil, err
	}
	if t.Placement == nil {
		t.Placement = &zones.Placement{LeadEdge: zones.Bottom}
	}
	forms := map[string]*zones.Form{}
	for i := range p.Units {
		u := &p.Units[i]
		m := mapOf(maps, u.Ink)
		if m == nil {
			return nil, fmt.Errorf("%s: none of the files is of the ink %s; name its separation as %s=FILE, or choose inks with --ink", path, u.Ink, u.Ink)
		}
		if forms[u.Ink], err = formOf(p, u, m, *t.Placement); err != nil {
			return nil, err
		}
	}
	return forms, nil
}

// mapOf is the Map of an ink, nil where there is none.
func mapOf(maps []*coverage.Map, ink string) *coverage.Map {
	for _, m := range maps {
		if strings.EqualFold(m.Ink, ink) {
			return m
		}
	}
	return nil
}

// StateCharges has a preset on the setup's press say how the rollers are best charged,
// where that is asked for; where nothing is said of it (nil), on a press with a train. Inks
// without a form are taken to stand evenly along the sheet.
func (s *Setup) StateCharges(ctx context.Context, p *preset.Preset, asked *bool) error {
	if asked == nil && s.Press.Train == nil || asked != nil && !*asked {
		return nil
	}
	return rehearsal.StateCharges(ctx, rehearsal.Input{Preset: p, On: s.Press, Forms: s.forms(p)})
}

// RehearsalFiles are the files of a rehearsal that is drawn: one PDF, or an SVG an ink;
// as PNG, the map of each.
func RehearsalFiles(path string, r *rehearsal.Rehearsal, size sheet.PageSize) ([]File, error) {
	var inks []string
	for _, ink := range r.Inks {
		inks = append(inks, ink.Ink)
	}
	if FormatOf(path) != "png" {
		pages, err := sheet.RehearsalPages(r, size)
		if err != nil {
			return nil, err
		}
		return PageFiles(path, inks, pages), nil
	}
	pages, err := sheet.FilmMaps(r)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	var files []File
	for i, page := range pages {
		name := path
		if len(pages) > 1 {
			name = strings.TrimSuffix(path, filepath.Ext(path)) + "-" + fileWord(inks[i]) + filepath.Ext(path)
		}
		files = append(files, File{name, func(w io.Writer) error { return sheet.WritePNG(w, page, mapDPI) }})
	}
	return files, nil
}

// mapDPI is fine enough for the map of a sheet on a screen.
const mapDPI = 100
