package sheet

import (
	"cmp"
	"fmt"
	"strings"

	"bladeline/curves"
	"bladeline/zones"
	"bladeline/zones/preset"
	"bladeline/zones/press"
)

// A note is a heading and what it says.
type note struct{ heading, text string }

const (
	noteColumns = 4
	columnGapMM = 5
)

// notes fill the foot of the page: the cautions in a column of their own, so
// that nothing displaces them, and before them what there is to say of this
// ink, in type as large as fits.
func (s *sheet) notes(f *drawnForm) { s.foot(s.about(f)) }

// foot sets notes at the foot of the page.
func (s *sheet) foot(about []note) {
	width := s.noteWidth()
	x := func(column int) float64 { return marginMM + float64(column)*(width+columnGapMM) }
	columns, size, _ := s.fill(cautions, width, 1)
	s.column(x(noteColumns-1), columns[0], size)

	columns, size, over := s.fill(about, width, noteColumns-1)
	if over > 0 {
		last := columns[len(columns)-1]
		last[len(last)-1] = noteLine{fmt.Sprintf("… and %d more lines: see the preset", over+1), true}
	}
	for c, lines := range columns {
		s.column(x(c), lines, size)
	}
}

func (s *sheet) noteWidth() float64 {
	return (s.Page.WidthMM - 2*marginMM - (noteColumns-1)*columnGapMM) / noteColumns
}

// fill sets notes in columns, in the largest type that they fit in; over is how
// many lines find no place even in the smallest.
func (s *sheet) fill(notes []note, widthMM float64, columns int) (filled [][]noteLine, sizePT float64, over int) {
	for sizePT = cmp.Or(s.plan.notesPT, largestPT); ; sizePT -= 0.5 {
		perColumn := int((s.plan.notes - 1) / leading(sizePT))
		filled, over = flow(set(notes, sizePT, widthMM), perColumn, columns)
		if over > 0 && sizePT > smallestPT {
			continue
		}
		if whole := flowWhole(notes, sizePT, widthMM, perColumn); s.plan.notesWhole && len(whole) <= columns {
			filled, over = whole, 0
		}
		return filled, sizePT, over
	}
}

// flow fills columns with lines; over is how many found no place. A heading
// stays with its text.
func flow(lines []noteLine, perColumn, most int) (columns [][]noteLine, over int) {
	for len(lines) > 0 && len(columns) < most {
		n := min(perColumn, len(lines))
		if n < len(lines) && lines[n-1].bold {
			n--
		}
		columns, lines = append(columns, lines[:n:n]), lines[n:]
	}
	return columns, len(lines)
}

// flowWhole fills as many columns as it takes with notes that stay in one piece,
// where a column holds them.
func flowWhole(notes []note, sizePT, widthMM float64, perColumn int) (columns [][]noteLine) {
	for _, n := range notes {
		lines := set([]note{n}, sizePT, widthMM)
		if last := len(columns) - 1; last >= 0 && len(columns[last])+len(lines) <= perColumn {
			columns[last] = append(columns[last], lines...)
			continue
		}
		more, _ := flow(lines, perColumn, len(lines))
		columns = append(columns, more...)
	}
	return columns
}

// The smallest and the largest type of notes.
const (
	smallestPT = 7
	largestPT  = 9
)

func leading(sizePT float64) float64 { return 1.22 * sizePT * mmPerPT }

// mostLines is how far it is counted what finds no place on a page: many times
// what does.
const mostLines = 2000

type noteLine struct {
	text string
	bold bool
}

// set breaks notes into lines.
func set(notes []note, sizePT, widthMM float64) []noteLine {
	var lines []noteLine
	for _, n := range notes {
		if len(lines) >= mostLines {
			break
		}
		lines = append(lines, noteLine{shortened(n.heading, sizePT, true, widthMM), true})
		for _, text := range wrap(n.text, sizePT, widthMM, mostLines) {
			lines = append(lines, noteLine{text, false})
		}
	}
	return lines
}

func (s *sheet) column(x float64, lines []noteLine, sizePT float64) {
	for i, l := range lines {
		s.text(x, s.plan.note+1+float64(i+1)*leading(sizePT)-descent*sizePT*mmPerPT, l.text, sizePT, l.bold, fromLeft)
	}
}

// about is what there is to say of this ink, the most urgent first; what was
// asked for comes before what may be long.
func (s *sheet) about(f *drawnForm) []note {
	notes := s.runNotes()
	if s.unit.Charge != nil && s.run == nil { // it is done before all else
		notes = append([]note{{"First, charging the rollers", *s.unit.Charge}}, notes...)
	}
	if s.run == nil {
		notes = append(notes, s.limitNotes()...)
	}
	if lines := s.options.Inks[s.unit.Ink]; len(lines) > 0 {
		notes = append(notes, note{"Ink for the run, estimated", strings.Join(lines, "; ")})
	}
	for _, w := range s.preset.Warnings {
		if w.Ink == "" || strings.EqualFold(w.Ink, s.unit.Ink) {
			notes = append(notes, note{warningHeading(w), w.Text})
		}
	}
	notes = append(notes, s.scaleNote(f))
	if s.unit.SweepReason != nil && *s.unit.SweepReason != "" {
		heading := "Why this sweep"
		if s.run != nil {
			heading = "Why the preset's sweep"
		}
		reason := *s.unit.SweepReason
		if s.answers { // whoever set it is not who reads this
			reason = strings.Replace(reason, "you set", "set to", 1)
		}
		notes = append(notes, note{heading, reason})
	}
	if s.unit.Curve != nil {
		heading := "Curve"
		if s.unit.ByTrain != nil {
			heading = "Keys by the train, their level by curve"
		}
		notes = append(notes, note{heading, *s.unit.Curve})
	}
	return notes
}

func warningHeading(w zones.Warning) string {
	if w.Zone == nil {
		return "Warning"
	}
	return fmt.Sprintf("Warning, zone %d", *w.Zone)
}

// limitNotes say in words what the letters on keys mean, where there are any.
func (s *sheet) limitNotes() []note {
	var notes []note
	for _, limit := range []struct {
		state         curves.State
		heading, text string
	}{
		{curves.Ceiling, "C: at the ceiling", "the form asks for more than the most opening gives. Watch for thin colour; a longer sweep feeds more."},
		{curves.Floor, "F: at the floor", "the form asks for less than the least opening gives. Watch for too much ink."},
		{curves.Neighbour, "N: held by a neighbour", "one blade cannot bend so steeply, so the key stands wider than the form asks."},
		{curves.OffSheet, "O: off the sheet", "no form lies over the key."},
	} {
		if list := zoneRanges(s.unit.Keys, func(k preset.Key) bool { return k.State == limit.state }); list != "" {
			notes = append(notes, note{limit.heading, list + ": " + limit.text})
		}
	}
	return notes
}

// zoneRanges names the zones of some keys, as "Zones 1–4 and 7"; empty
// where there are none.
func zoneRanges(keys []preset.Key, among func(preset.Key) bool) string {
	var ranges []string
	count := 0
	for i := 0; i < len(keys); i++ {
		from := i
		for i < len(keys) && among(keys[i]) {
			i++
		}
		switch n := i - from; {
		case n == 1:
			ranges = append(ranges, fmt.Sprint(keys[from].Zone))
		case n > 1:
			ranges = append(ranges, fmt.Sprintf("%d–%d", keys[from].Zone, keys[i-1].Zone))
		}
		count += i - from
	}
	switch last := len(ranges) - 1; {
	case count == 0:
		return ""
	case count == 1:
		return "Zone " + ranges[0]
	case last == 0:
		return "Zones " + ranges[0]
	default:
		return "Zones " + strings.Join(ranges[:last], ", ") + " and " + ranges[last]
	}
}

// scaleNote says how to read the drawing and which way to turn.
func (s *sheet) scaleNote(f *drawnForm) note {
	text := turning(s.preset.Press, !s.preset.StatesShut()) + fmt.Sprintf(" Seen as a pulled sheet lies: face up, gripper edge (lead edge) nearest you. The gap is drawn to scale: %.0f mm here are the whole travel of a key.", s.plan.gap)
	if !s.onePiece() && s.preset.Press.Blade == nil {
		text += " The kind of blade is not stated: the gap is drawn key by key."
	}
	if f != nil {
		if short := f.LengthMM * s.scale() / (s.plan.formBottom - s.plan.formTop); short > 1.05 {
			text += fmt.Sprintf(" The picture is squashed lengthways: its length is drawn %.1f times smaller than its width.", short)
		}
	}
	return note{"Reading this sheet", text}
}

// turning says what a press's key scale counts, and which way to turn; whether it
// counts from where keys are shut.
func turning(on preset.StatedPress, fromShut bool) string {
	unit, more := "% of their travel", " a higher figure, more ink."
	switch on.KeyUnit {
	case press.Turn:
		unit, more = "turns of the screw", ""
	case press.Notch:
		unit, more = "notches", " more notches, more ink."
	}
	text := "Keys in " + unit + " from shut"
	if !fromShut {
		text = "Keys in " + unit + " from each key's own 0, which need not be where it is shut"
	}
	if more == "" {
		text += "."
	} else {
		text += ":" + more
	}
	switch on.Sense() {
	case press.Closes:
		text += " Clockwise closes: less ink. Counter-clockwise opens: more ink."
	case press.Opens:
		text += " Clockwise opens: more ink. Counter-clockwise closes: less ink."
	}
	return text
}

var cautions = []note{{
	"Cautions", "These settings are where to start; your eye and the densitometer decide. Nips and fountain rollers catch hands and cloths: before touching keys, stop the press and make it safe as its manual and local rules say. Never screw a key hard against the fountain roller.",
}}
