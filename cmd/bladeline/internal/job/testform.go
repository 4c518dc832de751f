package job

import (
	"context"
	"io"
	"math"
	"slices"

	"bladeline/coverage/bilevel"
	"bladeline/curves"
	"bladeline/zones"
	"bladeline/zones/preset"
	"bladeline/zones/testform"
)

// A TestFormTicket says what test form is wanted, and where it goes.
type TestFormTicket struct {
	Press      string // a file, or the name of one that ships
	Ink        string
	Unit       string   // that the ink runs in; "" is where the press puts it
	Curve      string   // that says how far the keys are opened; "" is the press's own
	OpeningPct *float64 // of all keys, in % of travel; nil: by the curve
	Run        preset.Run
	Form       testform.Options
	Outputs    []Output // those whose Write is nil: .tif, .tiff, .pdf or .png the form, .csv or .json the pull
}

// A TestForm is a form for a press without history, and how it is to be run.
type TestForm struct {
	*testform.Form
	Pull  *preset.Preset // one ink, all keys alike
	Curve *curves.Curve  // that says how far; nil: it was asked
	AtPct float64        // the coverage that the curve was asked for
}

// TestFormFormats are the endings of a test form's files.
var TestFormFormats = []string{"tif", "tiff", "pdf", "png", "csv", "json"}

// TestForm lays the form out, and writes the outputs, all of them or none. It gives up
// where ctx ends, its cause the error, while it draws.
func (t TestFormTicket) TestForm(ctx context.Context) (*TestForm, error) {
	for _, o := range t.Outputs {
		if err := keepOK(o.Path); err != nil {
			return nil, err
		}
		if FormatOf(o.Path) == "png" { // so that all files of one run have the same pixels
			t.Form.DPI = bilevel.DPIOfPNG(t.Form.DPI)
		}
	}
	on, file, err := LoadPress(t.Press)
	if err != nil {
		return nil, err
	}
	f := &TestForm{}
	if f.Form, err = testform.New(on, t.Form); err != nil {
		return nil, err
	}
	opening, err := t.opening(f, file)
	if err != nil {
		return nil, err
	}
	if f.Pull, err = t.pull(f.Form, opening); err != nil {
		return nil, err
	}
	return f, WriteFiles(stoppable(ctx, f.files(t.Outputs)))
}

// opening is that of all keys: as asked, else what the curve asks for the coverage
// in the middle of the steps.
func (t TestFormTicket) opening(f *TestForm, file Settings) (_ float64, err error) {
	if t.OpeningPct != nil {
		return *t.OpeningPct, nil
	}
	if f.Curve, err = CurveOf(t.Ink, t.Curve, t.Run.Paper, f.Press, file); err != nil {
		return 0, err
	}
	var all []float64
	for _, s := range f.Steps {
		all = append(all, s.CoveragePct)
	}
	slices.Sort(all)
	f.AtPct = all[len(all)/2]
	return curves.OpeningAt(f.Curve.At(f.AtPct), f.Press.ReferenceSweep(f.Curve), f.Press.Sweep.Reference), nil
}

// pull is the preset of a form with all keys alike, on a step of their scale, at the
// reference sweep. Keys of zones that do not lie wholly on the sheet stand as off
// the sheet: there is nothing to take their ink.
func (t TestFormTicket) pull(f *testform.Form, opening float64) (*preset.Preset, error) {
	on := f.Press
	stations, err := on.Stations([]string{t.Ink}, []string{t.Unit})
	if err != nil {
		return nil, err
	}
	in := preset.CoverageInput{InkCoverage: preset.InkCoverage{Ink: t.Ink}}
	if len(stations) > 0 {
		in.Station = stations[0]
	}
	unit := on.InUnit(in.Station.Unit)
	stepPct := 100 * on.Keys.Step / on.Keys.Travel
	opening = min(max(on.Limits.FloorPct, stepPct*math.Round(opening/stepPct)), on.Limits.CeilingPct)
	in.Sweep = new(unit.Sweep.Reference)
	in.Curve = &curves.Curve{Name: "All keys alike", Shape: curves.Straight, Points: []curves.Point{{CoveragePct: 0, OpeningPct: opening}, {CoveragePct: 100, OpeningPct: opening}}}
	if err := in.Curve.Prepare(); err != nil {
		return nil, err
	}
	for _, z := range f.Zones {
		if z.Step == 0 {
			in.ZonesPct = append(in.ZonesPct, nil)
			continue
		}
		in.ZonesPct = append(in.ZonesPct, &z.CoveragePct)
	}
	p, err := preset.FromCoverage("test form", on, []preset.CoverageInput{in})
	if err != nil {
		return nil, err
	}
	_, length := f.SizeMM()
	u := &p.Units[0]
	u.Curve, u.SweepReason = nil, new("a test form: all keys alike, at the press's reference sweep")
	if u.LengthMM == nil {
		u.LengthMM = &length
	}
	p.Warnings = slices.DeleteFunc(p.Warnings, func(w zones.Warning) bool { return w.Code != preset.CodeScale }) // what else keys alike do is meant
	return p, p.StateRun(t.Run)
}

func (f *TestForm) files(outputs []Output) []File {
	var files []File
	for _, o := range outputs {
		write := map[string]func(io.Writer) error{
			"tif": f.WriteTIFF, "tiff": f.WriteTIFF, "pdf": f.WritePDF, "png": f.WritePNG,
			"csv": f.Pull.WriteCSV, "json": f.Pull.WriteJSON,
		}[FormatOf(o.Path)]
		if o.Write != nil {
			write = func(w io.Writer) error { return o.Write(w, f.Pull) }
		}
		files = append(files, File{o.Path, write})
	}
	return files
}
