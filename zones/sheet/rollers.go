package sheet

import (
	"errors"
	"fmt"

	"bladeline/zones/preset/rollerchart"
)

// RollerOptions say how a chart of rollers is drawn.
type RollerOptions struct {
	PageSize  PageSize // "" is A4
	Worksheet bool     // to be filled in with a caliper, answers on pages of their own
}

// RollerPages draw the chart of a roller train: its side view to scale beside the
// table of its rollers; where the marks of each come back along the plate; and what
// was found of rollers that were measured. names tell the pages apart.
func RollerPages(c *rollerchart.Chart, o RollerOptions) (pages []*Page, names []string, err error) {
	if c == nil || c.Laid == nil {
		return nil, nil, errors.New("there are no rollers to draw; give a chart")
	}
	size, err := o.PageSize.sizeMM()
	if err != nil {
		return nil, nil, err
	}
	d := &rollerSheets{chart: c, size: size}
	switch {
	case o.Worksheet:
		d.tables("To measure: the rollers of "+c.Press, "rollers", []column{{"diameter, left", nil}, {"middle", nil}, {"right", nil}, {"circumference", nil}, {"run-out", nil}})
		d.stripes("To measure: the stripes of "+c.Press, "stripes", func(rollerchart.Pair) string { return "" })
		d.tables("Answers: the rollers of "+c.Press+" as its file has them", "answers", filled)
		d.stripes("Answers: the stripes of "+c.Press+" as its file has them", "answers-stripes", d.stated)
	default:
		d.tables("The rollers of "+c.Press, "rollers", filled)
		d.marks()
		d.findings()
	}
	return d.pages, d.names, nil
}

// rollerSheets are the pages of a chart in the making.
type rollerSheets struct {
	chart *rollerchart.Chart
	size  [2]float64
	pages []*Page
	names []string
}

// A column is one of a table of rollers; without a value it is boxes to write in.
type column struct {
	heading string
	value   func(*rollerchart.Roller) string
}

// filled are the columns of what the press's file says. Lengths are in mm.
var filled = []column{
	{"surface", func(r *rollerchart.Roller) string { return known(r.Surface, func(s string) string { return s }) }},
	{"movement", moves},
	{"diameter", func(r *rollerchart.Roller) string { return figure(r.DiameterMM) }},
	{"circumference", func(r *rollerchart.Roller) string { return fmt.Sprintf("%.1f", r.CircumferenceMM) }},
	{"stripe", func(r *rollerchart.Roller) string { return known(r.StripeMM, figure) }},
}

// moves says in a word or two how a roller moves.
func moves(r *rollerchart.Roller) string {
	switch {
	case r.StrokeMM != nil:
		return figure(*r.StrokeMM) + " to and fro"
	case r.Kind == rollerchart.Ductor:
		return "swings"
	}
	return "turns"
}

// known is what is known, else a dash.
func known[V any](v *V, text func(V) string) string {
	if v == nil {
		return "–"
	}
	return text(*v)
}

// figure is a length as a caliper shows it.
func figure(v float64) string { return fmt.Sprintf("%.6g", v) }

// Places on a page of rollers, mm.
const (
	rollerTopMM   = 16 // below the title
	rollerFootMM  = 15 // of the caution
	viewWideMM    = 122
	viewGapMM     = 7
	leastRowMM    = 4.4
	mostRowMM     = 7.2
	headingRowMM  = 6
	namesWideMM   = 44
	rollerTypePT  = 9
	smallRollerPT = 7
)

// page begins the n-th page of a part, from 0, with its title, and the caution at its
// foot.
func (d *rollerSheets) page(title, part string, n int) *Page {
	if n > 0 {
		part = fmt.Sprintf("%s-%d", part, n+1)
		title += fmt.Sprintf(", page %d", n+1)
	}
	p := &Page{WidthMM: d.size[0], HeightMM: d.size[1], Title: shown(title)}
	wide := p.WidthMM - 2*marginMM
	p.text(marginMM, marginMM+5, shortened(title, 14, true, wide), 14, true, fromLeft)
	p.line(marginMM, marginMM+8, p.WidthMM-marginMM, marginMM+8, 0.4, Black)
	for i, line := range wrap("Caution: "+rollerchart.Caution, 8, wide, 4) {
		p.text(marginMM, p.HeightMM-marginMM-rollerFootMM+6+leading(8)*float64(i), line, 8, false, fromLeft)
	}
	d.pages, d.names = append(d.pages, p), append(d.names, part)
	return p
}

// room is what is free on a page between its title and the caution.
func (d *rollerSheets) room() Box {
	return Box{marginMM, rollerTopMM + marginMM, d.size[0] - marginMM, d.size[1] - marginMM - rollerFootMM}
}

// rowMM is how high each of so many rows is, with a heading above them, and how many
// stand on a page.
func (d *rollerSheets) rowMM(rows int) (high float64, perPage int) {
	room := d.room().Bottom - d.room().Top - headingRowMM
	high = min(mostRowMM, max(leastRowMM, room/float64(rows)))
	return high, int(room / high)
}

// tables draw the side view with a table of the rollers beside it, on as many pages
// as they take.
func (d *rollerSheets) tables(title, part string, columns []column) {
	high, perPage := d.rowMM(len(d.chart.Rollers))
	for from := 0; from < len(d.chart.Rollers); from += perPage {
		p, room := d.page(title, part, from/perPage), d.room()
		newSideView(p, d.chart, Box{room.Left, room.Top, room.Left + viewWideMM, room.Bottom}).draw()
		t := rollerTable{Page: p, in: Box{room.Left + viewWideMM + viewGapMM, room.Top, room.Right, room.Bottom}, rowMM: high, columns: len(columns)}
		p.text(t.in.Left, t.in.Top+headingRowMM-1.8, "lengths in mm", smallRollerPT, false, fromLeft)
		for i, c := range columns {
			t.heading(i, c.heading)
		}
		for i := from; i < min(from+perPage, len(d.chart.Rollers)); i++ {
			r := &d.chart.Rollers[i]
			t.name(i-from, letter(i), r.Name)
			for j, c := range columns {
				if c.value == nil {
					t.box(i-from, j)
					continue
				}
				t.cell(i-from, j, c.value(r))
			}
		}
	}
}

// stated is how wide the press's file has a stripe, "not stated" where it does not.
func (d *rollerSheets) stated(pair rollerchart.Pair) string {
	for _, name := range []string{pair.Roller, pair.Against} {
		for _, r := range d.chart.Rollers {
			if r.Name == name && r.StripeMM != nil {
				return figure(*r.StripeMM)
			}
		}
	}
	return "not stated"
}

// stripes draw the stripes of all soft rollers, those with what they touch in two columns:
// what is said of one in the middle, or boxes where nothing is.
func (d *rollerSheets) stripes(title, part string, of func(rollerchart.Pair) string) {
	pairs := d.chart.Stripes()
	if len(pairs) == 0 {
		return
	}
	high, perColumn := d.rowMM(mostStripeRows)
	for from := 0; from < len(pairs); from += 2 * perColumn {
		p, room := d.page(title, part, from/(2*perColumn)), d.room()
		wide := (room.Right - room.Left - viewGapMM) / 2
		for side := range 2 {
			left := room.Left + float64(side)*(wide+viewGapMM)
			t := rollerTable{Page: p, in: Box{left, room.Top, left + wide, room.Bottom}, rowMM: high, columns: 3}
			rows := pairs[min(from+side*perColumn, len(pairs)):min(from+(side+1)*perColumn, len(pairs))]
			if len(rows) == 0 {
				break
			}
			for i, heading := range []string{"stripe, left", "middle", "right"} {
				t.heading(i, heading)
			}
			for row, pair := range rows {
				t.name(row, "", pair.Roller+" – "+pair.Against)
				said := of(pair)
				for i := range 3 {
					if said == "" {
						t.box(row, i)
					}
				}
				t.cell(row, 1, said)
			}
		}
	}
}

// mostStripeRows is how many rows a column of stripes has at most.
const mostStripeRows = 22

// A rollerTable is a table with names at its left, all other columns as wide as each
// other.
type rollerTable struct {
	*Page
	in      Box
	rowMM   float64
	columns int
}

// column is the i-th column's left end and width.
func (t rollerTable) column(i int) (left, wide float64) {
	wide = (t.in.Right - t.in.Left - namesWideMM) / float64(t.columns)
	return t.in.Left + namesWideMM + float64(i)*wide, wide
}

func (t rollerTable) heading(i int, text string) {
	left, wide := t.column(i)
	pt := min(smallRollerPT, smallRollerPT*(wide-1)/widthMM(text, smallRollerPT, false))
	t.text(left+wide/2, t.in.Top+headingRowMM-1.8, text, pt, false, centred)
	t.line(t.in.Left, t.in.Top+headingRowMM, t.in.Right, t.in.Top+headingRowMM, 0.25, Black)
}

// baseline is where a row's text stands.
func (t rollerTable) baseline(row int) float64 {
	return t.in.Top + headingRowMM + (float64(row)+0.5)*t.rowMM + 0.38*rollerTypePT*mmPerPT
}

func (t rollerTable) name(row int, letter, name string) {
	left := t.in.Left
	if letter != "" {
		t.text(left, t.baseline(row), letter, rollerTypePT, true, fromLeft)
		left += 7
	}
	t.text(left, t.baseline(row), shortened(name, rollerTypePT, false, t.in.Left+namesWideMM-left-1), rollerTypePT, false, fromLeft)
	below := t.in.Top + headingRowMM + float64(row+1)*t.rowMM
	t.line(t.in.Left, below, t.in.Right, below, 0.1, Pale)
}

func (t rollerTable) cell(row, i int, text string) {
	left, wide := t.column(i)
	t.text(left+wide/2, t.baseline(row), shortened(text, rollerTypePT, false, wide-1), rollerTypePT, false, centred)
}

// box is a place to write in.
func (t rollerTable) box(row, i int) {
	left, wide := t.column(i)
	top := t.in.Top + headingRowMM + float64(row)*t.rowMM
	t.frame(Box{left + 0.8, top + 0.5, left + wide - 0.8, top + t.rowMM - 0.5}, 0.2)
}
