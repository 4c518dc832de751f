package sheet

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"bladeline/zones/preset"
	"bladeline/zones/press"
)

// ChangeOptions are what a change-over does not say itself.
type ChangeOptions struct {
	PageSize PageSize // "" is A4
	Says     string   // what the change is for, where it is not for the next job
}

// ChangePages draw a change-over, a page a unit, pass by pass: for every key where
// it stands, where it goes and which way, large, for one who stands at the press
// with ink on his hands. It refuses a press of more than MaxZones zones.
func ChangePages(c *preset.ChangeOver, o ChangeOptions) ([]*Page, error) {
	if c == nil {
		return nil, errors.New("there is no change-over to draw; give one")
	}
	size, err := o.PageSize.sizeMM()
	if err == nil {
		err = legible(c.Press.Zones)
	}
	if err != nil {
		return nil, err
	}
	var pages []*Page
	for i := range c.Steps {
		for j := range c.Steps[i].Units {
			u := &c.Steps[i].Units[j]
			page := &Page{WidthMM: size[0], HeightMM: size[1], Title: title(c.ThisJob, u.Ink)}
			s := &changeSheet{sheet: &sheet{Page: page}, change: c, says: o.Says, pass: c.Steps[i].Pass, unit: u, keys: slices.Clone(u.Keys)}
			if end := c.Press.FirstZone; end != nil && *end == press.Right {
				slices.Reverse(s.keys)
			}
			s.draw()
			pages = append(pages, page)
		}
	}
	return pages, nil
}

// changeSheet is one page of a change-over in the making.
type changeSheet struct {
	*sheet // its page, and the notes at its foot
	change *preset.ChangeOver
	says   string
	pass   *int
	unit   *preset.UnitChange
	keys   []preset.KeyChange // from the left in bench view
}

// Heights of the parts of a change-over's page, mm, and the type of its notes.
const (
	washUpMM      = 9
	changeNotesMM = 31 // more where there is room, and larger type
	roomyNotesPT  = 13
	bankGapMM     = 4
)

func (s *changeSheet) draw() {
	s.header()
	top := marginMM + headerMM - 0.6
	if s.unit.WashUp {
		s.washUp(top)
		top += washUpMM + 1.5
	}
	foot := s.Page.HeightMM - marginMM
	s.plan.note = bankGapMM + s.banks(Box{marginMM + gutterMM, top, s.Page.WidthMM - marginMM, foot - changeNotesMM - bankGapMM})
	s.plan.notes, s.plan.notesPT, s.plan.notesWhole = foot-s.plan.note, roomyNotesPT, true
	s.foot(s.about())
}

// header names the ink, the jobs and the press, and says what becomes of the
// sweep, large, with a box for the one that is finally run.
func (s *changeSheet) header() {
	const boxWidth, boxHeight = 34.0, 14.0
	right := s.Page.WidthMM - marginMM
	box := Box{right - boxWidth, marginMM, right, marginMM + boxHeight}
	s.frame(box, 0.5)
	s.text(box.Left+1.2, box.Top+3.2, "OK sweep", 8, false, fromLeft)

	label, sweep := s.sweep()
	sweep = shortened(sweep, leastSweepPT, true, 75)
	pt := fitting(sweep, 30, leastSweepPT, 75)
	s.text(box.Left-4, box.Bottom-1, sweep, pt, true, toRight)
	x := box.Left - 4 - widthMM(shown(sweep), pt, true) - 3
	s.text(x, box.Bottom-1, label, 13, false, toRight)

	width := x - widthMM(label, 13, false) - 8 - marginMM
	size := min(28, max(18, width/widthMM(shown(s.unit.Ink), 1, true)))
	s.text(marginMM, marginMM+9, shortened(s.unit.Ink, size, true, width), size, true, fromLeft)
	s.text(marginMM, marginMM+15.4, shortened(s.jobs(), 11, false, width), 11, false, fromLeft)
	s.line(marginMM, marginMM+headerMM-1.6, right, marginMM+headerMM-1.6, 0.6, Black)
}

// sweep is what becomes of the sweep, and what is said before it.
func (s *changeSheet) sweep() (label, sweep string) {
	unit := s.change.Press.SweepUnit
	sweep = press.Amount(s.unit.Sweep, unit)
	switch {
	case s.unit.SweepWas == nil:
		return "Sweep", sweep
	case *s.unit.SweepDifference == 0:
		return "Sweep stays", sweep
	}
	was, _, _ := strings.Cut(press.Amount(*s.unit.SweepWas, unit), " ")
	return "Sweep", was + " → " + sweep
}

// jobs are the unit and pass, the jobs and the press.
func (s *changeSheet) jobs() string {
	var parts []string
	if s.unit.Unit != nil {
		parts = append(parts, "unit "+*s.unit.Unit)
	}
	if s.pass != nil {
		parts = append(parts, fmt.Sprintf("pass %d", *s.pass))
	}
	job := s.change.ThisJob
	if job == "" {
		job = "no name of a job"
	}
	parts = append(parts, job)
	switch last := s.change.LastJob; {
	case s.says != "":
		parts = append(parts, s.says)
	case s.unit.PassWas != nil:
		parts = append(parts, fmt.Sprintf("after pass %d", *s.unit.PassWas))
	case last != nil:
		parts = append(parts, "after "+*last)
	}
	return strings.Join(append(parts, s.change.Press.Name), "  |  ")
}

// washUp is a bar across the page, which nobody overlooks.
func (s *changeSheet) washUp(top float64) {
	box := Box{marginMM, top, s.Page.WidthMM - marginMM, top + washUpMM}
	s.area(box.corners(), Black, 0)
	text := shortened(capital(s.unit.WashUpWords()), 18, true, box.Right-box.Left-6)
	s.add(Text{X: (box.Left + box.Right) / 2, Y: box.Bottom - 2.4, Before: centred, Text: text, SizePT: 18, Bold: true, Gray: White})
}

// now says what left the keys where they are taken to stand; "" where that is not known.
func (s *changeSheet) now() string {
	by, run := "", s.change.LastWasRun
	switch {
	case s.unit.InkWas == nil:
		return ""
	case s.unit.PassWas != nil:
		by, run = fmt.Sprintf("pass %d of this job, %s,", *s.unit.PassWas, *s.unit.InkWas), s.change.ThisWasRun
	case s.change.LastJob == nil:
		return ""
	default:
		by = *s.change.LastJob
	}
	how := "as it was preset"
	if run {
		how = "as it was finally run"
	}
	return fmt.Sprintf("Keys are taken to stand where %s left them, %s.", by, how)
}

// about is what there is to say, the most urgent first.
func (s *changeSheet) about() []note {
	notes := []note{{capital(s.unit.CountWords()), capital(s.change.OrderWords(s.unit.InRounds())) + "."}}
	if text := s.now(); text != "" && s.says == "" {
		notes = append(notes, note{"Now", text})
	}
	if s.says != "" {
		notes = append(notes, note{"Correction", "Ink keeps moving for many sheets after a key was moved: print, pull another sheet, measure, and correct again."})
	}
	if text := s.unit.NotReadWords(); text != "" {
		notes = append(notes, note{"Not read", capital(text) + "."})
	}
	if text := s.unit.RoundsWords(); text != "" {
		notes = append(notes, note{fmt.Sprintf("In %d rounds", *s.unit.Rounds), capital(text) + "."})
	}
	if s.unit.WashUp {
		notes = append(notes, note{"Wash-up", preset.WashUpCaution})
	}
	if s.unit.InkWas == nil {
		notes = append(notes, note{"What stands", "Nothing is known of what stands in this unit: set every key to its figure."})
	}
	return append(notes, note{"Reading this sheet", turning(s.change.Press, !s.change.StatesShut) + " Gray keys stay; begin at the zone whose number is white on black. The zones stand as under a pulled sheet: face up, gripper edge (lead edge) nearest you."})
}

func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }
