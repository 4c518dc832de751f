package sheet

import (
	"strings"
	"testing"

	"bladeline/curves"
	"bladeline/zones"
	"bladeline/zones/preset"
	"bladeline/zones/press"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// forLearners adds to a look what a worksheet takes.
func forLearners(t require.TestingT, on *press.Press, o Options) Options {
	curve := &curves.Curve{Name: "coated", Shape: curves.Smooth, Points: []curves.Point{{CoveragePct: 0, OpeningPct: 2}, {CoveragePct: 10, OpeningPct: 18}, {CoveragePct: 40, OpeningPct: 46}, {CoveragePct: 100, OpeningPct: 80}}}
	require.NoError(t, curve.Prepare())
	o.Press, o.Curves = on, map[string]*curves.Curve{"Black": curve}
	return o
}

func worksheets(t *testing.T, p *preset.Preset, o Options) []*Page {
	t.Helper()
	pages, err := Worksheets(p, o)
	require.NoError(t, err)
	return pages
}

// A worksheet shows the form, the curve and empty boxes, and nothing that gives the
// keys away; these are on the page of answers, which is the key sheet.
func TestWorksheet(t *testing.T) {
	on := pressOf(15, press.Turn, press.OnePiece)
	on.PrintLengthMM = 480
	p, o := presetOf(t, on, 30)
	pages := worksheets(t, p, forLearners(t, on, o))
	require.Len(t, pages, 2)
	text := allText(pages[0])
	for _, want := range []string{
		"Black: set the keys yourself", job, "Name", "Date", "tail edge", "covered %", "opening %", "key, turns", "1 2 3 4 5 6 7 8 9 10 11 12 13 14 15",
		"over the 480 mm that the press prints", "The curve holds at a sweep of 45 %", "× 45 ÷ your sweep", "in steps of 1/8", "at most 20 % of travel apart", "within 10 % of theirs", "Your sweep, %",
	} {
		assert.Contains(t, text, want)
	}
	empty, pictures := 0, 0
	for _, m := range pages[0].Marks {
		switch m := m.(type) {
		case Polygon:
			if m.Fill == nil && len(m.Points) == 4 && m.Points[2].Y-m.Points[0].Y == emptyMM {
				empty++
			}
		case Picture:
			pictures++
		}
	}
	assert.Equal(t, []int{3 * 15, 1}, []int{empty, pictures})
	for _, k := range p.Units[0].Keys {
		if strings.Contains(k.KeyText, "/") && k.KeyText != "1/8" {
			assert.NotContains(t, text, k.KeyText)
		}
	}
	answers := allText(pages[1])
	assert.Contains(t, answers, "ANSWERS")
	key := pagesOf(t, p, o)[0]
	assert.NotContains(t, allText(key), "ANSWERS")
	for _, text := range []string{"OK key", "OK sweep", "you set"} {
		assert.Contains(t, allText(key), text)
		assert.NotContains(t, answers, text, "nothing is to be filled in, nor was it the learner who set it")
	}
	assert.Equal(t, string(golden(t, "worksheet.svg", worksheetSVG(t, pages[0]))), string(worksheetSVG(t, pages[0])))
}

// worksheetSVG is a page without its picture, which would be most of the file.
func worksheetSVG(t *testing.T, page *Page) []byte {
	bare := *page
	bare.Marks = nil
	for _, m := range page.Marks {
		if _, is := m.(Picture); !is {
			bare.add(m)
		}
	}
	return svgOf(t, &bare)
}

// The curve is drawn where it runs, in the chart's own field.
func TestWorksheetDrawsTheCurve(t *testing.T) {
	on := pressOf(21, press.Percent, press.Segmented)
	p, o := presetOf(t, on, 30)
	o = forLearners(t, on, o)
	var heavy []Line
	for _, m := range worksheets(t, p, o)[0].Marks {
		if l, is := m.(Line); is && l.WidthMM == 0.5 {
			heavy = append(heavy, l)
		}
	}
	require.Len(t, heavy, 100)
	first, last := heavy[0], heavy[99]
	high := (first.From.Y - last.To.Y) / 0.78 // from 2 to 80 % open
	for c, l := range heavy {
		assert.InDelta(t, first.From.Y-high*(o.Curves["Black"].At(float64(c))-2)/100, l.From.Y, 1e-9)
		assert.InDelta(t, first.From.X+(last.To.X-first.From.X)*float64(c)/100, l.From.X, 1e-9)
	}
}

func TestWorksheetsKeepApart(t *testing.T) {
	for _, n := range []int{4, 8, 21, 64} {
		for _, unit := range []press.KeyUnit{press.Percent, press.Turn} {
			on := pressOf(n, unit, press.OnePiece)
			p, o := presetOf(t, on, 30)
			for _, o.PageSize = range []PageSize{A4, Letter} {
				assert.Empty(t, clash(worksheets(t, p, forLearners(t, on, o))[0]), "%d zones, %s, %s", n, unit, o.PageSize)
			}
		}
	}
	on := pressOf(21, press.Turn, press.OnePiece)
	p, o := presetOf(t, on, 30)
	o = forLearners(t, on, o)
	p.Job, p.Press.Name, p.Units[0].Ink, on.Sweep.Unit = longName, longName, longName, longName
	o.Forms, o.Curves = map[string]*zones.Form{longName: o.Forms["Black"]}, map[string]*curves.Curve{longName: o.Curves["Black"]}
	assert.Empty(t, clash(worksheets(t, p, o)[0]), "long names")
}

func TestWorksheetsRefuse(t *testing.T) {
	on := pressOf(21, press.Percent, press.Segmented)
	p, o := presetOf(t, on, 30)
	o = forLearners(t, on, o)
	for says, change := range map[string]func(*Options){
		"give the press":                func(o *Options) { o.Press = nil },
		"shows the form and the curve;": func(o *Options) { o.Curves = nil },
		"form and the curve; give both": func(o *Options) { o.Forms = nil },
		"give a4 or letter":             func(o *Options) { o.PageSize = "a3" },
	} {
		without := o
		change(&without)
		_, err := Worksheets(p, without)
		assert.ErrorContains(t, err, says)
	}
	_, err := Worksheets(nil, o)
	assert.Error(t, err)
}
