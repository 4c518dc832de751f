package sheet

import (
	"errors"
	"fmt"
	"image"
	"image/color"
	"math"

	"bladeline/zones"
	"bladeline/zones/press"
)

// FormOptions say how a form is drawn by itself.
type FormOptions struct {
	PageSize PageSize     // "" is A4
	Press    *press.Press // that the forms are laid on, whose zones are drawn; nil draws none
	Title    string
}

// Places on the page of a form, mm.
const (
	formTopMM  = 22
	formSideMM = 20
	formFootMM = 24
)

// FormPage draws what the inks of a form print, all in one picture, in bench view
// with its lead edge at the bottom: the pieces by their numbers, and the zones of a
// press. The forms are of one sheet, an ink each.
func FormPage(forms []*zones.Form, o FormOptions) (*Page, error) {
	if len(forms) == 0 || len(forms[0].PieceOutlines()) == 0 {
		return nil, errors.New("there is no form of several pieces to draw; give one")
	}
	size, err := o.PageSize.sizeMM()
	if err != nil {
		return nil, err
	}
	whole := forms[0].Outline()
	s := formSheet{
		Page:  &Page{WidthMM: size[0], HeightMM: size[1], Title: o.Title},
		forms: forms, whole: whole, press: o.Press,
		scale: min((size[0]-2*formSideMM)/whole.WidthMM, (size[1]-formTopMM-formFootMM)/whole.LengthMM),
	}
	s.draw()
	return s.Page, nil
}

// formSheet is a page of a form in the making.
type formSheet struct {
	*Page
	forms []*zones.Form
	whole zones.Outline
	press *press.Press
	scale float64 // mm of the page for one of the form
}

func (s *formSheet) draw() {
	box := Box{Left: (s.WidthMM - s.whole.WidthMM*s.scale) / 2, Top: formTopMM}
	box.Right, box.Bottom = box.Left+s.whole.WidthMM*s.scale, box.Top+s.whole.LengthMM*s.scale
	s.text(marginMM, 12, ending(shown(s.Title), s.WidthMM-2*marginMM), 14, true, fromLeft)
	s.text(marginMM, 17.5, fmt.Sprintf("sheet %.6g × %.6g mm, face up", s.whole.WidthMM, s.whole.LengthMM), 9, false, fromLeft)
	s.add(Picture{box, combined(s.forms)})
	s.zones(box)
	for _, p := range s.pieces() {
		s.piece(box, p)
	}
	s.frame(box, 0.4)
	s.line(box.Left, box.Bottom, box.Right, box.Bottom, 1, Black)
	middle := (box.Left + box.Right) / 2
	s.text(middle, box.Bottom+9, "lead edge, nearest you", 9, true, centred)
	s.text(middle, box.Top-1.5, "tail edge", 8, false, centred)
}

// ending is as much of the end of a file's path as there is room for in the title's
// type.
func ending(path string, mostMM float64) string {
	letters := []rune(path)
	for cut := 0; cut < len(letters); cut++ {
		text := string(letters[cut:])
		if cut > 0 {
			text = "…" + text
		}
		if widthMM(text, 14, true) <= mostMM {
			return text
		}
	}
	return ""
}

// pieces are those of all inks, each once.
func (s *formSheet) pieces() (all []zones.PieceOutline) {
	type copyOf struct{ number, across, along int }
	seen := map[copyOf]bool{}
	for _, f := range s.forms {
		for _, p := range f.PieceOutlines() {
			if c := (copyOf{p.Number, p.Across, p.Along}); !seen[c] {
				seen[c] = true
				all = append(all, p)
			}
		}
	}
	return all
}

// piece outlines a copy of a piece, and numbers it where there is room.
func (s *formSheet) piece(on Box, p zones.PieceOutline) {
	b := Box{Left: on.Left + p.LeftMM*s.scale, Bottom: on.Bottom - p.FromLeadMM*s.scale}
	b.Right, b.Top = b.Left+p.WidthMM*s.scale, b.Bottom-p.LengthMM*s.scale
	b = Box{max(b.Left, on.Left), max(b.Top, on.Top), min(b.Right, on.Right), min(b.Bottom, on.Bottom)}
	if b.Right <= b.Left || b.Bottom <= b.Top {
		return
	}
	s.frame(b, 0.2)
	const numberPT = 9
	high := numberPT * mmPerPT
	label := fmt.Sprint(p.Number)
	wide := widthMM(label, numberPT, true) + 1.6
	if p.Number == 0 || b.Right-b.Left < wide+1 || b.Bottom-b.Top < high+2 {
		return
	}
	x, y := (b.Left+b.Right)/2, (b.Top+b.Bottom)/2
	s.area([]Point{{x - wide/2, y - high*0.7}, {x + wide/2, y - high*0.7}, {x + wide/2, y + high*0.7}, {x - wide/2, y + high*0.7}}, White, 0)
	s.text(x, y+high*0.36, label, numberPT, true, centred)
}

// zones draws the borders of a press's zones over the form, and their numbers below.
func (s *formSheet) zones(on Box) {
	if s.press == nil {
		return
	}
	f := s.press.Fountain
	across := func(fountainMM float64) float64 { return on.Left + (fountainMM-s.whole.LeftMM)*s.scale }
	for number := 1; number <= f.Zones; number++ {
		left, right := f.ZoneMM(number)
		from, to := max(across(left), on.Left), min(across(right), on.Right)
		if to <= from {
			continue
		}
		for _, x := range []float64{across(left), across(right)} {
			if x > on.Left && x < on.Right {
				s.line(x, on.Top, x, on.Bottom+4.5, 0.15, Mid)
			}
		}
		label := fmt.Sprint(number)
		if sizePT := 8.0; widthMM(label, sizePT, false) < to-from {
			s.text((from+to)/2, on.Bottom+4, label, sizePT, false, centred)
		}
	}
}

// combined is the ink of all inks of a form as gray: what is printed by none is white.
func combined(forms []*zones.Form) *image.Gray {
	var cells []zones.Cells
	for _, f := range forms {
		cells = append(cells, f.Cells())
	}
	columns, rows := cells[0].Size()
	picture := image.NewGray(image.Rect(0, 0, columns, rows))
	for y := range rows {
		for x := range columns {
			bare := 1.0
			for _, c := range cells {
				bare *= 1 - c.Ink(x, y)
			}
			picture.SetGray(x, y, color.Gray{Y: uint8(math.Round(255 * (paleMost + (1-paleMost)*bare)))})
		}
	}
	return picture
}

// paleMost is how light the darkest of the picture is: outlines are seen on it.
const paleMost = 0.3
