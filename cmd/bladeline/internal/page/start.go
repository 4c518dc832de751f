package page

import (
	"net/http"
	"slices"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/curves"
	"bladeline/zones/preset"
	"bladeline/zones/press"
)

// startJSON is what the page begins with.
type startJSON struct {
	State       State            `json:"state"`
	PressNamed  bool             `json:"press_named"` // by the command line
	Separations []separationJSON `json:"separations"`
	Presses     []pressChoice    `json:"presses"`
	Curves      []curve          `json:"curves"`
	Forms       []preparedForm   `json:"forms"`
	Cautions    string           `json:"cautions"`
	Limits      limitsJSON       `json:"limits"`
}

type limitsJSON struct {
	UploadBytes int64 `json:"upload_bytes"`
	Separations int   `json:"separations"`
}

// pressChoice is a press to choose, with what the page shows of it.
type pressChoice struct {
	Base              string        `json:"base"`
	File              string        `json:"file"` // the text of one that was brought, else ""
	Name              string        `json:"name"`
	Zones             int           `json:"zones"`
	ZoneWidthMM       float64       `json:"zone_width_mm"`
	FirstZone         press.End     `json:"first_zone"`
	Blade             press.Blade   `json:"blade"`
	NeighbourLimitPct float64       `json:"neighbour_limit_pct"` // of a segmented blade, were it one piece
	KeyUnit           press.KeyUnit `json:"key_unit"`
	KeyStep           float64       `json:"key_step"`
	KeyTravel         float64       `json:"key_travel"`
	KeyStepText       string        `json:"key_step_text"`
	FloorPct          float64       `json:"floor_pct"`
	CeilingPct        float64       `json:"ceiling_pct"`
	PrintLengthMM     *float64      `json:"print_length_mm"`
	Sweep             sweepJSON     `json:"sweep"`
	Units             []unitChoice  `json:"units"` // printing units; none where they are not told apart
	Curve             curve         `json:"curve"`

	CurveOfInk map[string]curve `json:"curve_of_ink"` // of inks that have one of their own
	Papers     []paperChoice    `json:"papers"`       // that have curves of their own
}

// unitChoice is a printing unit of a press.
type unitChoice struct {
	Name  string    `json:"name"`
	Sweep sweepJSON `json:"sweep"`
}

// paperChoice is a paper for which a press has curves.
type paperChoice struct {
	Name       string           `json:"name"`
	Curve      *curve           `json:"curve"` // null: as on any paper
	CurveOfInk map[string]curve `json:"curve_of_ink"`
}

type sweepJSON struct {
	Unit     string    `json:"unit"`
	From     float64   `json:"from"`
	To       float64   `json:"to"`
	Step     float64   `json:"step"`
	Settings []float64 `json:"settings"`
}

func (s *Server) start(*http.Request) (any, error) {
	j := startJSON{
		State:       s.begin(),
		PressNamed:  s.options.PressNamed,
		Separations: []separationJSON{}, Curves: []curve{}, Forms: preparedForms, Cautions: s.options.Cautions,
		Limits: limitsJSON{s.maxUpload, maxHeld},
	}
	for _, sep := range s.given {
		j.Separations = append(j.Separations, sep.json())
	}
	for _, p := range s.options.Presses {
		j.Presses = append(j.Presses, choiceOf(p))
	}
	for _, c := range s.options.Curves {
		of := curveJSON(c)
		of.Label = c.Name
		j.Curves = append(j.Curves, of)
	}
	return j, nil
}

// begin is the state that the command line describes.
func (s *Server) begin() State {
	press := s.options.Presses[0]
	state := State{Job: s.options.Job, Paper: s.options.Paper, Press: pressJSON{Base: press.Called}, Placement: *preset.State(s.options.Placement), Units: []unit{}}
	for _, sep := range inOrder(s.given, press.Press) {
		c, _ := press.CurveOn(state.Paper, sep.Ink)
		state.Units = append(state.Units, unit{Separation: sep.id, Ink: sep.Ink, Curve: curveJSON(c)})
	}
	return state
}

// inOrder are separations as the sheet meets their inks on a press, where that is
// known.
func inOrder(given []*separation, on *press.Press) []*separation {
	var inks []string
	for _, sep := range given {
		inks = append(inks, sep.Ink)
	}
	stations, err := on.Stations(inks, make([]string, len(inks)))
	if err != nil || stations == nil {
		return given
	}
	at := map[*separation]press.Station{}
	for i, sep := range given {
		at[sep] = stations[i]
	}
	return slices.SortedStableFunc(slices.Values(given), func(a, b *separation) int { return on.Order(at[a], at[b]) })
}

func choiceOf(p job.Press) pressChoice {
	press := p.Press
	c := pressChoice{
		Base: p.Called, Name: press.Name,
		Zones: press.Fountain.Zones, ZoneWidthMM: press.Fountain.ZoneWidthMM, FirstZone: press.Fountain.FirstZone,
		Blade: press.Fountain.Blade, NeighbourLimitPct: press.NeighbourPct(),
		KeyUnit: press.Keys.Unit, KeyStep: press.Keys.Step, KeyTravel: press.Keys.Travel, KeyStepText: press.Keys.Words(),
		FloorPct: press.Limits.FloorPct, CeilingPct: press.Limits.CeilingPct,
		Sweep: sweepOf(press.Sweep), Units: []unitChoice{}, Curve: curveJSON(p.Curve), CurveOfInk: curvesJSON(p.ByInk), Papers: []paperChoice{},
	}
	c.PrintLengthMM = orNull(press.PrintLengthMM)
	for _, u := range press.Units {
		c.Units = append(c.Units, unitChoice{u.Name, sweepOf(u.Sweep)})
	}
	for _, paper := range press.Papers() {
		on := p.ByPaper[paper]
		choice := paperChoice{Name: paper, CurveOfInk: curvesJSON(on.ByInk)}
		if on.Curve != nil {
			choice.Curve = new(curveJSON(on.Curve))
		}
		c.Papers = append(c.Papers, choice)
	}
	return c
}

func curvesJSON(byInk map[string]*curves.Curve) map[string]curve {
	all := map[string]curve{}
	for ink, c := range byInk {
		all[ink] = curveJSON(c)
	}
	return all
}

func sweepOf(s curves.SweepScale) sweepJSON {
	return sweepJSON{s.Unit, s.From, s.To, s.Step, s.Settings()}
}
