package page

import (
	"net/http"
	"slices"

	"bladeline/curves"
	"bladeline/zones/preset"
	"bladeline/zones/press"
)

// computed is all that the page shows of a state.
type computed struct {
	Job        string         `json:"job"` // what it is called, be there a preset or none
	Preset     *preset.Preset `json:"preset"`
	Units      []computedUnit `json:"units"` // as in the preset: the state's, but for the misfits
	Zones      []zoneJSON     `json:"zones"` // by number
	FountainMM float64        `json:"fountain_mm"`
	LengthMM   *float64       `json:"length_mm"` // that coverages refer to
	Misfits    []misfitJSON   `json:"misfits"`   // inks of the state that are not in the preset
}

type zoneJSON struct {
	Zone    int      `json:"zone"`
	LeftMM  *float64 `json:"left_mm"`
	RightMM *float64 `json:"right_mm"`
}

// computedUnit shows the relation of one unit, how far its keys go, and where its
// form lies.
type computedUnit struct {
	preset.Feed
	AutoSweep float64     `json:"auto_sweep"` // that auto would set, were it on
	CurvePct  []float64   `json:"curve_pct"`  // opening at coverages of 0, 1, … 100 %
	Least     []float64   `json:"least"`      // setting that the floor lets a key have under the sheet, by zone
	Most      []float64   `json:"most"`       // and the ceiling; below the least where no step lies between
	BendPct   float64     `json:"bend_pct"`   // how far apart the blade lets neighbours stand, in % of travel; 0 is any
	Outline   outlineJSON `json:"outline"`

	Untouched      []float64 `json:"untouched"` // settings of keys that nobody has set yet, by zone, and their sweep
	UntouchedSweep float64   `json:"untouched_sweep"`
}

// outlineJSON is a zones.Outline, all of which is known where there is a preset.
type outlineJSON struct {
	LeftMM   float64 `json:"left_mm"`
	WidthMM  float64 `json:"width_mm"`
	LengthMM float64 `json:"length_mm"`
}

func (s *Server) preset(r *http.Request) (any, error) {
	work, err := s.asked(r)
	if err != nil {
		return nil, err
	}
	p, err := work.fitting()
	if err != nil {
		return nil, err
	}
	c := work.shownOf(work.shown(p))
	c.LengthMM = p.Units[0].LengthMM
	for i := range p.Units {
		curve := work.Units[i].Curve
		u := computedUnit{Feed: p.Units[i].Feed(work.Press, curve), AutoSweep: p.Units[i].Sweep, Outline: outlineJSON(work.Units[i].Form.Outline())}
		if work.Units[i].Sweep != nil {
			u.AutoSweep = p.Units[i].AutoSweep(work.Press, curve)
		}
		u.CurvePct = pointsOf(curve)
		u.Untouched, u.UntouchedSweep = p.Units[i].Untouched(work.Press, curve)
		u.reach(p.Units[i].OnPress(work.Press))
		c.Units = append(c.Units, u)
	}
	return c, nil
}

// pointsOf is a curve at coverages of 0, 1, … 100 %; none where it is not known.
func pointsOf(c *curves.Curve) []float64 {
	all := []float64{}
	for coveragePct := 0; c != nil && coveragePct <= 100; coveragePct++ {
		all = append(all, c.At(float64(coveragePct)))
	}
	return all
}

// reach says how far the keys go in a unit.
func (u *computedUnit) reach(on *press.Press) {
	u.BendPct = on.BendPct()
	for i := range on.Fountain.Zones {
		least, most := on.KeyRange(i + 1)
		u.Least, u.Most = append(u.Least, max(least, 0)), append(u.Most, most)
	}
}

// shown is a preset as the page shows it: what its warnings advise can be done
// there. Saved, it is as the command writes it.
func (w *work) shown(p *preset.Preset) *preset.Preset {
	shown := *p
	shown.Warnings = slices.Clone(p.Warnings)
	for i, warning := range shown.Warnings {
		text := cures.CuredText(warning.Code, warning.Text, warning.Facts)
		if warning.Code == preset.CodeEmpty && w.drawn[warning.Ink] {
			text = "nothing is drawn yet: draw a shape, or begin with a prepared form"
		}
		shown.Warnings[i].Text = text
	}
	return &shown
}
