package zones

import (
	"fmt"
	"math"

	"bladeline/curves/settings"
)

// beyond refuses ink beyond the fountain's ends, and warns of blank raster. Ink
// in a pixel that reaches over an end is let pass: files round resolutions, PNG
// to whole pixels a metre, and a form as wide as the fountain then overlaps it.
func (f *Form) beyond() ([]Warning, error) {
	var leftMM, rightMM float64
	var beyond *InkBeyondError
	reaches := false
	for _, p := range f.pieces {
		left, right, width := p.border(0), p.border(p.fountainMM), float64(p.across.px())
		if left <= hairPX && right >= width-hairPX {
			continue
		}
		if e := p.inkBeyond(left, right); e != nil {
			if f.sheet == nil {
				return nil, inMap(p.given, e)
			}
			beyond = e.and(beyond)
		}
		reaches = true
		leftMM = max(leftMM, min(left, width)*p.mmPerPX)
		rightMM = max(rightMM, min(width-right, width)*p.mmPerPX)
	}
	switch {
	case beyond != nil:
		beyond.InForm, beyond.OfPieces = IsForm(f.sheet.of.File), true
		return nil, inMap(f.sheet.of, beyond)
	case !reaches:
		return nil, nil
	}
	text := fmt.Sprintf("the "+f.called()+" reaches beyond the fountain, by %s mm on the left and %s mm on the right; nothing prints there",
		mmText(leftMM), mmText(rightMM))
	return []Warning{{Ink: f.Ink(), Code: CodeBeyond, Text: text}}, nil
}

// called is what a form is called in a message.
func (f *Form) called() string {
	if f.sheet != nil {
		return "form"
	}
	return "raster"
}

// inkBeyond refuses ink more than a pixel beyond the fountain's ends, which stand
// at left and right px.
func (p *piece) inkBeyond(left, right float64) *InkBeyondError {
	overLeft, overRight := left-p.columns.first, p.columns.last-right
	if p.columns.total() == 0 || overLeft <= 1 && overRight <= 1 {
		return nil
	}
	e := &InkBeyondError{FountainMM: p.fountainMM}
	if overLeft > 1 {
		e.LeftMM = overLeft * p.mmPerPX
	}
	if overRight > 1 {
		e.RightMM = overRight * p.mmPerPX
	}
	return e
}

// and is how far the ink of several pieces stands beyond the ends.
func (e *InkBeyondError) and(other *InkBeyondError) *InkBeyondError {
	if other != nil {
		e.LeftMM, e.RightMM = max(e.LeftMM, other.LeftMM), max(e.RightMM, other.RightMM)
	}
	return e
}

// tooLong warns where the press prints less than the form is long. The print
// begins at the lead edge. Ink in a pixel that reaches over its end is let
// pass, as in beyond.
func (f *Form) tooLong() []Warning {
	if f.printMM == 0 {
		return nil
	}
	var inkMM float64
	longer := false
	for _, p := range f.pieces {
		mmPerPX := mmPerInch / p.along.dpi
		printPX := f.referencePX(p) - p.fromLeadMM/mmPerPX
		longer = longer || float64(p.along.px()) > printPX+1
		if over := p.reachPX - printPX; over > 1 {
			inkMM = max(inkMM, over*mmPerPX)
		}
	}
	switch {
	case !longer:
		return nil
	case inkMM > 0:
		text := fmt.Sprintf("ink stands up to %s mm beyond the %s mm that the press prints from the gripper edge; it is counted in its zones, but does not print",
			mmText(inkMM), mmText(f.printMM))
		return []Warning{{Ink: f.Ink(), Code: CodeOutside, Text: text, Facts: Outside{inkMM, f.printMM}}}
	}
	text := fmt.Sprintf("the %s is %s mm long, more than the %s mm that the press prints", f.called(), mmText(f.extent().LengthMM), mmText(f.printMM))
	return []Warning{{Ink: f.Ink(), Code: CodeLength, Text: text}}
}

// mmText rounds mm for a message: nobody sees, or sets, less than a tenth of what is
// long.
func mmText(mm float64) string {
	switch {
	case mm > 0 && mm < 0.001:
		return "less than 0.001"
	case mm < 10:
		return settings.Plain(math.Round(mm*1e3) / 1e3)
	}
	return settings.Plain(math.Round(mm*10) / 10)
}
