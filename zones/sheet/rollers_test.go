package sheet

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"bladeline/curves/rollers"
	"bladeline/zones/preset"
	"bladeline/zones/preset/rollerchart"
	"bladeline/zones/press"
	"bladeline/zones/zonestest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// chartOf is the chart of a press that ships.
func chartOf(t require.TestingT, name string) *rollerchart.Chart {
	c, err := rollerchart.Of(zonestest.Shipped(t, name), name)
	require.NoError(t, err)
	return c
}

// crowded is the chart of as many rollers as there may be, with long names.
func crowded(t require.TestingT) *rollerchart.Chart {
	on := &press.Press{Name: longName, Train: &rollers.Train{PlateMM: 1000, ImageMM: 3000, Ductor: rollers.Ductor{DiameterMM: 10, Touches: "0 " + longName}}}
	for i := range rollers.MaxRollers {
		r := rollers.Roller{Name: fmt.Sprint(i, " ", longName), Kind: rollers.Rider, Surface: rollers.Rubber, DiameterMM: 10}
		if i == 0 {
			r.Kind = rollers.FormRoller
		} else {
			r.Touches = []string{on.Train.Rollers[i-1].Name}
		}
		on.Train.Rollers = append(on.Train.Rollers, r)
	}
	c, err := rollerchart.Of(on, "p.toml")
	require.NoError(t, err)
	return c
}

func TestRollerPages(t *testing.T) {
	charts := map[string]*rollerchart.Chart{"crowded": crowded(t)}
	for _, name := range []string{"two-colour", "duplicator", "four-colour"} {
		charts[name] = chartOf(t, name)
	}
	for name, c := range charts {
		for _, o := range []RollerOptions{{}, {PageSize: Letter}, {Worksheet: true}, {PageSize: Letter, Worksheet: true}} {
			pages, names, err := RollerPages(c, o)
			require.NoError(t, err)
			require.Len(t, names, len(pages))
			for i, p := range pages {
				assert.Empty(t, clash(p), "%s %s", name, names[i])
				for _, m := range p.Marks {
					if b, is := m.(Circle); is {
						box := b.BoxMM()
						assert.True(t, box.Left > marginMM-1 && box.Top > marginMM && box.Right < p.WidthMM-marginMM+1 && box.Bottom < p.HeightMM-marginMM, "%s: %v", name, box)
					}
				}
				text := strings.Join(textsOf(p), " ")
				assert.Contains(t, text, "Nothing is measured, set or touched on a moving press", names[i])
			}
		}
	}
}

// The side view is to scale: the bar says 100 mm, and circles that touch on the press
// touch on the page.
func TestSideViewIsToScale(t *testing.T) {
	c := chartOf(t, "duplicator")
	pages, names, err := RollerPages(c, RollerOptions{})
	require.NoError(t, err)
	assert.Equal(t, []string{"rollers", "marks"}, names)
	var circles []Circle
	for _, m := range pages[0].Marks {
		if m, is := m.(Circle); is {
			circles = append(circles, m)
		}
	}
	require.Len(t, circles, 1+len(c.Rollers), "the plate, the ductor and the rollers")
	scale := 2 * circles[0].RadiusMM / c.PlateMM
	for i, r := range c.Rollers {
		assert.InDelta(t, scale*r.DiameterMM, 2*circles[i+1].RadiusMM, 1e-9)
		assert.InDelta(t, scale*math.Hypot(r.XMM, r.YMM), math.Hypot(circles[i+1].At.X-circles[0].At.X, circles[i+1].At.Y-circles[0].At.Y), 1e-5)
	}
	bar := 0.0
	for i, m := range pages[0].Marks {
		if text, is := m.(Text); is && text.Text == "100 mm" {
			bar = pages[0].Marks[i-3].BoxMM().Right - pages[0].Marks[i-3].BoxMM().Left
		}
	}
	assert.InDelta(t, 100*scale, bar, 1e-9)
}

// pdftotext (Poppler) reads the figures back from the page of marks: 44 mm go round
// 138.2 mm, and so twice 276.5 and three times 414.7.
func TestMarksReadBack(t *testing.T) {
	pages, _, err := RollerPages(chartOf(t, "duplicator"), RollerOptions{})
	require.NoError(t, err)
	text := string(output(t, "pdftotext", "-layout", saved(t, pages), "-"))
	assert.Regexp(t, `form 1 +every 138\.2 +138 +276 +415`, text)
}

// A worksheet shows no figure before the answers.
func TestWorksheetHidesItsAnswers(t *testing.T) {
	c := chartOf(t, "duplicator")
	pages, names, err := RollerPages(c, RollerOptions{Worksheet: true})
	require.NoError(t, err)
	assert.Equal(t, []string{"rollers", "stripes", "answers", "answers-stripes"}, names)
	for i, p := range pages {
		texts := strings.Join(textsOf(p), "\n")
		assert.Equal(t, names[i] == "answers", strings.Contains(texts, "138.2"), names[i])
		assert.Equal(t, names[i] == "answers", strings.Contains(texts, "\n44\n"), names[i])
		assert.Equal(t, strings.HasPrefix(names[i], "answers"), strings.Contains(texts, "\n4\n"), "the stripes of the file stand on %s", names[i])
	}
	stripes, answers := textsOf(pages[1]), textsOf(pages[3])
	for _, pair := range c.Stripes() {
		assert.Contains(t, stripes, pair.Roller+" – "+pair.Against)
		assert.Contains(t, answers, pair.Roller+" – "+pair.Against, "each stripe has its answer")
	}
}

func TestMeasuredPages(t *testing.T) {
	c := chartOf(t, "duplicator")
	require.NoError(t, c.Hold("m.csv", []preset.MeasuredRoller{{Roller: "form 1", Against: "plate", Row: 2, StripeMM: new(7.0)}}))
	pages, names, err := RollerPages(c, RollerOptions{})
	require.NoError(t, err)
	assert.Equal(t, []string{"rollers", "marks", "measured"}, names)
	assert.Empty(t, clash(pages[2]))
	assert.Contains(t, strings.Join(textsOf(pages[2]), " "), "form 1: its stripe with the plate is 7 mm at the widest")

	_, _, err = RollerPages(nil, RollerOptions{})
	assert.Error(t, err)
	_, _, err = RollerPages(c, RollerOptions{PageSize: "a9"})
	assert.Error(t, err)
}

// Circles are the same in both outputs: libvips draws the SVG, and Poppler the PDF.
func TestCirclesInBothOutputs(t *testing.T) {
	assert.Equal(t, `<circle cx="20" cy="30" r="10" fill="#d1d1d1" stroke="#000000" stroke-width="0.5"/>`, svgMark(Circle{At: Point{20, 30}, RadiusMM: 10, Fill: new(Pale), WidthMM: 0.5}))
	assert.Equal(t, `<circle cx="20" cy="30" r="10" fill="none"/>`, svgMark(Circle{At: Point{20, 30}, RadiusMM: 10}))
}
