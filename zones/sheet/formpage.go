package sheet

import (
	"errors"
	"fmt"

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
	drawn := formDrawing{Page: s.Page, forms: s.forms, whole: box, left: box.Left, right: box.Right}
	drawn.ink()
	s.zones(box)
	drawn.pieces()
	s.frame(box, 0.4)
	s.line(box.Left, box.Bottom, box.Right, box.Bottom, 1, Black)
	middle := (box.Left + box.Right) / 2
	s.text(middle, box.Bottom+9, "gripper edge (lead edge), nearest you", 9, true, centred)
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
