package page

import (
	"cmp"
	"encoding/json"
	"net/http"
	"sync"

	"bladeline/curves/rollers"
	"bladeline/zones/preset"
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

// rehearseQuestion asks about a state's only unit.
type rehearseQuestion struct {
	State State `json:"state"`
	Zone  int   `json:"zone"` // whose key is moved; else 0
}

// lineJSON is what the train's line says, and the train.
type lineJSON struct {
	Train    trainJSON `json:"train"`
	Measured bool      `json:"measured"` // whether the train was fitted to this press
	// Films in % of the one that is wanted, by zone; 0 where nothing prints.
	PresetPct []float64 `json:"preset_pct"`
	CurvePct  []float64 `json:"curve_pct"` // of the openings that the curve asks for, before limits and steps
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
	PresetPct  []float64   `json:"preset_pct"` // as lineJSON has them
	CurvePct   []float64   `json:"curve_pct"`
	RollersPct [][]float64 `json:"rollers_pct"` // films on the rollers in their order, in % of the film wanted on the sheet, by zone
	Sheet      sheetJSON   `json:"sheet"`
	Ghosts     []ghostJSON `json:"ghosts"` // the largest first
}

// sheetJSON is the film over the sheet.
type sheetJSON struct {
	Rows    int       `json:"rows"` // from the gripper edge
	Columns int       `json:"columns"`
	FilmPct []float64 `json:"film_pct"` // row by row from the fountain's left end; 0 where nothing prints
}

// ghostJSON is a rollers.Ghost.
type ghostJSON struct {
	Roller  string  `json:"roller"`
	CauseMM float64 `json:"cause_mm"`
	AtMM    float64 `json:"at_mm"`
	LeftMM  float64 `json:"left_mm"`
	RightMM float64 `json:"right_mm"`
	StepPct float64 `json:"step_pct"`
}

// runJSON is a preset.FilmRun.
type runJSON struct {
	Sheets   []int       `json:"sheets"`
	FilmsPct [][]float64 `json:"films_pct"` // sheet by sheet, by zone
	Stands   int         `json:"stands"`    // sheets until all zones stay within 10 %; 0: more than were followed
	ZoneOff  int         `json:"zone_off"`  // that stands last; 0: none was off
}

// pullJSON is a preset.Pull.
type pullJSON struct {
	Zone      int       `json:"zone"`
	FromPct   float64   `json:"from_pct"`
	ToPct     float64   `json:"to_pct"`
	SharesPct []float64 `json:"shares_pct"`
	Run       runJSON   `json:"run"`
}

// solvedJSON is what keys print that are solved together on the train.
type solvedJSON struct {
	Sweep    float64   `json:"sweep"`
	KeyTexts []string  `json:"key_texts"` // by zone
	FilmsPct []float64 `json:"films_pct"` // of the film that is wanted
}

// A rehearsed is one ink on the train of its press.
type rehearsed struct {
	*preset.TrainRun
	work    *work
	chart   *rollerchart.Chart
	id      string    // of what it is made of
	asSet   []float64 // openings, by zone
	byCurve []float64
	kept    *rehearsals
}

// A train is a press's, and how it is drawn.
type train struct {
	*preset.Train
	chart *rollerchart.Chart
}

// rehearsals keep what was worked out last.
type rehearsals struct {
	trains  recent[train]
	settled recent[*preset.Settled]
}

func newRehearsals() *rehearsals {
	return &rehearsals{recent[train]{most: maxTrains}, recent[*preset.Settled]{most: maxSettled}}
}

// rehearsed resolves a question.
func (s *Server) rehearsed(r *http.Request) (*rehearsed, int, error) {
	var q rehearseQuestion
	if err := read(r, &q); err != nil {
		return nil, 0, err
	}
	if len(q.State.Units) != 1 {
		return nil, 0, refused("units", "one ink is rehearsed at a time; choose one")
	}
	work, err := s.resolve(q.State)
	if err != nil {
		return nil, 0, err
	}
	p, err := work.preset()
	if err != nil {
		return nil, 0, err
	}
	u := &p.Units[0]
	train, err := s.train(work, u)
	if err != nil {
		return nil, 0, refusedAs("press.base", err)
	}
	id, err := json.Marshal(q.State)
	out := &rehearsed{
		TrainRun: preset.NewTrainRun(train.Train, u, work.Units[0].Form), work: work, chart: train.chart, id: string(id),
		asSet: train.OpeningsPct(u), byCurve: u.Feed(work.Press, work.Units[0].Curve).WantedPct, kept: s.rehearsals,
	}
	return out, q.Zone, err
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

// settle is what openings print, which may be known.
func (h *rehearsed) settle(r *http.Request, as string, openings []float64) (*preset.Settled, error) {
	return h.kept.settled.get(as+h.id, func() (*preset.Settled, error) { return h.Settle(r.Context(), openings) })
}

// preset is what the keys as set print, held against what the curve asks for, which
// comes beside it. So a sweep that is too low for the blade to follow shows as light.
func (h *rehearsed) preset(r *http.Request) (set, byCurve *preset.Settled, err error) {
	var curveErr error
	var beside sync.WaitGroup
	beside.Go(func() { byCurve, curveErr = h.settle(r, "curve", h.byCurve) })
	set, err = h.settle(r, "preset", h.asSet)
	beside.Wait()
	if err = cmp.Or(err, curveErr); err != nil {
		return nil, nil, err
	}
	return set.HeldAgainst(byCurve), byCurve, nil
}

// line answers at once.
func (s *Server) line(r *http.Request) (any, error) {
	h, _, err := s.rehearsed(r)
	if err != nil {
		return nil, err
	}
	return lineJSON{laid(h.chart), h.Fitted(), h.LinePct(h.asSet, h.byCurve), h.LinePct(h.byCurve, h.byCurve)}, nil
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

// leastGhost is the step that is told of, in % of the film, and mostGhosts how many.
const (
	leastGhost = 2
	mostGhosts = 5
)

// settled answers what is printed once all has settled: by the keys as set, and beside
// that by what the curve asks for.
func (s *Server) settled(r *http.Request) (any, error) {
	h, _, err := s.rehearsed(r)
	if err != nil {
		return nil, err
	}
	set, byCurve, err := h.preset(r)
	if err != nil {
		return nil, err
	}
	out := settledJSON{
		PresetPct: set.FilmsPct(), CurvePct: byCurve.FilmsPct(), RollersPct: set.RollersPct(),
		Sheet: sheetJSON{set.Sheet.Slots, set.Sheet.Columns, set.SheetPct()}, Ghosts: []ghostJSON{},
	}
	for i, g := range set.Ghosts(leastGhost) {
		if i < mostGhosts {
			out.Ghosts = append(out.Ghosts, ghostJSON{g.Roller, g.CauseMM, g.AtMM, g.LeftMM, g.RightMM, g.StepPct})
		}
	}
	return out, nil
}

// clean answers the sheets after a start from washed rollers.
func (s *Server) clean(r *http.Request) (any, error) {
	h, _, err := s.rehearsed(r)
	if err != nil {
		return nil, err
	}
	set, _, err := h.preset(r)
	if err != nil {
		return nil, err
	}
	run, err := set.FromClean(r.Context())
	if err != nil {
		return nil, err
	}
	return runJSON(*run), nil
}

// pulled answers what follows when one key is moved.
func (s *Server) pulled(r *http.Request) (any, error) {
	h, zone, err := s.rehearsed(r)
	if err != nil {
		return nil, err
	}
	set, _, err := h.preset(r)
	if err != nil {
		return nil, err
	}
	p, err := set.Pull(r.Context(), zone)
	if err != nil {
		return nil, refusedAs("zone", err)
	}
	return pullJSON{zone, p.FromPct, p.ToPct, p.SharesPct, runJSON(*p.Run)}, nil
}

// solved answers the keys that are solved together, as preset --by train has them.
func (s *Server) solved(r *http.Request) (any, error) {
	h, _, err := s.rehearsed(r)
	if err != nil {
		return nil, err
	}
	p, err := h.work.PresetByTrain(r.Context())
	if err != nil {
		return nil, refusedAs("press.base", err)
	}
	u := &p.Units[0]
	_, byCurve, err := h.preset(r)
	if err != nil {
		return nil, err
	}
	run := *h.TrainRun
	run.Sweep = u.SweepRun()
	set, err := run.Settle(r.Context(), h.OpeningsPct(u))
	if err != nil {
		return nil, err
	}
	out := solvedJSON{Sweep: u.Sweep, FilmsPct: set.HeldAgainst(byCurve).FilmsPct()}
	for _, k := range u.Keys {
		out.KeyTexts = append(out.KeyTexts, k.KeyText)
	}
	return out, nil
}
