package page

import (
	"encoding/json"
	"math"
	"net/http"
	"slices"

	"bladeline/curves"
	"bladeline/curves/rollers"
	"bladeline/zones"
	"bladeline/zones/preset"
	"bladeline/zones/preset/rehearsal"
	"bladeline/zones/preset/rollerchart"
)

// How the run of one ink is rehearsed on the press's roller train: by the train's line
// while things are pulled, which takes no time, and then by the whole train. What takes
// time ends with its request, as one does that the page gives up for the next.

// maxRehearsing bounds what is worked out at once by whole trains: it leaves places in
// which presets are worked out meanwhile.
const maxRehearsing = 2

// maxTrains and maxSettled are kept: what a train of 32 zones prints takes 3.5 MB.
const (
	maxTrains  = 4
	maxSettled = 8
)

// rehearseQuestion asks about one unit of a state.
type rehearseQuestion struct {
	State State `json:"state"`
	Unit  int   `json:"unit"` // which of the state's
	Zone  int   `json:"zone"` // whose key is moved; else 0
}

// lineJSON is what the train's line says of all inks, and the train of the one that was
// asked about.
type lineJSON struct {
	Train    trainJSON     `json:"train"`
	Measured bool          `json:"measured"` // whether the train was fitted to this press
	Inks     []inkLineJSON `json:"inks"`     // those that fit, as in the preset
}

// inkLineJSON is what the line says of one ink.
type inkLineJSON struct {
	Unit   int             `json:"unit"` // which of the state's
	Ink    string          `json:"ink"`
	Preset rehearsal.Films `json:"preset"`
	Curve  rehearsal.Films `json:"curve"` // of the openings that the curve asks for, at its own sweep, before limits and steps
	Band   []float64       `json:"band"`  // densities of 10 % less film than the target, of the target, and of 10 % more; empty: the press does not know the ink's law
}

// trainJSON is a train as it lies, from the plate's axis.
type trainJSON struct {
	ImageMM float64      `json:"image_mm"` // length of image round the plate
	Plate   rollerJSON   `json:"plate"`
	Rollers []rollerJSON `json:"rollers"` // the ductor first
}

// rollerJSON is what is drawn of a rollerchart.Roller.
type rollerJSON struct {
	Name            string  `json:"name"`
	Kind            string  `json:"kind"`
	Hard            bool    `json:"hard"`
	XMM             float64 `json:"x_mm"` // to the right
	YMM             float64 `json:"y_mm"` // and up
	DiameterMM      float64 `json:"diameter_mm"`
	CircumferenceMM float64 `json:"circumference_mm"`
	Clockwise       bool    `json:"clockwise"`
}

// settledJSON is what is printed once all has settled.
type settledJSON struct {
	Sentences  []string        `json:"sentences"` // on that
	Preset     rehearsal.Films `json:"preset"`    // as lineJSON has them
	Curve      rehearsal.Films `json:"curve"`
	RollersPct [][]float64     `json:"rollers_pct"` // films on the rollers in their order, in % of the film wanted on the sheet, by zone
	Sheet      sheetJSON       `json:"sheet"`
}

// sheetJSON is the film over the sheet.
type sheetJSON struct {
	Rows    int       `json:"rows"` // from the gripper edge
	Columns int       `json:"columns"`
	FilmPct []float64 `json:"film_pct"` // row by row from the fountain's left end; 0 where nothing prints
}

// runJSON is some of the sheets of a run.
type runJSON struct {
	Sheets []int             `json:"sheets"` // from 1
	Films  []rehearsal.Films `json:"films"`  // sheet by sheet
}

// startUpJSON is a rehearsal.StartUp from washed rollers.
type startUpJSON struct {
	Sentences []string `json:"sentences"` // on that
	Run       runJSON  `json:"run"`
	Stands    *int     `json:"stands"` // sheets until all zones that are waited for stay within 10 % of where they settle; null: more than were followed
}

// pullJSON is a rehearsal.Pull.
type pullJSON struct {
	Zone      int       `json:"zone"`
	FromPct   float64   `json:"from_pct"`
	ToPct     float64   `json:"to_pct"`
	SharesPct []float64 `json:"shares_pct"`
	Run       runJSON   `json:"run"`
}

// solvedJSON is what keys print that are solved together on the train.
type solvedJSON struct {
	Sweep    float64         `json:"sweep"`
	KeyTexts []string        `json:"key_texts"` // by zone
	Films    rehearsal.Films `json:"films"`
}

// saidJSON is what the command rehearse says of the ink.
type saidJSON struct {
	Sentences []string `json:"sentences"` // the worst first
}

// A rehearsed is one ink on the train of its press.
type rehearsed struct {
	*rehearsal.Run
	in    rehearsal.Input
	work  *work
	chart *rollerchart.Chart
	at    int    // which of the preset's units it is
	id    string // of what it is made of
	kept  *rehearsals
}

// A train is a press's, and how it is drawn.
type train struct {
	*preset.Train
	chart *rollerchart.Chart
}

// rehearsals keep what was worked out last.
type rehearsals struct {
	trains  recent[train]
	settled recent[*rehearsal.Settled]
}

func newRehearsals() *rehearsals {
	return &rehearsals{recent[train]{most: maxTrains}, recent[*rehearsal.Settled]{most: maxSettled}}
}

// rehearsable is a question resolved: the work, its preset and the unit that is asked
// about.
func (s *Server) rehearsable(r *http.Request) (w *work, p *preset.Preset, at int, q rehearseQuestion, err error) {
	if err = read(r, &q); err != nil {
		return
	}
	if w, err = s.resolve(q.State); err != nil {
		return
	}
	if p, err = w.fitting(); err != nil {
		return
	}
	if at = slices.Index(w.at, q.Unit); at >= 0 {
		return
	}
	for _, m := range w.misfits {
		if m.unit == q.Unit {
			err = m.refusal
			return
		}
	}
	err = refused("units", "there is no ink %d to rehearse; choose one that there is", q.Unit+1)
	return
}

// rehearsed resolves a question.
func (s *Server) rehearsed(r *http.Request) (*rehearsed, int, error) {
	w, p, at, q, err := s.rehearsable(r)
	if err != nil {
		return nil, 0, err
	}
	u := &p.Units[at]
	train, err := s.train(w, u)
	if err != nil {
		return nil, 0, refusedAs("press.base", err)
	}
	in := w.rehearsalOf(p)
	in.Forms = map[string]*zones.Form{}
	for i, unit := range p.Units {
		in.Forms[unit.Ink] = w.Units[i].Form
	}
	run, err := rehearsal.NewRun(train.Train, in, u)
	if err != nil {
		return nil, 0, refusedAs("press.base", err)
	}
	id, err := json.Marshal([]any{q.State.Press, q.State.Placement, q.State.Units[q.Unit], u.NameOn(w.Press)})
	return &rehearsed{run, in, w, train.chart, at, string(id), s.rehearsals}, q.Zone, err
}

// rehearsalOf is a preset as it is rehearsed, with its curves and no forms.
func (w *work) rehearsalOf(p *preset.Preset) rehearsal.Input {
	in := rehearsal.Input{Preset: p, On: w.Press, Curves: map[string]*curves.Curve{}}
	for i, u := range p.Units {
		in.Curves[u.Ink] = w.Units[i].Curve
	}
	return in
}

// train is that of a state's press, as a unit has it.
func (s *Server) train(w *work, u *preset.Unit) (train, error) {
	of, err := json.Marshal(w.state.Press)
	if err != nil {
		return train{}, err
	}
	return s.rehearsals.trains.get(string(of)+u.NameOn(w.Press), func() (t train, err error) {
		on := u.OnPress(w.Press)
		if t.Train, err = preset.NewTrain(on, rollers.Fine); err == nil {
			t.chart, err = rollerchart.Of(on, "")
		}
		return t, err
	})
}

// settled is what is printed once all has settled, which may be known.
func (h *rehearsed) settled(r *http.Request) (*rehearsal.Settled, error) {
	return h.kept.settled.get(h.id, func() (*rehearsal.Settled, error) { return h.Settle(r.Context()) })
}

// settledOf is the ink that is asked about, once all has settled, and the zone.
func (s *Server) settledOf(r *http.Request) (*rehearsed, *rehearsal.Settled, int, error) {
	h, zone, err := s.rehearsed(r)
	if err != nil {
		return nil, nil, 0, err
	}
	set, err := h.settled(r)
	return h, set, zone, err
}

// line answers at once, of all inks: zones' coverages are all that it takes of a form.
func (s *Server) line(r *http.Request) (any, error) {
	w, p, at, _, err := s.rehearsable(r)
	if err != nil {
		return nil, err
	}
	out, in := lineJSON{}, w.rehearsalOf(p)
	for i := range p.Units {
		u := &p.Units[i]
		train, err := s.train(w, u)
		if err != nil {
			return nil, refusedAs("press.base", err)
		}
		run, err := rehearsal.NewRun(train.Train, in, u)
		if err != nil {
			return nil, refusedAs("press.base", err)
		}
		if i == at {
			out.Train, out.Measured = laid(train.chart), run.Fitted()
		}
		set, asked := run.Line()
		out.Inks = append(out.Inks, inkLineJSON{w.at[i], u.Ink, set, asked, run.Band()})
	}
	return out, nil
}

// laid is the train as it lies.
func laid(c *rollerchart.Chart) trainJSON {
	plate := c.Laid.Plate
	t := trainJSON{ImageMM: c.ImageMM, Plate: rollerJSON{Name: rollerchart.Plate, Kind: rollerchart.Plate, Hard: true, XMM: plate.XMM, YMM: plate.YMM, DiameterMM: plate.DiameterMM, Clockwise: plate.Clockwise}}
	for _, r := range c.Rollers {
		t.Rollers = append(t.Rollers, rollerJSON{r.Name, r.Kind, !r.Soft(), r.XMM, r.YMM, r.DiameterMM, r.CircumferenceMM, r.Clockwise})
	}
	return t
}

// settled answers what is printed once all has settled: by the keys as set, and beside
// that by what the curve asks for.
func (s *Server) settled(r *http.Request) (any, error) {
	_, set, _, err := s.settledOf(r)
	if err != nil {
		return nil, err
	}
	return settledJSON{sentences(set.FilmSentences()), set.Films(), set.Asked(), set.RollersPct(), filmSheet(set)}, nil
}

// filmSheet is the film over the sheet in % of the target.
func filmSheet(set *rehearsal.Settled) sheetJSON {
	sheet := sheetJSON{Rows: len(set.Map.FilmUM), FilmPct: []float64{}}
	for _, row := range set.Map.FilmUM {
		sheet.Columns = len(row)
		for _, film := range row {
			pct := 0.0
			if film != nil {
				pct = math.Round(100 * *film / set.TargetUM)
			}
			sheet.FilmPct = append(sheet.FilmPct, pct)
		}
	}
	return sheet
}

// runOf are some of the sheets of a run.
func runOf(set *rehearsal.Settled, samples []rehearsal.Sample) runJSON {
	run := runJSON{}
	for _, sample := range samples {
		run.Sheets, run.Films = append(run.Sheets, sample.Sheet), append(run.Films, set.SampleFilms(sample))
	}
	return run
}

// clean answers the sheets after a start from washed rollers.
func (s *Server) clean(r *http.Request) (any, error) {
	_, set, _, err := s.settledOf(r)
	if err != nil {
		return nil, err
	}
	ink, err := set.Started(r.Context())
	if err != nil {
		return nil, err
	}
	return startUpJSON{sentences(set.StartSentences(ink)), runOf(set, ink.StartUp.Samples), ink.StartUp.Near.Sheets}, nil
}

// said answers what there is to see and to do.
func (s *Server) said(r *http.Request) (any, error) {
	h, set, _, err := s.settledOf(r)
	if err != nil {
		return nil, err
	}
	texts, err := set.Sentences(r.Context(), h.in, h.at)
	return saidJSON{sentences(texts)}, err
}

// sentences are texts as the page has them.
func sentences(texts []string) []string {
	all := make([]string, len(texts))
	for i, text := range texts {
		all[i] = sentence(text)
	}
	return all
}

// pulled answers what follows when one key is moved.
func (s *Server) pulled(r *http.Request) (any, error) {
	_, set, zone, err := s.settledOf(r)
	if err != nil {
		return nil, err
	}
	p, err := set.Pull(r.Context(), zone)
	if err != nil {
		return nil, refusedAs("zone", err)
	}
	return pullJSON{zone, p.FromPct, p.ToPct, p.SharesPct, runOf(set, p.Samples)}, nil
}

// solved answers the keys that are solved together, as preset --by train has them.
func (s *Server) solved(r *http.Request) (any, error) {
	h, _, err := s.rehearsed(r)
	if err != nil {
		return nil, err
	}
	alone := h.work.Setup
	alone.Units = alone.Units[h.at : h.at+1]
	p, err := alone.PresetByTrain(r.Context())
	if err != nil {
		return nil, refusedAs("press.base", err)
	}
	set, err := h.settled(r)
	if err != nil {
		return nil, err
	}
	u := &p.Units[0]
	films, err := set.Solved(r.Context(), u)
	if err != nil {
		return nil, err
	}
	out := solvedJSON{Sweep: u.Sweep, Films: films}
	for _, k := range u.Keys {
		out.KeyTexts = append(out.KeyTexts, k.KeyText)
	}
	return out, nil
}
