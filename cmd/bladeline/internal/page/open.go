package page

import (
	"bytes"
	"crypto/rand"
	"encoding/base64"
	"net/http"
	"regexp"
	"slices"
	"strings"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/curves"
	"bladeline/curves/settings"
	"bladeline/zones/preset"
	"bladeline/zones/press"
)

// openJSON asks what is in a file that holds no separation: a press, a curve, a preset
// or an OK file.
type openJSON struct {
	File    fileJSON    `json:"file"`
	Beside  []fileJSON  `json:"beside"`  // what was brought with it
	Presses []pressJSON `json:"presses"` // that were brought before
}

// fileJSON is a small file.
type fileJSON struct {
	Name string `json:"name"`
	Data string `json:"data"` // in base64
}

// openedJSON is what was in it: one of these.
type openedJSON struct {
	Curve  *curve        `json:"curve"`
	Press  *pressChoice  `json:"press"`
	Preset *openedPreset `json:"preset"`
}

// open reads a file as the commands do.
func (s *Server) open(r *http.Request) (any, error) {
	var asked openJSON
	if err := read(r, &asked); err != nil {
		return nil, err
	}
	label := fileLabel(asked.File.Name)
	data, err := base64.StdEncoding.DecodeString(asked.File.Data)
	if err != nil {
		return nil, refused("file.data", "the file did not arrive as it was sent; bring it again")
	}
	switch job.FormatOf(label) {
	case "csv", "json":
		return s.openPreset(r, &asked, label, data)
	case "toml":
		if strings.HasSuffix(label, ".curve.toml") || !strings.HasSuffix(label, ".press.toml") && hasPoints.Match(data) {
			return openCurve(label, data)
		}
		return s.openPress(&asked, label, data)
	}
	return nil, refused("file.name", "%s is no file of a press, a curve or a preset; bring one ending in .toml, .csv or .json", label)
}

var hasPoints = regexp.MustCompile(`(?m)^\s*points\s*=`)

func openCurve(label string, data []byte) (any, error) {
	c, err := curves.ParseCurve(label, data)
	if err != nil {
		return nil, refused("file", "%s", wrongIn(err, label))
	}
	if len(c.Points) > maxPoints {
		return nil, refused("file", "%d points are too many for a curve; leave %d at most", len(c.Points), maxPoints)
	}
	return openedJSON{Curve: new(curveJSON(c))}, nil
}

func (s *Server) openPress(asked *openJSON, label string, data []byte) (any, error) {
	file := job.Settings{Name: label, Data: data, Given: map[string][]byte{}}
	for _, f := range asked.Beside {
		if with, err := base64.StdEncoding.DecodeString(f.Data); err == nil {
			file.Given[fileLabel(f.Name)] = with
		}
	}
	p, err := s.options.Brought("brought: "+label, file)
	if err != nil {
		return nil, refused("file", "%s", wrongIn(err, label))
	}
	choice := choiceOf(p)
	choice.File = string(data)
	return openedJSON{Press: &choice}, nil
}

// wrongIn is what is wrong with a file, with what to do, without its name.
func wrongIn(err error, label string) string { return strings.TrimPrefix(cured(err), label+": ") }

// openedPreset is a preset that was brought. Its form is not in it: each zone of it is
// an even tint of its coverage.
type openedPreset struct {
	Job       string                 `json:"job"`
	Paper     string                 `json:"paper"`
	Base      string                 `json:"base"` // of the press that it is for
	Placement preset.StatedPlacement `json:"placement"`
	Units     []openedUnit           `json:"units"`
	Run       bool                   `json:"run"` // whether it says what was run
}

type openedUnit struct {
	Separation separationJSON `json:"separation"`
	Curve      *curve         `json:"curve"` // null is not known here
	Sweep      *float64       `json:"sweep"` // null was found by auto
	Stood      stood          `json:"stood"`
}

// stood is how an ink stood: as it was run where the file says so, else as preset.
type stood struct {
	Sweep       float64    `json:"sweep"`
	OpeningsPct []*float64 `json:"openings_pct"` // by zone; null was not read
	Texts       []string   `json:"texts"`        // the keys on their scale, "" where not read
	CoveragePct []float64  `json:"coverage_pct"` // by zone
}

func (s *Server) openPreset(r *http.Request, asked *openJSON, label string, data []byte) (any, error) {
	reader := preset.ReadJSON
	if job.FormatOf(label) == "csv" {
		if err := ofCommand(data); err != nil {
			return nil, err
		}
		reader = preset.ReadCSV
	}
	p, err := reader(label, bytes.NewReader(data))
	if err != nil {
		return nil, refused("file", "%s", wrongIn(err, label))
	}
	if len(p.Units) > maxUnits {
		return nil, refused("file", "%d inks are more than a job has; leave %d at most", len(p.Units), maxUnits)
	}
	on, err := s.pressOf(p, asked, label)
	if err != nil {
		return nil, err
	}
	tints, at := tinted(p, on.Press)
	o := openedPreset{Job: p.Job, Paper: p.Run().Paper, Base: on.Called, Placement: *preset.State(at), Run: p.WasRun()}
	for i := range p.Units {
		u := &p.Units[i]
		sep := s.store.keep(&separation{Map: tints[i], id: rand.Text(), kind: uploaded, tab: tabOf(r)})
		unit := openedUnit{Separation: sep.json(), Curve: s.curveCalled(u.Curve), Stood: stoodOf(u, on.Press, o.Run)}
		unit.Separation.Job = p.Job
		if u.SweepChosen == nil || *u.SweepChosen == preset.Given {
			unit.Sweep = &u.Sweep
		}
		o.Units = append(o.Units, unit)
	}
	return openedJSON{Preset: &o}, nil
}

// commandTables are tables that a command takes and the page does not, by columns of
// theirs. A preset has those of coverages, and keys besides.
var commandTables = []struct {
	columns  []string
	what, do string
}{
	{[]string{"roller"}, "measured rollers", "hold them against a press with bladeline press rollers PRESS --measured"},
	{[]string{"ink", "zone", "density"}, "densities of a sheet", "correct a preset by them with bladeline correct, or learn a curve from a test form with bladeline curve learn --densities"},
	{[]string{"zone", "coverage_pct"}, "coverages", "make a preset of them with bladeline preset --coverage"},
}

// ofCommand refuses a table that only a command takes, and says which.
func ofCommand(data []byte) error {
	header, _, _ := strings.Cut(strings.ToLower(string(data)), "\n")
	columns := strings.FieldsFunc(header, func(r rune) bool { return strings.ContainsRune(",;\t\r\"\ufeff", r) })
	has := func(column string) bool { return slices.Contains(columns, column) }
	if has("key") {
		return nil
	}
	for _, table := range commandTables {
		if !slices.ContainsFunc(table.columns, func(c string) bool { return !has(c) }) {
			return refused("file", "these are %s, which the page does not take; %s", table.what, table.do)
		}
	}
	return nil
}

// pressOf is the press that a preset is for: one to choose from, or one that was brought.
func (s *Server) pressOf(p *preset.Preset, asked *openJSON, label string) (job.Press, error) {
	var err error
	for _, j := range slices.Concat(s.choices(), asked.Presses) {
		on, wrong := s.press(j)
		if wrong != nil {
			continue
		}
		differs := p.IsFor(on.Press, label)
		if differs == nil {
			return on, nil
		}
		if err == nil && on.Press.Name == p.Press.Name {
			err = differs
		}
	}
	if err != nil {
		return job.Press{}, refused("file", "%s", wrongIn(err, label))
	}
	return job.Press{}, refused("file", "it is for the press %s, which is not among those here; bring its press file first", settings.Quoted(p.Press.Name))
}

// choices are the presses to choose from, as they are.
func (s *Server) choices() []pressJSON {
	var all []pressJSON
	for _, p := range s.options.Presses {
		all = append(all, pressJSON{Base: p.Called})
	}
	return all
}

// curveCalled is one of the curves to choose from, by its name.
func (s *Server) curveCalled(name *string) *curve {
	for _, c := range s.options.AllCurves() {
		if name != nil && c.Name == *name {
			return new(curveJSON(c))
		}
	}
	return nil
}

// stoodOf is how a unit stood on its press: as run, or as preset.
func stoodOf(u *preset.Unit, on *press.Press, run bool) stood {
	own := u.OnPress(on)
	s := stood{Sweep: u.Sweep}
	if run {
		s.Sweep = u.SweepRun()
	}
	for _, k := range u.Keys {
		s.CoveragePct = append(s.CoveragePct, k.CoveragePct)
		key := &k.Key
		if run {
			key = k.OKKey
		}
		if key == nil {
			s.OpeningsPct, s.Texts = append(s.OpeningsPct, nil), append(s.Texts, "")
			continue
		}
		s.OpeningsPct = append(s.OpeningsPct, new(own.Keys.OpeningPct(k.Zone, *key)))
		s.Texts = append(s.Texts, own.Keys.Text(*key))
	}
	return s
}
