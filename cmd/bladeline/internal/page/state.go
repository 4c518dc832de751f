package page

import (
	"cmp"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"unicode/utf8"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/coverage"
	"bladeline/curves"
	"bladeline/curves/settings"
	"bladeline/zones"
	"bladeline/zones/preset"
	"bladeline/zones/press"
)

// A State is all that a tab edits; it comes with every request.
type State struct {
	Job       string                 `json:"job"`   // "" is named by the files
	Paper     string                 `json:"paper"` // the stock, as the shop calls it; "" is not stated
	Press     pressJSON              `json:"press"`
	Placement preset.StatedPlacement `json:"placement"`
	Units     []unit                 `json:"units"`
}

// pressJSON is a press that can be chosen, and what is changed of it.
type pressJSON struct {
	Base string `json:"base"`
	File string `json:"file"` // the text of one that was brought, else ""
	press.Change
}

// unit is one printing unit.
type unit struct {
	Separation string   `json:"separation"`
	Ink        string   `json:"ink"` // "" is the separation's own
	Curve      curve    `json:"curve"`
	Sweep      *float64 `json:"sweep"` // null is auto
}

// Bounds of what one request may ask for.
const (
	maxUnits = 32
	maxName  = 200 // letters
)

// press is the press that a state chooses, with its curves, as it is changed.
func (s *Server) press(j pressJSON) (job.Press, error) {
	chosen, found := s.options.Find(j.Base)
	if j.File != "" {
		on, err := press.Parse(fileLabel(j.Base), []byte(j.File))
		if err != nil {
			return chosen, refusedAs("press.base", err)
		}
		chosen = job.Press{Called: j.Base, Press: on} // its curves are the tab's
	} else if !found {
		return chosen, refused("press.base", "there is no press %q; choose another", firstOf(j.Base, maxName))
	}
	changed, err := chosen.Press.With(j.Change)
	if err != nil {
		return chosen, refusedAs("press", err)
	}
	chosen.Press = changed
	return chosen, nil
}

// work is a State resolved: what a preset is made from. Inks that cannot be
// preset are its misfits, and none of the Setup's.
type work struct {
	job.Setup
	server  *Server
	state   State
	press   job.Press
	maps    []*coverage.Map // of the Setup's units, under the inks' names
	at      []int           // which of the state's units each of these is
	curves  []*curves.Curve // of the state's units
	misfits []misfit        // in the order of the state's units
	drawn   map[string]bool // inks whose separation was drawn here
}

// asked is the work of a request that is a state.
func (s *Server) asked(r *http.Request) (*work, error) {
	var state State
	if err := read(r, &state); err != nil {
		return nil, err
	}
	return s.resolve(state)
}

// resolve finds what a state names.
func (s *Server) resolve(state State) (*work, error) {
	switch n := len(state.Units); {
	case n == 0:
		return nil, refused("units", "there is no separation yet; bring a file, or draw a form")
	case n > maxUnits:
		return nil, refused("units", "%d inks are more than a press has; leave %d at most", n, maxUnits)
	}
	if err := state.check(); err != nil {
		return nil, err
	}
	press, err := s.press(state.Press)
	if err != nil {
		return nil, err
	}
	today, err := job.Today()
	if err != nil {
		return nil, err
	}
	w := &work{
		Setup:  job.Setup{Job: state.Job, Press: press.Press, Run: preset.Run{Paper: state.Paper, Date: today}, TakeOffPct: preset.ByKeys},
		server: s, state: state, press: press, drawn: map[string]bool{},
	}
	all, err := w.units()
	if err != nil {
		return nil, err
	}
	w.add(all)
	w.Job = cmp.Or(w.Job, coverage.JobName(all))
	w.warnOfPaper()
	return w, w.place()
}

// check refuses what is stated of the job as a whole.
func (s *State) check() error {
	if err := checkName("job", s.Job); err != nil {
		return err
	}
	if err := checkName("paper", s.Paper); err != nil {
		return err
	}
	if job.IsPageSize(s.Paper) {
		return refused("paper", "%s is the size of a page, and the paper is the stock; write what the shop calls it, and choose the key sheet's page beside its button", s.Paper)
	}
	if err := s.Placement.Validate(); err != nil {
		return refusedAs("placement", err)
	}
	return nil
}

// units are the state's separations under the inks' names; their curves are kept.
func (w *work) units() (all []*coverage.Map, err error) {
	taken := map[string]bool{}
	for i, u := range w.state.Units {
		place := fmt.Sprintf("units[%d]", i)
		sep, err := w.server.separation(u, place)
		if err != nil {
			return nil, err
		}
		m, curve, err := w.server.wanted(u, sep, place)
		if err != nil {
			return nil, err
		}
		key := strings.ToLower(m.Ink)
		if taken[key] {
			return nil, refused(place+".ink", "two units are of the ink %s; name every ink once", m.Ink)
		}
		taken[key] = true
		all, w.curves = append(all, m), append(w.curves, curve)
		w.drawn[m.Ink] = sep.kind == drawn
	}
	return all, nil
}

// add lays the separations on the press. A composite, and what cannot be laid, is a
// misfit.
func (w *work) add(all []*coverage.Map) {
	composites := zones.Composites(w.asBrought(all))
	for i, m := range all {
		if composites[i] != nil {
			w.misfit(i, fmt.Sprintf("units[%d].ink", i), &zones.SeparationError{Ink: m.Ink, Err: composites[i]}, nil)
			continue
		}
		if err := w.Add(m, *w.state.Placement.Placement(), w.curves[i], w.state.Units[i].Sweep); err != nil {
			w.misfit(i, w.blamed(m), err, nil)
			continue
		}
		w.maps, w.at = append(w.maps, m), append(w.at, i)
	}
}

// asBrought are separations under their own names, where nobody gave them another:
// a number behind it is the page's, which tells inks of one name apart.
func (w *work) asBrought(all []*coverage.Map) []*coverage.Map {
	as := slices.Clone(all)
	for i, m := range all {
		sep, err := w.server.store.find(w.state.Units[i].Separation)
		if err != nil || sep.Ink == m.Ink {
			continue
		}
		if number, same := strings.CutPrefix(m.Ink, sep.Ink+" "); same && strings.Trim(number, "0123456789") == "" {
			as[i] = sep.Map
		}
	}
	return as
}

// warnOfPaper has inks named that have the press's usual curve for want of one for
// the paper.
func (w *work) warnOfPaper() {
	var inks []string
	for i, u := range w.Units {
		usual, known := w.press.CurveOn(w.state.Paper, w.maps[i].Ink)
		if usual == nil {
			_, known = w.Press.CurveFileOn(w.state.Paper, w.maps[i].Ink)
		}
		if !known && (usual == nil || runsAs(usual, u.Curve)) {
			inks = append(inks, w.maps[i].Ink)
		}
	}
	w.WarnOfPaper(inks)
}

// place says in which units of the press the inks are printed, whose sweeps must
// then be theirs.
func (w *work) place() error {
	if err := w.Place(nil); err != nil {
		return refusedAs("press", err)
	}
	for i, u := range w.Units {
		place, sweep := fmt.Sprintf("units[%d]", w.at[i]), w.Press.InUnit(u.Station.Unit).Sweep
		if u.Sweep != nil && !sweep.OnScale(*u.Sweep) {
			return refused(place+".sweep", "a sweep of %s cannot be set on this press; take one of its own settings", settings.Plain(*u.Sweep))
		}
		if err := sweep.Takes(u.Curve); err != nil {
			return refusedAs(place+".curve", err)
		}
	}
	return nil
}

// checkName refuses names that go on no label.
func checkName(place, name string) error {
	if !settings.IsLine(name) {
		return refused(place, "%q is not a single line of text; write one, in UTF-8", firstOf(name, maxName))
	}
	if utf8.RuneCountInString(name) > maxName {
		return refused(place, "a name of more than %d letters is too long; shorten it", maxName)
	}
	return nil
}

// separation is a unit's, which the server may hold no more.
func (s *Server) separation(u unit, place string) (*separation, error) {
	sep, err := s.store.find(u.Separation)
	if r, ok := errors.AsType[*refusal](err); ok {
		r.place = place + ".separation"
	}
	return sep, err
}

// wanted is one unit: its separation under the ink's name, and its curve.
func (s *Server) wanted(u unit, sep *separation, place string) (*coverage.Map, *curves.Curve, error) {
	if err := checkName(place+".ink", u.Ink); err != nil {
		return nil, nil, err
	}
	m := *sep.Map
	if u.Ink != "" {
		m.Ink = u.Ink
	}
	c, err := u.Curve.curve(place + ".curve")
	if err != nil {
		return nil, nil, err
	}
	c.Name = s.nameOf(c, m.Ink)
	return &m, c, nil
}

// preset makes the preset of all inks, as the command does.
func (w *work) preset() (*preset.Preset, error) {
	if len(w.misfits) > 0 {
		return nil, w.misfits[0].refusal
	}
	p, err := w.Preset()
	if err == nil {
		return p, nil
	}
	if w.leaveMisfits(); len(w.misfits) > 0 {
		return nil, w.misfits[0].refusal
	}
	return nil, refusedAs("", err)
}

// edits are those that decide whether a form lies on the fountain, and how each
// is taken back.
var edits = []struct {
	place string
	undo  func(*State)
}{
	{"placement.shift_mm", func(s *State) { s.Placement.ShiftMM = 0 }},
	{"press.zones", func(s *State) { s.Press.Zones = nil }},
	{"press.zone_width_mm", func(s *State) { s.Press.ZoneWidthMM = nil }},
	{"placement.dpi_x", func(s *State) { s.Placement.DPIX = nil }},
	{"placement.dpi_y", func(s *State) { s.Placement.DPIY = nil }},
	{"placement.lead_edge", func(s *State) { s.Placement.LeadEdge = zones.Bottom }},
}

// blamed is the place of what keeps a separation off the fountain: a resolution
// that nobody states, else the edit without which it would lie there, else one
// that made the fountain what it is, else the press.
func (w *work) blamed(m *coverage.Map) string {
	press, placement := w.state.Press, w.state.Placement
	switch {
	case m.Sheet != nil && placement.DPIX != nil:
		return "placement.dpi_x"
	case m.Sheet != nil && placement.DPIY != nil:
		return "placement.dpi_y"
	case m.Sheet != nil: // its pieces have resolutions of their own
	case m.DPIX == 0 && placement.DPIX == nil:
		return "placement.dpi_x"
	case m.DPIY == 0 && placement.DPIY == nil:
		return "placement.dpi_y"
	}
	for _, e := range edits {
		without := w.state
		if e.undo(&without); w.server.fits(m, without) {
			return e.place
		}
	}
	switch {
	case press.Zones != nil:
		return "press.zones"
	case press.ZoneWidthMM != nil:
		return "press.zone_width_mm"
	case placement.ShiftMM != 0:
		return "placement.shift_mm"
	}
	return "press.base"
}

// fits tells whether a separation can be laid on the fountain as a state says.
func (s *Server) fits(m *coverage.Map, state State) bool {
	press, err := s.press(state.Press)
	return err == nil && job.Takes(press.Press, []*coverage.Map{m}, *state.Placement.Placement())
}
