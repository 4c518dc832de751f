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
	Job       string                 `json:"job"` // "" is named by the files
	Press     pressJSON              `json:"press"`
	Placement preset.StatedPlacement `json:"placement"`
	Units     []unit                 `json:"units"`
}

// pressJSON is a press that can be chosen, and what is changed of it.
type pressJSON struct {
	Base string `json:"base"`
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

// press is the press that a state chooses, as it is changed.
func (s *Server) press(j pressJSON) (*press.Press, error) {
	chosen, found := s.options.Find(j.Base)
	if !found {
		return nil, refused("press.base", "there is no press %q; choose another", firstOf(j.Base, maxName))
	}
	press, err := chosen.Press.With(j.Change)
	if err != nil {
		return nil, refusedAs("press", err)
	}
	return press, nil
}

// work is a State resolved: what a preset is made from.
type work struct {
	job.Setup
	server *Server
	state  State
	maps   []*coverage.Map // under the inks' names
	drawn  map[string]bool // inks whose separation was drawn here
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
	if err := checkName("job", state.Job); err != nil {
		return nil, err
	}
	if err := state.Placement.Validate(); err != nil {
		return nil, refusedAs("placement", err)
	}
	press, err := s.press(state.Press)
	if err != nil {
		return nil, err
	}
	today, err := job.Today()
	if err != nil {
		return nil, err
	}
	w := &work{Setup: job.Setup{Job: state.Job, Press: press, Run: preset.Run{Date: today}, TakeOffPct: preset.ByKeys}, server: s, state: state, drawn: map[string]bool{}}
	for i, u := range state.Units {
		place := fmt.Sprintf("units[%d]", i)
		sep, err := s.separation(u, place)
		if err != nil {
			return nil, err
		}
		m, curve, err := s.wanted(u, sep, place)
		switch {
		case err != nil:
			return nil, err
		case w.has(m.Ink):
			return nil, refused(place+".ink", "two units are of the ink %s; name every ink once", m.Ink)
		}
		if err := w.Add(m, *state.Placement.Placement(), curve, u.Sweep); err != nil {
			return nil, refusedAs(place+".separation", err)
		}
		w.maps = append(w.maps, m)
		w.drawn[m.Ink] = sep.kind == drawn
	}
	w.Job = cmp.Or(w.Job, coverage.JobName(w.maps))
	return w, w.place()
}

// place says in which units of the press the inks are printed, whose sweeps must
// then be theirs.
func (w *work) place() error {
	if err := w.Place(nil); err != nil {
		return refusedAs("press", err)
	}
	for i, u := range w.Units {
		place, sweep := fmt.Sprintf("units[%d]", i), w.Press.InUnit(u.Station.Unit).Sweep
		if u.Sweep != nil && !sweep.OnScale(*u.Sweep) {
			return refused(place+".sweep", "a sweep of %s cannot be set on this press; take one of its own settings", settings.Plain(*u.Sweep))
		}
		if err := sweep.Takes(u.Curve); err != nil {
			return refusedAs(place+".curve", err)
		}
	}
	return nil
}

func (w *work) has(ink string) bool {
	return slices.ContainsFunc(w.maps, func(m *coverage.Map) bool { return strings.EqualFold(m.Ink, ink) })
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

// preset makes the preset, as the command does.
func (w *work) preset() (*preset.Preset, error) {
	p, err := w.Preset()
	if err == nil {
		return p, nil
	}
	for i, u := range w.Units {
		if _, _, err := u.Form.Zones(); err != nil {
			return nil, refusedAs(w.blamed(w.maps[i]), err)
		}
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
	return err == nil && job.Takes(press, []*coverage.Map{m}, *state.Placement.Placement())
}
