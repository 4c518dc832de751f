package sheet

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"bladeline/curves"
	"bladeline/zones"
	"bladeline/zones/preset"
	"bladeline/zones/press"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// settings of a press with so many keys of a unit; every fifth key stays.
func settings(n int, unit press.KeyUnit, salt int) []float64 {
	most, step := map[press.KeyUnit]float64{press.Percent: 100, press.Notch: 24, press.Turn: 2.875}[unit], 1.0
	if unit == press.Turn {
		step = 0.125
	}
	var at []float64
	for i := range n {
		share := float64((i*7+salt*(i%5)*3)%13) / 12
		at = append(at, step*math.Round(share*most/step))
	}
	return at
}

func jobAt(name string, unit press.KeyUnit, inks []string, sweep float64, at []float64) *preset.Preset {
	p := &preset.Preset{
		Format: preset.Format, Job: name, Warnings: []zones.Warning{},
		Press: preset.StatedPress{Name: "Two-colour 26-inch", Zones: len(at), FirstZone: new(press.Left), KeyUnit: unit, SweepUnit: "notch"},
	}
	for _, ink := range inks {
		u := preset.Unit{Ink: ink, Sweep: sweep}
		for i, v := range at {
			u.Keys = append(u.Keys, preset.Key{Zone: i + 1, Key: v, KeyText: press.KeyText(unit, v), State: curves.Set})
		}
		p.Units = append(p.Units, u)
	}
	return p
}

// changeOf is a change-over of black, and of magenta to Harbour Red.
func changeOf(t require.TestingT, n int, unit press.KeyUnit) *preset.ChangeOver {
	last := jobAt("Rowing regatta", unit, []string{"Black", "Magenta"}, 6, settings(n, unit, 0))
	last.Units[0].Keys[0].OKKey = &last.Units[0].Keys[0].Key
	this := jobAt(job, unit, []string{"Black", "Harbour Red"}, 5, settings(n, unit, 1))
	c, err := preset.Change(preset.Compared{File: "last.csv", Preset: last}, preset.Compared{File: "this.csv", Preset: this}, nil, nil)
	require.NoError(t, err)
	return c
}

func changePages(t require.TestingT, c *preset.ChangeOver, o ChangeOptions) []*Page {
	pages, err := ChangePages(c, o)
	require.NoError(t, err)
	return pages
}

// Every kind of key and every number of them: no text leaves the page or touches
// another, and where each key goes is 2.5 mm high and more, at a metre (common
// practice, no source), up to 32 keys 4 mm; figures are 0.72 of the type's size.
func TestChangesAreLegible(t *testing.T) {
	for n := 1; n <= MaxZones; n++ {
		for _, unit := range []press.KeyUnit{press.Turn, []press.KeyUnit{press.Percent, press.Notch}[n/2%2]} {
			c := changeOf(t, n, unit)
			for i, page := range changePages(t, c, ChangeOptions{PageSize: []PageSize{A4, Letter}[n%2]}) {
				what := fmt.Sprintf("%d keys, %s, page %d", n, unit, i)
				require.Empty(t, clash(page), what)
				least := 2.5
				if n <= 32 {
					least = 4
				}
				require.GreaterOrEqual(t, keyFigures(page, c.Steps[0].Units[i].Keys, least), n, what)
			}
		}
	}
}

// keyFigures counts the texts that are so high, are bold and say where a key goes.
func keyFigures(page *Page, keys []preset.KeyChange, leastMM float64) (count int) {
	wanted := map[string]bool{}
	for _, k := range keys {
		wanted[k.KeyText] = true
	}
	for _, m := range page.Marks {
		if text, is := m.(Text); is && text.Bold && wanted[text.Text] && 0.72*text.SizePT*mmPerPT >= leastMM {
			count++
		}
	}
	return count
}

func TestChangeSays(t *testing.T) {
	pages := changePages(t, changeOf(t, 15, press.Turn), ChangeOptions{})
	require.Len(t, pages, 2)
	black, red := allText(pages[0]), allText(pages[1])
	for _, want := range []string{
		"Black", job, "after Rowing regatta", "where Rowing regatta left them, as it was finally run", "Two-colour 26-inch", "6 → 5 notches", "OK sweep", "OK key", "was", "is", "turn by",
		"work to zone 1, then from the centre to zone 15", "Zones 2 to 15: not read", "Gray keys stay", "stop the press and make it safe", "Never screw a key hard",
	} {
		assert.Contains(t, black, want)
	}
	assert.NotContains(t, black, "Wash")
	assert.Contains(t, red, "Wash up: Magenta out, Harbour Red in")
	assert.Contains(t, red, "Wash up with the press stopped and isolated")
	assert.NotContains(t, red, "not read")
	assert.Equal(t, "Ollerquay harbour fair, outer form – Harbour Red", pages[1].Title)

	text := allText(changePages(t, changeOf(t, 15, press.Percent), ChangeOptions{Says: "50 % of the correction"})[0])
	assert.Contains(t, text, "move by")
	assert.Contains(t, text, job+"  |  50 % of the correction  |  ")
	assert.Contains(t, text, "pull another sheet")
}

// A pass that follows another of the same job says so, and not which job ran last.
func TestChangeAfterAPassOfItsOwn(t *testing.T) {
	c := changeOf(t, 15, press.Turn)
	c.Steps[0].Units[1].PassWas = new(2)
	pages := changePages(t, c, ChangeOptions{})
	red := allText(pages[1])
	assert.Contains(t, red, "where pass 2 of this job, Magenta, left them, as it was preset.")
	assert.Contains(t, red, "  |  after pass 2  |  ")
	assert.NotContains(t, red, "Rowing regatta")
	assert.NotContains(t, allText(pages[0]), "pass 2")
}

// Keys that are shut elsewhere than at 0 are not said to count from there, as on a
// key sheet.
func TestChangeSaysWhereKeysCountFrom(t *testing.T) {
	last, this := jobAt("Rowing regatta", press.Percent, []string{"Black"}, 6, settings(8, press.Percent, 0)), jobAt(job, press.Percent, []string{"Black"}, 5, settings(8, press.Percent, 1))
	text := func() string {
		c, err := preset.Change(preset.Compared{File: "last.csv", Preset: last}, preset.Compared{File: "this.csv", Preset: this}, nil, nil)
		require.NoError(t, err)
		return allText(changePages(t, c, ChangeOptions{})[0])
	}
	assert.Contains(t, text(), "from shut")
	last.Units[0].Keys[2].ShutAt = new(2.0)
	assert.NotContains(t, text(), "from shut")
	assert.Contains(t, text(), "from each key's own 0")
}

// A note stays in one column where there is room: with two columns for three notes
// of 2 lines each and 5 lines a column, the third begins the second.
func TestNotesStayWhole(t *testing.T) {
	notes := []note{{"One", "a"}, {"Two", "b"}, {"Three", "c"}}
	columns := flowWhole(notes, 10, 50, 5)
	require.Len(t, columns, 2)
	assert.Equal(t, "Three", columns[1][0].text)
	long := []note{{"Long", strings.Repeat("word ", 200)}}
	lines := 0
	for _, c := range flowWhole(long, 10, 50, 5) {
		assert.LessOrEqual(t, len(c), 5)
		lines += len(c)
	}
	assert.Len(t, set(long, 10, 50), lines, "what no column holds is broken, and none of it lost")
}

// A unit of which nothing is known is set anew, and nothing is said of where its
// keys were left.
func TestChangeOfNothingKnown(t *testing.T) {
	last := jobAt("Rowing regatta", press.Turn, []string{"Black"}, 6, settings(8, press.Turn, 0))
	this := jobAt(job, press.Turn, []string{"Black", "Cyan"}, 5, settings(8, press.Turn, 1))
	c, err := preset.Change(preset.Compared{File: "last.csv", Preset: last}, preset.Compared{File: "this.csv", Preset: this}, nil, nil)
	require.NoError(t, err)
	text := allText(changePages(t, c, ChangeOptions{})[1])
	assert.Contains(t, text, "8 keys to set")
	assert.Contains(t, text, "Nothing is known of what stands in this unit: set every key to its figure.")
	assert.Equal(t, 8, strings.Count(text, "? "))
	assert.NotContains(t, text, "Rowing regatta left them")
	assert.Contains(t, allText(changePages(t, c, ChangeOptions{})[0]), "Rowing regatta left them, as it was preset.")
}

// Where a key goes, and by how much, stands under its zone, as the zones lie.
func TestChangeStandsUnderItsZone(t *testing.T) {
	for _, first := range []press.End{press.Left, press.Right} {
		c := changeOf(t, 9, press.Percent)
		c.Press.FirstZone = &first
		columns := map[int][]string{} // by place, mm
		for _, m := range changePages(t, c, ChangeOptions{})[0].Marks {
			if text, is := m.(Text); is && text.Before == centred {
				columns[int(text.X*10)] = append(columns[int(text.X*10)], text.Text)
			}
		}
		for i, k := range c.Steps[0].Units[0].Keys {
			at := i
			if first == press.Right {
				at = 8 - i
			}
			x := marginMM + gutterMM + (float64(at)+0.5)*(297-2*marginMM-gutterMM)/9
			texts := columns[int(x*10)]
			require.Subset(t, texts, []string{fmt.Sprint(k.Zone), *k.KeyWasText, k.KeyText}, "%s zone %d", first, k.Zone)
			if k.Move == preset.Stay {
				require.Contains(t, texts, "=")
			}
		}
	}
}

// A key that opens has its arrow up, and a screw's turned counter-clockwise, so
// that it begins at the right.
func TestArrowsPointTheRightWay(t *testing.T) {
	s := &changeSheet{sheet: &sheet{Page: &Page{}}}
	s.arrow(preset.KeyChange{Move: preset.Open}, Point{50, 50}, 2)
	s.arrow(preset.KeyChange{Move: preset.Close}, Point{50, 50}, 2)
	up, down := s.Marks[0].(Polygon).Points, s.Marks[1].(Polygon).Points
	assert.Less(t, up[0].Y, up[1].Y, "the tip is above")
	assert.Greater(t, down[0].Y, down[1].Y)

	for way, side := range map[press.Turned]float64{press.Clockwise: 1, press.CounterClockwise: -1} {
		s.Page = &Page{}
		s.arrow(preset.KeyChange{Move: preset.Open, Turn: &way}, Point{50, 50}, 2)
		first := s.Marks[0].(Line)
		head := s.Marks[len(s.Marks)-1].(Polygon).Points
		// Clockwise it begins at the left, goes over the top and comes down at the right.
		assert.Less(t, side*(first.From.X-50), 0.0, way)
		assert.Less(t, first.To.Y, first.From.Y, way)
		assert.Greater(t, side*(head[2].X-50), 0.0, way)
		assert.Greater(t, head[2].Y, head[0].Y, way)
	}
}

func TestChangePagesRefuse(t *testing.T) {
	_, err := ChangePages(changeOf(t, MaxZones+1, press.Percent), ChangeOptions{})
	assert.EqualError(t, err, "press.zones: 65 zones do not fit a sheet legibly, it takes up to 64; use the table or CSV")
	_, err = ChangePages(changeOf(t, 8, press.Percent), ChangeOptions{PageSize: "a3"})
	assert.EqualError(t, err, `page size "a3" is not known; give a4 or letter`)
}

// Whatever two jobs may hold, there is a page, and it can be read.
func TestOddChanges(t *testing.T) {
	for name, change := range map[string]func(*preset.ChangeOver){
		"long names": func(c *preset.ChangeOver) {
			u := &c.Steps[0].Units[0]
			c.ThisJob, c.LastJob, c.Press.Name, c.Press.SweepUnit = longName, new(longName), longName, longName
			u.Ink, u.InkWas, u.WashUp, u.Unit = longName, new(longName), true, new(longName)
			c.Steps[0].Pass = new(12)
		},
		"nothing is known": func(c *preset.ChangeOver) {
			u := &c.Steps[0].Units[0]
			c.LastJob, c.ThisJob, u.InkWas, u.SweepWas = nil, "", nil, nil
			for i := range u.Keys {
				u.Keys[i].KeyWasText, u.Keys[i].Move, u.Keys[i].Turn = nil, preset.SetTo, nil
			}
		},
		"long keys": func(c *preset.ChangeOver) {
			k := &c.Steps[0].Units[0].Keys[3]
			k.KeyText, k.KeyWasText = "99999999.123456789012345678", new("99999999.123456789012345678")
		},
		"endless": func(c *preset.ChangeOver) { c.Steps[0].Units[0].Ink = strings.Repeat("n", 100_000) },
		"many rounds": func(c *preset.ChangeOver) {
			c.Steps[0].Units[0].Rounds, c.Steps[0].Units[0].NeighbourPct, c.Steps[0].Units[0].MostText = new(12), 2.5, "1/8"
		},
	} {
		for _, n := range []int{4, 64} {
			c := changeOf(t, n, press.Turn)
			change(c)
			page := changePages(t, c, ChangeOptions{})[0]
			assert.Empty(t, clash(page), "%s, %d keys", name, n)
			require.NotEmpty(t, pdfOf(t, []*Page{page}), name)
			require.NotEmpty(t, svgTexts(t, svgOf(t, page)), name)
		}
	}
}

func TestChangeRenderedAsBefore(t *testing.T) {
	renderedAs(t, "change.png", changePages(t, changeOf(t, 15, press.Turn), ChangeOptions{})[1:])
}

func TestChangeSVGAsBefore(t *testing.T) {
	got := svgOf(t, changePages(t, changeOf(t, 15, press.Turn), ChangeOptions{})[1])
	assert.Equal(t, string(golden(t, "change.svg", got)), string(got))
}

// pdftotext (Poppler) reads the figures back from the page, row by row.
func TestChangeReadBack(t *testing.T) {
	c := changeOf(t, 12, press.Notch)
	text := strings.Join(strings.Fields(string(output(t, "pdftotext", "-layout", saved(t, changePages(t, c, ChangeOptions{})), "-"))), " ")
	var was, is []string
	for _, k := range c.Steps[0].Units[0].Keys {
		was, is = append(was, *k.KeyWasText), append(is, k.KeyText)
	}
	assert.Contains(t, text, strings.Join(was, " "))
	assert.Contains(t, text, strings.Join(is, " "))
}
