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
	reaches := false
	for _, p := range f.pieces {
		left, right, width := p.border(0), p.border(p.fountainMM), float64(p.across.px())
		if left <= hairPX && right >= width-hairPX {
			continue
		}
		if err := p.inkBeyond(left, right); err != nil {
			return nil, err
		}
		reaches = true
		leftMM = max(leftMM, min(left, width)*p.mmPerPX)
		rightMM = max(rightMM, min(width-right, width)*p.mmPerPX)
	}
	if !reaches {
		return nil, nil
	}
	text := fmt.Sprintf("the raster reaches beyond the fountain, by %s mm on the left and %s mm on the right; nothing prints there",
		mmText(leftMM), mmText(rightMM))
	return []Warning{{Ink: f.Ink(), Code: CodeBeyond, Text: text}}, nil
}

// inkBeyond refuses ink more than a pixel beyond the fountain's ends, which stand
// at left and right px.
func (p *piece) inkBeyond(left, right float64) error {
	overLeft, overRight := left-p.columns.first(), p.columns.last()-right
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
	return inMap(p.given, e)
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
		if over := p.reach() - printPX; over > 1 {
			inkMM = max(inkMM, over*mmPerPX)
		}
	}
	switch {
	case !longer:
		return nil
	case inkMM > 0:
		text := fmt.Sprintf("ink stands up to %s mm beyond the %s mm that the press prints from the lead edge; it is counted in its zones, but does not print",
			mmText(inkMM), mmText(f.printMM))
		return []Warning{{Ink: f.Ink(), Code: CodeOutside, Text: text, Facts: Outside{inkMM, f.printMM}}}
	}
	text := fmt.Sprintf("the raster is %s mm long, more than the %s mm that the press prints", mmText(f.Outline().LengthMM), mmText(f.printMM))
	return []Warning{{Ink: f.Ink(), Code: CodeLength, Text: text}}
}

// reach is how far ink stands from the piece's lead edge, in px; 0 where there is
// none.
func (p *piece) reach() float64 {
	for y := range p.along.px() {
		if p.along.at(y) > 0 {
			return float64(p.along.px() - y)
		}
	}
	return 0
}

// mmText rounds mm for a message.
func mmText(mm float64) string {
	if mm > 0 && mm < 0.001 {
		return "less than 0.001"
	}
	return settings.Plain(math.Round(mm*1e3) / 1e3)
}
