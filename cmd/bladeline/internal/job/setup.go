package job

import (
	"cmp"
	"context"
	"io"
	"slices"

	"bladeline/coverage"
	"bladeline/curves"
	"bladeline/zones"
	"bladeline/zones/preset"
	"bladeline/zones/press"
	"bladeline/zones/sheet"
)

// A Setup is a form that lies on a press, with all that it is preset with.
type Setup struct {
	Job        string
	Press      *press.Press
	Units      []preset.UnitInput
	Run        preset.Run
	TakeOffPct float64 // warn of printing zones covered less, in %; 0 never warns, preset.ByKeys by what their keys can meter
	PageSize   sheet.PageSize
	Copies     int // the key sheet says how much ink these take; 0: those of the run, where it is known

	noCurve []string        // inks for which the press's file names no curve on the paper
	ofFiles []zones.Warning // of what the files are called
}

// Add lays a separation on the press, as the next unit. A nil sweep is found.
func (s *Setup) Add(m *coverage.Map, placement zones.Placement, c *curves.Curve, sweep *float64) error {
	form, err := zones.Lay(m, s.Press, placement)
	if err != nil {
		return err
	}
	s.Units = append(s.Units, preset.UnitInput{Form: form, Curve: c, Sweep: sweep})
	return nil
}

// WarnOfPaper has the preset warn of inks for which the press's file names no curve
// on the paper of the run.
func (s *Setup) WarnOfPaper(inks []string) { s.noCurve = inks }

// ofPaper is that warning, with the inks in the order of the units.
func (s *Setup) ofPaper() []zones.Warning {
	e := PaperError{Paper: s.Run.Paper, Known: s.Press.Papers()}
	for _, u := range s.Units {
		if slices.Contains(s.noCurve, u.Form.Ink()) {
			e.Inks = append(e.Inks, u.Form.Ink())
		}
	}
	return e.warnings()
}

// Place says where each ink is printed, on a press with units: where it is asked,
// else as the press does.
func (s *Setup) Place(asked Chosen[string]) error {
	var inks, units []string
	for _, u := range s.Units {
		ink := u.Form.Ink()
		unit, _ := asked.For(ink)
		inks, units = append(inks, ink), append(units, unit)
	}
	stations, err := s.Press.Stations(inks, units)
	for i, station := range stations {
		s.Units[i].Station = station
	}
	return err
}

// InOrder is the setup with its units as the sheet meets them: pass by pass, from
// unit to unit. On a press without units they stay as they are.
func (s *Setup) InOrder() *Setup {
	ordered := *s
	ordered.Units = slices.Clone(s.Units)
	slices.SortStableFunc(ordered.Units, func(a, b preset.UnitInput) int { return s.Press.Order(a.Station, b.Station) })
	return &ordered
}

// Preset works out the keys and sweeps.
func (s *Setup) Preset() (*preset.Preset, error) {
	return s.stated(preset.New(s.Job, s.Press, s.Units, s.TakeOffPct))
}

// presetBy works them out by the curves or on the press's roller train.
func (s *Setup) presetBy(ctx context.Context, byTrain bool) (*preset.Preset, error) {
	if !byTrain {
		return s.Preset()
	}
	return s.PresetByTrain(ctx)
}

// PresetByTrain works them out on the press's roller train.
func (s *Setup) PresetByTrain(ctx context.Context) (*preset.Preset, error) {
	return s.stated(preset.NewByTrain(ctx, s.Job, s.Press, s.Units, s.TakeOffPct))
}

// stated is a preset with the run and the choices that were made.
func (s *Setup) stated(p *preset.Preset, err error) (*preset.Preset, error) {
	if err != nil {
		return nil, err
	}
	p.Warnings = slices.Insert(p.Warnings, 0, slices.Concat(keysApart(s.Press), s.ofFiles, s.ofPaper())...)
	return p, p.StateRun(s.Run)
}

// keysApart warns of keys further apart than on any press.
func keysApart(on *press.Press) []zones.Warning {
	if doubt := on.Fountain.Doubt(); doubt != "" {
		return []zones.Warning{{Code: preset.CodeKeysApart, Text: doubt}}
	}
	return nil
}

// PresetFormats are the endings of files that a preset is written to.
var PresetFormats = []string{"csv", "json", "pdf", "svg"}

// An Output is a file that a preset is written to.
type Output struct {
	Path  string
	Write func(io.Writer, *preset.Preset) error // nil writes what the path's ending names: .csv, .json, .pdf or .svg
}

// Files are a preset that was made of s as its outputs.
func (s *Setup) Files(p *preset.Preset, outputs []Output) ([]File, error) {
	pages, err := s.pages(p, outputs)
	if err != nil {
		return nil, err
	}
	var files []File
	for _, o := range outputs {
		switch {
		case o.Write != nil:
			files = append(files, File{o.Path, func(w io.Writer) error { return o.Write(w, p) }})
		case isSheet(o):
			files = append(files, PageFiles(o.Path, unitInks(p), pages)...)
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
func (s *Setup) pages(p *preset.Preset, outputs []Output) ([]*sheet.Page, error) {
	lines, err := inkLines(p, "", s.Press, cmp.Or(s.Copies, estimable(p)))
	if err != nil || !slices.ContainsFunc(outputs, isSheet) {
		return nil, err
	}
	return sheet.Pages(p, sheet.Options{PageSize: s.PageSize, Forms: s.forms(p), Inks: lines})
}

// forms are those of a preset that was made of s, by their inks.
func (s *Setup) forms(p *preset.Preset) map[string]*zones.Form {
	forms := map[string]*zones.Form{}
	for i, u := range s.Units {
		forms[p.Units[i].Ink] = u.Form
	}
	return forms
}
