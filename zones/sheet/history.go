package sheet

import (
	"fmt"
	"math"
	"slices"

	"bladeline/zones/preset/history"
)

// Places of a history's picture, mm.
const (
	axisMM      = 20  // left of a chart, for its figures
	shareMM     = 62  // height of the chart of shares
	fullerMM    = 44  // and of that of the ink run
	chartGapMM  = 17  // between them, for the months' names
	mostMonths  = 60  // that are drawn; earlier ones are left out
	fullerLimit = 30. // % that the chart of the ink run reaches at least
)

// HistoryPage draws a history: month by month how many keys were right at once,
// how much more or less ink was run than preset, and what was found. name is
// what the history is of.
func HistoryPage(h *history.History, name string, size PageSize) (*Page, error) {
	mm, err := size.sizeMM()
	switch {
	case err != nil:
		return nil, err
	case h == nil || len(h.Months) == 0:
		return nil, fmt.Errorf("%s: no job says what was run, so there is nothing to draw; fill in ok_key", name)
	}
	p := &historyPage{Page: &Page{WidthMM: mm[0], HeightMM: mm[1], Title: shown("What was run: " + name)}, history: h, months: h.Months}
	if drop := len(p.months) - mostMonths; drop > 0 {
		p.months = p.months[drop:]
	}
	p.draw()
	return p.Page, nil
}

type historyPage struct {
	*Page
	history *history.History
	months  []history.Month
}

func (p *historyPage) draw() {
	jobs := 0
	for _, m := range p.months {
		jobs += m.Jobs
	}
	p.text(marginMM, marginMM+6, shortened(p.Title, 15, true, p.WidthMM-2*marginMM), 15, true, fromLeft)
	p.text(marginMM, marginMM+12, p.span(jobs), 10, false, fromLeft)
	top := marginMM + 22.0
	p.shares(chart{page: p, top: top, height: shareMM, low: 0, high: 100})
	top += shareMM + chartGapMM
	p.fuller(top)
	p.found(top + fullerMM + chartGapMM - 4)
}

// A chart is a field with a value upwards and the months along it.
type chart struct {
	page      *historyPage
	top       float64
	height    float64
	low, high float64
}

func (c chart) left() float64  { return marginMM + axisMM }
func (c chart) right() float64 { return c.page.WidthMM - marginMM - 2 }

// x is the middle of the i-th month's place.
func (c chart) x(i int) float64 {
	return c.left() + (float64(i)+0.5)*(c.right()-c.left())/float64(len(c.page.months))
}

func (c chart) y(v float64) float64 {
	return c.top + c.height*(c.high-min(max(v, c.low), c.high))/(c.high-c.low)
}

// frame draws the field, lines across it, and the months below.
func (c chart) frame(title string, every float64, sign bool) {
	p := c.page
	p.text(marginMM, c.top-3, title, 10, true, fromLeft)
	for v := c.low; v <= c.high+1e-9; v += every {
		p.line(c.left(), c.y(v), c.right(), c.y(v), 0.15, Pale)
		text := fmt.Sprintf("%.0f %%", v)
		if sign && v > 0 {
			text = "+" + text
		}
		p.text(c.left()-2, c.y(v)+1.2, text, 9, false, toRight)
	}
	last := -math.MaxFloat64
	for i, m := range p.months {
		half := widthMM(m.Month, 9, false)/2 + 1
		if c.x(i)-half < last {
			continue
		}
		last = c.x(i) + half
		p.text(c.x(i), c.top+c.height+5, m.Month, 9, false, centred)
	}
}

// shares draws both shares of keys that were right at once.
func (p *historyPage) shares(c chart) {
	c.frame("Keys right at once: solid, filled: ink within 10 %; dashed, open: within a step", 25, false)
	c.plot(func(m history.Month) *float64 { return m.WithinFeedPct }, false)
	c.plot(func(m history.Month) *float64 { return m.WithinStepPct }, true)
}

// plot joins the months of which the value is known, with a dot on each.
func (c chart) plot(value func(history.Month) *float64, dashed bool) {
	const dotMM = 1.1
	var before *Point
	for i, m := range c.page.months {
		v := value(m)
		if v == nil {
			before = nil
			continue
		}
		at := Point{c.x(i), c.y(*v)}
		if before != nil {
			c.page.add(Line{From: *before, To: at, WidthMM: 0.5, Dashed: dashed})
		}
		fill := Black
		if dashed {
			fill = White
		}
		c.page.area(Box{at.X - dotMM, at.Y - dotMM, at.X + dotMM, at.Y + dotMM}.corners(), fill, 0.3)
		before = &at
	}
}

// fuller draws how much more ink every job was run with than preset: a line up
// or down from 0 for every ink of it.
func (p *historyPage) fuller(top float64) {
	byMonth := map[string][]float64{}
	most := fullerLimit
	for _, j := range p.history.Jobs {
		for _, u := range j.Units {
			if u.FullerPct != nil {
				month := j.Date[:len("2026-03")]
				byMonth[month] = append(byMonth[month], *u.FullerPct)
				most = max(most, min(100, math.Abs(*u.FullerPct)))
			}
		}
	}
	reach := 10 * math.Ceil(most/10)
	c := chart{page: p, top: top, height: fullerMM, low: -reach, high: reach}
	c.frame("Ink run, against what was preset: a stroke for every ink of a job, a bar for the month's median", reach, true)
	p.line(c.left(), c.y(0), c.right(), c.y(0), 0.25, Mid)
	wide := min(12, (c.right()-c.left())/float64(len(p.months))*0.3)
	for i, m := range p.months {
		all := byMonth[m.Month]
		if len(all) == 0 {
			continue
		}
		for _, v := range all {
			p.line(c.x(i)-wide/2, c.y(v), c.x(i)+wide/2, c.y(v), 0.2, Mid)
		}
		middle := middleOf(all)
		p.line(c.x(i)-wide, c.y(middle), c.x(i)+wide, c.y(middle), 1.1, Black)
	}
}

func middleOf(values []float64) float64 {
	sorted := slices.Sorted(slices.Values(values))
	n := len(sorted)
	return (sorted[(n-1)/2] + sorted[n/2]) / 2
}

// found writes what was found below the charts, as much as there is room for.
func (p *historyPage) found(top float64) {
	texts := p.history.Findings
	if len(texts) == 0 {
		texts = []string{p.nothing()}
	}
	room := int((p.HeightMM-marginMM-top)/leading(10)) + 1
	var lines []string
	for _, text := range texts {
		lines = append(lines, wrap("• "+text, 10, p.WidthMM-2*marginMM, room+1)...)
	}
	if len(lines) > room {
		lines = append(lines[:room-1:room-1], fmt.Sprintf("… %d findings in all; the table has every one", len(p.history.Findings)))
	}
	for i, line := range lines {
		p.text(marginMM, top+float64(i)*leading(10), line, 10, false, fromLeft)
	}
}

// nothing says what it means that nothing was found.
func (p *historyPage) nothing() string {
	if slices.ContainsFunc(p.history.Months, func(m history.Month) bool { return m.WithinStepPct != nil }) {
		return "No key has drifted, and no ink is preset too much or too little, as far as these jobs show."
	}
	return "The press of these jobs was not named: how close they came, and which keys drift, is not known."
}

// span is how many jobs there were, in which months, and how many under the day of
// their file.
func (p *historyPage) span(jobs int) string {
	text, first, last := "1 job, ", p.months[0].Month, p.months[len(p.months)-1].Month
	if jobs != 1 {
		text = fmt.Sprintf("%d jobs, ", jobs)
	}
	text += first
	if first != last {
		text += " to " + last
	}
	switch undated := p.undated(); {
	case undated == 1:
		text += "; 1 job without a date, under the day on which the file was last changed"
	case undated > 1:
		text += fmt.Sprintf("; %d jobs without a date, under the day on which the file was last changed", undated)
	}
	return text
}

// undated counts the jobs in the months that are drawn whose day is that of the file.
func (p *historyPage) undated() (jobs int) {
	for _, j := range p.history.Jobs {
		if j.DayOf == history.OfFile && j.Date[:len("2026-03")] >= p.months[0].Month {
			jobs++
		}
	}
	return jobs
}
