package sheet

import (
	"fmt"
	"strconv"
	"strings"

	"bladeline/curves"
	"bladeline/zones/press"
)

// marks are the letters on keys that do not stand where the curve asks.
var marks = map[curves.State]string{curves.Ceiling: "C", curves.Floor: "F", curves.Neighbour: "N", curves.OffSheet: "O"}

// boxes writes under every zone its number, its coverage and its key, with a
// box for the key that was finally run.
func (s *sheet) boxes() {
	p := s.plan
	for i := range s.keys {
		s.frame(Box{p.x(i), p.key, p.x(i + 1), p.ok}, 0.3)
		if !s.answers {
			s.frame(Box{p.x(i), p.ok, p.x(i + 1), p.order}, 0.5)
		}
	}
	var numbers []string
	for _, k := range s.keys {
		numbers = append(numbers, strconv.Itoa(k.Zone))
	}
	s.row(numbers, p.number, fitted(numbers, p.column, 11, 1, true), numberMM, true)
	s.row(s.coverageTexts(), p.coverage, p.coverageType, p.coverageType.height, false)
	s.row(s.keyTexts(), p.key, p.keyType, p.keyType.height, true)
	if p.shutType.height > 0 {
		s.row(s.shutTexts(), p.shut, p.shutType, p.shutType.height, false)
	}
	if s.run != nil {
		s.row(s.presetTexts(), p.mark, p.presetType, p.markHeight, false)
	} else {
		s.stateMarks()
	}
	s.rowNames()
	s.order()
}

// row writes a text into every column, in the middle of the row.
func (s *sheet) row(texts []string, top float64, t typeSize, height float64, bold bool) {
	rise := ascent * t.sizePT * mmPerPT
	for i, text := range texts {
		m := Text{X: s.plan.middle(i), Y: top + (height+rise)/2, Before: centred, Text: shown(text), SizePT: t.sizePT, Bold: bold}
		if t.up {
			m.X, m.Y, m.Up = s.plan.middle(i)+rise/2, top+height/2, true
		}
		s.add(m)
	}
}

func (s *sheet) coverageTexts() []string {
	var texts []string
	for _, k := range s.keys {
		text := fmt.Sprintf("%.1f", k.CoveragePct)
		if k.CoveragePct >= 99.95 {
			text = "100"
		}
		texts = append(texts, text)
	}
	return texts
}

func (s *sheet) keyTexts() []string {
	var texts []string
	for _, k := range s.keys {
		texts = append(texts, k.KeyText)
	}
	return texts
}

// shutTexts are what the keys show when shut; none where all show 0.
func (s *sheet) shutTexts() []string {
	if !s.preset.StatesShut() {
		return nil
	}
	var texts []string
	for _, k := range s.keys {
		texts = append(texts, k.ShutText(s.preset.Press.KeyUnit))
	}
	return texts
}

// stateMarks puts a letter, white on black, into the boxes of held keys.
func (s *sheet) stateMarks() {
	p := s.plan
	for i, k := range s.keys {
		letter, limited := marks[k.State]
		if !limited {
			continue
		}
		half := min(p.column/2, 3) - 0.4
		s.area(Box{p.middle(i) - half, p.mark, p.middle(i) + half, p.ok - 0.4}.corners(), Black, 0)
		s.add(Text{X: p.middle(i), Y: p.mark + 2.7, Before: centred, Text: letter, SizePT: 8, Bold: true, Gray: White})
	}
}

// rowNames stand in the gutter.
func (s *sheet) rowNames() {
	p := s.plan
	name := func(top, bottom float64, text string, bold bool) {
		s.text(p.left-2, (top+bottom)/2+1, text, 8, bold, toRight)
	}
	name(p.number, p.coverage, "zone", true)
	name(p.coverage, p.key, "covered %", false)
	keys, beside := keyName(s.preset.Press.KeyUnit), "held by"
	if s.run != nil {
		keys, beside = strings.Replace(keys, "key", "run", 1), "preset"
	}
	name(p.key, p.shut, keys, true)
	if p.shutType.height > 0 {
		name(p.shut, p.mark, "shut at", false)
	}
	name(p.mark, p.ok, beside, false)
	if !s.answers {
		name(p.ok, p.order, "OK key", true)
	}
}

func keyName(unit press.KeyUnit) string {
	switch unit {
	case press.Turn:
		return "key, turns"
	case press.Notch:
		return "key, notch"
	}
	return "key, %"
}

// order shows the order of work under the boxes: from the centre to the edges
// (printwiki, "Fountain Keys").
func (s *sheet) order() {
	p := s.plan
	text := "begin at the centre, work to both edges"
	switch s.preset.Press.Sense() {
	case press.Closes:
		text += ": clockwise closes, counter-clockwise opens"
	case press.Opens:
		text += ": clockwise opens, counter-clockwise closes"
	}
	middle, y := (p.left+p.right)/2, p.order+orderMM/2+0.3
	half := widthMM(text, 8, false)/2 + 2
	s.text(middle, y+1, text, 8, false, centred)
	for _, side := range []float64{-1, 1} {
		tip := middle + side*(p.right-p.left)/2
		s.line(middle+side*half, y, tip-side*2, y, 0.4, Black)
		s.area([]Point{{tip, y}, {tip - side*2.6, y - 1.1}, {tip - side*2.6, y + 1.1}}, Black, 0)
	}
}
