package page

import (
	"cmp"
	"errors"
	"math"
	"slices"

	"bladeline/zones"
	"bladeline/zones/preset"
)

// A misfit is an ink that cannot be preset as it lies, beside others that may.
type misfit struct {
	unit    int // of the state's
	refusal *refusal
	err     error
	form    *zones.Form // nil where it cannot be laid
}

// misfitJSON is a misfit as the page shows it.
type misfitJSON struct {
	Unit    int          `json:"unit"`
	Error   string       `json:"error"`
	Place   string       `json:"place"`
	Code    string       `json:"code"`     // "" has none
	Outline *outlineJSON `json:"outline"`  // where it would lie; null is not known
	LeftMM  float64      `json:"left_mm"`  // of ink beyond the fountain's left end
	RightMM float64      `json:"right_mm"` // and beyond its right end

	CurvePct       []float64 `json:"curve_pct"`       // of its curve, as of an ink that fits; empty is not known
	ReferenceSweep float64   `json:"reference_sweep"` // that they are at; 0 is not known
}

// misfit notes why one of the state's units is none of the preset's.
func (w *work) misfit(unit int, place string, err error, form *zones.Form) {
	refused, _ := errors.AsType[*refusal](refusedAs(place, err))
	w.misfits = append(w.misfits, misfit{unit, refused, err, form})
}

// leaveMisfits leaves out the units whose form does not lie on the fountain.
func (w *work) leaveMisfits() {
	units, maps, at := w.Units, w.maps, w.at
	w.Units, w.maps, w.at = nil, nil, nil
	for i, u := range units {
		if _, _, err := u.Form.Zones(); err != nil {
			w.misfit(at[i], w.blamed(maps[i]), err, u.Form)
			continue
		}
		w.Units, w.maps, w.at = append(w.Units, u), append(w.maps, maps[i]), append(w.at, at[i])
	}
	slices.SortStableFunc(w.misfits, func(a, b misfit) int { return cmp.Compare(a.unit, b.unit) })
}

// fitting makes the preset of the inks that fit; nil where none does, or where what
// is wrong is of none of them.
func (w *work) fitting() (*preset.Preset, error) {
	if len(w.Units) > 0 {
		p, err := w.Preset()
		if err == nil {
			return p, nil
		}
		had := len(w.misfits)
		if w.leaveMisfits(); len(w.misfits) == had {
			return nil, refusedAs("", err)
		}
	}
	if len(w.Units) > 0 {
		p, err := w.Preset()
		if err != nil {
			return nil, refusedAs("", err)
		}
		return p, nil
	}
	return nil, &unfit{w.misfits[0].refusal, w.empty()}
}

// unfit refuses a form of which no ink fits.
type unfit struct {
	*refusal
	shown *computed
}

// empty is what can be shown where no ink fits: the fountain, and what lies over it.
func (w *work) empty() *computed {
	c := w.shownOf(nil)
	c.Units = []computedUnit{}
	if w.Press.PrintLengthMM == 0 {
		longest := 0.0
		for _, m := range c.Misfits {
			if m.Outline != nil {
				longest = max(longest, m.Outline.LengthMM)
			}
		}
		c.LengthMM = orNull(longest)
	}
	return c
}

// shownOf is what is shown of a preset, nil where there is none: all but its units.
func (w *work) shownOf(p *preset.Preset) *computed {
	c := &computed{Job: w.Job, Preset: p, FountainMM: w.Press.Fountain.WidthMM(), LengthMM: orNull(w.Press.PrintLengthMM), Misfits: []misfitJSON{}}
	for zone := 1; zone <= w.Press.Fountain.Zones; zone++ {
		left, right := w.Press.Fountain.ZoneMM(zone)
		c.Zones = append(c.Zones, zoneJSON{zone, &left, &right})
	}
	for i := range w.misfits {
		j := w.misfits[i].json()
		j.CurvePct = []float64{}
		if j.Unit < len(w.curves) {
			j.CurvePct, j.ReferenceSweep = pointsOf(w.curves[j.Unit]), w.Press.ReferenceSweep(w.curves[j.Unit])
		}
		c.Misfits = append(c.Misfits, j)
	}
	return c
}

func (m *misfit) json() misfitJSON {
	j := misfitJSON{Unit: m.unit, Error: sentence(m.refusal.what), Place: m.refusal.place}
	if coded, is := errors.AsType[interface {
		error
		Code() string
	}](m.err); is {
		j.Code = coded.Code()
	}
	if m.form != nil {
		if o := m.form.Outline(); o.WidthMM > 0 && o.LengthMM > 0 && !math.IsInf(o.WidthMM+o.LengthMM, 0) {
			j.Outline = new(outlineJSON(o))
		}
	}
	if beyond, is := errors.AsType[*zones.InkBeyondError](m.err); is {
		j.LeftMM, j.RightMM = beyond.LeftMM, beyond.RightMM
	}
	return j
}
