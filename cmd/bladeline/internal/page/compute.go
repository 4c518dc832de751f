package page

import (
	"net/http"
	"slices"

	"bladeline/zones"
)

// computed is all that the page shows of a state.
type computed struct {
	Preset     *zones.Preset  `json:"preset"`
	Units      []computedUnit `json:"units"` // as in the preset
	Zones      []zoneJSON     `json:"zones"` // by number
	FountainMM float64        `json:"fountain_mm"`
	LengthMM   *float64       `json:"length_mm"` // that coverages refer to
}

type zoneJSON struct {
	Zone    int      `json:"zone"`
	LeftMM  *float64 `json:"left_mm"`
	RightMM *float64 `json:"right_mm"`
}

// computedUnit shows the relation of one unit.
type computedUnit struct {
	zones.Feed
	CurvePct []float64 `json:"curve_pct"` // opening at coverages of 0, 1, … 100 %
}

func (s *Server) preset(r *http.Request) (any, error) {
	j, err := s.asked(r)
	if err != nil {
		return nil, err
	}
	p, err := j.preset()
	if err != nil {
		return nil, err
	}
	c := computed{Preset: j.shown(p), FountainMM: j.press.Fountain.WidthMM(), LengthMM: p.Units[0].LengthMM}
	for _, k := range p.Units[0].Keys {
		c.Zones = append(c.Zones, zoneJSON{k.Zone, k.LeftMM, k.RightMM})
	}
	for i := range p.Units {
		curve := j.units[i].Curve
		u := computedUnit{Feed: p.Units[i].Feed(j.press, curve)}
		for coveragePct := range 101 {
			u.CurvePct = append(u.CurvePct, curve.At(float64(coveragePct)))
		}
		c.Units = append(c.Units, u)
	}
	return c, nil
}

// shown is a preset as the page shows it: what its warnings advise can be done
// there. Saved, it is as the command writes it.
func (j *job) shown(p *zones.Preset) *zones.Preset {
	shown := *p
	shown.Warnings = slices.Clone(p.Warnings)
	for i, w := range shown.Warnings {
		text := pageWords.Replace(w.Text)
		if w.Code == zones.CodeEmpty && j.drawn[w.Ink] {
			text = "nothing is drawn yet: draw a shape, or begin with a prepared form"
		}
		shown.Warnings[i].Text = text
	}
	return &shown
}
