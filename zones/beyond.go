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
	p, fountainMM := f.piece(), f.fountain.WidthMM()
	left, right, width := p.border(0), p.border(fountainMM), float64(p.across.px())
	if left <= hairPX && right >= width-hairPX {
		return nil, nil
	}
	if overLeft, overRight := left-p.columns.first(), p.columns.last()-right; !f.Blank() && (overLeft > 1 || overRight > 1) {
		e := &InkBeyondError{FountainMM: fountainMM}
		if overLeft > 1 {
			e.LeftMM = overLeft * p.mmPerPX
		}
		if overRight > 1 {
			e.RightMM = overRight * p.mmPerPX
		}
		return nil, inMap(p.given, e)
	}
	text := fmt.Sprintf("the raster reaches beyond the fountain, by %s mm on the left and %s mm on the right; nothing prints there",
		mmText(max(0, min(left, width))*p.mmPerPX), mmText(max(0, min(width-right, width))*p.mmPerPX))
	return []Warning{{Ink: p.given.Ink, Code: CodeBeyond, Text: text}}, nil
}

// tooLong warns where the press prints less than the raster is long. The print
// begins at the lead edge. Ink in a pixel that reaches over its end is let
// pass, as in beyond.
func (f *Form) tooLong() []Warning {
	p := f.piece()
	if f.printMM == 0 || float64(p.along.px()) <= f.referencePX()+1 {
		return nil
	}
	mmPerPX := mmPerInch / p.along.dpi
	if over := p.reach() - f.referencePX(); over > 1 {
		text := fmt.Sprintf("ink stands up to %s mm beyond the %s mm that the press prints from the lead edge; it is counted in its zones, but does not print",
			mmText(over*mmPerPX), mmText(f.printMM))
		return []Warning{{Ink: p.given.Ink, Code: CodeOutside, Text: text, Facts: Outside{over * mmPerPX, f.printMM}}}
	}
	text := fmt.Sprintf("the raster is %s mm long, more than the %s mm that the press prints", mmText(p.along.lengthMM()), mmText(f.printMM))
	return []Warning{{Ink: p.given.Ink, Code: CodeLength, Text: text}}
}

// reach is how far ink stands from the lead edge, in px; 0 where there is none.
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
