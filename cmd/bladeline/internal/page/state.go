package page

import (
	"errors"
	"fmt"
	"maps"
	"net/http"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"bladeline/coverage"
	"bladeline/curves"
	"bladeline/zones"
	"bladeline/zones/sheet"
)

// A State is all that a tab edits; it comes with every request.
type State struct {
	Job       string                `json:"job"` // "" is named by the files
	Press     pressJSON             `json:"press"`
	Placement zones.PresetPlacement `json:"placement"`
	Units     []unit                `json:"units"`
}

// pressJSON is a press that can be chosen, and what is changed of it.
type pressJSON struct {
	Base string `json:"base"`
	zones.PressChange
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
func (s *Server) press(j pressJSON) (*zones.Press, error) {
	i := slices.IndexFunc(s.options.Presses, func(p Press) bool { return p.Base == j.Base })
	if i < 0 {
		return nil, refused("press.base", "there is no press %q; choose another", firstOf(j.Base, maxName))
	}
	press, err := s.options.Presses[i].Press.With(j.PressChange)
	if err != nil {
		return nil, refusedAs("press", err)
	}
	return press, nil
}

// job is a State resolved: what a preset is made from.
type job struct {
	name   string
	press  *zones.Press
	lies   zones.Placement
	wanted []zones.Wanted
}

// asked is the job of a request that is a state.
func (s *Server) asked(r *http.Request) (*job, error) {
	var state State
	if err := read(r, &state); err != nil {
		return nil, err
	}
	return s.resolve(state)
}

// resolve finds what a state names.
func (s *Server) resolve(state State) (*job, error) {
	switch n := len(state.Units); {
	case n == 0:
		return nil, refused("units", "there is no separation yet; bring a file, or draw a form")
	case n > maxUnits:
		return nil, refused("units", "%d inks are more than a press has; leave %d at most", n, maxUnits)
	}
	if err := named("job", state.Job); err != nil {
		return nil, err
	}
	if err := state.Placement.Validate(); err != nil {
		return nil, refusedAs("placement", err)
	}
	press, err := s.press(state.Press)
	if err != nil {
		return nil, err
	}
	j := &job{name: state.Job, press: press, lies: *state.Placement.Placement()}
	for i, u := range state.Units {
		place := fmt.Sprintf("units[%d]", i)
		w, err := s.wanted(u, place)
		switch {
		case err != nil:
			return nil, err
		case j.has(w.Map.Ink):
			return nil, refused(place+".ink", "two units are of the ink %s; name every ink once", w.Map.Ink)
		case u.Sweep != nil && !press.Sweep.OnScale(*u.Sweep):
			return nil, refused(place+".sweep", "a sweep of %s cannot be set on this press; take one of its own settings", curves.Plain(*u.Sweep))
		}
		j.wanted = append(j.wanted, w)
	}
	if j.name == "" {
		j.name = coverage.JobName(j.maps())
	}
	return j, nil
}

func (j *job) has(ink string) bool {
	return slices.ContainsFunc(j.wanted, func(w zones.Wanted) bool { return strings.EqualFold(w.Map.Ink, ink) })
}

func (j *job) maps() []*coverage.Map {
	var maps []*coverage.Map
	for _, w := range j.wanted {
		maps = append(maps, w.Map)
	}
	return maps
}

// named refuses names that go on no label.
func named(place, name string) error {
	if strings.ContainsFunc(name, unicode.IsControl) {
		return refused(place, "%q runs over more than a line; write it on one", firstOf(name, maxName))
	}
	if utf8.RuneCountInString(name) > maxName {
		return refused(place, "a name of more than %d letters is too long; shorten it", maxName)
	}
	return nil
}

// wanted is one unit: its separation under the ink's name, its curve and sweep.
func (s *Server) wanted(u unit, place string) (zones.Wanted, error) {
	var w zones.Wanted
	sep, err := s.store.find(u.Separation)
	if err != nil {
		var r *refusal
		if errors.As(err, &r) {
			r.place = place + ".separation"
		}
		return w, err
	}
	if err := named(place+".ink", u.Ink); err != nil {
		return w, err
	}
	m := *sep.Map
	if u.Ink != "" {
		m.Ink = u.Ink
	}
	w = zones.Wanted{Map: &m, Sweep: u.Sweep}
	w.Curve, err = u.Curve.curve(place + ".curve")
	return w, err
}

// preset makes the preset, as the command does.
func (j *job) preset() (*zones.Preset, error) {
	p, err := zones.PresetForm(j.name, j.press, j.lies, j.wanted, zones.LowPct)
	if err == nil {
		return p, nil
	}
	for _, w := range j.wanted {
		if _, _, err := zones.Place(w.Map, j.press, j.lies); err != nil {
			return nil, refusedAs("placement", err)
		}
	}
	return nil, refusedAs("", err)
}

// plates are what the key sheet shows beside the preset.
func (j *job) plates() map[string]sheet.Plate {
	plates := map[string]sheet.Plate{}
	for _, w := range j.wanted {
		plates[w.Map.Ink] = sheet.Plate{Map: w.Map, Placement: j.lies}
	}
	return plates
}

// curveOf is the press's curve for an ink.
func (p Press) curveOf(ink string) *curves.Curve {
	for _, name := range slices.Sorted(maps.Keys(p.ByInk)) {
		if strings.EqualFold(name, ink) {
			return p.ByInk[name]
		}
	}
	return p.Curve
}
