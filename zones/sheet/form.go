package sheet

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"math"

	"bladeline/zones"
	"bladeline/zones/preset"
	"bladeline/zones/press"

	"github.com/disintegration/imaging"
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
	box := s.formBox(f)
	s.add(Picture{box, f.picture(s.fountainMM(), box)})
	s.frame(box, 0.25)
	middle := (p.left + p.right) / 2
	s.text(middle, p.formTop-1.2, "tail edge", 8, false, centred)
	s.line(box.Left, box.Bottom, box.Right, box.Bottom, 0.9, Black)
	s.text(middle, p.formBottom+3.2, "gripper edge (lead edge), nearest you", 8, true, centred)
	s.rule(f, box)
}

// formBox is where the picture stands, cut off at the fountain's ends.
func (s *sheet) formBox(f *drawnForm) Box {
	p, scale := s.plan, s.scale()
	return Box{
		Left: max(p.left, p.left+f.LeftMM*scale), Right: min(p.right, p.left+(f.LeftMM+f.WidthMM)*scale),
		Top: p.formTop, Bottom: p.formBottom,
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

// picture is the ink as gray, in as many pixels as the page can show.
func (f *drawnForm) picture(fountainMM float64, box Box) *image.Gray {
	const pxPerMM = 4
	canvas := painted(f.Cells(), 1024)
	bounds := canvas.Bounds()
	pxPerFormMM := float64(bounds.Dx()) / f.WidthMM
	visible := image.Rect(
		int(math.Round(max(0, -f.LeftMM)*pxPerFormMM)), 0,
		int(math.Round(min(f.WidthMM, fountainMM-f.LeftMM)*pxPerFormMM)), bounds.Dy())
	width := max(1, int((box.Right-box.Left)*pxPerMM))
	height := max(1, int((box.Bottom-box.Top)*pxPerMM))
	return resized(imaging.Crop(canvas, visible), width, height)
}

func resized(picture image.Image, width, height int) *image.Gray {
	scaled := imaging.Resize(picture, width, height, imaging.Box)
	gray := image.NewGray(scaled.Bounds())
	draw.Draw(gray, gray.Bounds(), scaled, image.Point{}, draw.Src)
	return gray
}

func encoded(picture *image.Gray) []byte {
	var b bytes.Buffer
	png.Encode(&b, picture) // a Buffer takes everything
	return b.Bytes()
}

// Painted is a form's ink as gray, from its cells, paper white, most pixels wide
// and high at most.
func Painted(f *zones.Form, most int) *image.Gray {
	canvas := painted(f.Cells(), most/4)
	size := canvas.Bounds().Size()
	if longer := max(size.X, size.Y); longer > most {
		return resized(canvas, max(1, scaled(size.X, most, longer)), max(1, scaled(size.Y, most, longer)))
	}
	return canvas
}

// scaled is a side of a picture whose longer one is to be most.
func scaled(side, most, longer int) int { return int(int64(side) * int64(most) / int64(longer)) }

// painted paints the cells where they are, a few pixels each, as the last ones
// may be narrower. Where there are more cells than most either way each gets
// one pixel: finer than is shown, and it would cost memory.
func painted(c zones.Cells, most int) *image.Gray {
	pxPerCell := 4
	columns, rows := c.Size()
	if max(columns, rows) > most {
		pxPerCell = 1
	}
	canvas := image.NewGray(image.Rect(0, 0, columns*pxPerCell, rows*pxPerCell))
	atX := func(i int) int { return int(math.Round(c.Left(i) * float64(columns*pxPerCell))) }
	atY := func(i int) int { return int(math.Round(c.Top(i) * float64(rows*pxPerCell))) }
	for y := range rows {
		for x := range columns {
			shade := color.Gray{Y: uint8(math.Round(255 * (1 - min(1, c.Ink(x, y)))))}
			draw.Draw(canvas, image.Rect(atX(x), atY(y), atX(x+1), atY(y+1)), image.NewUniform(shade), image.Point{}, draw.Src)
		}
	}
	return canvas
}
