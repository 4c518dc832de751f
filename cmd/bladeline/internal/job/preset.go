package job

import (
	"cmp"
	"context"
	"fmt"
	"io"
	"slices"
	"strings"

	"bladeline/coverage"
	"bladeline/zones"
	"bladeline/zones/preset"
	"bladeline/zones/press"
	"bladeline/zones/sheet"
)

// A Ticket says what a form is to be preset with, and where the preset goes.
type Ticket struct {
	Reading
	Name       string             // of the job; "" is what the files' names begin with
	Press      string             // a file, or the name of one that ships
	Curves     []Choice[string]   // each a file, or the name of one that ships, in place of the press's own
	Sweeps     []Choice[*float64] // each on the press's scale; nil is found, as where nothing is asked
	Placement  zones.Placement
	TakeOffPct float64 // warn of printing zones covered less, in %; 0 never warns
	Paper      sheet.Paper
	Copies     int // the key sheet says how much ink these take; 0 says nothing
	Outputs    []Output
	Cure       func([]zones.Warning) // where set, says in the front end's words what to do about warnings, before they are written
}

// PresetFormats are the endings of files that a preset is written to.
var PresetFormats = []string{"csv", "json", "pdf", "svg"}

// An Output is a file that a preset is written to.
type Output struct {
	Path  string
	Write func(io.Writer, *preset.Preset) error // nil writes what the path's ending names: .csv, .json, .pdf or .svg
}

// Run presets a form, and writes the outputs, all of them or none. What the form
// is warned of is among the preset's Warnings. Run stops where ctx ends, its
// cause the error, and has then written nothing.
func Run(ctx context.Context, t Ticket) (*preset.Preset, error) {
	if err := t.checkOutputs(); err != nil {
		return nil, err
	}
	press, file, err := LoadPress(t.Press)
	if err != nil {
		return nil, err
	}
	maps, err := t.Maps(ctx)
	if err != nil {
		return nil, err
	}
	units, err := t.units(maps, press, file)
	if err != nil {
		return nil, err
	}
	t.Name = cmp.Or(t.Name, coverage.JobName(maps))
	p, err := preset.New(t.Name, press, units, t.TakeOffPct)
	if err != nil {
		return nil, err
	}
	if t.Cure != nil {
		t.Cure(p.Warnings)
	}
	files, err := t.files(p, units, press)
	if err != nil {
		return nil, err
	}
	if err := context.Cause(ctx); err != nil {
		return nil, err
	}
	return p, WriteFiles(files)
}

// checkOutputs refuses files that cannot be written, or must not be, before any
// is read.
func (t *Ticket) checkOutputs() error {
	var inputs []string
	for _, in := range t.Inputs {
		inputs = append(inputs, in.Path)
	}
	for _, o := range t.Outputs {
		if o.Write == nil && !slices.Contains(PresetFormats, FormatOf(o.Path)) {
			return fmt.Errorf("%s: the ending is not known here; use one of .%s", o.Path, strings.Join(PresetFormats, " ."))
		}
		if err := NotAnInput(o.Path, inputs); err != nil {
			return err
		}
		if err := keepOK(o.Path); err != nil {
			return err
		}
	}
	return nil
}

// units are the form as it is laid on the press, with what each ink is preset
// with.
func (t *Ticket) units(maps []*coverage.Map, press *press.Press, file Settings) ([]preset.UnitInput, error) {
	if err := zones.Distinct(maps); err != nil {
		return nil, err
	}
	inks := InksOf(maps)
	called, err := Choose(OfCurve, t.Curves, inks)
	if err != nil {
		return nil, err
	}
	sweeps, err := Choose(OfSweep, t.Sweeps, inks)
	if err != nil {
		return nil, err
	}
	var units []preset.UnitInput
	for _, m := range maps {
		name, _ := called.For(m.Ink)
		curve, err := CurveOf(m.Ink, name, press, file)
		if err != nil {
			return nil, err
		}
		form, err := zones.Lay(m, press, t.Placement)
		if err != nil {
			return nil, err
		}
		sweep, _ := sweeps.For(m.Ink)
		units = append(units, preset.UnitInput{Form: form, Curve: curve, Sweep: sweep})
	}
	return units, nil
}

// files are the outputs as they are written.
func (t *Ticket) files(p *preset.Preset, units []preset.UnitInput, press *press.Press) ([]File, error) {
	pages, err := t.pages(p, units, press)
	if err != nil {
		return nil, err
	}
	var files []File
	for _, o := range t.Outputs {
		switch {
		case o.Write != nil:
			files = append(files, File{o.Path, func(w io.Writer) error { return o.Write(w, p) }})
		case isSheet(o):
			files = append(files, SheetFiles(o.Path, p, pages)...)
		case FormatOf(o.Path) == "csv":
			files = append(files, File{o.Path, p.WriteCSV})
		default:
			files = append(files, File{o.Path, p.WriteJSON})
		}
	}
	return files, nil
}

func isSheet(o Output) bool {
	return o.Write == nil && slices.Contains([]string{"pdf", "svg"}, FormatOf(o.Path))
}

// pages are those of the key sheet, where one is asked for.
func (t *Ticket) pages(p *preset.Preset, units []preset.UnitInput, press *press.Press) ([]*sheet.Page, error) {
	lines, err := InkLines(p, t.Name, press, t.Copies)
	if err != nil || !slices.ContainsFunc(t.Outputs, isSheet) {
		return nil, err
	}
	forms := map[string]*zones.Form{}
	for i, u := range units {
		forms[p.Units[i].Ink] = u.Form
	}
	return sheet.Pages(p, sheet.Options{Paper: t.Paper, Forms: forms, Inks: lines})
}
