package sheet

import (
	"fmt"
	"strconv"

	"bladeline/curves"
	"bladeline/zones/preset"
	"bladeline/zones/press"
)

// Worksheets draws a preset for learners: a page an ink with its form, its curve and
// empty boxes to write coverage, opening and key in, and behind all of them the key
// sheets, as the answers. It takes the press, and every ink's form and curve.
func Worksheets(p *preset.Preset, o Options) ([]*Page, error) {
	answers, err := pages(p, o, true)
	if err != nil {
		return nil, err
	}
	if o.Press == nil {
		return nil, fmt.Errorf("a worksheet says how the keys are set; give the press %q", p.Press.Name)
	}
	var all []*Page
	for i := range p.Units {
		u := &p.Units[i]
		w := &worksheet{
			sheet: &sheet{
				Page:   &Page{WidthMM: answers[i].WidthMM, HeightMM: answers[i].HeightMM, Title: title(p.Job, u.Ink+", worksheet")},
				preset: p, unit: u, options: o, keys: leftToRight(p, u),
			},
			on: u.OnPress(o.Press), curve: o.Curves[u.Ink],
		}
		if err := w.draw(); err != nil {
			return nil, err
		}
		all = append(all, w.Page)
	}
	return append(all, answers...), nil
}

// A worksheet is a page for a learner in the making.
type worksheet struct {
	*sheet
	on    *press.Press // as the unit has it
	curve *curves.Curve

	lengthMM float64 // of the form
}

// Heights and widths of a worksheet's parts, mm.
const (
	emptyMM = 9  // a box to write in
	chartMM = 62 // the curve's field, as high as wide at least
	axesMM  = 11 // below and left of it
	footMM  = 4  // between the boxes and what stands below
)

func (w *worksheet) draw() error {
	form, err := w.form()
	switch {
	case err != nil:
		return err
	case form == nil || w.curve == nil:
		return fmt.Errorf("ink %s: a worksheet shows the form and the curve; give both", w.unit.Ink)
	}
	w.lengthMM = form.LengthMM
	foot := w.planned(form)
	w.header()
	w.drawForm(form)
	w.borders()
	w.boxes()
	w.chart(foot)
	w.steps(foot)
	return nil
}

// planned divides the page, and says where its foot begins: the chart takes what a
// short form leaves over.
func (w *worksheet) planned(f *drawnForm) (foot float64) {
	p := plan{left: marginMM + gutterMM, right: w.WidthMM - marginMM - endMM}
	p.column = (p.right - p.left) / float64(len(w.keys))
	p.formTop = marginMM + headerMM + edgeMM
	fixed := edgeMM + 2 + numberMM + 3*emptyMM + footMM + chartMM + axesMM + marginMM
	p.formBottom = p.formTop + min(w.HeightMM-p.formTop-fixed, f.LengthMM*w.scale())
	p.number = p.formBottom + edgeMM + 2
	p.coverage = p.number + numberMM
	p.key, p.ok = p.coverage+2*emptyMM, p.coverage+3*emptyMM
	w.plan = p
	return p.ok + footMM
}

// header names the ink, the job and the press, and leaves room for who it is filled
// in by.
func (w *worksheet) header() {
	const nameMM, scoreMM, highMM = 66.0, 24.0, 12.0
	right := w.WidthMM - marginMM
	for _, b := range []struct {
		label       string
		left, right float64
	}{{"Name", right - nameMM - 2*scoreMM, right - 2*scoreMM - 2}, {"Date", right - 2*scoreMM, right - scoreMM - 2}, {"Right", right - scoreMM, right}} {
		w.frame(Box{b.left, marginMM, b.right, marginMM + highMM}, 0.4)
		w.text(b.left+1.2, marginMM+3.2, b.label, 8, false, fromLeft)
	}
	most := right - nameMM - 2*scoreMM - 6 - marginMM
	heading := shortened(w.unit.Ink+": set the keys yourself", 20, true, most)
	w.text(marginMM, marginMM+8, heading, 20, true, fromLeft)
	w.text(marginMM, marginMM+14.4, shortened(w.job(), 11, false, most), 11, false, fromLeft)
	w.line(marginMM, marginMM+headerMM-1.6, right, marginMM+headerMM-1.6, 0.6, Black)
}

func (w *worksheet) job() string {
	if w.preset.Job == "" {
		return w.preset.Press.Name
	}
	return w.preset.Job + "  |  " + w.preset.Press.Name
}

// borders are the zones' borders through the form down to the boxes.
func (w *worksheet) borders() {
	for i := range len(w.keys) + 1 {
		x := w.plan.x(i)
		w.line(x, w.plan.formTop, x, w.plan.formBottom, 0.12, Mid)
		w.line(x, w.plan.number, x, w.plan.coverage, 0.12, Mid)
	}
}

// boxes are the zones' numbers, and three rows of empty boxes.
func (w *worksheet) boxes() {
	p := w.plan
	var numbers []string
	for _, k := range w.keys {
		numbers = append(numbers, strconv.Itoa(k.Zone))
	}
	w.row(numbers, p.number, fitted(numbers, p.column, 11, 1, true), numberMM, true)
	name := func(top, high float64, text string, bold bool) {
		w.text(p.left-2, top+high/2+1, text, 8, bold, toRight)
	}
	name(p.number, numberMM, "zone", true)
	for n, text := range []string{"covered %", "opening %", keyName(w.preset.Press.KeyUnit)} {
		top, heavy := p.coverage+float64(n)*emptyMM, 0.25
		if n == 2 {
			heavy = 0.6
		}
		for i := range w.keys {
			w.frame(Box{p.x(i), top, p.x(i + 1), top + emptyMM}, heavy)
		}
		name(top, emptyMM, text, n == 2)
	}
}

// chart draws the curve in a field that can be read to a percent or two.
func (w *worksheet) chart(top float64) {
	high := w.HeightMM - marginMM - axesMM - top - 3
	field := Box{w.plan.left, top + 3, w.plan.left + 1.45*chartMM, top + 3 + high}
	at := func(coveragePct, openingPct float64) Point {
		return Point{field.Left + coveragePct/100*(field.Right-field.Left), field.Bottom - openingPct/100*(field.Bottom-field.Top)}
	}
	for v := 0.0; v <= 100; v += 5 {
		gray, wide := Pale, 0.12
		if int(v)%10 == 0 {
			gray, wide = Mid, 0.15
		}
		across, up := at(v, 0), at(0, v)
		w.line(across.X, field.Top, across.X, field.Bottom, wide, gray)
		w.line(field.Left, up.Y, field.Right, up.Y, wide, gray)
		if int(v)%10 == 0 {
			w.text(across.X, field.Bottom+3.6, fmt.Sprintf("%.0f", v), 8, false, centred)
			w.text(field.Left-1.2, up.Y+1, fmt.Sprintf("%.0f", v), 8, false, toRight)
		}
	}
	for c := range 100 {
		from, to := at(float64(c), w.curve.At(float64(c))), at(float64(c+1), w.curve.At(float64(c+1)))
		w.line(from.X, from.Y, to.X, to.Y, 0.5, Black)
	}
	w.text((field.Left+field.Right)/2, field.Bottom+8, "covered, % of the zone", 8, false, centred)
	w.add(Text{X: field.Left - 8, Y: (field.Top + field.Bottom) / 2, Before: centred, Text: "opening, % of travel", SizePT: 8, Up: true})
}

// steps say how to fill the boxes in, beside the curve, with a box for the sweep.
func (w *worksheet) steps(top float64) {
	const boxMM, indentMM, apartMM = 34.0, 6.0, 1.8
	left, right := w.plan.left+1.45*chartMM+9, w.plan.right
	box := Box{right - boxMM, top + 3, right, top + 17}
	w.frame(box, 0.5)
	w.text(box.Left+1.2, box.Top+3.2, shortened("Your sweep, "+w.on.Sweep.Unit, 8, false, boxMM-2), 8, false, fromLeft)
	texts, width := w.instructions(), box.Left-4-left-indentMM
	sizePT := 9.5
	high := func() float64 {
		lines := 0
		for _, text := range texts {
			lines += len(wrap(text, sizePT, width, mostLines))
		}
		return float64(lines)*leading(sizePT) + apartMM*float64(len(texts))
	}
	for sizePT > smallestPT && top+3+high() > w.HeightMM-marginMM {
		sizePT -= 0.5
	}
	y := top + 3
	for i, text := range texts {
		for n, line := range wrap(text, sizePT, width, mostLines) {
			y += leading(sizePT)
			if n == 0 {
				w.text(left, y, fmt.Sprint(i+1), sizePT, true, fromLeft)
			}
			w.text(left+indentMM, y, line, sizePT, false, fromLeft)
		}
		y += apartMM
	}
}

// instructions are what a learner does, in its order.
func (w *worksheet) instructions() []string {
	limits, reference := w.on.Limits, w.on.ReferenceSweep(w.curve)
	over := "the form's length"
	if mm := w.on.PrintLengthMM; mm > 0 {
		over = fmt.Sprintf("the %g mm that the press prints", mm)
	}
	squashed := ""
	if w.lengthMM*w.scale() > 1.05*(w.plan.formBottom-w.plan.formTop) {
		squashed = " The picture is squashed lengthways, all of it alike."
	}
	keys := fmt.Sprintf("Key: the same on the press's own scale, %s. Under the sheet no key stands below %g or above %g %% of travel.", w.on.Keys.Words(), limits.FloorPct, limits.CeilingPct)
	if limits.NeighbourPct > 0 {
		keys += fmt.Sprintf(" The blade is one piece: keys side by side stand at most %g %% of travel apart, so open the lower one.", limits.NeighbourPct)
	}
	return []string{
		fmt.Sprintf("Covered: judge by eye how much of each zone is covered with image, over %s. Write it under the zone.", over) + squashed,
		fmt.Sprintf("Opening: read from the curve how wide the key opens for that. The curve holds at a sweep of %s.", press.Amount(reference, w.on.Sweep.Unit)),
		fmt.Sprintf("Sweep: choose one, and write it in the box. At another one than %g each opening is the curve's × %g ÷ your sweep.", reference, reference),
		keys,
		"Compare with the answers: a zone is right when its ink, opening × sweep, is within 10 % of theirs. Count the right ones of those that print.",
	}
}
