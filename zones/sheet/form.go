package sheet

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/png"
	"math"

	"bladeline/zones"
	"bladeline/zones/preset"
	"bladeline/zones/press"
)

// drawnForm is a form, and where it stands over the fountain.
type drawnForm struct {
	*zones.Form
	zones.Outline
}

// form is the unit's; nil where there is none over the fountain.
func (s *sheet) form() (*drawnForm, error) {
	laid := s.options.Forms[s.unit.Ink]
	if laid == nil {
		return nil, nil
	}
	if err := checkPresetFrom(s.preset, s.unit, laid); err != nil {
		return nil, err
	}
	f := &drawnForm{laid, laid.Outline()}
	if f.LeftMM >= s.fountainMM() || f.LeftMM+f.WidthMM <= 0 {
		return nil, nil // a blank form beside the fountain
	}
	return f, nil
}

// fountainMM is the fountain's length, where the preset states its zones'.
func (s *sheet) fountainMM() float64 {
	return *s.preset.Press.ZoneWidthMM * float64(len(s.keys))
}

// PressUnder is as much of a preset's press as a form is laid on to be drawn: the
// fountain, for one of its units.
func PressUnder(p *preset.Preset, u *preset.Unit) (*press.Press, error) {
	if err := checkUnit(p, u); err != nil {
		return nil, err
	}
	return &press.Press{Fountain: press.Fountain{Zones: p.Press.Zones, ZoneWidthMM: *p.Press.ZoneWidthMM, FirstZone: *p.Press.FirstZone}}, nil
}

// CheckForm refuses a form that a unit was not preset from, or that lies otherwise
// than it did, by an OtherFormError.
func CheckForm(p *preset.Preset, u *preset.Unit, f *zones.Form) error {
	if err := checkUnit(p, u); err != nil {
		return err
	}
	return checkPresetFrom(p, u, f)
}

// checkUnit refuses what no form can be laid for.
func checkUnit(p *preset.Preset, u *preset.Unit) error {
	if err := p.Validate(); err != nil {
		return err
	}
	if u == nil {
		return errNoUnit
	}
	return checkStatesFountain(p, u)
}

var errNoUnit = errors.New("there is no unit to draw; give one of the preset")

// checkStatesFountain refuses a preset that does not say where the fountain's zones are.
func checkStatesFountain(p *preset.Preset, u *preset.Unit) error {
	if p.Press.ZoneWidthMM == nil || p.Press.FirstZone == nil {
		return fmt.Errorf("ink %s: the preset does not state how wide the zones are and where the first is; give the preset's JSON", u.Ink)
	}
	return nil
}

// checkPresetFrom refuses a form that is not the one that a unit was preset from, and lies
// as it did: its zones then bear the preset's coverages, all times one factor,
// as the reference length is the press's. The error says what differs.
func checkPresetFrom(p *preset.Preset, u *preset.Unit, laid *zones.Form) error {
	if err := checkStatesFountain(p, u); err != nil {
		return err
	}
	placed, _, err := laid.Zones()
	if err != nil {
		return err
	}
	if len(placed) != len(u.Keys) {
		return fmt.Errorf("ink %s: the form lies over %d zones, and the preset has %d; lay it on the preset's press", u.Ink, len(placed), len(u.Keys))
	}
	var was, here float64
	for i, z := range placed {
		was, here = was+u.Keys[i].CoveragePct, here+z.CoveragePct
	}
	factor := 1.0
	if here > 0 {
		factor = was / here
	}
	const tolerancePct = 0.05
	for i, z := range placed {
		if got := factor * z.CoveragePct; math.Abs(got-u.Keys[i].CoveragePct) > tolerancePct {
			return &OtherFormError{laid.Source().File, u.Ink, z.Number, got, u.Keys[i].CoveragePct}
		}
	}
	return nil
}

// drawForm draws the picture over the zones that it inks, to their scale, with
// its edges named.
func (s *sheet) drawForm(f *drawnForm) {
	if f == nil {
		return
	}
	p := s.plan
	drawn := s.formDrawing(f)
	drawn.ink()
	box := drawn.box()
	s.frame(box, 0.25)
	middle := (p.left + p.right) / 2
	s.text(middle, p.formTop-1.2, "tail edge", 8, false, centred)
	s.line(box.Left, box.Bottom, box.Right, box.Bottom, 0.9, Black)
	s.text(middle, p.formBottom+3.2, "gripper edge (lead edge), nearest you", 8, true, centred)
	s.rule(f, box)
}

// formDrawing is the form where it lies over the fountain, at whose ends it is cut off.
func (s *sheet) formDrawing(f *drawnForm) *formDrawing {
	p, scale := s.plan, s.scale()
	whole := Box{Left: p.left + f.LeftMM*scale, Right: p.left + (f.LeftMM+f.WidthMM)*scale, Top: p.formTop, Bottom: p.formBottom}
	return &formDrawing{Page: s.Page, forms: []*zones.Form{f.Form}, whole: whole, left: p.left, right: p.right}
}

// pieces outlines the form's pieces, over the zones' borders.
func (s *sheet) pieces(f *drawnForm) {
	if f != nil {
		s.formDrawing(f).pieces()
	}
}

// rule measures the form from its lead edge, in the gutter.
func (s *sheet) rule(f *drawnForm, box Box) {
	step := 50.0
	for f.LengthMM/step > 8 {
		step *= 2
	}
	x := s.plan.left - 2
	s.line(x, box.Top, x, box.Bottom, 0.2, Black)
	for v := 0.0; v <= f.LengthMM; v += step {
		y := box.Bottom - v/f.LengthMM*(box.Bottom-box.Top)
		s.line(x-1, y, x, y, 0.2, Black)
		label := fmt.Sprintf("%g", v)
		if v == 0 {
			label = "0 mm"
		}
		if y-box.Top > 1.5 || v == 0 {
			s.text(x-1.6, y+0.9, label, 7, false, toRight)
		}
	}
}

func encoded(picture *image.Gray) []byte {
	var b bytes.Buffer
	png.Encode(&b, picture) // a Buffer takes everything
	return b.Bytes()
}
