package sheet

import (
	"errors"
	"fmt"
	"image"
	"image/color"
	"math"

	"bladeline/zones/preset/rehearsal"
	"bladeline/zones/press"

	"github.com/disintegration/imaging"
)

// Places on a page of a rehearsal, mm.
const (
	rehearsalHeadMM  = 17 // title and what was rehearsed
	rehearsalPT      = 9
	mostSentences    = 11 // lines
	rehearsalFootMM  = 5
	filmAxisMM       = 13   // left of a chart
	filmLabelsMM     = 10   // below it
	rehearsalTitleMM = 7.5  // above it
	trainShare       = 0.25 // of the page's width, at its right
	startsShare      = 0.52 // of what is left
	panelGapMM       = 6
)

// RehearsalPages draw a rehearsal, a page an ink: what there is to see and to do; the
// zones' films against a band of 10 %; the sheet; the first sheets; and the train from
// its side with its films as rings.
func RehearsalPages(r *rehearsal.Rehearsal, size PageSize) ([]*Page, error) {
	mm, err := size.sizeMM()
	switch {
	case err != nil:
		return nil, err
	case r == nil || len(r.Inks) == 0:
		return nil, errNoRehearsal
	}
	var pages []*Page
	for i := range r.Inks {
		p := &rehearsalPage{Page: &Page{WidthMM: mm[0], HeightMM: mm[1]}, of: r, ink: &r.Inks[i]}
		p.draw()
		pages = append(pages, p.Page)
	}
	return pages, nil
}

var errNoRehearsal = errors.New("there is no rehearsal to draw; give one of at least one ink")

type rehearsalPage struct {
	*Page
	of  *rehearsal.Rehearsal
	ink *rehearsal.Ink
}

func (p *rehearsalPage) draw() {
	top := p.head()
	bottom := p.HeightMM - marginMM - rehearsalFootMM
	left, right := float64(marginMM), p.WidthMM-marginMM
	view := right - trainShare*(right-left)
	half := top + (bottom-top)/2
	p.films(Box{left, top, view - panelGapMM, half - 2})
	p.train(Box{view, top, right, bottom})
	starts := Box{left, half + 2, view - panelGapMM, bottom}
	if p.ink.Layout {
		starts.Right = left + startsShare*(view-left)
		in := Box{starts.Right + panelGapMM, half + 2, view - panelGapMM, bottom}
		p.text(in.Left, in.Top+4, mapLegend(p.ink, "Film: "), rehearsalPT, true, fromLeft)
		p.sheet(Box{in.Left, in.Top + rehearsalTitleMM, in.Right, in.Bottom})
	}
	p.starts(starts)
	p.text(marginMM, p.HeightMM-marginMM, "Your eye and the densitometer decide. Before touching keys or rollers, stop the press and make it safe as its manual and local rules say.", 8, false, fromLeft)
}

// head writes what was rehearsed and what there is to do; it returns where it ends.
func (p *rehearsalPage) head() float64 {
	wide := p.WidthMM - 2*marginMM
	trend := ""
	if p.of.Trend != nil {
		trend = *p.of.Trend
	}
	p.Title = shown("Rehearsal: " + p.ink.Ink + ", " + p.of.Job)
	p.text(marginMM, marginMM+5, shortened(p.Title, 14, true, wide-widthMM(trend, 10, true)-5), 14, true, fromLeft)
	p.text(p.WidthMM-marginMM, marginMM+5, trend, 10, true, toRight)
	p.line(marginMM, marginMM+8, p.WidthMM-marginMM, marginMM+8, 0.4, Black)
	run := "as preset"
	if p.of.WasRun {
		run = "as they were run"
	}
	p.text(marginMM, marginMM+12.5, shortened(fmt.Sprintf("%s; sweep %s, keys %s; rollers at the start: %s", p.of.Press, press.Amount(p.ink.Sweep, p.of.SweepUnit), run, p.of.Start), rehearsalPT, false, wide), rehearsalPT, false, fromLeft)
	var lines []string
	for _, text := range p.ink.Sentences {
		lines = append(lines, wrap("• "+text, rehearsalPT, wide, mostSentences+1)...)
	}
	if len(lines) > mostSentences {
		lines = append(lines[:mostSentences-1:mostSentences-1], "… the table has the rest")
	}
	at := float64(marginMM + rehearsalHeadMM)
	for _, line := range lines {
		p.text(marginMM, at, line, rehearsalPT, false, fromLeft)
		at += leading(rehearsalPT)
	}
	return at
}

// A field is where values are drawn over something.
type field struct {
	*Page
	in               Box
	left, right      float64 // values along it
	low, high, every float64 // values upwards, and those that have a line
}

// fieldIn is a field within a box, with its title and room for its labels.
func (p *rehearsalPage) fieldIn(in Box, title string) field {
	p.text(in.Left, in.Top+4, shortened(title, rehearsalPT, true, in.Right-in.Left), rehearsalPT, true, fromLeft)
	return field{Page: p.Page, in: Box{in.Left + filmAxisMM, in.Top + rehearsalTitleMM, in.Right, in.Bottom - filmLabelsMM}}
}

func (f field) x(v float64) float64 {
	return f.in.Left + (f.in.Right-f.in.Left)*(v-f.left)/(f.right-f.left)
}

func (f field) y(v float64) float64 {
	v = min(max(v, f.low), f.high)
	return f.in.Bottom - (f.in.Bottom-f.in.Top)*(v-f.low)/(f.high-f.low)
}

// lines draw the field's lines with their values.
func (f field) lines(format string) {
	for v := f.low; v <= f.high+1e-9; v += f.every {
		f.line(f.in.Left, f.y(v), f.in.Right, f.y(v), 0.12, Mid)
		f.text(f.in.Left-1.5, f.y(v)+1, fmt.Sprintf(format, v), 8, false, toRight)
	}
}

// band fills what lies between two values.
func (f field) band(low, high float64) {
	f.area(Box{f.in.Left, f.y(high), f.in.Right, f.y(low)}.corners(), Pale, 0)
}

// films draw how far each zone's film is off the target: a bar, with what lead and
// tail carry as strokes across it.
func (p *rehearsalPage) films(in Box) {
	title := "Film by zone, off the mean of all ink; gray: within 10 %"
	if p.ink.Level == rehearsal.ByCurve {
		title = "Film by zone, off what the curve asks for on the whole; gray: within 10 %"
	}
	if p.ink.Level == rehearsal.Measured {
		title = fmt.Sprintf("Film by zone, off %s µm; gray: within 10 %%", figure(p.ink.TargetUM))
	}
	if p.ink.Layout {
		title += "; strokes: lead left, tail right"
	}
	f := p.fieldIn(in, title)
	reach := 20.0
	for _, z := range p.ink.Zones {
		f.left, f.right = min(f.left, z.LeftMM), max(f.right, z.RightMM)
		if z.Prints {
			reach = max(reach, min(100, 20*math.Ceil(math.Abs(z.DeviationPct)/20)))
		}
	}
	f.low, f.high, f.every = -reach, reach, 10
	if reach > 40 {
		f.every = 20
	}
	f.band(-rehearsal.NearPct, rehearsal.NearPct)
	f.lines("%+.0f %%")
	f.line(f.in.Left, f.y(0), f.in.Right, f.y(0), 0.3, Black)
	for _, z := range p.ink.Zones {
		p.bar(f, z)
	}
}

// leastBarMM is the height of the bar of a zone that is not off.
const leastBarMM = 1.2

// bar draws one zone's film.
func (p *rehearsalPage) bar(f field, z rehearsal.Zone) {
	left, right := f.x(z.LeftMM), f.x(z.RightMM)
	middle, wide := (left+right)/2, right-left
	size := min(8, 8*0.9*wide/max(1e-9, widthMM(fmt.Sprint(z.Zone), 8, false)))
	p.text(middle, f.in.Bottom+4, fmt.Sprint(z.Zone), size, false, centred)
	if !z.Prints {
		return
	}
	top, bottom := f.y(max(0, z.DeviationPct)), f.y(min(0, z.DeviationPct))
	if bottom-top < leastBarMM { // else nobody sees that the zone prints
		top, bottom = (top+bottom-leastBarMM)/2, (top+bottom+leastBarMM)/2
	}
	p.area(Box{middle - 0.3*wide, top, middle + 0.3*wide, bottom}.corners(), Mid, 0.2)
	if !z.Through {
		return
	}
	off := func(um float64) float64 { return f.y(100 * (um/p.ink.TargetUM - 1)) }
	p.line(left+0.08*wide, off(z.LeadUM), middle, off(z.LeadUM), 0.5, Black)
	p.line(middle, off(z.TailUM), right-0.08*wide, off(z.TailUM), 0.5, Black)
}

// starts draw the first sheets: every zone's film, or density where it is known, and
// heavily that which stands last.
func (p *rehearsalPage) starts(in Box) {
	samples := p.ink.StartUp.Samples
	if len(samples) == 0 {
		return
	}
	film, of := "Film, µm, by sheet", 1.0
	if p.ink.Level != rehearsal.Measured { // how thick it is cannot be told
		film, of = "Film, of the target, by sheet", p.ink.TargetUM
	}
	value := func(s rehearsal.Sample) (films []float64) {
		for _, um := range s.FilmUM {
			films = append(films, um/of)
		}
		return films
	}
	low, high := (1-rehearsal.NearPct/100.)*p.ink.TargetUM/of, (1+rehearsal.NearPct/100.)*p.ink.TargetUM/of
	title := film + "; heavy: stands last; gray: within 10 %"
	if p.ink.LeanDensity != nil {
		value, low, high = func(s rehearsal.Sample) []float64 { return s.Density }, *p.ink.LeanDensity, *p.ink.FatDensity
		title = "Density by sheet; heavy: stands last; gray: film within 10 %"
	}
	f := p.fieldIn(in, title)
	f.left, f.right = 0, float64(samples[len(samples)-1].Sheet)
	for _, s := range samples {
		for i, v := range value(s) {
			if p.ink.Zones[i].Prints {
				f.high = max(f.high, v)
			}
		}
	}
	f.every = niceStep(f.high, 4)
	f.high = f.every * math.Ceil(max(f.high, high)/f.every)
	f.band(low, high)
	f.lines("%.2g")
	step := niceStep(f.right, 8)
	for sheet := 0.0; sheet <= f.right; sheet += step {
		p.line(f.x(sheet), f.in.Bottom, f.x(sheet), f.in.Bottom+1, 0.2, Black)
		p.text(f.x(sheet), f.in.Bottom+4.5, fmt.Sprint(sheet), 8, false, centred)
	}
	p.text(f.in.Left, f.in.Bottom+8.5, "sheets, followed until every zone has stood within 5 % for some, or as far as is followed", 7, false, fromLeft)
	for i, z := range p.ink.Zones {
		if z.Prints {
			p.curve(f, samples, i, value, 0.15, Mid)
		}
	}
	if last := p.ink.StartUp.LastZones; len(last) > 0 {
		p.curve(f, samples, last[0]-1, value, 0.6, Black)
	}
}

// curve draws one zone over the sheets.
func (p *rehearsalPage) curve(f field, samples []rehearsal.Sample, zone int, value func(rehearsal.Sample) []float64, widthMM float64, g Gray) {
	for i := 1; i < len(samples); i++ {
		a, b := samples[i-1], samples[i]
		p.line(f.x(float64(a.Sheet)), f.y(value(a)[zone]), f.x(float64(b.Sheet)), f.y(value(b)[zone]), widthMM, g)
	}
}

// niceStep is 1, 2 or 5 times a power of ten, so that about n steps reach so far.
func niceStep(reach float64, n float64) float64 {
	rough := reach / n
	power := math.Pow(10, math.Floor(math.Log10(rough)))
	for _, times := range []float64{1, 2, 5} {
		if times*power >= rough {
			return times * power
		}
	}
	return 10 * power
}

// train draws the train with its films.
func (p *rehearsalPage) train(in Box) {
	if p.of.Chart == nil {
		return
	}
	title, of := "Mean films, µm, as rings", 1.0
	if p.ink.Level != rehearsal.Measured {
		title, of = "Mean films, of the target on the sheet", p.ink.TargetUM
	}
	p.text(in.Left, in.Top+4, title, rehearsalPT, true, fromLeft)
	v := newSideView(p.Page, p.of.Chart, Box{in.Left, in.Top + rehearsalTitleMM, in.Right, in.Bottom})
	for _, r := range p.ink.Rollers {
		v.films = append(v.films, r.FilmUM/of)
	}
	v.draw()
}

// Places on the map, mm.
const (
	mapAxisMM   = 9
	mapLabelsMM = 8
)

// sheet draws the film over the sheet as large as a box holds it, gripper edge at the
// bottom, with mm along it and zones below.
func (p *rehearsalPage) sheet(in Box) {
	m := &p.ink.Map
	if len(m.FilmUM) == 0 {
		return
	}
	wide, long := m.CellWidthMM*float64(len(m.FilmUM[0])), m.CellLengthMM*float64(len(m.FilmUM))
	room := Box{in.Left + mapAxisMM, in.Top, in.Right, in.Bottom - mapLabelsMM}
	scale := min((room.Right-room.Left)/wide, (room.Bottom-room.Top)/long)
	at := Box{room.Left, room.Bottom - scale*long, room.Left + scale*wide, room.Bottom}
	p.add(Picture{at, filmImage(m, p.ink.TargetUM)})
	p.frame(at, 0.25)
	for mm := 0.0; mm <= long; mm += 100 {
		y := at.Bottom - scale*mm
		p.line(at.Left-1.2, y, at.Left, y, 0.2, Black)
		p.text(at.Left-1.6, y+1, fmt.Sprint(mm), 7, false, toRight)
	}
	for _, z := range p.ink.Zones {
		left, right := at.Left+scale*z.LeftMM, at.Left+scale*z.RightMM
		p.line(left, at.Bottom, left, at.Bottom+1, 0.15, Black)
		every := int(math.Ceil(1.3 * widthMM("88", 7, false) / (right - left)))
		if (z.Zone-1)%every == 0 {
			p.text((left+right)/2, at.Bottom+3.4, fmt.Sprint(z.Zone), 7, false, centred)
		}
	}
	p.text(at.Left, at.Bottom+7, "gripper edge (lead edge); mm along the sheet, zones across", 7, false, fromLeft)
	for _, g := range p.ink.Ghosts[:min(len(p.ink.Ghosts), drawnGhosts)] {
		y := at.Bottom - scale*g.AtMM
		p.line(at.Left+scale*g.LeftMM, y, at.Left+scale*g.RightMM, y, 0.4, Black)
	}
}

// mapLegend says what the map's tones are, and its lines where there are any.
func mapLegend(ink *rehearsal.Ink, of string) string {
	text := of + "black 20 % more, pale 20 % less"
	if len(ink.Ghosts) > 0 {
		text += "; lines: the largest ghosts"
	}
	return text
}

// drawnGhosts is as many as are marked on the map.
const drawnGhosts = 4

// What films are drawn as: that of the target in mid gray, a film that is off by
// mapReach in black or pale. Paper is white, and no film comes near it.
const (
	mapReach = 0.2
	midTone  = 0.5
	paleTone = 0.2
	cellPX   = 6 // a cell's shorter side in a picture, so that no viewer blurs it much
)

// filmImage is the map as a picture, gripper edge at its bottom.
func filmImage(m *rehearsal.Map, targetUM float64) *image.Gray {
	rows, columns := len(m.FilmUM), len(m.FilmUM[0])
	img := image.NewGray(image.Rect(0, 0, columns, rows))
	for row, films := range m.FilmUM {
		for column, film := range films {
			tone := 0.0 // of ink
			if film != nil {
				off := (*film/targetUM - 1) / mapReach
				tone = min(1, midTone+(1-midTone)*off)
				if off < 0 {
					tone = max(paleTone, midTone+(midTone-paleTone)*off)
				}
			}
			img.SetGray(column, rows-1-row, color.Gray{Y: uint8(math.Round(255 * (1 - tone)))})
		}
	}
	across := cellPX * max(1, int(math.Round(m.CellWidthMM/max(m.CellLengthMM, 1e-9))))
	large := imaging.Resize(img, columns*across, rows*cellPX, imaging.NearestNeighbor)
	gray := image.NewGray(large.Bounds())
	for i := range gray.Pix {
		gray.Pix[i] = large.Pix[4*i]
	}
	return gray
}
