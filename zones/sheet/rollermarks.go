package sheet

import (
	"fmt"
	"math"

	"bladeline/zones/preset/rollerchart"
)

// marksGutterMM is left of the plate's length, for names and circumferences.
const marksGutterMM = 62

// marks draw where the marks of each roller come back along the plate, from the first,
// which is drawn at the gripper edge.
func (d *rollerSheets) marks() {
	rows := d.chart.Rollers[1:] // without the ductor
	high, perPage := d.rowMM(len(rows))
	perPage-- // the figures of the scale below
	for from := 0; from < len(rows); from += perPage {
		p, room := d.page("Marks that come back: "+d.chart.Press, "marks", from/perPage), d.room()
		p.text(room.Left, room.Top+1, "What a roller prints once, it prints again a circumference further on, on plate and sheet alike. Distances in mm from the first mark.", 9, false, fromLeft)
		m := rollerMarks{Page: p, in: Box{room.Left + marksGutterMM, room.Top + headingRowMM, room.Right - 4, room.Bottom}, lengthMM: d.chart.ImageMM, rowMM: high}
		shown := rows[from:min(from+perPage, len(rows))]
		for i := range shown {
			m.row(i, letter(from+i+1), &shown[i])
		}
		m.foot(len(shown))
	}
}

// rollerMarks are the places along a plate.
type rollerMarks struct {
	*Page
	in       Box
	lengthMM float64
	rowMM    float64
}

func (m rollerMarks) x(mm float64) float64 {
	return m.in.Left + (m.in.Right-m.in.Left)*mm/m.lengthMM
}

// row draws a roller's marks, with as many of their figures as there is room for.
func (m rollerMarks) row(i int, letter string, r *rollerchart.Roller) {
	y := m.in.Top + (float64(i)+1)*m.rowMM - 0.8
	left := m.in.Left - marksGutterMM
	m.text(left, y, letter, rollerTypePT, true, fromLeft)
	m.text(left+7, y, shortened(r.Name, rollerTypePT, false, marksGutterMM-7-24), rollerTypePT, false, fromLeft)
	m.text(m.in.Left-3, y, fmt.Sprintf("every %.1f", r.CircumferenceMM), 8, false, toRight)
	m.line(m.in.Left, y, m.in.Right, y, 0.1, Mid)
	tick := 0.5 * m.rowMM
	m.line(m.in.Left, y, m.in.Left, y-tick, 0.7, Black)
	free := m.in.Left + 1
	for _, mm := range r.RepeatsMM {
		x := m.x(mm)
		m.line(x, y, x, y-tick, 0.4, Black)
		text := fmt.Sprintf("%.0f", mm)
		wide := widthMM(text, smallRollerPT, false)
		if x-wide-0.7 > free {
			m.text(x-0.7, y-0.7, text, smallRollerPT, false, toRight)
		}
		free = x + 0.7
	}
}

// foot draws the plate's length below, with figures.
func (m rollerMarks) foot(rows int) {
	y := m.in.Top + float64(rows)*m.rowMM + 1.5
	m.line(m.in.Left, y, m.in.Right, y, 0.3, Black)
	every := 50.0
	if m.lengthMM > 1000 {
		every = 50 * math.Ceil(m.lengthMM/1000)
	}
	for mm := 0.0; mm <= m.lengthMM; mm += every {
		m.line(m.x(mm), y, m.x(mm), y+1.2, 0.3, Black)
		m.text(m.x(mm), y+4, fmt.Sprintf("%.0f", mm), 8, false, centred)
	}
}

// findings write what was found of rollers that were measured, and what to do.
func (d *rollerSheets) findings() {
	if !d.chart.Measured {
		return
	}
	const sizePT = 10
	room, gap := d.room(), 2.0
	wide := room.Right - room.Left
	y, page := math.Inf(1), 0
	var p *Page
	put := func(lines []string, bold bool) {
		for _, line := range lines {
			p.text(room.Left, y, line, sizePT, bold, fromLeft)
			y += leading(sizePT)
		}
	}
	all := d.chart.Findings
	if len(all) == 0 {
		all = []rollerchart.Finding{{Text: "What was measured is as it should be, as far as common practice has it.", Do: "Keep the figures: they show what changes."}}
	}
	for _, f := range all {
		text, do := wrap(f.Text+".", sizePT, 0.93*wide, mostLines), wrap(capital(f.Do)+".", sizePT, wide, mostLines)
		if y+leading(sizePT)*float64(len(text)+len(do)) > room.Bottom {
			p = d.page("Measured: the rollers of "+d.chart.Press, "measured", page)
			y, page = room.Top, page+1
		}
		put(text, true)
		put(do, false)
		y += gap
	}
}
